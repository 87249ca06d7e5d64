"""What the evaluated unit is held against: heat and every other need, harmonics, the place, the wishes of the job."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from turnwright.arrangements.wishes import start_of
from turnwright.model.case import UNDER_THE_SKY, Case
from turnwright.reference import load
from turnwright.selection import Evaluation
from turnwright.selection.needs import SAME, Need
from turnwright.selection.screen import Sized
from turnwright.vetting.joined import Joined
from turnwright.vetting.plate import Plate
from turnwright.vetting.records import Criterion
from turnwright.vetting.supply_side import volts_at
from turnwright.working import formula

NAMES = {
    "heat": "heat",
    "drop": "voltage drop",
    "dip": "dip at motor start",
    "momentary": "short-time demand",
    "harmonics": "harmonics",
    "neutral": "neutral",
}


def sizes(sized: Sized) -> Iterator[Criterion]:
    """What each need asks of the rating, and what the most loaded winding carries."""
    for need in sized.needs:
        yield _need(sized, need)
    if not any(need.basis == "heat" for need in sized.needs) or sized.proposal.asks is not None:
        return
    picture, usable = sized.picture, float(sized.unit.kva) * sized.derating / sized.proposal.share
    windings = 3 if sized.proposal.phases == 3 else 1
    worst = windings * float(picture.worst_phase_kva)
    yield Criterion(
        name="worst phase",
        value=worst,
        limit=usable,
        measure="kVA",
        margin_pct=(usable - worst) / usable * 100,
        ok=worst <= usable * (1 + SAME),
        says=(
            f"The most loaded winding counts as {worst:.1f} kVA of {usable:.1f} kVA that may be used here "
            f"({sized.loading_pct:.0f} %)."
        ),
        spare_kva=_spare(sized, worst, usable),
    )


def _need(sized: Sized, need: Need) -> Criterion:
    kva = float(sized.unit.kva)
    reachable = need.kva < inf
    margin = (kva - need.kva) / kva * 100 if reachable else None
    units = f" each of {sized.proposal.units}" if sized.proposal.units > 1 else ""
    wanted = f"{need.kva:.3g} kVA{units} is needed" if reachable else "No size is enough"
    return Criterion(
        name=NAMES.get(need.basis, need.basis),
        value=float(need.kva) if reachable else None,
        limit=kva,
        measure="kVA",
        margin_pct=margin,
        ok=sized.unit.kva >= need.kva * (1 - SAME),
        clause="IEEE C57.96" if need.basis == "heat" and sized.derating < 1 else None,
        says=f"{wanted} ({need.why}); {kva:.4g} kVA may be used.",
        spare_kva=_spare(sized, float(need.kva), kva) if reachable else None,
    )


@formula("S · (limit / value − 1)", "kVA")
def spare_kva(load_kva: float, value_kva: float, limit_kva: float) -> float:
    """Return the load that may be added at the present mix before a need reaches what there is. [kVA]

    load_kva  : load with growth [kVA]
    value_kva : what it asks for [kVA]
    limit_kva : what there is [kVA]
    Source: needs grow in proportion to a load of the same mix

    Example:
        >>> spare_kva(load_kva=40.0, value_kva=50.0, limit_kva=75.0)
        20.0
    """
    return load_kva * (limit_kva / value_kva - 1)


def _spare(sized: Sized, value_kva: float, limit_kva: float) -> float | None:
    if value_kva <= 0:
        return None
    return spare_kva(float(sized.picture.kva_with_growth), value_kva, limit_kva)


def harmonics(sized: Sized, plate: Plate) -> Iterator[Criterion]:
    """K of the load against the K rating that covers it; what is not covered is among the needs."""
    k, rating = float(sized.picture.k_factor), float(plate.unit.k_rating or 1.0)
    if k <= 1.0 or rating < k:
        return
    yield Criterion(
        name="K rating",
        value=k,
        limit=rating,
        measure="K",
        margin_pct=(rating - k) / rating * 100,
        ok=True,
        clause="UL 1561",
        says=f"The load has K {k:.1f}, the unit is rated K-{rating:g}.",
    )


def forbidden(evaluation: Evaluation) -> Iterator[Criterion]:
    """What a rule forbids in this place."""
    for finding in evaluation.refused_by:
        yield Criterion(
            name=finding.code,
            value=finding.value,
            limit=finding.limit,
            measure=finding.unit or "",
            margin_pct=_margin(finding.value, finding.limit),
            ok=False,
            clause=finding.clause,
            says=finding.message,
        )


def _margin(value: float | None, limit: float | None) -> float | None:
    return None if value is None or not limit else (limit - value) / limit * 100


MENDABLE = {
    "primary-device-too-large": ("primary device", "another device before the transformer"),
    "primary-device-too-small": ("primary device", "another device before the transformer"),
    "secondary-devices-too-large": ("secondary devices", "other devices after the transformer"),
    "secondary-devices-too-small": ("secondary devices", "other devices after the transformer"),
    "no-primary-device": ("primary device", "a device of another kind before the transformer"),
    "no-secondary-device": ("secondary devices", "a device listed for all of its rating, or less load"),
    "panel-fault-rating": ("panel fault rating", "a panel rated for the fault current, or one limited to it"),
    "panel-room": ("room on the panel", "another panel, or less on it"),
}
"""Stop of a procedure or rule that concerns a part beside the unit -> name of the criterion, what mends it."""


def parts_beside(evaluation: Evaluation) -> Iterator[Criterion]:
    """Devices and panels that do not go with the unit: to be changed, the unit stays."""
    refused = {finding.code for finding in evaluation.refused_by}
    for finding in evaluation.findings:
        if finding.severity != "stop" or finding.code in refused:
            continue
        name, mends = MENDABLE.get(finding.code, (finding.code, "what the finding says"))
        yield Criterion(
            name=name,
            value=finding.value,
            limit=finding.limit,
            measure=finding.unit or "",
            margin_pct=None,
            ok=False,
            clause=finding.clause,
            says=finding.message,
            condition=mends,
        )


def devices(evaluation: Evaluation) -> Iterator[Criterion]:
    """An existing device before the unit against what may stand there."""
    protection = evaluation.blocks.protection
    limit = protection.primary_most_a
    value = protection.primary_a
    if value is None or limit is None or value > limit * (1 + SAME):
        return
    yield Criterion(
        name="primary device",
        value=float(value),
        limit=float(limit),
        measure="A",
        margin_pct=(limit - value) / limit * 100,
        ok=True,
        says=f"{value:g} A before the unit; up to {limit:g} A may stand there.",
    )


def place(joined: Joined, case: Case) -> Iterator[Criterion]:
    """The enclosure against the place it would stand in."""
    unit = joined.plate.unit
    outside = case.site.place in UNDER_THE_SKY
    if outside and unit.outdoor is None:
        yield Criterion(
            name="outdoors",
            value="not known",
            limit="outdoor",
            measure="",
            margin_pct=None,
            ok=False,
            says=f"Nothing says whether {unit.name} is built for outdoors.",
            condition="a plate or its maker's word that its case is weatherproof, or a place indoors",
        )
    elif outside:
        yield Criterion(
            name="outdoors",
            value="outdoor" if unit.outdoor else "indoor",
            limit="outdoor",
            measure="",
            margin_pct=None,
            ok=bool(unit.outdoor),
            says=f"{start_of(unit.name)} is {'' if unit.outdoor else 'not '}built for outdoors.",
            condition="" if unit.outdoor else "a weatherproof enclosure from its maker, or a place indoors",
        )
    harsh = [
        word
        for word in case.site.conditions
        if word in ("washdown", "dust", "salt", "damp", "corrosive", "snow")
    ]
    if harsh and unit.enclosure is not None:
        closed = unit.enclosure in ("nonventilated", "encapsulated", "cast")
        yield Criterion(
            name="enclosure",
            value=unit.enclosure,
            limit="closed: nonventilated, encapsulated or cast",
            measure="",
            margin_pct=None,
            ok=closed,
            says=f"{start_of(unit.name)} is {unit.enclosure}; the place has {', '.join(harsh)}.",
            condition="" if closed else "another place, or a unit that is closed",
        )


def wishes(joined: Joined, case: Case) -> Iterator[Criterion]:
    """What the job insists on and the plate answers: rise, K rating, kVA, arrangement, impedance."""
    unit, choices = joined.plate.unit, case.choices
    if choices.rise_k is not None and unit.rise_k is not None:
        yield _wish("rise", float(unit.rise_k), float(choices.rise_k), "K", unit.rise_k <= choices.rise_k)
    if choices.k_rating is not None:
        has = float(unit.k_rating or 1.0)
        yield _wish(
            "K rating asked for", has, float(choices.k_rating), "K", has >= choices.k_rating, floor=True
        )
    if choices.kva is not None:
        yield _wish("size insisted on", float(unit.kva), float(choices.kva), "kVA", unit.kva == choices.kva)
    if choices.arrangement is not None:
        yield Criterion(
            name="arrangement",
            value=joined.proposal.arrangement,
            limit=choices.arrangement,
            measure="",
            margin_pct=None,
            ok=joined.proposal.arrangement == choices.arrangement,
            says=f"{start_of(choices.arrangement)} is insisted on; this is {joined.proposal.arrangement}.",
        )
    if choices.impedance_pct is not None and unit.nominal is not None:
        row = load("dry_type_constants").newest().row(key="impedance_tolerance_two_winding_pct")
        wanted, has = float(choices.impedance_pct), float(unit.nominal.magnitude_pct)
        within = float(row.number("value")) / 100
        off = abs(has / wanted - 1)
        yield Criterion(
            name="impedance",
            value=has,
            limit=wanted,
            measure="%",
            margin_pct=(within - off) * 100,
            ok=off <= within * (1 + SAME),
            clause=row.source.cite(),
            says=f"{has:.3g} % on the plate; {wanted:g} % is asked for, {within * 100:g} % of it may be missing.",
            condition=""
            if off <= within * (1 + SAME)
            else "leave from whoever asked: faults and drop go by the plate",
        )


def _wish(name: str, has: float, wanted: float, measure: str, ok: bool, floor: bool = False) -> Criterion:
    margin = (has - wanted) if floor else (wanted - has)
    return Criterion(
        name=name,
        value=has,
        limit=wanted,
        measure=measure,
        margin_pct=margin / wanted * 100 if wanted else None,
        ok=ok,
        says=f"{has:g} {measure} on the plate, {wanted:g} {measure} asked for.",
    )


def full_load_volts(evaluation: Evaluation, case: Case) -> Iterator[Criterion]:
    """The volts at this load against what the nameplates accept."""
    volts = evaluation.blocks.voltage.secondary_full_load_v
    empty = evaluation.blocks.voltage.secondary_no_load_v
    if volts is None or not empty:
        return
    row = load("equipment_limits").newest().row(key="motor_voltage_pct")
    within = float(row.number("value")) / 100
    sag = float(volts) / float(empty)
    output = evaluation.sized.proposal.output
    worst = min(case.loads, key=lambda one: volts_at(output, one) / float(one.nameplate_v))
    gets_v, low_v = volts_at(output, worst) * sag, float(worst.nameplate_v) * (1 - within)
    ok = gets_v >= low_v * (1 - SAME)
    yield Criterion(
        name="voltage at this load",
        value=gets_v,
        limit=low_v,
        measure="V",
        margin_pct=(gets_v - low_v) / low_v * 100,
        ok=ok,
        clause=row.source.cite(),
        says=f"With the load on, {worst.label} gets {gets_v:.1f} V; it accepts {low_v:.0f} V and more.",
        condition="" if ok else "a tap below nominal, or less load",
    )
