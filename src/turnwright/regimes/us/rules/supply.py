"""Rules about what feeds the transformer: volts measured, unbalance, its ground, generators, a high leg, two lines."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import figure
from turnwright.regimes.common.rules.looks import SQRT3
from turnwright.regimes.rule import Facts, Rule, Said
from turnwright.regimes.us.rules.numbers import equipment, service_band_v, usual


def supply_voltage(facts: Facts) -> Iterator[Said]:
    """ANSI C84.1: service voltage, range A; a tap brings the output back."""
    measured, supply = facts.case.supply.measured_v, facts.case.supply.system
    band = service_band_v(supply.text)
    if not measured or band is None:
        return
    for volts, edge_v, word in ((max(measured), band[1], "high"), (min(measured), band[0], "low")):
        outside_it = volts > edge_v if word == "high" else volts < edge_v
        if outside_it:
            yield Said(
                message=(
                    f"The supply runs {word}: {figure(volts)} V against {edge_v:g} V. Measure again loaded "
                    f"and unloaded, choose the tap nearest to it ({figure(volts / supply.line_v * 100)} % of "
                    "nominal), or ask the utility."
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
    slack_v = usual("to_ground_tolerance_pct") / 100 * line_v
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


def high_leg_supply(facts: Facts) -> Iterator[Said]:
    """110.15, 240.85: one line of a mid-tapped delta stands at 1.73 times the volts of the others to neutral."""
    supply = facts.case.supply.system
    neutral_v = supply.neutral_v or supply.line_v / 2
    high_v = supply.line_v * SQRT3 / 2
    yield Said(
        message=(
            f"The supply has a high leg: {figure(high_v)} V to neutral, the other two {figure(neutral_v)} V. "
            "It is no usable voltage to neutral; nothing single-pole on it. Find it with a meter, not by "
            "color."
        ),
        value=high_v,
        unit="V",
    )


def two_lines(facts: Facts) -> Iterator[Said]:
    """A single-phase unit on a three-phase supply loads two lines and leaves the third."""
    if facts.proposal.units > 1 or len(facts.proposal.lines) != 2:
        return
    current_a = facts.blocks.currents.primary_load_a
    lines = " and ".join(facts.proposal.lines)
    yield Said(
        message=(
            f"Single-phase on a three-phase supply: lines {lines} carry {figure(current_a, rounding='up')} "
            "A, the third nothing. Write the lines used in the panel schedule and balance them with other "
            "loads."
        ),
        value=current_a,
        unit="A",
    )


RULES = (
    Rule(
        id="to-ground-says",
        severity="caution",
        applies=lambda facts: len(facts.case.supply.measured_to_ground_v) == 3,
        check=to_ground_says,
        trips={"supply": {"measured_to_ground": ["277 V", "15 V", "450 V"]}},
        clean={"supply": {"measured_to_ground": ["277 V", "278 V", "275 V"]}},
    ),
    Rule(
        id="supply-unbalance",
        severity="caution",
        applies=lambda facts: len(facts.case.supply.measured_v) == 3,
        check=supply_unbalance,
        trips={"supply": {"measured": ["460 V", "480 V", "500 V"]}},
        clean={"supply": {"measured": ["478 V", "481 V", "476 V"]}},
    ),
    Rule(
        id="supply-voltage",
        severity="caution",
        check=supply_voltage,
        trips={"supply": {"measured": ["510 V"]}},
        clean={"supply": {"measured": ["478 V"]}},
    ),
    Rule(
        id="high-leg-supply",
        severity="caution",
        applies=lambda facts: facts.case.supply.system.high_leg,
        check=high_leg_supply,
        trips={"supply": {"system": "240/120 delta"}},
        clean={},
    ),
    Rule(
        id="two-lines",
        severity="caution",
        applies=lambda facts: facts.case.supply.system.phases == 3 and facts.proposal.phases == 1,
        check=two_lines,
        trips={"load": [{"system": "120/240 1ph", "kva": "10 kVA"}]},
        clean={"load": [{"system": "208Y/120", "kva": "10 kVA"}]},
    ),
)
