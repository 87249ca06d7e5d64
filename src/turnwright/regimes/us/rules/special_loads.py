"""Rules about loads with articles of their own: welders 630, imaging 517.73, charging 625, lifts 620, cranes 610."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from turnwright.quantities import figure
from turnwright.reference import last_at_most, load, over_through
from turnwright.regimes.common.rules.loads import motor_tables, on_current_a
from turnwright.regimes.common.rules.looks import SQRT3, named, occasions
from turnwright.regimes.common.rules.plain import labels, start
from turnwright.regimes.rule import Facts, Lacks, Rule, Said
from turnwright.regimes.us.rules.numbers import SAME, limit


@lru_cache(maxsize=256)
def duty_factor(edition: str, kind: str, duty_pct: float) -> float:
    """Return the multiplier of a welder's current for its supply conductors, 1 above the table.

    Source: NEC Tables 630.11(A) (arc) and 630.31(A)(2) (resistance)

    Example:
        >>> duty_factor("2023", "resistance", 10.0), duty_factor("2023", "arc", 10.0)
        (0.32, 0.45)
    """
    table = load("nec_630_welders").at(edition).where(kind=kind)
    if duty_pct > table.column("duty_through_pct")[-1]:
        return 1.0
    return float(over_through(table, "duty_over_pct", "duty_through_pct", duty_pct).number("multiplier"))


def welder_conductors(facts: Facts) -> Iterator[Said | Lacks]:
    """630.11(A), 630.31(A)(2): rated primary current times the multiplier of the duty cycle."""
    edition, run = facts.case.edition, facts.blocks.conductors.secondary
    for one in facts.of_kind("welder"):
        on_a = on_current_a(facts, one)
        if one.duty_on_pct is None or on_a is None:
            yield Lacks((f"load[{one.index}].duty",))
            continue
        spot_a = on_a * duty_factor(edition, "resistance", one.duty_on_pct)
        arc_a = on_a * duty_factor(edition, "arc", one.duty_on_pct)
        is_arc = "arc welding" in occasions(one.name)
        counted_a = arc_a if is_arc else spot_a
        kind, other = (
            ("arc", "") if is_arc else ("resistance", f", as an arc welder {figure(arc_a, rounding='up')} A")
        )
        carries = run is None or counted_a <= run.ampacity_a * (1 + SAME)
        yield Said(
            message=(
                f"{start(one.label)}: {figure(on_a)} A at {one.duty_on_pct:g} % duty count as "
                f"{figure(counted_a, rounding='up')} A for its conductors ({kind} welder{other}); the "
                "voltage drop while it welds counts in "
                f"full.{'' if carries else ' The conductors here are too small for that.'}"
            ),
            value=counted_a,
            limit=None if run is None else run.ampacity_a,
            unit="A",
            severity="note" if carries else "stop",
        )


def imaging(facts: Facts) -> Iterator[Said | Lacks]:
    """517.73(A): half of the momentary or all of the long-time rating, whichever is more."""
    edition = facts.case.edition
    momentary_pct, long_pct = limit(edition, "imaging_momentary_pct"), limit(edition, "imaging_long_time_pct")
    for one in facts.of_kind("imaging"):
        lacking = []
        long_a = on_current_a(facts, one)
        if one.momentary_kva is None:
            lacking.append(f"load[{one.index}].momentary")
        if one.regulation_limit_pct is None:
            lacking.append(f"load[{one.index}].regulation_limit")
        if lacking:
            yield Lacks(tuple(lacking))
        if one.momentary_kva is None or long_a is None:
            continue
        momentary_a = (
            one.momentary_kva * 1000 / (one.system.line_v * (SQRT3 if one.system.phases == 3 else 1.0))
        )
        counted_a = max(momentary_a * momentary_pct / 100, long_a * long_pct / 100)
        yield Said(
            message=(
                f"{start(one.label)}: conductors for {figure(counted_a, rounding='up')} A, the more of "
                f"{momentary_pct:g} % momentary and {long_pct:g} % long-time; the drop at the momentary "
                f"{figure(momentary_a)} A decides the size. Give it a unit of its own, with a shield."
            ),
            value=counted_a,
            unit="A",
        )


def charging_is_continuous(facts: Facts) -> Iterator[Said]:
    """625.41, 625.42: charging of vehicles is a continuous load; less only with load management."""
    share = limit(facts.case.edition, "charger_load_pct")
    for one in facts.of_kind("charger"):
        if not one.continuous:
            yield Said(
                message=(
                    f"{start(one.label)}: charging vehicles is continuous, {share:g} % for devices and "
                    "conductors, whatever its hours; the job counts it as not continuous."
                ),
                value=share,
                unit="%",
                severity="stop",
            )
        elif one.demand_factor < 1:
            yield Said(
                message=(
                    f"{start(one.label)}: a demand factor of {one.demand_factor:g} is allowed only where a "
                    "listed system manages the load to that maximum. Is there one?"
                ),
                value=one.demand_factor,
                limit=1.0,
            )
        else:
            yield Said(
                message=(
                    f"{start(one.label)}: counted in full, {share:g} % for devices and conductors; charging is "
                    "continuous and has no diversity. A listed system that manages the load to a lower maximum would "
                    "make all of it smaller: is there to be one?"
                ),
                value=share,
                unit="%",
                severity="note",
            )


def charger_ground(facts: Facts) -> Iterator[Said]:
    """Charging equipment watches the ground it protects: an output without grounded point keeps it from starting."""
    output = facts.proposal.output
    bonded = output.grounding is not None or facts.blocks.grounding.system_bonding_jumper is not None
    if output.neutral_v is not None or bonded or not facts.proposal.derived:
        return
    chargers = facts.of_kind("charger")
    yield Said(
        message=(
            f"{start(labels(chargers))}: the {output.text} output has no grounded point, and charging equipment "
            "checks its ground before it starts. Do the plates take 208 to 240 V? Then a 208Y/120 output serves them; "
            "else ground a corner, if the maker agrees."
        )
    )


def least_charging_load(facts: Facts) -> Iterator[Said]:
    """220.57 (2023): each charger counts 7200 VA or its nameplate, whichever is more."""
    least_va = limit(facts.case.edition, "charger_min_va")
    kva = {made.index: made.on_kva for made in facts.picture.loads}
    for one in facts.of_kind("charger"):
        if kva[one.index] * 1000 < least_va * (1 - SAME):
            yield Said(
                message=(
                    f"{start(one.label)}: {figure(kva[one.index])} kVA each, but at least "
                    f"{least_va / 1000:g} kVA counts for a charger in feeder and service calculations."
                ),
                value=kva[one.index] * 1000,
                limit=least_va,
                unit="VA",
            )


@lru_cache(maxsize=64)
def lift_factor(edition: str, lifts: float) -> float:
    """Return the least demand factor of a feeder to so many elevators.

    Source: NEC Table 620.14

    Example:
        >>> lift_factor("2023", 3), lift_factor("2023", 14)
        (0.9, 0.72)
    """
    return float(last_at_most(load("nec_620_14").at(edition), "lifts", lifts).number("factor"))


def lift_demand(facts: Facts) -> Iterator[Said]:
    """620.14: demand factors of feeders by the number of elevators."""
    lifts = facts.of_kind("lift")
    count = sum(one.quantity for one in lifts)
    least = lift_factor(facts.case.edition, count)
    low = min(one.demand_factor for one in lifts)
    if low < least * (1 - SAME):
        yield Said(
            message=(
                f"{start(labels(lifts))}: a demand factor of {low:g} is below the {least:g} allowed for "
                f"{count:g} on one feeder."
            ),
            value=low,
            limit=least,
        )
    elif low > least * (1 + SAME):
        yield Said(
            message=(
                f"{start(labels(lifts))}: counted at {low:g}; the code lets {count:g} on one feeder count at {least:g}."
            ),
            value=low,
            limit=least,
            severity="note",
        )


def lift_coordination(facts: Facts) -> Iterator[Said]:
    """620.62: more than one driving machine on a feeder: devices coordinate selectively."""
    count = sum(one.quantity for one in facts.of_kind("lift"))
    if count > 1:
        yield Said(
            message=(
                f"{count:g} driving machines on one feeder: the device of each must coordinate selectively "
                "with every device before it, on both sides of the transformer."
            ),
            value=count,
        )


def crane(facts: Facts) -> Iterator[Said]:
    """610.14: conductors by the time rating of the motors, one motion and half of the next."""
    cranes = named(facts, "crane")
    if cranes:
        share = limit(facts.case.edition, "crane_second_motion_pct")
        yield Said(
            message=(
                f"{start(labels(cranes))}: what time rating do the motors have, 15, 30 or 60 min? Conductors "
                f"go by that; a crane counts its largest motion and {share:g} % of the next. Keep its volts "
                "per hertz: hoists overspeed."
            )
        )


CHARGERS = {"name": "chargers", "system": "208 1ph", "kva": "6 kVA", "quantity": 2, "kind": "charger"}
LIFTS = {"name": "lifts", "system": "208 3ph", "kva": "12 kVA", "quantity": 2, "kind": "lift"}
SCANNER = {"name": "scanner", "system": "208 3ph", "kva": "10 kVA", "kind": "imaging"}
WELDER = {
    "name": "spot welder",
    "system": "480 1ph",
    "current": "100 A",
    "kind": "welder",
    "duty": {"on": "10 %"},
}
CRANE = {"load": [{"name": "bridge crane", "system": "208 3ph", "hp": "10 hp"}]}

RULES = (
    Rule(
        id="welder-conductors",
        severity="note",
        applies=lambda facts: "welder" in facts.kinds,
        check=welder_conductors,
        trips={"load": [WELDER], "supply": {"system": "208Y/120"}},
        clean={"load": [{**WELDER, "kind": "general"}], "supply": {"system": "208Y/120"}},
    ),
    Rule(
        id="imaging",
        severity="caution",
        applies=lambda facts: "imaging" in facts.kinds,
        check=imaging,
        trips={"load": [{**SCANNER, "momentary": "60 kVA", "regulation_limit": "4 %"}]},
        clean={"load": [{**SCANNER, "kind": "general"}]},
    ),
    Rule(
        id="charging-continuous",
        severity="caution",
        applies=lambda facts: "charger" in facts.kinds,
        check=charging_is_continuous,
        trips={"load": [{**CHARGERS, "continuous": False}]},
        clean={"load": [{**CHARGERS, "kind": "general"}]},
    ),
    Rule(
        id="charger-ground",
        severity="caution",
        applies=lambda facts: "charger" in facts.kinds,
        check=charger_ground,
        trips={"load": [{**CHARGERS, "system": "240 1ph", "quantity": 3}]},
        clean={"load": [CHARGERS]},
    ),
    Rule(
        id="charger-least-load",
        severity="caution",
        applies=lambda facts: "charger" in facts.kinds,
        check=least_charging_load,
        trips={"load": [CHARGERS]},
        clean={"load": [CHARGERS], "edition": "2020"},
    ),
    Rule(
        id="lift-demand",
        severity="stop",
        applies=lambda facts: "lift" in facts.kinds,
        check=lift_demand,
        trips={"load": [{**LIFTS, "demand_factor": 0.8}]},
        clean={"load": [{**LIFTS, "quantity": 1}]},
    ),
    Rule(
        id="lift-coordination",
        severity="caution",
        applies=lambda facts: "lift" in facts.kinds,
        check=lift_coordination,
        trips={"load": [LIFTS]},
        clean={"load": [{**LIFTS, "quantity": 1}]},
    ),
    Rule(
        id="crane",
        severity="caution",
        check=crane,
        trips=CRANE,
        clean={"load": [{"name": "bridge lighting", "system": "208 3ph", "kva": "10 kVA"}]},
    ),
    Rule(
        id="motor-tables",
        severity="note",
        applies=lambda facts: facts.picture.largest_motor is not None,
        check=motor_tables(lambda facts: limit(facts.case.edition, "largest_motor_pct")),
        trips=CRANE,
        clean={},
    ),
)
