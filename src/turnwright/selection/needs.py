"""How large a unit has to be, and what asks for it: heat, voltage drop, a motor's start."""

from __future__ import annotations

from math import inf, sqrt

from msgspec import Struct

from turnwright.arrangements import Proposal
from turnwright.demand import LoadPicture
from turnwright.model.case import Case, CaseSupply
from turnwright.model.unit import Impedance, Unit
from turnwright.quantities import figure
from turnwright.regimes import Regime
from turnwright.selection.dropping import angle_tangent, dropping_kva, worst_place
from turnwright.selection.harmonics import counted_k, harmonic_need_kva
from turnwright.selection.starting import hardest_start
from turnwright.working import Ledger, formula

SAME = 1e-9


class Need(Struct, frozen=True, kw_only=True):
    """One reason for a size: `basis` is "heat", "dip", "drop", "momentary", "harmonics", "neutral" or "insisted"."""

    basis: str
    kva: float
    why: str


@formula("max(S_heat, phases · S_worst) / derating", "kVA")
def heat_kva(heat_kva: float, worst_phase_kva: float, phases: float, derating: float) -> float:
    """Return the rated power that carries the load without getting hotter than rated. [kVA]

    heat_kva        : running load with growth and the allowance for the largest motor [kVA]
    worst_phase_kva : load of the most loaded winding, with growth [kVA]
    phases          : windings that share the rated power, 3 or 1 [-]
    derating        : usable share of the rated power at this altitude and ambient [-]
    Source: each winding of a three-phase unit is built for a third of its rated power

    Example:
        >>> heat_kva(heat_kva=40.0, worst_phase_kva=15.0, phases=3, derating=1.0)
        45.0
    """
    return max(heat_kva, phases * worst_phase_kva) / derating


@formula("S_on · (R·cosφ + X·sinφ) / limit", "kVA")
def drop_kva(
    on_kva: float, resistance_pct: float, reactance_pct: float, power_factor: float, limit_pct: float
) -> float:
    """Return the rated power at which a load drops no more than a limit in the transformer. [kVA]

    on_kva         : load while it is on [kVA]
    resistance_pct : resistance of the unit on its rating [%]
    reactance_pct  : reactance of the unit on its rating [%]
    power_factor   : of the load, lagging [-]
    limit_pct      : largest voltage drop [%]
    Source: voltage drop of a series impedance, first order

    Example:
        >>> round(drop_kva(115.2, 1.5, 3.708, 0.5, 5.0), 1)
        91.3
    """
    sine = sqrt(1 - power_factor**2)
    return on_kva * (resistance_pct * power_factor + reactance_pct * sine) / limit_pct


@formula("Z / (d / ((1 − d) · S_start) − 1 / S_source)", "kVA")
def dip_kva(start_kva: float, impedance_pct: float, limit_pct: float, source_kva: float) -> float:
    """Return the rated power at which a motor's start dips the bus no more than a limit. [kVA]

    Infinite where the source alone dips more than that.

    start_kva     : kVA drawn at the first moment, at rated volts [kVA]
    impedance_pct : impedance of the unit on its rating [%]
    limit_pct     : largest dip d [%]
    source_kva    : short-circuit power of the supply [kVA]
    Source: voltage divider of the locked rotor with transformer and source, magnitudes in line

    Example:
        >>> round(dip_kva(90.0, 4.5, 10.0, float("inf")), 2)
        36.45
        >>> dip_kva(90.0, 4.5, 10.0, 500.0)
        inf
    """
    dip = limit_pct / 100
    left = dip / ((1 - dip) * start_kva) - 1 / source_kva
    return impedance_pct / 100 / left if left > 0 else inf


@formula("S_momentary · share / derating", "kVA")
def momentary_kva(on_kva: float, share: float, derating: float) -> float:
    """Return the rated power that a short-time demand asks for. [kVA]

    on_kva   : load with momentary demands in full [kVA]
    share    : of it that the rating has to reach; the share carries its source [-]
    derating : usable share of the rated power at this altitude and ambient [-]
    Source: the share carries it

    Example:
        >>> momentary_kva(on_kva=80.0, share=0.5, derating=1.0)
        40.0
    """
    return on_kva * share / derating


def windings(proposal: Proposal) -> int:
    """Return how many windings share the rated power of a unit."""
    return 3 if proposal.phases == 3 else 1


def needs_of(
    case: Case,
    proposal: Proposal,
    picture: LoadPicture,
    unit: Unit,
    derating: float,
    regime: Regime,
    work: Ledger,
) -> tuple[Need, ...]:
    """Return every reason for a size, for a unit of this impedance."""
    kva = work.calc(
        "demand.need[heat].kva",
        heat_kva,
        heat_kva=picture.kva_heat,
        worst_phase_kva=picture.worst_phase_kva,
        phases=windings(proposal),
        derating=derating,
    )
    needs = [Need(basis="heat", kva=kva, why=_heat_why(case, picture, derating))]
    harmonic = harmonic_need_kva(kva, case, picture, unit, regime, work)
    if harmonic is not None:
        counted = figure(counted_k(case, picture, regime), rounding="up")
        why = f"harmonics of K {counted} in a unit rated K {unit.k_rating or 1:g}"
        needs.append(Need(basis="harmonics", kva=harmonic, why=why))
    needs += _drop_needs(case, proposal, picture, unit, work)
    needs += _momentary_needs(case, picture, derating, regime, work)
    needs += _dip_needs(case, picture, unit, regime, work)
    return tuple(needs)


def _heat_why(case: Case, picture: LoadPicture, derating: float) -> str:
    """What stands behind the rated power that heat asks for, in a few words."""
    added = ["growth"] if case.choices.growth_pct else []
    added += ["the largest motor's allowance"] if picture.motor_allowance_kva else []
    load = f"load with {' and '.join(added)}" if added else "the load"
    return load if derating >= 1.0 else f"{load}, at {derating:.3f} of the rating for height and warmth"


def _drop_needs(case: Case, proposal: Proposal, picture: LoadPicture, unit: Unit, work: Ledger) -> list[Need]:
    limits = [load.regulation_limit_pct for load in case.loads if load.regulation_limit_pct is not None]
    if not limits:
        return []
    drop = unit.for_drop
    power_factor = picture.on_power_factor
    if power_factor is None:
        power_factor = drop.resistance_pct / drop.magnitude_pct
    limit_pct = min(limits)
    kva = work.calc(
        "demand.need[drop].kva",
        drop_kva,
        on_kva=_on_kva(proposal, picture, drop, power_factor, work),
        resistance_pct=drop.resistance_pct,
        reactance_pct=drop.reactance_pct,
        power_factor=power_factor,
        limit_pct=limit_pct,
    )
    return [Need(basis="drop", kva=kva, why=f"voltage drop within {limit_pct:g} %")]


def _momentary_needs(
    case: Case, picture: LoadPicture, derating: float, regime: Regime, work: Ledger
) -> list[Need]:
    """The short-time limit of a unit: what a momentary demand may be over its rating."""
    if all(load.momentary_kva is None for load in case.loads):
        return []
    row = regime.practice.row(key="momentary_share")
    kva = work.calc(
        "demand.need[momentary].kva",
        momentary_kva,
        on_kva=picture.on_kva,
        share=row.number("value"),
        derating=derating,
    )
    return [Need(basis="momentary", kva=kva, why="the short-time demand within twice the rating")]


def _on_kva(
    proposal: Proposal, picture: LoadPicture, z: Impedance, power_factor: float, work: Ledger
) -> float:
    """What drops the volts: single-phase loads on a three-phase unit drop them more than balanced ones."""
    if proposal.phases != 3 or not picture.placements:
        return picture.on_kva
    tangent = angle_tangent(z.resistance_pct, z.reactance_pct, power_factor)
    dropping: float = work.calc("demand.need[drop].on_kva", dropping_kva, **worst_place(picture, tangent))
    return dropping


def _dip_needs(case: Case, picture: LoadPicture, unit: Unit, regime: Regime, work: Ledger) -> list[Need]:
    limits = [load.start_dip_limit_pct for load in case.loads if load.start_dip_limit_pct is not None]
    start = hardest_start(case, picture, regime, work) if limits else None
    if start is None:
        return []
    limit_pct = min(limits)
    kva = work.calc(
        "demand.need[dip].kva",
        dip_kva,
        start_kva=start.kva,
        impedance_pct=unit.for_drop.magnitude_pct,
        limit_pct=limit_pct,
        source_kva=source_kva(case.supply),
    )
    return [Need(basis="dip", kva=kva, why=f"a motor's start within a dip of {limit_pct:g} %")]


def source_kva(supply: CaseSupply) -> float:
    """Return the short-circuit power of the supply, low end; infinite where nothing is known. [kVA]"""
    fault_a = supply.fault_current_low_a
    if fault_a is None:
        return inf
    return fault_a * supply.line_v * (sqrt(3) if supply.system.phases == 3 else 1.0) / 1000
