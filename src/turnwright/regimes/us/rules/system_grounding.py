"""Rules about which systems are grounded, which may float, which must: 250.20, 250.21, 250.22, 250.36."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.regimes.common.rules.looks import named, to_ground_v
from turnwright.regimes.common.rules.plain import floats, labels, outside
from turnwright.regimes.rule import Facts, Rule, Said
from turnwright.regimes.us.rules.looks import never_grounded
from turnwright.regimes.us.rules.numbers import limit


def output_without_neutral(facts: Facts) -> Iterator[Said]:
    """250.20(B), 250.21: an output without neutral is corner-grounded, or ungrounded with detection."""
    output, edition = facts.proposal.output, facts.case.edition
    least_v, must_v = limit(edition, "must_ground_min_v"), limit(edition, "must_ground_to_ground_v")
    if output.line_v < least_v or never_grounded(facts):
        return
    if output.line_v <= must_v:
        side = "one side" if output.phases == 1 else "one phase"
        yield Said(
            message=(
                f"The {output.text} output can be grounded within {must_v:g} V to ground: {side} must be "
                "grounded."
            ),
            value=output.line_v,
            limit=must_v,
            unit="V",
        )
        return
    detector_v = limit(edition, "ground_detector_min_v")
    tied = "one side" if output.phases == 1 else "one corner"
    yield Said(
        message=(
            f"The {output.text} output has no neutral and floats until its grounding is decided: {tied} "
            f"grounded, or ungrounded with ground detection (from {detector_v:g} V) and a mark at the source."
        ),
        value=output.line_v,
        limit=detector_v,
        unit="V",
    )


def low_voltage_output(facts: Facts) -> Iterator[Said]:
    """250.20(A): below 50 V grounded where the supply is over 150 V to ground, ungrounded, or the run overhead."""
    output, supply, edition = facts.proposal.output, facts.case.supply, facts.case.edition
    below_v = limit(edition, "must_ground_min_v")
    if output.line_v >= below_v:
        return
    over_v = limit(edition, "must_ground_to_ground_v")
    supply_v = to_ground_v(supply.system, supply.grounding)
    floating = supply.grounding == "ungrounded"
    if supply_v > over_v or floating or outside(facts):
        why = "the supply is ungrounded" if floating else f"the supply has over {over_v:g} V to ground"
        why = why if floating or supply_v > over_v else "it runs outdoors, where overhead"
        yield Said(
            message=f"The {output.text} output must be grounded on one side: {why}.",
            value=output.line_v,
            limit=below_v,
            unit="V",
        )


def must_not_ground(facts: Facts) -> Iterator[Said]:
    """250.22: isolated power in health care, electrolytic cells, cranes over fibers in class III places."""
    cells, hazard = named(facts, "electrolytic cell"), "hazardous" in facts.case.site.conditions
    isolated = named(facts, "isolated power")
    cranes = named(facts, "crane") if hazard else ()
    for loads, what in (
        (isolated, "An isolated power system of health care"),
        (cells, "The supply of electrolytic cells"),
        (cranes, "A crane over combustible fibers"),
    ):
        if loads:
            yield Said(
                message=f"{what} is not grounded ({labels(loads)}): no bond on the output, a detector instead."
            )


def furnace_may_float(facts: Facts) -> Iterator[Said]:
    """250.21(A)(1): systems that feed only industrial furnaces for melting and the like may stay ungrounded."""
    furnaces = facts.of_kind("furnace")
    if furnaces and len(furnaces) == len(facts.case.loads):
        yield Said(
            message=(
                "A system that feeds only industrial furnaces may stay ungrounded; some makers want it so to "
                "find a grounded coil. Ask the maker before bonding the output."
            )
        )


def impedance_grounded(facts: Facts) -> Iterator[Said]:
    """250.36: no line-to-neutral load on an impedance-grounded system, detectors, qualified persons."""
    supply, edition = facts.case.supply, facts.case.edition
    least_v = limit(edition, "impedance_grounding_min_v")
    small = f"; below {least_v:g} V it is not allowed" if supply.system.line_v < least_v * (1 - 1e-9) else ""
    yield Said(
        message=(
            "The supply is grounded through an impedance: nothing may run from its lines to its "
            f"neutral{small}. The output is a system of its own and gets its own bond."
        ),
        value=supply.system.line_v,
        limit=least_v,
        unit="V",
    )


def supply_neutral_unused(facts: Facts) -> Iterator[Said]:
    """A delta or two-line primary has no terminal for the neutral of the supply."""
    supply = facts.case.supply.system
    if supply.neutral_v is not None:
        yield Said(
            message=(
                f"The neutral of the {supply.text} supply is not used: the primary has no place for it, and "
                "it must not be tied to the new neutral."
            )
        )


FLOATING = {"load": [{"system": "240 3ph", "kva": "20 kVA"}]}

RULES = (
    Rule(
        id="output-grounding",
        severity="caution",
        applies=floats,
        check=output_without_neutral,
        trips=FLOATING,
        clean={},
    ),
    Rule(
        id="low-voltage-output",
        severity="caution",
        applies=floats,
        check=low_voltage_output,
        trips={"load": [{"system": "24 1ph", "kva": "0.4 kVA"}]},
        clean={"load": [{"system": "120 1ph", "kva": "0.4 kVA"}]},
    ),
    Rule(
        id="must-not-ground",
        severity="caution",
        check=must_not_ground,
        trips={"load": [{"name": "operating room 2", "system": "120 1ph", "kva": "4 kVA"}]},
        clean={"load": [{"name": "waiting room", "system": "120 1ph", "kva": "4 kVA"}]},
    ),
    Rule(
        id="furnace-may-float",
        severity="note",
        check=furnace_may_float,
        trips={"load": [{"system": "240 3ph", "kva": "20 kVA", "kind": "furnace"}]},
        clean=FLOATING,
    ),
    Rule(
        id="impedance-grounded-supply",
        severity="caution",
        applies=lambda facts: facts.case.supply.grounding == "resistance",
        check=impedance_grounded,
        trips={"supply": {"grounding": "resistance"}},
        clean={},
    ),
    Rule(
        id="supply-neutral-unused",
        severity="note",
        applies=lambda facts: facts.proposal.derived,
        check=supply_neutral_unused,
        clean={"supply": {"system": "480 3ph"}},
    ),
)
