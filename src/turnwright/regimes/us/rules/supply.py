"""Rules about what feeds the transformer: volts measured, unbalance, its ground, generators, a high leg, two lines."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import figure
from turnwright.regimes.common.rules.plain import labels, practice
from turnwright.regimes.rule import Facts, Lacks, Rule, Said
from turnwright.regimes.us.rules.looks import SQRT3
from turnwright.regimes.us.rules.numbers import SAME, equipment, service_band_v, usual


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


def flicker(facts: Facts) -> Iterator[Said]:
    """Loads that come and go: the current of the on-time on the supply, and who must agree to it."""
    loads = facts.of_kind("welder", "imaging") + tuple(
        load for load in facts.of_kind("heating", "furnace") if load.firing == "burst" or load.duty_on_pct
    )
    on_kva = facts.picture.on_kva
    if not loads:
        return
    supply = facts.case.supply.system
    three = facts.proposal.phases == 3
    current_a = on_kva * 1000 / (supply.line_v * (SQRT3 if three else 1.0))
    on_lines = (
        "two of the three lines"
        if supply.phases == 3 and not three
        else ("three lines" if three else "both lines")
    )
    yield Said(
        message=(
            f"{figure(current_a, rounding='up')} A on {on_lines} of the supply each time {labels(loads)} is "
            "on: lights may flicker and the supply is unbalanced for that time. The utility must agree."
        ),
        value=current_a,
        unit="A",
    )


def source_carries(facts: Facts) -> Iterator[Said]:
    """A generator, UPS or inverter carries the load behind it with growth."""
    source_kva = facts.case.supply.source_kva
    assert source_kva is not None
    needs_kva = facts.blocks.demand.kva_with_growth * facts.proposal.units
    if needs_kva > source_kva * (1 + SAME):
        yield Said(
            message=(
                f"The load of {figure(needs_kva, rounding='up')} kVA with growth is more than the {source_kva:g} kVA "
                f"of its {facts.case.supply.source}: no transformer changes that. A larger source, or less load."
            ),
            value=needs_kva,
            limit=source_kva,
            unit="kVA",
        )


def generator(facts: Facts) -> Iterator[Said | Lacks]:
    """Common practice: a set that energizes a transformer is larger than it, or ramps up its volts."""
    low, high = practice("generator_ratio_low"), practice("generator_ratio_high")
    total_kva = facts.unit.kva * facts.proposal.units
    wanted_kva, has_kva = low * total_kva, facts.case.supply.source_kva
    if has_kva is None:
        yield Lacks(("supply.source_kva",))
        size = ""
    elif has_kva < wanted_kva * (1 - SAME):
        size = f"; it has {has_kva:g} kVA, which is short of that"
    else:
        size = f"; it has {has_kva:g} kVA, {figure(has_kva / total_kva)} times the unit"
    draws = f"{practice('generator_inrush_low_multiple'):g} to {practice('generator_inrush_high_multiple'):g}"
    yield Said(
        message=(
            f"Fed by a generator: switching on draws {draws} times {total_kva:g} kVA. The set should have "
            f"{low:g} to {high:g} times that ({wanted_kva:g} kVA and more){size}; close it unloaded first, "
            "or ramp the volts up."
        ),
        value=has_kva,
        limit=wanted_kva if has_kva is not None else None,
        unit="kVA" if has_kva is not None else None,
    )


def electronic_source(facts: Facts) -> Iterator[Said | Lacks]:
    """Common practice: a UPS or inverter limits its current and cannot give the current of switching on."""
    low, high = practice("ups_current_low_multiple"), practice("ups_current_high_multiple")
    name = {"ups": "a UPS", "inverter": "an inverter"}[facts.case.supply.source]
    source_kva, inrush = facts.case.supply.source_kva, practice("inrush_low_multiple")
    total_kva = facts.unit.kva * facts.proposal.units
    against = ""
    if source_kva is None:
        yield Lacks(("supply.source_kva",))
    else:
        against = (
            f" ({figure(high * source_kva)} kVA; switching on {total_kva:g} kVA may ask for "
            f"{figure(inrush * total_kva)} kVA and more)"
        )
    yield Said(
        message=(
            f"Fed by {name}: it gives {low:g} to {high:g} times its rated current at most{against}. Switch the "
            "transformer on by a soft start or on bypass; faults behind it may clear slowly. The new neutral "
            "gets its own bond."
        ),
        value=high if source_kva is None else inrush * total_kva,
        limit=None if source_kva is None else high * source_kva,
        unit=None if source_kva is None else "kVA",
    )


def phase_shift(facts: Facts) -> Iterator[Said]:
    """Delta-wye units shift the volts by 30 degrees: nothing is paralleled or transferred without checking."""
    group = facts.proposal.vector_group or ""
    shifted = group[-1:] in ("1", "5", "7") or group.endswith("11")
    if shifted:
        yield Said(
            message=(
                f"The unit ({group}) shifts the output by 30 degrees: before paralleling or closing a tie "
                "measure across the open contacts, 0 V between like lines."
            ),
            value=30.0,
            unit="deg",
        )


def _has_other_source(facts: Facts) -> bool:
    units = facts.case.choices.units
    return (
        facts.case.supply.source != "utility"
        or (units is not None and units > 1)
        or any(load.feeds_back for load in facts.case.loads)
    )


WELDER = {
    "supply": {"system": "208Y/120"},
    "load": [
        {
            "name": "spot welder",
            "system": "480 1ph",
            "current": "100 A",
            "kind": "welder",
            "power_factor": 0.5,
            "duty": {"on": "10 %"},
        }
    ],
}

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
    Rule(
        id="flicker",
        severity="caution",
        check=flicker,
        trips=WELDER,
        clean={},
    ),
    Rule(
        id="source-carries-load",
        severity="stop",
        applies=lambda facts: (
            facts.case.supply.source != "utility" and facts.case.supply.source_kva is not None
        ),
        check=source_carries,
        trips={"supply": {"source": "generator", "source_kva": "10 kVA"}},
        clean={"supply": {"source": "generator", "source_kva": "500 kVA"}},
    ),
    Rule(
        id="generator-source",
        severity="caution",
        applies=lambda facts: facts.case.supply.source == "generator",
        check=generator,
        trips={"supply": {"source": "generator", "source_kva": "100 kVA"}},
        clean={},
    ),
    Rule(
        id="electronic-source",
        severity="caution",
        applies=lambda facts: facts.case.supply.source in ("ups", "inverter"),
        check=electronic_source,
        trips={"supply": {"source": "ups", "source_kva": "80 kVA"}},
        clean={"supply": {"source": "generator"}},
    ),
    Rule(
        id="phase-shift",
        severity="note",
        applies=_has_other_source,
        check=phase_shift,
        trips={"supply": {"source": "generator"}},
        clean={},
    ),
)
