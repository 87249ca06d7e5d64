"""Rules about large devices and the ratings of breakers: 230.95, 240.87, 240.85, 240.22, 408.6, 110.24."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import VoltageSystem, figure
from turnwright.regimes.common.rules.plain import floats, labels
from turnwright.regimes.rule import Facts, Lacks, Rule, Said
from turnwright.regimes.us.rules.looks import needs_own_device, supply_has_solid_wye
from turnwright.regimes.us.rules.numbers import limit


def ground_fault_protection(facts: Facts) -> Iterator[Said]:
    """215.10, 230.95: a solidly grounded wye over 150 V to ground with a disconnect of 1000 A or more."""
    edition, plan = facts.case.edition, facts.blocks.protection
    least_a, over_v = (
        limit(edition, key) for key in ("ground_fault_protection_min_a", "ground_fault_protection_over_v")
    )
    sides: list[tuple[VoltageSystem, float | None]] = []
    if supply_has_solid_wye(facts):
        sides.append((facts.case.supply.system, plan.primary_a))
    if facts.proposal.derived and facts.proposal.output.connection == "wye":
        sides.append((facts.proposal.output, max(plan.secondary_devices_a, default=None)))
    for system, device_a in sides:
        if device_a is None or device_a < least_a or (system.neutral_v or 0.0) <= over_v:
            continue
        yield Said(
            message=(
                f"The {device_a:g} A device on the {system.text} side needs ground-fault protection of "
                f"equipment: from {least_a:g} A over {over_v:g} V to ground. Order it with the device."
            ),
            value=device_a,
            limit=least_a,
            unit="A",
        )


def arc_energy(facts: Facts) -> Iterator[Said]:
    """240.87 breakers, 240.67 fuses: from 1200 A a means to clear an arc sooner."""
    plan = facts.blocks.protection
    least_a = limit(facts.case.edition, "arc_energy_reduction_min_a")
    devices_a = [a for a in (plan.primary_a, *plan.secondary_devices_a) if a is not None and a >= least_a]
    if devices_a:
        yield Said(
            message=(
                f"The {max(devices_a):g} A {plan.kind} needs a means to clear an arc sooner (from "
                f"{least_a:g} A): maintenance switch, zone interlocking, differential relay, or a trip below "
                "the arcing current."
            ),
            value=max(devices_a),
            limit=least_a,
            unit="A",
        )


def slash_rating(facts: Facts) -> Iterator[Said | Lacks]:
    """240.85: a slash rating, as 480Y/277, only on a solidly grounded system within both numbers."""
    supply, output = facts.case.supply, facts.proposal.output
    bonded = facts.blocks.grounding.system_bonding_jumper is not None
    low = output.line_v < limit(facts.case.edition, "guard_from_v")
    if not low and (
        (floats(facts) and not bonded)
        or output.grounding == "corner"
        or (facts.proposal.derived and output.high_leg)
    ):
        yield _straight(output, "load")
    if supply.grounding in ("ungrounded", "resistance", "corner") or supply.system.high_leg:
        yield _straight(supply.system, "supply")
    elif supply.grounding is None and supply.system.connection != "wye" and supply.system.phases == 3:
        yield Lacks(("supply.grounding",))


def _straight(system: VoltageSystem, side: str) -> Said:
    slash = "120/240" if system.line_v <= 240 else ("480Y/277" if system.line_v <= 480 else "600Y/347")
    where = "On the leg with the higher voltage to ground" if system.high_leg else f"On the {side} side"
    return Said(
        message=(
            f"{where} ({system.text}) breakers must carry a straight rating of at least {system.line_v:g} V: "
            f"a slash rating such as {slash} V is for solidly grounded systems within both numbers."
        ),
        value=system.line_v,
        unit="V",
    )


def grounded_phase(facts: Facts) -> Iterator[Said]:
    """240.22: no device in a grounded conductor unless it opens all conductors at once."""
    for system, grounding in (
        (facts.case.supply.system, facts.case.supply.grounding),
        (facts.proposal.output, facts.proposal.output.grounding),
    ):
        if grounding == "corner":
            yield Said(
                message=(
                    f"The grounded phase of the {system.text} side gets no fuse, and no breaker pole that "
                    "does not open all poles at once; it is white or gray."
                )
            )
            return


def panel_fault_mark(facts: Facts) -> Iterator[Said]:
    """408.6 (2020 on): the panel is marked with the fault current at its terminals and the date."""
    maximum_a = facts.blocks.fault.maximum_a
    if maximum_a is not None:
        yield Said(
            message=(
                "Mark the panel behind it with the fault current, up to "
                f"{figure(maximum_a / 1000, rounding='up')} kA, and the date of the calculation; its "
                "short-circuit rating must not be below that."
            ),
            value=maximum_a,
            unit="A",
        )


def service_fault_mark(facts: Facts) -> Iterator[Said]:
    """110.24(B): what changes the fault current at the service changes the mark there."""
    sources = tuple(load for load in facts.case.loads if load.feeds_back)
    if sources:
        yield Said(
            message=(
                f"Power from {labels(sources)} adds to the fault current at the service: work it out again "
                "and correct the mark there."
            )
        )


BIG = {"load": [{"system": "208Y/120", "kva": "700 kVA"}], "supply": {"panel_rating": None}}
CORNER = {"supply": {"system": "480 delta corner", "grounding": None}}

RULES = (
    Rule(
        id="ground-fault-protection",
        severity="caution",
        check=ground_fault_protection,
        trips=BIG,
        clean={},
    ),
    Rule(
        id="arc-energy",
        severity="caution",
        check=arc_energy,
        trips=BIG,
        clean={},
    ),
    Rule(
        id="slash-rating",
        severity="caution",
        applies=lambda facts: facts.blocks.protection.kind == "breaker",
        check=slash_rating,
        trips={"load": [{"system": "240 3ph", "kva": "20 kVA"}]},
        clean={},
    ),
    Rule(
        id="grounded-phase",
        severity="caution",
        check=grounded_phase,
        trips=CORNER,
        clean={"supply": {"system": "480 3ph", "grounding": "ungrounded"}},
    ),
    Rule(
        id="panel-fault-mark",
        severity="note",
        applies=needs_own_device,
        check=panel_fault_mark,
        trips={},
        clean={"edition": "2017"},
    ),
    Rule(
        id="service-fault-mark",
        severity="caution",
        check=service_fault_mark,
        trips={
            "supply": {"system": "208Y/120"},
            "load": [
                {
                    "name": "solar",
                    "system": "480Y/277",
                    "kva": "20 kVA",
                    "kind": "inverter",
                    "feeds_back": True,
                }
            ],
        },
        clean={},
    ),
)
