"""Rules about sources on the load side, solar and storage: 690.9(D), 705.12, 705.30."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import figure
from turnwright.regimes.common.rules.sources import (
    CONSUMER,
    current_a,
    generates,
    solar,
    sources,
    sources_kva,
    subject,
)
from turnwright.regimes.rule import Facts, Rule, Said
from turnwright.regimes.us.rules.numbers import SAME, limit


def both_sides(facts: Facts) -> Iterator[Said]:
    """690.9(D), 705.30(B), 2017: each side of the transformer in turn is the primary."""
    yield Said(
        message=(
            f"Power also comes from {sources(facts)}: protect the transformer with each side in turn taken "
            "as the primary, unless its inverter side is rated for all the inverters give."
        )
    )


def stronger_side(facts: Facts) -> Iterator[Said]:
    """705.30(F), from 2020: the side with the larger fault current is the primary; 240.21(C) for the other."""
    yield Said(
        message=(
            f"Power also comes from {sources(facts)}: the primary is the side with the larger fault "
            "current, mostly that of the utility; conductors on the other side follow the rules for "
            "secondaries."
        )
    )


def source_current(facts: Facts) -> Iterator[Said]:
    """690.8(B), 705.28: devices and conductors for 125 % of the output current."""
    share = limit(facts.case.edition, "pv_continuous_pct")
    output = facts.proposal.output
    counted_a = current_a(sources_kva(facts), output.line_v, output.phases) * share / 100
    device_a = facts.blocks.protection.secondary_a
    short = device_a is not None and device_a < counted_a * (1 - SAME)
    yield Said(
        message=(
            f"{subject(facts)}: {share:g} % of the output current count, "
            f"{figure(counted_a, rounding='up')} A on the {output.text} side"
            + (f", more than the {device_a:g} A device there." if short else ", for devices and conductors.")
        ),
        value=counted_a,
        limit=device_a,
        unit="A",
        severity="stop" if short else "note",
    )


def bus_of_the_panel(facts: Facts) -> Iterator[Said]:
    """705.12: 125 % of the source and the main within 120 % of the bus, source at the far end."""
    edition, supply = facts.case.edition, facts.case.supply
    assert supply.panel_rating_a is not None
    share, bus_pct = limit(edition, "pv_continuous_pct"), limit(edition, "interactive_bus_pct")
    source_a = (
        current_a(sources_kva(facts), supply.system.line_v, facts.proposal.primary.phases) * share / 100
    )
    room_a = supply.panel_rating_a * (bus_pct / 100 - 1)
    if source_a <= room_a * (1 + SAME):
        return
    yield Said(
        message=(
            f"{figure(source_a, rounding='up')} A come back into the {supply.panel_rating_a:g} A panel: with "
            f"a main of the same rating only {figure(room_a, rounding='down')} A may ({bus_pct:g} % of the "
            "bus, at its far end). A smaller main, a larger bus, or a connection before it."
        ),
        value=source_a,
        limit=room_a,
        unit="A",
    )


RULES = (
    Rule(
        id="source-both-sides",
        severity="caution",
        applies=generates,
        check=both_sides,
        trips={**solar("20 kVA"), "edition": "2017"},
        clean=solar("20 kVA"),
    ),
    Rule(
        id="source-primary-side",
        severity="caution",
        applies=generates,
        check=stronger_side,
        trips=solar("20 kVA"),
        clean={**solar("20 kVA"), "edition": "2017"},
    ),
    Rule(
        id="source-current",
        severity="note",
        applies=generates,
        check=source_current,
        trips=solar("20 kVA"),
        clean=CONSUMER,
    ),
    Rule(
        id="interactive-bus",
        severity="caution",
        applies=generates,
        needs=("supply.panel_rating_a",),
        check=bus_of_the_panel,
        trips=solar("40 kVA"),
        clean=solar("5 kVA"),
    ),
)
