"""Rules about grounding: one bond, what an output without neutral needs, the neutral that is not used."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.reference import load
from turnwright.regimes.rule import Facts, Rule, Said


def bond_once(facts: Facts) -> Iterator[Said]:
    """250.30(A)(1): the system bonding jumper is connected at one point between source and first disconnect."""
    output = facts.proposal.output
    if not facts.proposal.derived or output.neutral_v is None:
        return
    jumper = facts.blocks.grounding.system_bonding_jumper
    with_size = f" ({jumper})" if jumper else ""
    yield Said(
        message=(
            f"Bond the new neutral of the {output.text} side to ground once{with_size}: at the transformer or at the "
            "first disconnect, never at both."
        )
    )


def output_without_neutral(facts: Facts) -> Iterator[Said]:
    """250.20, 250.21: an output without neutral is corner-grounded, or ungrounded with detection."""
    output = facts.proposal.output
    if not facts.proposal.derived or output.neutral_v is not None or output.grounding is not None:
        return
    must = load("nec_limits").at(facts.case.edition).row(key="must_ground_to_ground_v").number("value")
    if output.phases == 1 and output.line_v <= must:
        yield Said(
            message=f"The {output.text} output can be grounded within {must:g} V to ground: one side must be grounded."
        )
        return
    yield Said(
        message=(
            f"The {output.text} output has no neutral. Decide its grounding: corner-grounded, or ungrounded with "
            "ground detection and a mark."
        )
    )


def supply_neutral_unused(facts: Facts) -> Iterator[Said]:
    """A delta or two-line primary has no terminal for the neutral of the supply."""
    supply = facts.case.supply.system
    if facts.proposal.derived and supply.neutral_v is not None:
        yield Said(
            message=(
                f"The neutral of the {supply.text} supply is not used: the primary has no place for it, and it must "
                "not be tied to the new neutral."
            )
        )


RULES = (
    Rule(
        id="bond-once",
        severity="note",
        check=bond_once,
        clean={"load": [{"system": "240 3ph", "kva": "20 kVA"}]},
    ),
    Rule(
        id="output-grounding",
        severity="caution",
        check=output_without_neutral,
        trips={"load": [{"system": "240 3ph", "kva": "20 kVA"}]},
        clean={},
    ),
    Rule(
        id="supply-neutral-unused",
        severity="note",
        check=supply_neutral_unused,
        clean={"supply": {"system": "480 3ph"}},
    ),
)
