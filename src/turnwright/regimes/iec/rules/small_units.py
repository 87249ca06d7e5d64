"""Rules about units within IEC 61558: product standard, rated volts at load, behaviour in a short circuit."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import figure
from turnwright.reference import Row, load
from turnwright.regimes.common.rules import plain
from turnwright.regimes.iec.numbers import limit
from turnwright.regimes.rule import Facts, Rule, Said

LARGE = {"load": [{"system": "400Y/230", "kva": "60 kVA"}]}


def standard_of(facts: Facts) -> Row:
    """Return the row of the standard that small units of this kind follow."""
    proposal = facts.proposal
    kind = "isolating"
    if not proposal.derived:
        kind = "auto"
    elif proposal.output.line_v <= limit("selv_max_v"):
        kind = "safety isolating"
    return load("iec_product_standards").newest().row(kind=kind, phases=facts.unit.phases)


def within_small_units(facts: Facts) -> bool:
    """Return whether the unit is within the standard of small units."""
    return facts.unit.kva <= standard_of(facts).number("kva_max")


def product_standard(facts: Facts) -> Iterator[Said]:
    """IEC 61558 for small units; above it IEC 60076-11 wants one winding above 1.1 kV."""
    row, kva = standard_of(facts), facts.unit.kva
    most_kva, standard = row.number("kva_max"), row.text("standard")
    if kva <= most_kva:
        message = f"Order it to {standard}, which holds to {most_kva:g} kVA for this kind."
    else:
        message = (
            f"{standard} ends at {most_kva:g} kVA for this kind, and IEC 60076-11 wants a winding above 1.1 kV: agree "
            "with the maker on standard, rise, tests and tolerances in writing."
        )
    yield Said(message=message, value=kva, limit=most_kva, unit="kVA")


def rated_at_load(facts: Facts) -> Iterator[Said]:
    """IEC 61558-1: the rated output volts are those at rated load, so without load there are more."""
    output, drop_pct = facts.proposal.output, facts.unit.for_drop.resistance_pct
    no_load_v, most_v = output.line_v * (1 + drop_pct / 100), limit("selv_max_v")
    over = output.line_v <= most_v < no_load_v
    yield Said(
        message=(
            f"To IEC 61558 the {output.line_v:g} V on the plate stand at rated load: without load up to "
            f"{figure(no_load_v, rounding='up')} V. The volts of this answer start from {output.line_v:g} V without "
            "load, as for larger "
            f"units.{f' Over {most_v:g} V it would be no extra-low voltage: order less.' if over else ''}"
        ),
        value=no_load_v,
        limit=most_v if over else None,
        unit="V",
        severity="caution" if over else None,
    )


def short_circuit_class(facts: Facts) -> Iterator[Said]:
    """IEC 61558-1: what the unit does when its output is shorted is part of the order."""
    device_a, kind = facts.blocks.protection.secondary_a, facts.blocks.protection.kind
    with_it = f" the {device_a:g} A {kind} after it is then the maker's to confirm" if device_a else ""
    yield Said(
        message=(
            "Say in the order what it does in a short circuit: proof by itself, proof by a device it brings, "
            "fail-safe, "
            f"or not proof;{with_it or ' a device on its plate then protects it'}."
        )
    )


RULES = (
    Rule(id="product-standard", severity="note", check=product_standard),
    Rule(
        id="rated-at-load",
        severity="note",
        applies=lambda facts: plain.derived(facts) and within_small_units(facts),
        check=rated_at_load,
        clean=LARGE,
    ),
    Rule(
        id="short-circuit-class",
        severity="note",
        applies=within_small_units,
        check=short_circuit_class,
        clean=LARGE,
    ),
)
