"""One unit for one case: the only place where sizing, circuit, law and rules meet."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from turnwright.model.case import Case
from turnwright.model.result import (
    Blocks,
    ConductorRun,
    Conductors,
    Currents,
    Demand,
    Efficiency,
    Finding,
    Grounding,
    Pick,
    Protection,
)
from turnwright.regimes import (
    DeviceNeed,
    DevicePlan,
    Facts,
    GroundingNeed,
    LawNeed,
    Regime,
    RunNeed,
    RunPlan,
    run,
)
from turnwright.selection.currents import currents_of
from turnwright.selection.electrical import faults_of, load_flow, voltage_of
from turnwright.selection.screen import Sized
from turnwright.working import Ledger


class Evaluation(Struct, frozen=True, kw_only=True):
    """A unit judged: the numbers of the answer and what there is to say about it."""

    sized: Sized
    blocks: Blocks
    findings: tuple[Finding, ...]

    refused_by: tuple[Finding, ...]


def evaluate(case: Case, sized: Sized, regime: Regime, work: Ledger) -> Evaluation:
    """Return the complete answer with one unit."""
    flow = load_flow(case, sized)
    currents = currents_of(sized, flow.line_load_a, work)
    plan = _devices(case, sized, currents, regime, work)
    motor_multiple = regime.practice.row(key="motor_fault_multiple").number("value")
    fault = faults_of(case, sized, motor_multiple, work)
    protection = replace(plan.protection, interrupting_min_a=fault.maximum_a)
    primary, secondary, neutral = _conductors(case, sized, currents, protection, regime, work)
    blocks = Blocks(
        pick=pick_of(case, sized, regime),
        demand=_demand(sized, currents),
        currents=currents,
        protection=protection,
        conductors=Conductors(primary=_run(primary), secondary=_run(secondary), neutral=_run(neutral)),
        grounding=_grounding(case, sized, protection, primary, secondary, regime, work),
        fault=fault,
        voltage=voltage_of(case, sized, flow, regime, work),
        efficiency=_law(case, sized, regime, work),
    )
    facts = Facts(case=case, proposal=sized.proposal, unit=sized.unit, picture=sized.picture, blocks=blocks)
    sizing = plan.findings + primary.findings + (secondary.findings if secondary else ())
    ruled = tuple(run(regime.rules, facts, regime.rule_table))
    forbidding = {rule.id for rule in regime.rules if rule.refuses}
    return Evaluation(
        sized=sized,
        blocks=blocks,
        findings=sizing + ruled,
        refused_by=tuple(f for f in sizing + ruled if f.severity == "stop" and f.code in forbidding),
    )


def pick_of(case: Case, sized: Sized, regime: Regime) -> Pick:
    """Return the unit as it would be ordered."""
    unit, proposal = sized.unit, sized.proposal
    return Pick(
        arrangement=proposal.arrangement,
        phases=unit.phases,
        units=proposal.units,
        kva=float(unit.kva),
        primary=unit.primary.text,
        secondary=unit.secondary.text,
        frequency_hz=float(case.supply.frequency_hz),
        vector_group=proposal.vector_group,
        rise_k=unit.rise_k,
        k_rating=unit.k_rating,
        impedance_pct=unit.nominal.magnitude_pct if unit.nominal else None,
        shield=unit.shield,
        taps=tuple(f"{tap:+g} %" if tap else "0 %" for tap in unit.taps_pct),
        tap="0 %" if unit.taps_pct else None,
        enclosure=unit.enclosure,
        availability=regime.availability(unit.phases, unit.kva, unit.primary.text, unit.secondary.text),
        sound_limit_db=unit.sound_db,
        heat_w=None,
        mass_kg=unit.mass_kg,
        lines=None,
        buck_boost=None,
    )


def _demand(sized: Sized, currents: Currents) -> Demand:
    picture, governing = sized.picture, sized.governing
    loaded = currents.secondary_load_a / currents.secondary_rated_a
    return Demand(
        kva=picture.kva,
        kva_with_growth=picture.kva_with_growth,
        kva_required=governing.kva,
        basis=governing.basis,
        worst_phase_kva=picture.worst_phase_kva,
        k_factor=picture.k_factor,
        k_at_load=picture.k_factor * loaded**2,
        loading_pct=sized.loading_pct,
    )


def _devices(case: Case, sized: Sized, currents: Currents, regime: Regime, work: Ledger) -> DevicePlan:
    design_a = max(sized.picture.design_line_a)
    circuit = case.circuit
    need = DeviceNeed(
        primary_rated_a=currents.primary_rated_a,
        secondary_rated_a=currents.secondary_rated_a,
        primary_design_a=design_a * currents.primary_load_a / currents.secondary_load_a,
        secondary_design_a=design_a,
        kind=circuit.device_kind,
        existing_primary_a=circuit.primary_device_a,
        wanted_secondary_a=circuit.secondary_devices_a,
        covered=sized.proposal.covered,
        autotransformer=not sized.proposal.derived,
    )
    return regime.devices(need, work)


def _conductors(
    case: Case, sized: Sized, currents: Currents, protection: Protection, regime: Regime, work: Ledger
) -> tuple[RunPlan, RunPlan | None, RunPlan | None]:
    proposal, picture = sized.proposal, sized.picture
    ratio = proposal.primary.line_v / proposal.secondary.line_v
    design_a = max(picture.design_line_a)
    primary = _run_need(
        case,
        sized,
        side="primary",
        device_a=protection.primary_a or currents.primary_rated_a,
        load_a=currents.primary_load_a,
        design_a=design_a * currents.primary_load_a / currents.secondary_load_a,
    )
    planned = regime.conductors(primary, work)
    if not proposal.derived:
        return planned, None, None
    secondary = _run_need(
        case,
        sized,
        side="secondary",
        device_a=max(protection.secondary_devices_a, default=currents.secondary_rated_a),
        load_a=currents.secondary_load_a / max(len(protection.secondary_devices_a), 1),
        design_a=design_a / max(len(protection.secondary_devices_a), 1),
        before_a=None if protection.primary_a is None else protection.primary_a * ratio,
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
    before_a: float | None = None,
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
    )


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
    neutral_a = sized.picture.neutral_a
    if neutral_a is None:
        return None
    if neutral_a <= phase.ampacity_a:
        return phase
    larger = replace(need, side="neutral", load_a=neutral_a, design_a=neutral_a, device_a=0.0, before_a=None)
    return regime.conductors(larger, work)


def _run(plan: RunPlan | None) -> ConductorRun | None:
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


def _grounding(
    case: Case,
    sized: Sized,
    protection: Protection,
    primary: RunPlan,
    secondary: RunPlan | None,
    regime: Regime,
    work: Ledger,
) -> Grounding:
    proposal = sized.proposal
    need = GroundingNeed(
        primary_device_a=protection.primary_a or 0.0,
        secondary_device_a=max(protection.secondary_devices_a, default=None),
        metal=case.circuit.conductor,
        set_cmil=secondary.set_cmil if secondary else 0.0,
        total_cmil=secondary.total_cmil * max(len(protection.secondary_devices_a), 1) if secondary else 0.0,
        primary_set_cmil=primary.set_cmil,
        secondary_set_cmil=secondary.set_cmil if secondary else 0.0,
        neutral_bonded=proposal.output.neutral_v is not None or proposal.output.grounding is not None,
        derived=proposal.derived and secondary is not None,
    )
    return regime.grounding(need, work)


def _law(case: Case, sized: Sized, regime: Regime, work: Ledger) -> Efficiency:
    unit, proposal = sized.unit, sized.proposal
    need = LawNeed(
        phases=unit.phases,
        kva=unit.kva,
        primary_v=unit.primary.line_v,
        secondary_v=unit.secondary.line_v,
        frequency_hz=case.supply.frequency_hz,
        manufactured=case.choices.manufactured,
        arrangement=proposal.arrangement,
        taps_pct=unit.taps_pct,
        enclosure=unit.enclosure,
        k_rating=unit.k_rating,
    )
    return regime.law(need, work)
