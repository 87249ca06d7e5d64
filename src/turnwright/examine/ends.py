"""Which impedance of the unit stands for what: the low end for faults, the high end for drops and dips."""

from __future__ import annotations

from msgspec import Struct

from turnwright.examine.records import Assumed
from turnwright.examine.subject import Subject
from turnwright.model.result import Question
from turnwright.model.unit import Impedance
from turnwright.quantities import figure


class Ends(Struct, frozen=True, kw_only=True):
    """The impedances of a unit between which the true one lies.

    stated  None where only the usual band is known
    """

    low: Impedance
    stated: Impedance | None
    high: Impedance


def ends_of(subject: Subject) -> Ends:
    """Return the ends of the impedance: of the stated one its tolerance, else of the usual band."""
    unit = subject.sized.unit
    if unit.nominal is None:
        return Ends(low=unit.for_faults, stated=None, high=unit.for_drop)
    share = unit.impedance_tolerance_pct / 100
    return Ends(
        low=_times(unit.for_faults, 1 - share), stated=unit.nominal, high=_times(unit.for_drop, 1 + share)
    )


def _times(z: Impedance, factor: float) -> Impedance:
    return Impedance(z.resistance_pct * factor, z.reactance_pct * factor)


def assumed_impedance(ends: Ends) -> Assumed:
    """Return what is taken for the impedance, and why."""
    low, high = figure(ends.low.magnitude_pct), figure(ends.high.magnitude_pct)
    if ends.stated is None:
        return Assumed(
            f"impedance {low}-{high} %, the usual band",
            "the low end gives the largest fault, the high end the largest drop",
        )
    return Assumed(
        f"impedance {figure(ends.stated.magnitude_pct)} % as stated, {low}-{high} % with its tolerance",
        "the unit that is delivered may lie anywhere between",
    )


def impedance_question(ends: Ends, moves: dict[str, list[float]]) -> tuple[Question, ...]:
    """Return the question for the impedance where nobody stated it, and what the answer would move."""
    if ends.stated is not None:
        return ()
    return (
        Question(
            key="choices.impedance",
            ask="What impedance does the nameplate or the offer state?",
            assumed=f"{figure(ends.low.magnitude_pct)}-{figure(ends.high.magnitude_pct)} %",
            why="Faults, drops and dips follow it directly.",
            moves=moves,
        ),
    )
