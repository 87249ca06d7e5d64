"""Rules about systems and breakers: ground fault protection 14-102, straight ratings, resistance grounding, "
"neutrals."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import VoltageSystem, figure
from turnwright.regimes.ca.rules.numbers import limit
from turnwright.regimes.common.rules import plain
from turnwright.regimes.common.rules.connection import plate_frequency, shared_winding
from turnwright.regimes.common.rules.harmonics import nonlinear_share_pct
from turnwright.regimes.common.rules.looks import to_ground_v
from turnwright.regimes.rule import Facts, Rule, Said


def ground_fault_protection(facts: Facts) -> Iterator[Said]:
    """14-102: solidly grounded systems over 150 V to ground from 1000 A, others from 2000 A."""
    edition, plan, supply = facts.case.edition, facts.blocks.protection, facts.case.supply
    over_v = limit(edition, "ground_fault_over_v")
    sides: list[tuple[VoltageSystem, float | None]] = []
    if supply.system.connection == "wye" and supply.grounding in (None, "solid"):
        sides.append((supply.system, plan.primary_a))
    if plain.has_neutral(facts):
        sides.append((facts.proposal.output, max(plan.secondary_devices_a, default=None)))
    for system, device_a in sides:
        high = to_ground_v(system, None) > over_v
        least_a = limit(edition, "ground_fault_high_a" if high else "ground_fault_low_a")
        if device_a is None or device_a < least_a:
            continue
        yield Said(
            message=(
                f"The {device_a:g} A device on the {system.text} side needs ground fault protection: from "
                f"{least_a:g} A {'over' if high else 'up to'} {over_v:g} V to ground. Order it with the device."
            ),
            value=device_a,
            limit=least_a,
            unit="A",
        )


def straight_rating(facts: Facts) -> Iterator[Said]:
    """A breaker marked 347/600 V is for solidly grounded systems within both numbers."""
    supply, output = facts.case.supply, facts.proposal.output
    if supply.grounding in ("ungrounded", "resistance", "corner"):
        yield _straight(supply.system, "supply")
    if plain.floats(facts):
        yield _straight(output, "load")


def _straight(system: VoltageSystem, side: str) -> Said:
    slash = "347/600" if system.line_v > 480 else ("277/480" if system.line_v > 240 else "120/240")
    return Said(
        message=(
            f"On the {side} side ({system.text}) breakers carry a straight rating of at least {system.line_v:g} V: "
            f"one marked {slash} V is for solidly grounded systems only."
        ),
        value=system.line_v,
        unit="V",
    )


def resistance_grounded(facts: Facts) -> Iterator[Said]:
    """10-302: nothing between lines and neutral of a system grounded through an impedance; the first fault is "
    "traced."""
    yield Said(
        message=(
            f"The {facts.case.supply.system.text} supply is grounded through a resistor: nothing runs from its lines "
            "to its neutral, a fault to ground is alarmed and traced, and windings and breakers stand the full "
            "line volts to ground meanwhile. The output of separate windings is grounded on its own."
        )
    )


def common_neutral(facts: Facts) -> Iterator[Said]:
    """Section 26: an autotransformer in interior wiring has a grounded conductor in common with its supply."""
    supply, output = facts.case.supply.system, facts.proposal.output
    if supply.neutral_v is not None and facts.case.supply.grounding in (None, "solid"):
        yield Said(
            message=(
                f"An autotransformer from {supply.line_v:g} V to {output.line_v:g} V: in interior wiring only with a "
                "grounded conductor in common with the supply, or as a small correction of the same system. Ask "
                "the inspection authority before ordering one."
            )
        )
        return
    yield Said(
        message=(
            f"An autotransformer on the {supply.text} supply has no grounded conductor in common with it: interior "
            "wiring does not allow that but for motor starting and small corrections. Take separate windings."
        ),
        severity="stop",
    )


def neutral_full(facts: Facts) -> Iterator[Said]:
    """4-018: the neutral of nonlinear load is not reduced, and counts as a current-carrying conductor."""
    share, major_pct = nonlinear_share_pct(facts), plain.practice("nonlinear_major_pct")
    if share > major_pct:
        yield Said(
            message=(
                f"{figure(share)} % of the load may be nonlinear: its neutral is not reduced and counts as a "
                "current-carrying conductor, four in a raceway."
            ),
            value=share,
            limit=major_pct,
            unit="%",
        )


def class_2(facts: Facts) -> Iterator[Said]:
    """16-202(2), from 2021: the device on the supply of a Class 2 unit."""
    most_a, most_v, most_va = (
        limit(facts.case.edition, key) for key in ("class_2_device_a", "class_2_max_v", "class_2_max_va")
    )
    if facts.proposal.output.line_v > most_v or facts.unit.kva * 1000 > most_va:
        return
    yield Said(
        message=(
            f"A {facts.proposal.output.text} output of {facts.unit.kva * 1000:g} VA may be a Class 2 circuit, "
            "where the "
            f"unit is marked for it: then the device before it is {most_a:g} A at most."
        ),
        value=facts.blocks.protection.primary_a,
        limit=most_a if facts.blocks.protection.primary_a is not None else None,
        unit="A" if facts.blocks.protection.primary_a is not None else None,
    )


RESISTANCE = {"supply": {"grounding": "resistance"}}
BIG = {"load": [{"system": "208Y/120", "kva": "800 kVA"}], "supply": {"panel_rating": None}}
AUTO = {"load": [{"system": "480 3ph", "kva": "20 kVA"}], "choices": {"arrangement": "autotransformer"}}
BELL = {"load": [{"name": "bells", "system": "24 1ph", "kva": "0.04 kVA"}]}

RULES = (
    Rule(
        id="ground-fault-protection",
        severity="caution",
        check=ground_fault_protection,
        trips=BIG,
        clean={},
    ),
    Rule(
        id="slash-rating",
        severity="caution",
        applies=lambda facts: facts.blocks.protection.kind == "breaker",
        check=straight_rating,
        trips=RESISTANCE,
        clean={},
    ),
    Rule(
        id="impedance-grounded-supply",
        severity="caution",
        applies=lambda facts: facts.case.supply.grounding == "resistance",
        check=resistance_grounded,
        trips=RESISTANCE,
        clean={},
    ),
    Rule(
        id="autotransformer-neutral",
        severity="caution",
        applies=shared_winding,
        check=common_neutral,
        trips=AUTO,
        clean={},
    ),
    Rule(
        id="neutral-full",
        severity="note",
        applies=plain.has_neutral,
        check=neutral_full,
        trips={"load": [{"system": "208Y/120", "kva": "20 kVA", "kind": "electronics", "neutral": True}]},
        clean={},
    ),
    Rule(id="class-2", severity="note", applies=plain.derived, check=class_2, trips=BELL, clean={}),
    Rule(
        id="plate-frequency",
        severity="caution",
        check=plate_frequency,
        trips={"load": [{"system": "400Y/230", "kva": "20 kVA"}]},
        clean={"load": [{"system": "400Y/230", "kva": "20 kVA", "frequency": "50/60 Hz"}]},
    ),
)
