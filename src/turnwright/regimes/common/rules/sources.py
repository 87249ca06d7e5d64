"""Rules about what feeds the transformer and what flows back through it, by practice: sets, UPS, inverters, flicker."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import figure
from turnwright.regimes.common.rules.looks import SQRT3, named
from turnwright.regimes.common.rules.plain import SAME, labels, practice, start
from turnwright.regimes.rule import Facts, Lacks, Rule, Said


def flicker(facts: Facts) -> Iterator[Said]:
    """Loads that come and go: the current of the on-time on the supply, and who must agree to it."""
    loads = facts.of_kind("welder", "imaging") + tuple(
        load for load in facts.of_kind("heating", "furnace") if load.firing == "burst" or load.duty_on_pct
    )
    on_kva = facts.picture.on_kva
    if not loads:
        return
    supply = facts.case.supply.system
    three = facts.proposal.phases == 3
    current_a = on_kva * 1000 / (supply.line_v * (SQRT3 if three else 1.0))
    on_lines = (
        "two of the three lines"
        if supply.phases == 3 and not three
        else ("three lines" if three else "both lines")
    )
    yield Said(
        message=(
            f"{figure(current_a, rounding='up')} A on {on_lines} of the supply each time {labels(loads)} "
            f"{'is' if len(loads) == 1 else 'are'} on: lights may flicker and the supply is unbalanced for that "
            "time. The utility must agree."
        ),
        value=current_a,
        unit="A",
    )


def _called(source: str) -> str:
    """A source as a sentence names it."""
    return "UPS" if source == "ups" else source


def source_carries(facts: Facts) -> Iterator[Said]:
    """A generator, UPS or inverter carries the load behind it with growth."""
    source_kva, called = facts.case.supply.source_kva, _called(facts.case.supply.source)
    assert source_kva is not None
    needs_kva = facts.blocks.demand.kva_with_growth
    if needs_kva > source_kva * (1 + SAME):
        yield Said(
            message=(
                f"The load of {figure(needs_kva, rounding='up')} kVA with growth is more than the {source_kva:g} kVA "
                f"of its {called}: no transformer changes that. A larger source, or less load."
            ),
            value=needs_kva,
            limit=source_kva,
            unit="kVA",
        )


def generator(facts: Facts) -> Iterator[Said | Lacks]:
    """Common practice: a set that energizes a transformer is larger than it, or ramps up its volts."""
    low, high = practice("generator_ratio_low"), practice("generator_ratio_high")
    total_kva = facts.unit.kva * facts.proposal.units
    wanted_kva, has_kva = low * total_kva, facts.case.supply.source_kva
    if has_kva is None:
        yield Lacks(("supply.source_kva",))
        size = ""
    elif has_kva < wanted_kva * (1 - SAME):
        size = f"; it has {has_kva:g} kVA, which is short of that"
    else:
        size = f"; it has {has_kva:g} kVA, {figure(has_kva / total_kva)} times the unit"
    draws = f"{practice('generator_inrush_low_multiple'):g} to {practice('generator_inrush_high_multiple'):g}"
    yield Said(
        message=(
            f"Fed by a generator: switching on draws {draws} times {total_kva:g} kVA. The set should have "
            f"{low:g} to {high:g} times that ({wanted_kva:g} kVA and more){size}; close it unloaded first, "
            "or ramp the volts up."
        ),
        value=has_kva,
        limit=wanted_kva if has_kva is not None else None,
        unit="kVA" if has_kva is not None else None,
    )


def electronic_source(facts: Facts) -> Iterator[Said | Lacks]:
    """Common practice: a UPS or inverter limits its current and cannot give the current of switching on."""
    low, high = practice("ups_current_low_multiple"), practice("ups_current_high_multiple")
    name = {"ups": "a UPS", "inverter": "an inverter"}[facts.case.supply.source]
    source_kva, inrush = facts.case.supply.source_kva, practice("inrush_low_multiple")
    total_kva = facts.unit.kva * facts.proposal.units
    against = ""
    if source_kva is None:
        yield Lacks(("supply.source_kva",))
    else:
        against = (
            f" ({figure(high * source_kva)} kVA; switching on {total_kva:g} kVA may ask for "
            f"{figure(inrush * total_kva)} kVA and more)"
        )
    yield Said(
        message=(
            f"Fed by {name}: it gives {low:g} to {high:g} times its rated current at most{against}. Switch the "
            "transformer on by a soft start or on bypass; faults behind it may clear slowly. The new neutral "
            "gets its own bond."
        ),
        value=high if source_kva is None else inrush * total_kva,
        limit=None if source_kva is None else high * source_kva,
        unit=None if source_kva is None else "kVA",
    )


def phase_shift(facts: Facts) -> Iterator[Said]:
    """Delta-wye units shift the volts by 30 degrees: nothing is paralleled or transferred without checking."""
    group = facts.proposal.vector_group or ""
    shifted = group[-1:] in ("1", "5", "7") or group.endswith("11")
    if shifted:
        yield Said(
            message=(
                f"The unit ({group}) shifts the output by 30 degrees: before paralleling or closing a tie "
                "measure across the open contacts, 0 V between like lines."
            ),
            value=30.0,
            unit="deg",
        )


def _has_other_source(facts: Facts) -> bool:
    units = facts.case.choices.units
    return (
        facts.case.supply.source != "utility"
        or (units is not None and units > 1)
        or any(load.feeds_back for load in facts.case.loads)
    )


WELDER = {
    "supply": {"system": "208Y/120"},
    "load": [
        {
            "name": "spot welder",
            "system": "480 1ph",
            "current": "100 A",
            "kind": "welder",
            "power_factor": 0.5,
            "duty": {"on": "10 %"},
        }
    ],
}


def braking_power(facts: Facts) -> Iterator[Said]:
    """Common practice: lifts and cranes give power back when they brake; the source must take it."""
    loads = tuple(one for one in facts.of_kind("lift") + named(facts, "crane") if not one.feeds_back)
    if loads:
        yield Said(
            message=(
                f"{start(labels(loads))}: does the drive give power back when it brakes? Then the supply "
                "must take it (a generator may not); if not, resistors heat the room."
            )
        )


def start_dip(facts: Facts) -> Iterator[Said]:
    """Common practice: the dip at a motor's start on a shared bus, on one of its own, and where contactors let go."""
    dip_pct = facts.blocks.voltage.start_dip_pct
    alone = len(facts.case.loads) == 1 and facts.case.loads[0].quantity == 1
    usual_pct = practice("dip_dedicated_pct" if alone else "dip_shared_pct")
    if dip_pct is None or dip_pct <= usual_pct:
        return
    low, high = practice("contactor_hold_low_pct"), practice("contactor_hold_high_pct")
    supply = facts.case.supply
    fails = " Under that the start fails as it stands." if dip_pct > 100 - low else ""
    weak = (
        " The fault current of the supply is not known: it is taken as a weak one."
        if supply.fault_current_a is None and supply.source == "utility"
        else ""
    )
    yield Said(
        message=(
            f"The hardest motor start dips the output by {figure(dip_pct, rounding='up')} %, usual is "
            f"{usual_pct:g} %: lights dim, contactors let go at {low:g} to {high:g} % of their volts.{fails} What "
            f"dip do the loads accept? A larger unit, a soft start or a stronger source lowers it.{weak}"
        ),
        value=dip_pct,
        limit=usual_pct,
        unit="%",
    )


BRAKING = ("drive", "lift", "motor")
"""Kinds of load that give power back while they brake, and are no sources by themselves."""


def gives_back(facts: Facts) -> bool:
    """Return whether power may flow from a load to the supply."""
    return any(one.feeds_back for one in facts.case.loads)


def generates(facts: Facts) -> bool:
    """Return whether a load is a source: solar, storage."""
    return any(one.feeds_back and one.kind not in BRAKING for one in facts.case.loads)


def sources_kva(facts: Facts) -> float:
    """Return what the loads that give power back give together. [kVA]"""
    indices = {one.index for one in facts.case.loads if one.feeds_back}
    return sum(made.running_on_kva for made in facts.picture.loads if made.index in indices)


def current_a(kva: float, line_v: float, phases: int | None) -> float:
    """Return the current of an apparent power. [A]"""
    return kva * 1000 / (line_v * (SQRT3 if phases == 3 else 1.0))


def sources(facts: Facts) -> str:
    """Return the loads that give power back, as a sentence names them."""
    return labels(tuple(one for one in facts.case.loads if one.feeds_back))


def subject(facts: Facts) -> str:
    """Return the same as a sentence begins with them."""
    return start(sources(facts))


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
            f"{subject(facts)}: ask the utility for the winding, the neutral and the grounding it wants "
            f"before ordering. The unit loses its no-load loss at night{at_night}; taps and volts must suit both "
            "directions."
        )
    )


def volts_rise(facts: Facts) -> Iterator[Said]:
    """Power that flows back lifts the volts at its source by the resistance of the unit, at unity power factor."""
    z = facts.unit.for_drop
    rated_kva = facts.unit.kva if facts.proposal.share == 1.0 else facts.unit.kva / facts.proposal.share
    rise_pct = z.resistance_pct * sources_kva(facts) / (rated_kva * facts.proposal.units)
    line_v = float(facts.proposal.output.line_v)
    yield Said(
        message=(
            f"While {sources(facts)} feeds back, the volts there rise by up to {figure(rise_pct, rounding='up')} % "
            f"over no load, to {figure(line_v * (1 + rise_pct / 100))} V with the supply at nominal: compare with "
            "the voltage window of the inverter, and choose the tap for that."
        ),
        value=rise_pct,
        unit="%",
    )


def regenerates(facts: Facts) -> Iterator[Said]:
    """Common practice: what a drive gives back while it brakes has to be taken by other loads, the utility or a set."""
    braking = tuple(one for one in facts.case.loads if one.feeds_back and one.kind in BRAKING)
    if not braking:
        return
    indices, supply = {one.index for one in braking}, facts.case.supply
    back_kva = sum(made.running_on_kva for made in facts.picture.loads if made.index in indices)
    power = f"{start(labels(braking))} gives back up to {figure(back_kva, rounding='up')} kVA while it brakes"
    if supply.source == "utility":
        yield Said(
            message=(
                f"{power}: through the transformer into the supply, where other loads or the utility must take "
                "it. Does the meter allow it? A braking resistor is the other way."
            ),
            value=back_kva,
            unit="kVA",
        )
        return
    share_pct = practice("generator_absorbs_pct") if supply.source == "generator" else 0.0
    limit_kva = None if supply.source_kva is None else supply.source_kva * share_pct / 100
    takes = "none of it" if share_pct == 0 else f"about {share_pct:g} % of its rating"
    yield Said(
        message=(
            f"{power}; the {_called(supply.source)} before it takes {takes}, if its maker says no more: braking "
            "resistors, or other loads that always run."
        ),
        value=back_kva,
        limit=limit_kva,
        unit="kVA",
    )


def sized_for_imaging(facts: Facts) -> Iterator[Said]:
    """Common practice: the momentary load of imaging equipment decides by its drop; a unit of its own, shielded."""
    for one in facts.of_kind("imaging"):
        if one.momentary_kva is None or one.regulation_limit_pct is None:
            continue
        yield Said(
            message=(
                f"{start(one.label)}: the drop at its momentary {figure(one.momentary_kva)} kVA decides the size, "
                f"{figure(one.regulation_limit_pct)} % at most. Give it a unit of its own, with a shield; devices and "
                "cables follow the maker and the local code."
            ),
            value=one.momentary_kva,
            unit="kVA",
        )


def solar(kva: str, **changes: object) -> dict[str, object]:
    """Return a change to the example job: an inverter that feeds back."""
    solar: dict[str, object] = {
        "name": "solar",
        "system": "480Y/277",
        "kva": kva,
        "kind": "inverter",
        "feeds_back": True,
    }
    return {"supply": {"system": "208Y/120"}, "load": [{**solar, **changes}]}


LIFTS = {"name": "lifts", "system": "208 3ph", "kva": "12 kVA", "quantity": 2, "kind": "lift"}
IMAGING = Rule(
    id="imaging",
    severity="caution",
    check=sized_for_imaging,
    trips={
        "load": [
            {
                "name": "scanner",
                "system": "208 3ph",
                "kva": "10 kVA",
                "kind": "imaging",
                "momentary": "60 kVA",
                "regulation_limit": "4 %",
            }
        ]
    },
    clean={"load": [{"name": "panel", "system": "208 3ph", "kva": "10 kVA"}]},
)
"""Where the code has no article of its own for it."""
CONSUMER = {
    "supply": {"system": "208Y/120"},
    "load": [{"name": "chiller", "system": "480Y/277", "kva": "20 kVA"}],
}


RULES = (
    Rule(
        id="flicker",
        severity="caution",
        check=flicker,
        trips=WELDER,
        clean={},
    ),
    Rule(
        id="source-carries-load",
        severity="stop",
        applies=lambda facts: (
            facts.case.supply.source != "utility" and facts.case.supply.source_kva is not None
        ),
        check=source_carries,
        trips={"supply": {"source": "generator", "source_kva": "10 kVA"}},
        clean={"supply": {"source": "generator", "source_kva": "500 kVA"}},
    ),
    Rule(
        id="generator-source",
        severity="caution",
        applies=lambda facts: facts.case.supply.source == "generator",
        check=generator,
        trips={"supply": {"source": "generator", "source_kva": "100 kVA"}},
        clean={},
    ),
    Rule(
        id="electronic-source",
        severity="caution",
        applies=lambda facts: facts.case.supply.source in ("ups", "inverter"),
        check=electronic_source,
        trips={"supply": {"source": "ups", "source_kva": "80 kVA"}},
        clean={"supply": {"source": "generator"}},
    ),
    Rule(
        id="phase-shift",
        severity="note",
        applies=_has_other_source,
        check=phase_shift,
        trips={"supply": {"source": "generator"}},
        clean={},
    ),
    Rule(
        id="braking-power",
        severity="caution",
        check=braking_power,
        trips={"load": [LIFTS]},
        clean={"load": [{**LIFTS, "feeds_back": True}]},
    ),
    Rule(
        id="start-dip",
        severity="caution",
        check=start_dip,
        trips={"load": [{"name": "saw", "system": "208 3ph", "hp": "10 hp"}]},
        clean={
            "load": [{"name": "saw", "system": "208 3ph", "hp": "10 hp", "start": "soft starter"}],
            "choices": {"kva": "75 kVA"},
        },
    ),
    Rule(
        id="volts-rise",
        severity="note",
        applies=gives_back,
        check=volts_rise,
        trips=solar("20 kVA"),
        clean=CONSUMER,
    ),
    Rule(
        id="regenerates",
        severity="caution",
        applies=gives_back,
        check=regenerates,
        trips={"load": [{**LIFTS, "feeds_back": True}]},
        clean=solar("20 kVA"),
    ),
    Rule(
        id="interconnection",
        severity="caution",
        applies=generates,
        check=interconnection,
        trips=solar("20 kVA"),
        clean=CONSUMER,
    ),
)
