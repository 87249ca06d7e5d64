"""Rules about the ground of the new system: section 10."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.regimes.ca.rules.numbers import limit
from turnwright.regimes.common.rules import around, plain
from turnwright.regimes.rule import Facts, Rule, Said

TWO_WIRE = {"load": [{"system": "240 3ph", "kva": "20 kVA"}]}


def bond_once(facts: Facts) -> Iterator[Said]:
    """Section 10: a solidly grounded system has its system bonding jumper at one point."""
    sizes = facts.blocks.grounding
    jumper = f" ({sizes.system_bonding_jumper})" if sizes.system_bonding_jumper else ""
    electrode = (
        f", with a grounding conductor of {sizes.electrode_conductor} copper"
        if sizes.electrode_conductor
        else ""
    )
    yield Said(
        message=(
            f"Ground the new neutral of the {facts.proposal.output.text} side once: one system bonding "
            f"jumper{jumper}, "
            f"at the transformer or at the first disconnect, never at both{electrode}."
        )
    )


def output_grounding(facts: Facts) -> Iterator[Said]:
    """10-106: what can be grounded within 150 V must be; the rest is grounded at a corner or watched."""
    output = facts.proposal.output
    must_v = limit(facts.case.edition, "must_ground_v")
    if output.phases == 1 and output.line_v <= must_v:
        message = (
            f"The {output.text} output can be grounded within {must_v:g} V to ground: one side must be "
            "grounded."
        )
    else:
        message = (
            f"The {output.text} output has no neutral. Decide its grounding: at a corner, or none with ground "
            "detection."
        )
    yield Said(message=message)


RULES = (
    Rule(
        id="bond-once",
        severity="note",
        applies=plain.has_neutral,
        check=bond_once,
        clean=TWO_WIRE,
    ),
    Rule(
        id="output-grounding",
        severity="caution",
        applies=plain.floats,
        check=output_grounding,
        trips=TWO_WIRE,
        clean={},
    ),
    around.neutral_unused("600 3ph"),
)
