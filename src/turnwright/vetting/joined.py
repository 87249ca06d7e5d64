"""How units that exist would stand between a supply and its loads: which side is fed, what comes out."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import log, sqrt

from msgspec import Struct
from msgspec.structs import replace

from turnwright.arrangements import Ask, Proposal, same_volts, winding
from turnwright.arrangements.isolation import half_reactance_ratio
from turnwright.arrangements.outputs import wye_of
from turnwright.arrangements.single_units import open_delta_ask
from turnwright.circuit import connections
from turnwright.circuit.connections import Connection
from turnwright.demand import LoadPicture
from turnwright.model.case import Case, CaseLoad
from turnwright.model.result import Finding
from turnwright.model.unit import Impedance, Unit
from turnwright.quantities import VoltageSystem
from turnwright.vetting.flux import AtSupply, at_supply, nearest_hz, scaled_impedance
from turnwright.vetting.plate import Plate
from turnwright.working import Ledger

Build = Callable[[float, float, float], Connection]
REVERSED_FED = "fed at its marked secondary"


class Joined(Struct, frozen=True, kw_only=True):
    """A unit, or a bank of equal ones, between supply and loads.

    proposal  the arrangement, with the volts this supply gives
    unit      the unit as this supply runs it: kVA, impedance and output at these volts and hertz
    at        flux, usable kVA and output
    reversed_ it is fed at its marked secondary
    units     of the bank; 1 for one unit
    """

    plate: Plate
    proposal: Proposal
    unit: Unit
    at: AtSupply
    reversed_: bool
    units: int


def is_reversed(plate: Plate, case: Case, units: int) -> bool:
    """Whether the supply belongs on the marked secondary: its volts are nearer to those."""
    supply_v = float(case.supply.line_v)
    unit = plate.unit

    def off(system: VoltageSystem) -> float:
        options = [float(system.line_v)]
        if units > 1:  # single-phase units of a bank may stand between line and star point
            options.append(float(system.line_v) * sqrt(3))
        return min(abs(log(supply_v / volts)) for volts in options)

    return off(unit.secondary) < off(unit.primary) - 1e-9


def join(plate: Plate, case: Case, units: int, work: Ledger) -> Joined:
    """Return how the unit, or a bank of `units` equal single-phase ones, would be connected."""
    unit = plate.unit
    turned = is_reversed(plate, case, units)
    fed, other = (unit.secondary, unit.primary) if turned else (unit.primary, unit.secondary)
    star_fed = units == 3 and _nearer_to_star(float(fed.line_v), float(case.supply.line_v))
    applied_v = float(case.supply.line_v) / (sqrt(3) if star_fed else 1.0)
    supply_hz = float(case.supply.frequency_hz)
    tap_pct = best_tap(plate, case, units, turned, applied_v)
    at = at_supply(
        unit.kva,
        fed.line_v,
        other.line_v,
        nearest_hz(plate.hz, supply_hz),
        applied_v,
        supply_hz,
        tap_pct,
        not turned,
        work,
    )
    proposal = _proposal(case, plate, fed, other, at, units, star_fed, turned)

    def used_at(z: Impedance) -> Impedance:
        return scaled_impedance(z, at, unit.kva, at.usable_kva, supply_hz)

    used = replace(
        unit,
        kva=at.usable_kva,
        primary=proposal.primary,
        secondary=proposal.secondary,
        nominal=None if unit.nominal is None else used_at(unit.nominal),
        for_faults=used_at(unit.for_faults),
        for_drop=used_at(unit.for_drop),
    )
    return Joined(plate=plate, proposal=proposal, unit=used, at=at, reversed_=turned, units=units)


def _nearer_to_star(winding_v: float, supply_v: float) -> bool:
    return abs(log(winding_v * sqrt(3) / supply_v)) < abs(log(winding_v / supply_v))


def best_tap(plate: Plate, case: Case, units: int, turned: bool, applied_v: float) -> float | None:
    """Return the tap whose output is nearest what the loads ask for; None where no taps are known. [%]"""
    taps = plate.unit.taps_pct
    if not taps:
        return None
    measured = case.supply.measured_v
    mean_v = (
        applied_v if not measured else applied_v * sum(measured) / len(measured) / float(case.supply.line_v)
    )
    fed, other = (
        (plate.unit.secondary, plate.unit.primary) if turned else (plate.unit.primary, plate.unit.secondary)
    )

    def off(tap: float) -> float:
        factor = 1 + tap / 100
        out_v = mean_v * float(other.line_v) / float(fed.line_v) * (factor if turned else 1 / factor)
        return min(abs(log(out_v / volts)) for volts in _wanted_v(case.loads, units))

    return min(taps, key=lambda tap: (round(off(tap), 9), abs(tap)))


def _wanted_v(loads: tuple[CaseLoad, ...], units: int) -> list[float]:
    """Volts across the output winding that the loads would like: those of the largest system among them."""
    highest = max(loads, key=lambda load: float(load.system.line_v))
    volts = [float(highest.system.line_v)]
    if units == 3:
        volts.append(float(highest.system.line_v) / sqrt(3))
    return volts


def _proposal(
    case: Case,
    plate: Plate,
    fed: VoltageSystem,
    other: VoltageSystem,
    at: AtSupply,
    units: int,
    star_fed: bool,
    turned: bool,
) -> Proposal:
    supply_v = float(case.supply.line_v)
    if units > 1:
        return _bank(case, other, at, units, star_fed)
    three = plate.unit.phases == 3
    output = output_system(other, at.output_v)
    fed_text = (
        f"{supply_v:g} {'delta' if fed.connection != 'wye' else '3ph'}" if three else f"{supply_v:g} 1ph"
    )
    build, group = _three(fed, output, supply_v, case) if three else (_one(output, supply_v), None)
    return Proposal(
        arrangement="isolation",
        phases=3 if three else 1,
        unit_phases=3 if three else 1,
        units=1,
        primary=winding(fed_text),
        secondary=output,
        output=output,
        lines=("A", "B", "C") if three else ("A", "B"),
        vector_group=group,
        derived=True,
        covered=output.neutral_v is None and fed.connection != "wye",
        why=REVERSED_FED if turned else "as its nameplate says",
        rank=0,
        build=build,
    )


def output_system(marked: VoltageSystem, output_v: float) -> VoltageSystem:
    """Return the system at the output: the marked one where its volts come out, else the same at other volts.

    Example:
        >>> output_system(winding("208Y/120"), 173.33).text, output_system(winding("240 delta"), 240.0).text
        ('173Y/100', '240 delta')
    """
    if abs(output_v / float(marked.line_v) - 1) <= 1e-6:
        return (
            marked
            if marked.connection != "unknown" or marked.phases == 1
            else winding(f"{marked.line_v:g} delta")
        )
    line = _volts(output_v)
    if marked.connection == "wye":
        text = f"{line}Y/{_volts(output_v / sqrt(3))}"
    elif marked.high_leg:
        text = f"{line}/{_volts(output_v / 2)} delta"
    elif marked.phases == 3:
        text = f"{line} delta"
    elif marked.wires == 3:
        text = f"{_volts(output_v / 2)}/{line} 1ph"
    else:
        text = f"{line} 1ph"
    neutral_v = (
        None if marked.neutral_v is None else output_v / float(marked.line_v) * float(marked.neutral_v)
    )
    connection = "delta" if marked.phases == 3 and marked.connection == "unknown" else marked.connection
    return replace(
        marked,
        text=text,
        line_v=output_v,
        neutral_v=neutral_v,
        neutral_nominal_v=neutral_v,
        connection=connection,
    )


def _volts(volts: float) -> str:
    return f"{volts:.3g}" if volts < 1000 else f"{volts:.0f}"


def _three(fed: VoltageSystem, output: VoltageSystem, supply_v: float, case: Case) -> tuple[Build, str]:
    """A three-phase unit: delta unless marked as wye; a fed wye has its star point open unless the output needs it."""
    line_v = float(output.line_v)
    down = supply_v >= line_v
    if output.high_leg:
        ratio = half_reactance_ratio()
        return (
            lambda kva, r, x: connections.high_leg_delta(
                "T1", kva / 3, kva / 3, supply_v, line_v, (r, r), (x, x), ratio
            ),
            "Dd0",
        )
    wye_in, wye_out = fed.connection == "wye", output.connection == "wye"
    if wye_in and wye_out:
        return _plain("YNyn0", supply_v, line_v, primary_neutral="0"), "YNyn0"
    if not wye_in and not wye_out:
        return _plain("Dd0", supply_v, line_v), "Dd0"
    if wye_out:
        return _plain("Dyn1" if down else "Dyn11", supply_v, line_v), "Dyn1" if down else "YNd1"
    return _plain("Yd1" if down else "Yd11", supply_v, line_v), "Yd1" if down else "Dyn1"


def _plain(group: str, supply_v: float, line_v: float, primary_neutral: str = "H0") -> Build:
    return lambda kva, r, x: connections.three_phase(
        "T1", group, kva, supply_v, line_v, r, x, primary_neutral=primary_neutral
    )


def _one(output: VoltageSystem, supply_v: float) -> Build:
    line_v = float(output.line_v)
    if output.wires != 3:
        return lambda kva, r, x: connections.single_phase("T1", kva, supply_v, line_v, r, x)
    ratio = half_reactance_ratio()
    return lambda kva, r, x: connections.single_phase_three_wire("T1", kva, supply_v, line_v, r, x, ratio)


def _bank(case: Case, other: VoltageSystem, at: AtSupply, units: int, star_fed: bool) -> Proposal:
    """Three single-phase units as a bank, or two of them in open delta."""
    supply_v, each_v = float(case.supply.line_v), at.output_v
    star_out = units == 3 and _wants_star(case.loads, each_v)
    line_v = each_v * sqrt(3) if star_out else each_v
    named_v = float(f"{line_v:.4g}")
    made = wye_of(named_v) if star_out else winding(f"{named_v:g} delta")
    nominal = _named(case, line_v, star_out)
    output = nominal or replace(made, line_v=line_v)
    letters = ("Y" if star_fed else "D") + ("yn" if star_out else "d")
    group = {"Dyn": "Dyn1", "Dd": "Dd0", "Yd": "Yd1", "Yyn": "YNyn0"}[letters]
    if units == 2:
        build: Build = lambda kva, r, x: connections.open_delta("T1", kva, supply_v, line_v, r, x)  # noqa: E731
    else:
        whole = _plain(group, supply_v, line_v, "0" if group == "YNyn0" else "H0")
        build = lambda kva, r, x: whole(3 * kva, r, x)  # noqa: E731

    def asks(picture: LoadPicture) -> tuple[Ask, ...]:
        return (open_delta_ask(picture, line_v),)

    return Proposal(
        arrangement="open delta" if units == 2 else "bank",
        phases=3,
        unit_phases=1,
        units=units,
        primary=winding(f"{supply_v:g} {'3ph' if star_fed else 'delta'}"),
        secondary=output,
        output=output,
        lines=("A", "B", "C"),
        vector_group=None if units == 2 else group,
        derived=True,
        covered=units == 3 and not star_out and not star_fed,
        why="single-phase units joined for three phases",
        rank=0,
        build=build,
        share=1 / sqrt(3) if units == 2 else 1 / 3,
        drop_share=1.0 if units == 2 else 1 / 3,
        asks=asks if units == 2 else None,
    )


def _named(case: Case, line_v: float, star_out: bool) -> VoltageSystem | None:
    """The system a load names, where these are its volts."""
    for load in case.loads:
        if load.system.connection == ("wye" if star_out else "delta") and same_volts(
            load.system.line_v, line_v, 1e-3
        ):
            return load.system
    return None


def _wants_star(loads: tuple[CaseLoad, ...], each_v: float) -> bool:
    """Whether the loads ask for the windings in star: their line volts are √3 of a winding, or they need a neutral."""
    line_v = max(float(load.system.line_v) for load in loads if load.system.phases == 3)
    return abs(log(each_v * sqrt(3) / line_v)) < abs(log(each_v / line_v))


def star_remarks(joined: Joined, case: Case) -> Iterator[Finding]:
    """Yield what a star on both sides needs: the neutral of the supply at its own star point."""
    if joined.proposal.vector_group != "YNyn0":
        return
    supply = case.supply.system
    lacks = supply.neutral_v is None
    yield Finding(
        code="star-star",
        severity="caution",
        message=(
            f"Both sides of {joined.plate.unit.name} are wyes: its supply-side star point has to be joined to the "
            "neutral of the supply, or uneven loads shift the volts to neutral"
            f"{f'; the {supply.text} supply has none' if lacks else ''}. The output then is no system of its own."
        ),
        known="common practice",
    )
