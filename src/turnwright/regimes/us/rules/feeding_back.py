"""Rules about power that flows from the load side: solar, storage, regenerative drives: 690.9(D), 705.12, 705.30."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import figure
from turnwright.regimes.common.rules.plain import labels, start
from turnwright.regimes.rule import Facts, Rule, Said
from turnwright.regimes.us.rules.looks import SQRT3
from turnwright.regimes.us.rules.numbers import SAME, limit


def _sources_kva(facts: Facts) -> float:
    """Return what the sources on the load side give together. [kVA]"""
    indices = {one.index for one in facts.case.loads if one.feeds_back}
    return sum(made.running_on_kva for made in facts.picture.loads if made.index in indices)


def _current_a(kva: float, line_v: float, phases: int | None) -> float:
    return kva * 1000 / (line_v * (SQRT3 if phases == 3 else 1.0))


def _sources(facts: Facts) -> str:
    return labels(tuple(one for one in facts.case.loads if one.feeds_back))


def _subject(facts: Facts) -> str:
    return start(_sources(facts))


def both_sides(facts: Facts) -> Iterator[Said]:
    """690.9(D), 705.30(B), 2017: each side of the transformer in turn is the primary."""
    yield Said(
        message=(
            f"Power also comes from {_sources(facts)}: protect the transformer with each side in turn taken "
            "as the primary, unless its inverter side is rated for all the inverters give."
        )
    )


def stronger_side(facts: Facts) -> Iterator[Said]:
    """705.30(F), from 2020: the side with the larger fault current is the primary; 240.21(C) for the other."""
    yield Said(
        message=(
            f"Power also comes from {_sources(facts)}: the primary is the side with the larger fault "
            "current, mostly that of the utility; conductors on the other side follow the rules for "
            "secondaries."
        )
    )


def source_current(facts: Facts) -> Iterator[Said]:
    """690.8(B), 705.28: devices and conductors for 125 % of the output current."""
    share = limit(facts.case.edition, "pv_continuous_pct")
    output = facts.proposal.output
    counted_a = _current_a(_sources_kva(facts), output.line_v, output.phases) * share / 100
    device_a = facts.blocks.protection.secondary_a
    short = device_a is not None and device_a < counted_a * (1 - SAME)
    yield Said(
        message=(
            f"{_subject(facts)}: {share:g} % of the output current count, "
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
        _current_a(_sources_kva(facts), supply.system.line_v, facts.proposal.primary.phases) * share / 100
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


def interconnection(facts: Facts) -> Iterator[Said]:
    """Common practice: the utility says which winding and neutral it wants; the unit is energized at night too."""
    ceiling_w = facts.blocks.efficiency.loss_ceiling_w
    at_night = (
        f" (under the {figure(ceiling_w, rounding='up')} W that the law allows in all at part load)"
        if ceiling_w is not None
        else ""
    )
    yield Said(
        message=(
            f"{_subject(facts)}: ask the utility for the winding, the neutral and the grounding it wants "
            f"before ordering. The unit loses its no-load loss at night{at_night}; taps and volts must suit both "
            "directions."
        )
    )


def volts_rise(facts: Facts) -> Iterator[Said]:
    """Power that flows back lifts the volts at its source by the resistance of the unit, at unity power factor."""
    z = facts.unit.for_drop
    rated_kva = facts.unit.kva if facts.proposal.share == 1.0 else facts.unit.kva / facts.proposal.share
    rise_pct = z.resistance_pct * _sources_kva(facts) / (rated_kva * facts.proposal.units)
    line_v = float(facts.proposal.output.line_v)
    yield Said(
        message=(
            f"While {_sources(facts)} feeds back, the volts there rise by up to {figure(rise_pct, rounding='up')} % "
            f"over no load, to {figure(line_v * (1 + rise_pct / 100))} V with the supply at nominal: compare with "
            "the voltage window of the inverter, and choose the tap for that."
        ),
        value=rise_pct,
        unit="%",
    )


def _feeds_back(facts: Facts) -> bool:
    return any(one.feeds_back for one in facts.case.loads)


def _solar(kva: str, **changes: object) -> dict[str, object]:
    solar: dict[str, object] = {
        "name": "solar",
        "system": "480Y/277",
        "kva": kva,
        "kind": "inverter",
        "feeds_back": True,
    }
    return {"supply": {"system": "208Y/120"}, "load": [{**solar, **changes}]}


CONSUMER = {
    "supply": {"system": "208Y/120"},
    "load": [{"name": "chiller", "system": "480Y/277", "kva": "20 kVA"}],
}

RULES = (
    Rule(
        id="source-both-sides",
        severity="caution",
        applies=_feeds_back,
        check=both_sides,
        trips={**_solar("20 kVA"), "edition": "2017"},
        clean=_solar("20 kVA"),
    ),
    Rule(
        id="source-primary-side",
        severity="caution",
        applies=_feeds_back,
        check=stronger_side,
        trips=_solar("20 kVA"),
        clean={**_solar("20 kVA"), "edition": "2017"},
    ),
    Rule(
        id="source-current",
        severity="note",
        applies=_feeds_back,
        check=source_current,
        trips=_solar("20 kVA"),
        clean=CONSUMER,
    ),
    Rule(
        id="interactive-bus",
        severity="caution",
        applies=_feeds_back,
        needs=("supply.panel_rating_a",),
        check=bus_of_the_panel,
        trips=_solar("40 kVA"),
        clean=_solar("5 kVA"),
    ),
    Rule(
        id="volts-rise",
        severity="note",
        applies=_feeds_back,
        check=volts_rise,
        trips=_solar("20 kVA"),
        clean=CONSUMER,
    ),
    Rule(
        id="interconnection",
        severity="caution",
        applies=_feeds_back,
        check=interconnection,
        trips=_solar("20 kVA"),
        clean=CONSUMER,
    ),
)
