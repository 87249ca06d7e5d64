"""Rules about the ground of the new system: one bond, jumpers, electrode, pipes and steel, temporary places: 250.30."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from turnwright.reference import Row, load
from turnwright.regimes.common.rules.plain import derived, outside
from turnwright.regimes.rule import Facts, Rule, Said
from turnwright.regimes.us.rules.looks import never_grounded
from turnwright.regimes.us.rules.numbers import limit

TWO_WIRE = {"load": [{"system": "240 3ph", "kva": "20 kVA"}]}


@lru_cache(maxsize=8)
def _common_electrode(edition: str) -> Row:
    return load("nec_conductor_limits").at(edition).row(key="common_electrode_conductor")


def bond_once(facts: Facts) -> Iterator[Said]:
    """250.30(A)(1): the system bonding jumper is connected at one point between source and first disconnect."""
    output = facts.proposal.output
    jumper = facts.blocks.grounding.system_bonding_jumper
    if (output.neutral_v is None and jumper is None) or never_grounded(facts):
        return
    with_size = f" ({jumper})" if jumper else ""
    without = "grounded corner" if output.phases == 3 else "side that becomes the neutral"
    point = "new neutral" if output.neutral_v is not None else without
    yield Said(
        message=(
            f"Bond the {point} of the {output.text} side to ground once{with_size}: at the transformer "
            "or at the first disconnect, never at both. The strap from core to case is not that bond."
        )
    )


def parallel_jumpers(facts: Facts) -> Iterator[Said]:
    """250.102(C)(2): one supply-side jumper in each raceway by the phase in it, or one by the total area."""
    run, sizes = facts.blocks.conductors.secondary, facts.blocks.grounding
    if run is None or run.sets < 2 or sizes.bonding_jumper is None:
        return
    system = (
        f", the system bonding jumper (once) {sizes.system_bonding_jumper}"
        if sizes.system_bonding_jumper
        else ""
    )
    yield Said(
        message=(
            f"{run.sets} sets in parallel, three different conductors: a supply-side bonding jumper of "
            f"{sizes.bonding_jumper} in each raceway{system}, and after the first device the equipment "
            f"grounding conductor {sizes.load_equipment_conductor or 'by that device'}."
        ),
        value=float(run.sets),
    )


def electrode(facts: Facts) -> Iterator[Said]:
    """250.30(A)(4), (5), 250.64(E): the building's electrode, from the point of the bond, sized by Table 250.66."""
    size = facts.blocks.grounding.electrode_conductor
    if size is None:
        return
    where = (
        "from the point of the bond" if facts.proposal.output.neutral_v is not None else "from the enclosure"
    )
    yield Said(
        message=(
            f"Electrode conductor {size} {where} to the building's electrode, on bare metal; bond both ends "
            "of a steel raceway around it. It is sized by the phase conductors, the equipment grounding "
            "conductor by the device."
        )
    )


def pipes_and_steel(facts: Facts) -> Iterator[Said]:
    """250.104(D): metal water pipe and building steel in the area served are bonded to the new system."""
    size = facts.blocks.grounding.system_bonding_jumper
    if facts.proposal.output.neutral_v is None or size is None:
        return
    yield Said(
        message=(
            "Bond metal water pipe and exposed building steel in the area it serves to the new neutral with "
            f"{size}, unless one of them is its electrode."
        )
    )


def outdoor_electrode(facts: Facts) -> Iterator[Said]:
    """250.30(C): a source outdoors has its electrode connection at the source."""
    yield Said(
        message=(
            "The transformer stands outdoors: it needs an electrode at the transformer too. A second jumper "
            "at the building only where no other path ties the two grounds together."
        )
    )


def common_electrode(facts: Facts) -> Iterator[Said]:
    """250.30(A)(6): several derived systems on one common electrode conductor, or on building steel."""
    row = _common_electrode(facts.case.edition)
    yield Said(
        message=(
            "Each unit is a derived system with its own bond; they may share one electrode conductor of at "
            f"least {row.text('cu')} copper or {row.text('al')} aluminum, each tapped by its own phase size."
        )
    )


def small_unit_electrode(facts: Facts) -> Iterator[Said]:
    """250.30(A)(5) exception 3: up to 1000 VA for class 1, 2 or 3 circuits no electrode conductor."""
    most_va = limit(facts.case.edition, "small_unit_max_va")
    if facts.unit.kva * 1000 <= most_va:
        yield Said(
            message=(
                f"Up to {most_va:g} VA: where it feeds only class 1, 2 or 3 circuits it needs no electrode "
                "conductor, if its grounded conductor is bonded to the case and the case to ground."
            ),
            value=facts.unit.kva * 1000,
            limit=most_va,
            unit="VA",
        )


def terminal_bar(facts: Facts) -> Iterator[Said]:
    """450.10(A): a bar in the enclosure where supply-side jumper and equipment grounding conductor meet."""
    yield Said(
        message=(
            "Order a terminal bar for the grounding conductors inside the case, not over the vents; a bolt "
            "through the painted case is no terminal."
        )
    )


def temporary_ground(facts: Facts) -> Iterator[Said]:
    """250.30: a movable unit is a new derived system at each place where it is set down."""
    yield Said(
        message=(
            "A movable unit is a new system at each place it is set down: plan electrode, bond and bonding "
            "of nearby steel for each, on bare metal, and check them before it is switched on."
        )
    )


def _neutral_bonded(facts: Facts) -> bool:
    return facts.proposal.derived and facts.proposal.output.neutral_v is not None


RULES = (
    Rule(
        id="temporary-ground",
        severity="caution",
        applies=lambda facts: facts.case.site.temporary and facts.proposal.derived,
        check=temporary_ground,
        trips={"site": {"temporary": True}},
        clean={},
    ),
    Rule(
        id="bond-once",
        severity="note",
        applies=derived,
        check=bond_once,
        clean=TWO_WIRE,
    ),
    Rule(
        id="parallel-jumpers",
        severity="note",
        applies=derived,
        check=parallel_jumpers,
        trips={"load": [{"system": "208Y/120", "kva": "250 kVA"}]},
        clean={},
    ),
    Rule(
        id="electrode",
        severity="note",
        applies=derived,
        check=electrode,
        trips={},
        clean={
            "supply": {"system": "208Y/120"},
            "load": [{"system": "230 1ph", "current": "16 A", "neutral": False}],
            "choices": {"arrangement": "buck-boost"},
        },
    ),
    Rule(
        id="outdoor-electrode",
        severity="caution",
        applies=lambda facts: outside(facts) and facts.proposal.derived,
        check=outdoor_electrode,
        trips={"site": {"place": "outdoor"}},
        clean={},
    ),
    Rule(
        id="common-electrode",
        severity="note",
        applies=lambda facts: _neutral_bonded(facts) and any(load.own_unit for load in facts.case.loads),
        check=common_electrode,
        trips={
            "load": [
                {
                    "system": "120/240 1ph",
                    "kva": "8 kVA",
                    "quantity": 3,
                    "transformer": "own",
                }
            ]
        },
        clean={},
    ),
    Rule(
        id="pipes-and-steel",
        severity="note",
        applies=derived,
        check=pipes_and_steel,
        trips={},
        clean=TWO_WIRE,
    ),
    Rule(
        id="small-unit-electrode",
        severity="note",
        applies=derived,
        check=small_unit_electrode,
        trips={"load": [{"system": "120 1ph", "kva": "0.4 kVA"}]},
        clean={},
    ),
    Rule(
        id="terminal-bar",
        severity="note",
        applies=derived,
        check=terminal_bar,
        trips={},
        clean={
            "supply": {"system": "208Y/120"},
            "load": [{"system": "230 1ph", "current": "16 A", "neutral": False}],
            "choices": {"arrangement": "buck-boost"},
        },
    ),
)
