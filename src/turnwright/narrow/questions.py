"""The question to ask next: the one whose answer moves the pick most, found by running the engine on the answers."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from msgspec.structs import replace

from turnwright.model.case import Case
from turnwright.model.result import Question
from turnwright.regimes import Regime
from turnwright.selection import smallest_fitting_kva


class Askable(NamedTuple):
    """A fact that may be asked for: where it stands, how to ask, what it might be answered, and why it matters.

    answers  value -> the case with that answer
    """

    key: str
    ask: str
    assumed: Any
    why: str
    answers: tuple[Any, ...]
    answered: Callable[[Case, Any], Case]


def questions_for(case: Case, regime: Regime) -> tuple[Question, ...]:
    """Return what to ask, the most telling question first; facts that move nothing come last."""
    base = smallest_fitting_kva(case, regime)
    asked = [_question(case, regime, one, base) for one in _askable(case)]
    return tuple(sorted(asked, key=lambda question: -_spread(question)))


def _question(case: Case, regime: Regime, one: Askable, base: float | None) -> Question:
    kvas = {smallest_fitting_kva(one.answered(case, answer), regime) for answer in one.answers} | {base}
    sizes = sorted(kva for kva in kvas if kva is not None)
    return Question(
        key=one.key,
        ask=one.ask,
        assumed=one.assumed,
        why=one.why,
        moves={"kva": sizes} if len(sizes) > 1 else {},
    )


def _spread(question: Question) -> float:
    sizes = question.moves.get("kva", [1.0, 1.0])
    return float(sizes[-1] / sizes[0])


def _askable(case: Case) -> list[Askable]:
    """The facts nobody gave, in the order in which the trade asks for them."""
    missing = {fact.key for fact in case.assumptions}
    found = [ask(case) for key, ask in ASK.items() if key in missing]
    return found + _site_askable(case, missing)


def _growth(case: Case) -> Askable:
    return Askable(
        key="choices.growth",
        ask="How much may the load grow over the years this unit stands there?",
        assumed="0 %",
        why="Growth of 15 to 25 % is usual; none is counted until somebody says so.",
        answers=(15.0, 25.0),
        answered=lambda c, pct: replace(c, choices=replace(c.choices, growth_pct=pct)),
    )


def _altitude(case: Case) -> Askable:
    return Askable(
        key="site.altitude",
        ask="How high above sea level does it stand?",
        assumed=f"up to {case.site.altitude_m:g} m",
        why="Thin air cools less: rated power falls above 1000 m.",
        answers=(2000.0, 3000.0),
        answered=lambda c, metres: replace(c, site=replace(c.site, altitude_m=metres)),
    )


def _ambient(case: Case) -> Askable:
    return Askable(
        key="site.ambient_average",
        ask="How warm is it around the unit, averaged over a day?",
        assumed=f"{case.site.ambient_average_c:g} °C",
        why="Rated power falls above 30 °C average.",
        answers=(40.0,),
        answered=lambda c, celsius: replace(c, site=replace(c.site, ambient_average_c=celsius)),
    )


def _fault_current(case: Case) -> Askable:
    return Askable(
        key="supply.fault_current",
        ask="What fault current can the supply deliver at its terminals?",
        assumed="infinite source",
        why="It sets the interrupting ratings on both sides; an infinite source is the cautious reading.",
        answers=(),
        answered=lambda c, _: c,
    )


def _edition(case: Case) -> Askable:
    return Askable(
        key="edition",
        ask="Which edition of the installation code is adopted there?",
        assumed=case.edition,
        why="Clauses and some numbers differ by edition.",
        answers=(),
        answered=lambda c, _: c,
    )


ASK: dict[str, Callable[[Case], Askable]] = {
    "choices.growth": _growth,
    "site.ambient_average": _ambient,
    "site.altitude": _altitude,
    "supply.fault_current": _fault_current,
    "edition": _edition,
}


def _site_askable(case: Case, missing: set[str]) -> list[Askable]:
    found = []
    if case.supply.panel_rating_a is None or case.supply.panel_load_a is None:
        found.append(
            Askable(
                key="supply.panel_rating",
                ask="How many amperes is the panel that feeds it rated for, and how many does it carry already?",
                assumed=None,
                why="A transformer that the panel cannot carry is no answer.",
                answers=(),
                answered=lambda c, _: c,
            )
        )
    if "site.place" in missing:
        found.append(
            Askable(
                key="site.place",
                ask="Where will it stand: which room, floor or wall, indoors or out?",
                assumed=case.site.place,
                why="Enclosure, clearances, fire-rated rooms and the limit above ceilings depend on it.",
                answers=(),
                answered=lambda c, _: c,
            )
        )
    return found
