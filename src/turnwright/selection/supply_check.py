"""What was measured at the supply against what it is said to be: volts, and which point is grounded."""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt

from turnwright.model.case import Case, CaseSupply
from turnwright.model.result import Finding
from turnwright.regimes.common.rules.supply import reads_other_system
from turnwright.selection.tap import mean_v

NEAR = 0.1
"""Measured volts this near (relative) count as the value they are compared with."""
NOTHING = 0.1
"""Volts to ground below this share of the line voltage count as none."""

READS = {
    "wye": "a wye grounded at its star point",
    "corner": "a delta grounded at one corner: one line has no volts to ground",
    "high leg": "a delta grounded at the middle of one side: a high leg",
    "floating": "a system that nothing ties firmly to ground",
}
MEANS = {
    "wye": "line to neutral loads and slash-rated breakers are possible where the neutral is brought along",
    "corner": "breakers have to be straight-rated, the grounded line takes no fuse, and there is no neutral",
    "high leg": "nothing but line-to-line loads and the two low legs may be used; slash-rated breakers fail on it",
    "floating": "no load may go to ground or neutral, a ground detector is due, and drives need their filters lifted",
}


def supply_remarks(case: Case) -> Iterator[Finding]:
    """Yield what the measurements contradict, naming both facts, and what they tell where nobody said."""
    supply = case.supply
    yield from _between_lines(supply)
    yield from _to_ground(supply)


def _between_lines(supply: CaseSupply) -> Iterator[Finding]:
    measured = tuple(float(volts) for volts in supply.measured_v)
    if not measured:
        return
    nominal_v = float(supply.line_v)
    mean = mean_v(measured)
    if reads_other_system(measured, nominal_v):
        wound = "is overexcited and overheats" if mean > nominal_v else "gives too little"
        yield Finding(
            code="measured-volts",
            severity="stop",
            message=(
                f"The supply is given as {supply.system.text}, and {_listed(measured)} is measured between its lines: "
                f"{(mean / nominal_v - 1) * 100:+.0f} %, which no tap makes up for. A unit wound for {nominal_v:g} V "
                f"{wound} there. The answer stands on {nominal_v:g} V: do not order by it before the supply is known."
            ),
            known="given",
            value=mean,
            limit=nominal_v,
            unit="V",
        )


def _to_ground(supply: CaseSupply) -> Iterator[Finding]:
    measured = tuple(float(volts) for volts in supply.measured_to_ground_v)
    if not measured or supply.system.phases != 3:
        return
    line_v = float(supply.line_v)
    seen, said = pattern(measured, line_v), stated(supply)
    if seen is None or seen in said:
        return
    if said:
        yield Finding(
            code="grounding-contradiction",
            severity="caution",
            message=(
                f"The supply is given as {_given(supply)}, and {_listed(measured)} is measured to ground: that is "
                f"{READS[seen]}. Which of both is right? If the meter is, {MEANS[seen]}."
            ),
            known="computed",
            value=max(measured),
            unit="V",
        )
        return
    yield Finding(
        code="grounding-measured",
        severity="note" if seen == "wye" else "caution",
        message=(
            f"{_listed(measured)} to ground on the {supply.system.text} supply is {READS[seen]}; then {MEANS[seen]}."
        ),
        known="computed",
        value=max(measured),
        unit="V",
    )


def pattern(measured_v: tuple[float, ...], line_v: float) -> str | None:
    """Return how a three-phase system with these volts to ground is grounded; None where they do not tell.

    measured_v : one to three lines to ground [V]
    line_v     : between lines [V]
    Source: geometry of the three line voltages about the grounded point

    Example:
        >>> pattern((277.0, 278.0, 275.0), 480.0), pattern((0.0, 480.0, 481.0), 480.0)
        ('wye', 'corner')
        >>> pattern((120.0, 208.0, 120.0), 240.0), pattern((15.0, 450.0, 460.0), 480.0)
        ('high leg', 'floating')
    """
    high, low = max(measured_v), min(measured_v)
    star_v, half_v, high_leg_v = line_v / sqrt(3), line_v / 2, line_v * sqrt(3) / 2

    def near(volts: float, wanted: float) -> bool:
        return abs(volts - wanted) <= NEAR / 2 * line_v

    if len(measured_v) == 1:
        options = {"corner": line_v, "high leg": high_leg_v, "wye": star_v}
        found = [name for name, volts in options.items() if near(high, volts)]
        return found[0] if len(found) == 1 else None
    if all(near(volts, star_v) for volts in measured_v) and high - low <= NEAR * star_v:
        return "wye"
    if (
        len(measured_v) == 3
        and low <= NOTHING * line_v
        and sum(near(volts, line_v) for volts in measured_v) == 2
    ):
        return "corner"
    if len(measured_v) == 2 and low <= NOTHING * line_v and near(high, line_v):
        return "corner"
    halves = sum(near(volts, half_v) for volts in measured_v)
    if near(high, high_leg_v) and halves == len(measured_v) - 1:
        return "high leg"
    return "floating" if len(measured_v) == 3 else None


def stated(supply: CaseSupply) -> tuple[str, ...]:
    """Return the patterns that what is said of the supply allows; none where nothing is said."""
    grounding = supply.grounding or supply.system.grounding
    if grounding in ("ungrounded", "resistance"):
        return ("floating", "wye")  # an ungrounded system balances itself about its capacitances
    by_grounding = {"corner": ("corner",), "mid-tap": ("high leg",)}
    if grounding in by_grounding:
        return by_grounding[grounding]
    if supply.system.high_leg:
        return ("high leg",)
    if supply.system.connection == "wye":
        return ("wye",)
    return ("wye", "corner", "high leg") if grounding == "solid" else ()


def _given(supply: CaseSupply) -> str:
    grounding = supply.grounding
    return f"{supply.system.text}, {grounding}" if grounding else supply.system.text


def _listed(volts: tuple[float, ...]) -> str:
    return ", ".join(f"{each:g}" for each in volts) + " V"
