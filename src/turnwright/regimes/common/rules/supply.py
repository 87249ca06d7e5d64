"""Checks of the volts that feed the transformer: measured, uneven, to ground."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from turnwright.quantities import figure
from turnwright.regimes.common.rules.looks import SQRT3
from turnwright.regimes.common.rules.plain import equipment, practice
from turnwright.regimes.rule import Check, Facts, Said

OTHER_SYSTEM = 0.15
"""A mean this far (relative) from nominal is beyond what any supply range allows: another system, or a wrong meter."""


def reads_other_system(measured_v: tuple[float, ...], nominal_v: float) -> bool:
    """Return whether measured volts are so far from nominal that they are those of another system.

    measured_v : between lines; none are no contradiction [V]
    nominal_v  : between lines [V]

    Example:
        >>> reads_other_system((240.0, 241.0, 239.0), 208.0), reads_other_system((226.0,), 208.0)
        (True, False)
    """
    if not measured_v:
        return False
    return abs(sum(measured_v) / len(measured_v) / nominal_v - 1) > OTHER_SYSTEM


def supply_voltage(band_v: Callable[[str], tuple[float, float] | None]) -> Check:
    """Return the check of measured volts; `band_v` gives least and largest service voltage of a system."""

    def check(facts: Facts) -> Iterator[Said]:
        return _outside(facts, band_v(facts.case.supply.system.text))

    return check


def _outside(facts: Facts, band: tuple[float, float] | None) -> Iterator[Said]:
    """The service voltage lies within its band; a tap brings the output back."""
    measured, supply = facts.case.supply.measured_v, facts.case.supply.system
    if not measured or band is None or reads_other_system(measured, supply.line_v):
        return
    for volts, edge_v, word in ((max(measured), band[1], "high"), (min(measured), band[0], "low")):
        outside_it = volts > edge_v if word == "high" else volts < edge_v
        if outside_it:
            yield Said(
                message=(
                    f"The supply runs {word}: {figure(volts)} V against {edge_v:g} V. Measure again loaded "
                    f"and unloaded, choose the tap nearest to it ({figure(volts / supply.line_v * 100)} % of "
                    "nominal; a tap is moved with both sides off), or ask the utility."
                ),
                value=volts,
                limit=edge_v,
                unit="V",
            )


def supply_unbalance(facts: Facts) -> Iterator[Said]:
    """NEMA MG 1 12.45, ANSI C84.1: largest deviation from the average over the average."""
    measured = facts.case.supply.measured_v
    average_v = sum(measured) / 3
    unbalance_pct = max(abs(volts - average_v) for volts in measured) / average_v * 100
    motors = bool(facts.of_kind("motor", "lift"))
    stop_pct, supply_pct = equipment("motor_unbalance_stop_pct"), equipment("supply_unbalance_max_pct")
    limit_pct = equipment("motor_unbalance_max_pct") if motors else supply_pct
    if unbalance_pct <= limit_pct:
        return
    if motors and unbalance_pct >= stop_pct:
        limit_pct, what, severity = stop_pct, "motors must not run on it", "stop"
    elif motors:
        what, severity = (
            "motors are derated over that; do not cure it by a wider setting of the protector",
            "caution",
        )
    else:
        what, severity = "ask the utility", "caution"
    yield Said(
        message=f"The supply is unbalanced by {figure(unbalance_pct, rounding='up')} % over {limit_pct:g} %: {what}.",
        value=unbalance_pct,
        limit=limit_pct,
        unit="%",
        severity="stop" if severity == "stop" else "caution",
    )


def seen_to_ground(line_v: float, to_ground_v: tuple[float, ...]) -> str:
    """Return what three volts to ground look like: wye, high leg, corner, or floating.

    Example:
        >>> seen_to_ground(480, (277, 278, 275)), seen_to_ground(240, (120, 208, 121))
        ('wye', 'high leg')
        >>> seen_to_ground(480, (480, 0, 479)), seen_to_ground(480, (15, 440, 300))
        ('corner', 'floating')
        >>> seen_to_ground(208, (120, 208, 121))
        'high leg'
    """
    slack_v = practice("to_ground_tolerance_pct") / 100 * line_v
    low, middle, high = sorted(to_ground_v)

    def near(volts: float, wanted_v: float) -> bool:
        return abs(volts - wanted_v) <= slack_v

    if near(low, high) and near(middle, line_v / SQRT3):
        return "wye"
    # whatever the label says the line voltage is: a 240 V delta is often labelled 208Y/120
    if near(low, middle) and near(high, middle * SQRT3) and not near(low, 0.0):
        return "high leg"
    if near(low, 0.0) and near(middle, line_v) and near(high, line_v):
        return "corner"
    return "floating"


LOOKS_LIKE = {
    "wye": "a wye with a grounded neutral",
    "high leg": "a delta with one side mid-tapped (high leg)",
    "corner": "a delta with one corner grounded",
    "floating": "no grounded system: it floats, or one line has a fault to ground",
}


def to_ground_says(facts: Facts) -> Iterator[Said]:
    """Volts to ground on all three lines tell how a supply is grounded, whatever its label says."""
    supply = facts.case.supply
    seen = seen_to_ground(supply.line_v, supply.measured_to_ground_v)
    if seen != _told(facts):
        volts = ", ".join(figure(v) for v in supply.measured_to_ground_v)
        yield Said(
            message=(
                f"{volts} V to ground looks like {LOOKS_LIKE[seen]}, not like {supply.system.text}"
                f"{' ' + supply.grounding if supply.grounding else ''}. Find out before ordering."
            )
        )


def _told(facts: Facts) -> str:
    supply = facts.case.supply
    if supply.system.high_leg:
        return "high leg"
    if supply.grounding == "corner":
        return "corner"
    if supply.grounding in ("ungrounded", "resistance"):
        return "floating"
    return "wye" if supply.system.connection == "wye" else "not told"
