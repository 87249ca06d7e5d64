"""What a unit is held against before anything is computed: phases, hertz, flux, volts, neutral, for each load."""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt

from turnwright.arrangements.wishes import asks_neutral, start_of
from turnwright.model.case import Case, CaseLoad
from turnwright.quantities import VoltageSystem
from turnwright.reference import Row, load
from turnwright.vetting.flux import flux_pct
from turnwright.vetting.joined import Joined
from turnwright.vetting.plate import Plate
from turnwright.vetting.records import Criterion

SAME = 1e-9


def limit_row(key: str) -> Row:
    """Return a limit of equipment on its supply."""
    return load("equipment_limits").newest().row(key=key)


def phases(plate: Plate, case: Case, units: int) -> Iterator[Criterion]:
    """A three-phase load needs three phases on both sides; a unit has those of its supply or fewer."""
    unit = plate.unit
    has = 3 if units > 1 else unit.phases
    if has > (case.supply.system.phases or 3):
        yield Criterion(
            name="phases",
            value=float(has),
            limit=float(case.supply.system.phases or 3),
            measure="phases",
            margin_pct=None,
            ok=False,
            says=f"{start_of(unit.name)} is three-phase, the supply ({case.supply.system.text}) has one phase.",
        )
        return
    short = [one for one in case.loads if one.system.phases == 3 and has == 1]
    worst = short[0] if short else None
    yield Criterion(
        name="phases",
        value=float(has),
        limit=3.0 if any(one.system.phases == 3 for one in case.loads) else 1.0,
        measure="phases",
        margin_pct=None,
        ok=not short,
        says=(
            f"{start_of(worst.label)} needs three phases; {unit.name} is single-phase."
            if worst
            else f"{start_of(unit.name)} has the phases that the loads need."
        ),
    )


def frequency(case: Case) -> Iterator[Criterion]:
    """A transformer gives out the frequency it is fed with, and no direct current."""
    supply_hz = float(case.supply.frequency_hz)
    direct = [one for one in case.loads if one.system.direct]
    wrong = [one for one in case.loads if one.frequencies_hz and supply_hz not in one.frequencies_hz]
    if direct:
        says = f"{start_of(direct[0].label)} wants direct current; {supply_hz:g} Hz goes in and comes out."
    elif wrong:
        wanted = "/".join(f"{hz:g}" for hz in wrong[0].frequencies_hz)
        says = f"{start_of(wrong[0].label)} needs {wanted} Hz; {supply_hz:g} Hz goes in and comes out."
    else:
        says = f"{supply_hz:g} Hz goes in and comes out, as the loads need."
    yield Criterion(
        name="frequency",
        value=supply_hz,
        limit=0.0 if direct else (wrong[0].frequencies_hz[0] if wrong else supply_hz),
        measure="Hz",
        margin_pct=None,
        ok=not wrong and not direct,
        says=says,
    )


def flux(joined: Joined, case: Case) -> Iterator[Criterion]:
    """Volts over hertz against the rated ones: what the iron takes without saturating."""
    at, unit = joined.at, joined.plate.unit
    row = limit_row("transformer_full_load_voltage_pct")
    limit = float(row.number("value"))
    highest = max((float(volts) / float(case.supply.line_v) for volts in case.supply.measured_v), default=1.0)
    value = float(at.flux_pct) * max(highest, 1.0)
    supply_hz = float(case.supply.frequency_hz)
    allowed_v = at.rated_v * supply_hz / at.rated_hz
    says = (
        f"{at.applied_v * max(highest, 1.0):.4g} V at {supply_hz:g} Hz is {value:.0f} % of the rated volts per hertz "
        f"({at.rated_v:.4g} V, {at.rated_hz:g} Hz)"
    )
    if supply_hz < at.rated_hz:
        full = flux_pct(at.rated_v, supply_hz, at.rated_v, at.rated_hz)
        says += (
            f": at {supply_hz:g} Hz the iron takes {allowed_v:.4g} V at most; at its own {at.rated_v:.4g} V it would "
            f"see {full:.0f} %"
        )
    yield Criterion(
        name="volts per hertz",
        value=value,
        limit=limit,
        measure="%",
        margin_pct=(limit - value) / limit * 100,
        ok=value <= limit * (1 + SAME),
        clause=row.source.cite(),
        says=f"{start_of(unit.name)}: {says}.",
    )


def output_volts(joined: Joined, case: Case) -> Iterator[Criterion]:
    """The no-load volts each load gets, over what was measured, against what its nameplate accepts."""
    row = limit_row("motor_voltage_pct")
    within = float(row.number("value")) / 100
    output = joined.proposal.output
    nominal_v = float(case.supply.line_v)
    spread = [float(volts) / nominal_v for volts in case.supply.measured_v] or [1.0]
    worst: Criterion | None = None
    for one in case.loads:
        gets_v, plate_v = volts_at(output, one), float(one.nameplate_v)
        low, high = plate_v * (1 - within), plate_v * (1 + within)
        for factor in dict.fromkeys((min(spread), max(spread))):
            made = _one_output(one, gets_v * factor, low, high, output, row)
            if worst is None or (made.margin_pct or 0.0) < (worst.margin_pct or 0.0):
                worst = made
    if worst is not None:
        yield worst


def _one_output(
    one: CaseLoad, gets_v: float, low_v: float, high_v: float, output: VoltageSystem, row: Row
) -> Criterion:
    below = gets_v - low_v < high_v - gets_v
    limit = low_v if below else high_v
    margin = (gets_v - low_v) / low_v if below else (high_v - gets_v) / high_v
    ok = low_v * (1 - SAME) <= gets_v <= high_v * (1 + SAME)
    wanted = one.system.text
    says = f"The output is {output.text}: {one.label} gets {gets_v:.1f} V and accepts {low_v:.0f} to {high_v:.0f} V"
    return Criterion(
        name="output voltage",
        value=gets_v,
        limit=limit,
        measure="V",
        margin_pct=margin * 100,
        ok=ok,
        clause=row.source.cite(),
        says=f"{says}." if ok else f"{says}; the output would be {output.text}, not {wanted}.",
    )


def volts_at(output: VoltageSystem, one: CaseLoad) -> float:
    """Return the volts a load finds at an output, of the places it may take the nearest. [V]"""
    line_v = float(output.line_v)
    if one.system.phases == 3 or one.system.wires == 3 or output.neutral_v is None:
        return line_v
    to_neutral_v = float(output.neutral_v)
    if one.neutral and output.phases == 3:
        return to_neutral_v
    return to_neutral_v if float(one.system.line_v) < sqrt(to_neutral_v * line_v) else line_v


def neutral(joined: Joined, case: Case) -> Iterator[Criterion]:
    """A neutral where a load needs one, at the middle its plate names; a grounded wye where it asks for one."""
    output = joined.proposal.output
    wants = [one for one in case.loads if asks_neutral(one) or one.grounded_wye]
    if not wants:
        return
    lacks = [one for one in wants if not _has(output, one)]
    says = (
        f"{start_of(lacks[0].label)} needs {_what(lacks[0])}; the output ({output.text}) has none."
        if lacks
        else f"The output ({output.text}) has the neutral that the loads need."
    )
    yield Criterion(
        name="neutral",
        value="none" if output.neutral_v is None else output.text,
        limit=lacks[0].system.text if lacks else wants[0].system.text,
        measure="",
        margin_pct=None,
        ok=not lacks,
        says=says,
    )


def _what(one: CaseLoad) -> str:
    if one.grounded_wye:
        return "a solidly grounded wye"
    return "a middle wire" if one.system.wires == 3 and one.system.phases == 1 else "a neutral"


def _has(output: VoltageSystem, one: CaseLoad) -> bool:
    if output.neutral_v is None:
        return False
    if one.grounded_wye:
        return output.connection == "wye"
    if one.system.phases == 3:
        return output.high_leg == one.system.high_leg
    if one.system.wires == 3:
        return output.phases == 1 or output.high_leg
    return True
