"""Devices, conductors, grounding and law of one unit: what the procedures of the regime are asked."""

from __future__ import annotations

from math import inf

from msgspec.structs import replace

from turnwright.demand.unmeasured import most_neutral_a
from turnwright.model.case import Case
from turnwright.model.result import ConductorRun, Currents, Efficiency, Grounding, Protection
from turnwright.regimes import DeviceNeed, DevicePlan, GroundingNeed, LawNeed, Regime, RunNeed, RunPlan
from turnwright.regimes.common.rules.looks import occasions, to_ground_v
from turnwright.selection.currents import three_phase_a
from turnwright.selection.screen import Sized
from turnwright.working import Ledger

SEPARATE = "isolation"
"""How the law calls any unit with separate windings, whatever they are joined to."""


def devices(case: Case, sized: Sized, currents: Currents, regime: Regime, work: Ledger) -> DevicePlan:
    """Return the overcurrent devices that are permitted and chosen."""
    if sized.proposal.shunt:
        return DevicePlan(protection=_unswitched(case), findings=())
    design_a = max(sized.picture.design_line_a)
    circuit = case.circuit
    need = DeviceNeed(
        primary_rated_a=currents.primary_rated_a,
        secondary_rated_a=currents.secondary_rated_a,
        primary_design_a=design_a * supply_over_load(currents),
        secondary_design_a=design_a,
        kind=circuit.device_kind,
        existing_primary_a=circuit.primary_device_a,
        wanted_secondary_a=circuit.secondary_devices_a,
        covered=sized.proposal.covered,
        autotransformer=not sized.proposal.derived,
    )
    return regime.devices(need, work)


def _unswitched(case: Case) -> Protection:
    """What stands beside the line has no device: tripped alone it leaves the loads without their neutral."""
    return Protection(
        primary_only_max_a=None,
        primary_with_secondary_max_a=None,
        secondary_max_a=None,
        primary_a=None,
        secondary_a=None,
        secondary_devices_a=(),
        kind=case.circuit.device_kind or "breaker",
        interrupting_min_a=None,
    )


def _line_design_a(sized: Sized) -> float:
    """Return what the main of the line is good for at least: all its load, continuous load increased. [A]"""
    return three_phase_a(kva=sized.picture.code_kva, voltage_v=sized.proposal.primary.line_v)


def supply_over_load(currents: Currents) -> float:
    """Return the current of the supply side over that of the load side. [-]"""
    if currents.secondary_load_a:
        return currents.primary_load_a / currents.secondary_load_a
    return currents.primary_rated_a / currents.secondary_rated_a


def conductors(
    case: Case, sized: Sized, currents: Currents, protection: Protection, regime: Regime, work: Ledger
) -> tuple[RunPlan, RunPlan | None, RunPlan | None]:
    """Return the conductors of the supply side, of the load side, and the neutral."""
    proposal, picture = sized.proposal, sized.picture
    ratio = proposal.primary.line_v / proposal.secondary.line_v
    design_a = max(picture.design_line_a)
    primary = _run_need(
        case,
        sized,
        side="primary",
        device_a=protection.primary_a or currents.primary_rated_a,
        load_a=currents.primary_load_a,
        design_a=design_a * supply_over_load(currents),
        rated_a=currents.primary_rated_a,
        device_kind=protection.kind,
    )
    if proposal.shunt:  # the main of the line protects what goes to it
        line_a = _line_design_a(sized)
        primary = replace(primary, device_a=line_a, design_a=line_a)
    planned = regime.conductors(primary, work)
    if proposal.shunt:
        neutral_a = currents.neutral_load_a or 0.0
        only = replace(
            primary, side="neutral", load_a=neutral_a, design_a=neutral_a, device_a=0.0, rated_a=None
        )
        return planned, None, regime.conductors(only, work)
    if proposal.derived:
        device_a = max(protection.secondary_devices_a, default=currents.secondary_rated_a)
    else:  # only the input device protects them, seen through the turns
        device_a = (protection.primary_a or currents.primary_rated_a) * ratio
    before_a = None if protection.primary_a is None else protection.primary_a * ratio
    secondary = _run_need(
        case,
        sized,
        side="secondary",
        device_a=device_a,
        load_a=currents.secondary_load_a / max(len(protection.secondary_devices_a), 1),
        design_a=design_a / max(len(protection.secondary_devices_a), 1),
        before_a=before_a if proposal.derived else None,
        rated_a=currents.secondary_rated_a / max(len(protection.secondary_devices_a), 1),
        relies_on_before=proposal.derived and not protection.secondary_devices_a,
        device_kind=protection.kind,
    )
    after = regime.conductors(secondary, work)
    return planned, after, _neutral(case, sized, secondary, after, regime, work)


def _run_need(
    case: Case,
    sized: Sized,
    *,
    side: str,
    device_a: float,
    load_a: float,
    design_a: float,
    rated_a: float,
    device_kind: str,
    before_a: float | None = None,
    relies_on_before: bool = False,
) -> RunNeed:
    primary, circuit = side == "primary", case.circuit
    system = sized.proposal.primary if primary else sized.proposal.output
    wires = (3 if system.phases == 3 else 2) if primary else (system.wires or 3)
    return RunNeed(
        side=side,
        device_a=device_a,
        load_a=load_a,
        design_a=design_a,
        before_a=before_a,
        next_size_up=primary,
        metal=circuit.conductor,
        terminals_c=circuit.terminals_c,
        ambient_c=case.site.ambient_peak_c,
        counted=_counted(sized, wires, primary),
        conductors=wires,
        raceway=circuit.raceway,
        length_m=circuit.primary_length_m if primary else circuit.secondary_length_m,
        voltage_v=system.line_v,
        phases=system.phases or 3,
        power_factor=sized.picture.power_factor,
        rated_a=rated_a,
        device_kind=device_kind,
        relies_on_before=relies_on_before,
        ground_c=case.site.ambient_average_c,
        installation=circuit.installation,
        insulation=circuit.insulation,
        third_harmonic_pct=0.0 if primary else _third_harmonic_pct(sized),
    )


def _third_harmonic_pct(sized: Sized) -> float:
    """Currents of the orders that add up in a neutral, in percent of the fundamental. [%]"""
    squares = sum(percent**2 for order, percent in sized.picture.spectrum if order % 3 == 0)
    return float(squares**0.5)


def _counted(sized: Sized, wires: int, primary: bool) -> int:
    """A neutral counts as current-carrying on a four-wire wye when most of the load is nonlinear."""
    if primary or wires != 4:
        return (
            min(wires, 3)
            if primary or wires == 4
            else max(wires - (1 if sized.proposal.output.neutral_v else 0), 2)
        )
    nonlinear = sized.picture.spectrum or sized.picture.unknown_spectrum
    return 4 if nonlinear else 3


def _neutral(
    case: Case, sized: Sized, need: RunNeed, phase: RunPlan, regime: Regime, work: Ledger
) -> RunPlan | None:
    """A neutral of the size of the phases, larger where it carries more than they may."""
    known_a = sized.picture.neutral_a
    if known_a is None:
        return None
    neutral_a = max(known_a, most_neutral_a(case.loads, sized.picture, sized.proposal.output.phases))
    if neutral_a <= phase.ampacity_a:
        return phase
    larger = replace(
        need,
        side="neutral",
        load_a=neutral_a,
        design_a=neutral_a,
        device_a=0.0,
        before_a=None,
        rated_a=None,
        relies_on_before=False,
        third_harmonic_pct=0.0,
    )
    return regime.conductors(larger, work)


def run(plan: RunPlan | None) -> ConductorRun | None:
    """Return the conductors of a plan as the answer shows them; None where there are none."""
    if plan is None or plan.sets == 0:
        return None
    return ConductorRun(
        size=plan.size,
        sets=plan.sets,
        metal=plan.metal,
        ampacity_a=plan.ampacity_a,
        raceway=plan.raceway,
        drop_pct=plan.drop_pct,
    )


def grounding(
    case: Case,
    sized: Sized,
    protection: Protection,
    primary: RunPlan,
    secondary: RunPlan | None,
    regime: Regime,
    work: Ledger,
) -> Grounding:
    """Return the grounding and bonding conductors."""
    proposal = sized.proposal
    need = GroundingNeed(
        primary_device_a=_line_design_a(sized) if proposal.shunt else protection.primary_a or 0.0,
        secondary_device_a=max(protection.secondary_devices_a, default=None),
        metal=case.circuit.conductor,
        set_area=secondary.set_area if secondary else 0.0,
        total_area=secondary.total_area * max(len(protection.secondary_devices_a), 1) if secondary else 0.0,
        primary_set_area=primary.set_area,
        secondary_set_area=secondary.set_area if secondary else 0.0,
        neutral_bonded=proposal.output.neutral_v is not None or proposal.output.grounding is not None,
        derived=proposal.derived and secondary is not None,
        primary_sets=max(primary.sets, 1),
        secondary_sets=max(secondary.sets, 1) if secondary else 1,
        secondary_before_a=(
            None
            if protection.primary_a is None
            else protection.primary_a * proposal.primary.line_v / proposal.secondary.line_v
        ),
        secondary_ampacity_a=(
            secondary.ampacity_a * max(len(protection.secondary_devices_a), 1) if secondary else 0.0
        ),
        earthing=case.supply.earthing,
        unbonded_v=_unbonded_v(case, sized),
        supply_to_ground_v=(
            inf
            if case.supply.grounding == "ungrounded"
            else to_ground_v(case.supply.system, case.supply.grounding)
        ),
        secondary_v=float(proposal.output.line_v),
    )
    return regime.grounding(need, work)


def _unbonded_v(case: Case, sized: Sized) -> float | None:
    """The volts of an output without neutral or grounded corner; None for isolated power, which stays ungrounded."""
    output = sized.proposal.output
    if output.neutral_v is not None or output.grounding is not None:
        return None
    isolated = any("isolated power" in occasions(load.name) for load in case.loads)
    return None if isolated else float(output.line_v)


def law(case: Case, sized: Sized, regime: Regime, work: Ledger) -> Efficiency:
    """Return what the efficiency law asks of the unit; several of separate windings are judged one by one."""
    unit, proposal = sized.unit, sized.proposal
    need = LawNeed(
        phases=unit.phases,
        kva=unit.kva,
        primary_v=unit.primary.line_v,
        secondary_v=unit.secondary.line_v,
        frequency_hz=case.supply.frequency_hz,
        manufactured=case.choices.manufactured,
        arrangement=SEPARATE if proposal.derived else proposal.arrangement,
        taps_pct=unit.taps_pct,
        enclosure=unit.enclosure,
        k_rating=unit.k_rating,
    )
    return regime.law(need, work)
