"""One unit for one case: the only place where sizing, circuit, law and rules meet."""

from __future__ import annotations

from functools import lru_cache

from msgspec import Struct
from msgspec.structs import replace

from turnwright.model.case import Case
from turnwright.model.result import (
    Blocks,
    BuckBoost,
    Conductors,
    Currents,
    Demand,
    Fault,
    Finding,
    Pick,
)
from turnwright.model.unit import Unit
from turnwright.regimes import Facts, Regime, Rule, run
from turnwright.regimes.common.build import heavy_end_kg, heavy_parts
from turnwright.selection import sizing
from turnwright.selection.currents import currents_of, full_load_kva
from turnwright.selection.electrical import faults_of, load_flow, voltage_of
from turnwright.selection.needs import SAME
from turnwright.selection.remarks import remarks_of, unsaid
from turnwright.selection.screen import Sized, rating_below, size_up
from turnwright.selection.tap import tap_for
from turnwright.working import CLOSED, Ledger


class Evaluation(Struct, frozen=True, kw_only=True):
    """A unit judged: the numbers of the answer and what there is to say about it."""

    sized: Sized
    blocks: Blocks
    findings: tuple[Finding, ...]

    refused_by: tuple[Finding, ...]


def evaluate(case: Case, sized: Sized, regime: Regime, work: Ledger) -> Evaluation:
    """Return the complete answer with one unit."""
    blocks, planned = _numbers(case, sized, regime, work)
    found = (*planned, *run(regime.rules, _facts(case, sized, blocks), regime.rule_table))
    found += unsaid(remarks_of(case, sized, blocks, regime), found)
    forbidding = {rule.id for rule in _forbidding(regime.rules)}
    return Evaluation(
        sized=sized,
        blocks=blocks,
        findings=found,
        refused_by=tuple(f for f in found if f.severity == "stop" and f.code in forbidding),
    )


def numbers_if_allowed(case: Case, sized: Sized, regime: Regime) -> Blocks | None:
    """Return the numbers of the answer with one unit; None where a rule forbids it."""
    blocks, _ = _numbers(case, sized, regime, CLOSED)
    heard = run(_forbidding(regime.rules), _facts(case, sized, blocks), regime.rule_table)
    return None if any(found.severity == "stop" for found in heard) else blocks


def _numbers(case: Case, sized: Sized, regime: Regime, work: Ledger) -> tuple[Blocks, tuple[Finding, ...]]:
    """The numbers of the answer, and what the procedures of devices and conductors found."""
    flow = load_flow(case, sized)
    currents = currents_of(sized, flow.line_load_a, work)
    plan = sizing.devices(case, sized, currents, regime, work)
    fault = _fault(case, sized, regime, work)
    protection = replace(plan.protection, interrupting_min_a=fault.maximum_a)
    primary, secondary, neutral = sizing.conductors(case, sized, currents, protection, regime, work)
    blocks = Blocks(
        pick=pick_of(case, sized, currents, regime, work),
        demand=_demand(case, sized, currents, regime),
        currents=currents,
        protection=protection,
        conductors=Conductors(
            primary=sizing.run(primary), secondary=sizing.run(secondary), neutral=sizing.run(neutral)
        ),
        grounding=sizing.grounding(case, sized, protection, primary, secondary, regime, work),
        fault=fault,
        voltage=voltage_of(case, sized, flow, regime, work),
        efficiency=sizing.law(case, sized, regime, work),
    )
    return blocks, (*plan.findings, *primary.findings, *(secondary.findings if secondary else ()))


def _facts(case: Case, sized: Sized, blocks: Blocks) -> Facts:
    return Facts(case=case, proposal=sized.proposal, unit=sized.unit, picture=sized.picture, blocks=blocks)


@lru_cache(maxsize=32)
def _forbidding(rules: tuple[Rule, ...]) -> tuple[Rule, ...]:
    return tuple(rule for rule in rules if rule.refuses)


def _fault(case: Case, sized: Sized, regime: Regime, work: Ledger) -> Fault:
    """The faults at the output; what stands beside the line adds none to those of the supply."""
    if sized.proposal.shunt:
        nothing: dict[str, None] = dict.fromkeys(Fault.__struct_fields__)
        return Fault(**nothing | {"primary_a": case.supply.fault_current_a})
    multiple = regime.practice.row(key="motor_fault_multiple").number("value")
    found = faults_of(case, sized, multiple, work, regime.voltage_factor)
    if sized.proposal.share == 1.0:
        return found
    behind_a = found.secondary_a
    if case.supply.fault_current_a is not None:
        stiff = replace(case, supply=replace(case.supply, fault_current_a=None))
        behind_a = faults_of(stiff, sized, multiple, CLOSED, regime.voltage_factor).secondary_a
    says = "solved circuit: bolted fault at the output behind an ideal supply"
    noted = work.note("fault.infinite_source_a", behind_a, "A", says, "computed")
    return replace(found, infinite_source_a=noted)


def pick_of(case: Case, sized: Sized, currents: Currents, regime: Regime, work: Ledger) -> Pick:
    """Return the unit as it would be ordered."""
    unit, proposal = sized.unit, sized.proposal
    tap = tap_for(case, unit.taps_pct, float(unit.primary.line_v)).tap_pct if unit.taps_pct else None
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
        taps=tuple(tap_text(each) for each in unit.taps_pct),
        tap=None if tap is None else tap_text(tap),
        enclosure=unit.enclosure,
        availability=regime.availability(unit.phases, unit.kva, unit.primary.text, unit.secondary.text),
        sound_limit_db=unit.sound_db,
        heat_w=None,
        mass_kg=_mass_kg(unit, work),
        lines=None,
        buck_boost=_buck_boost(sized, currents, work),
        insulation_c=None if unit.insulation_c is None else float(unit.insulation_c),
    )


def _mass_kg(unit: Unit, work: Ledger) -> float:
    """Return the mass of one unit: its own, else the heavy end of what is usual, to plan floor and hoist by. [kg]"""
    if unit.mass_kg is not None:
        return float(unit.mass_kg)
    heavy: float = work.calc("pick.mass_kg", heavy_end_kg, **heavy_parts(unit))
    return heavy


def tap_text(tap_pct: float) -> str:
    """Return a tap as it is written: "+2.5 %", "0 %"."""
    return f"{tap_pct:+g} %" if tap_pct else "0 %"


def _buck_boost(sized: Sized, currents: Currents, work: Ledger) -> BuckBoost | None:
    proposal = sized.proposal
    if proposal.winding_v is None:
        return None
    through = work.calc(
        "pick.buck_boost.through_kva",
        full_load_kva(proposal.phases),
        current_a=currents.secondary_load_a,
        voltage_v=proposal.output.line_v,
    )
    return BuckBoost(
        winding_v=proposal.winding_v, output_v=float(proposal.output.line_v), through_kva=float(through)
    )


def _demand(case: Case, sized: Sized, currents: Currents, regime: Regime) -> Demand:
    picture, governing = sized.picture, sized.governing
    loaded = currents.secondary_load_a / currents.secondary_rated_a
    return Demand(
        kva=picture.kva,
        kva_with_growth=picture.kva_with_growth,
        kva_required=governing.kva,
        basis="insisted" if _only_insisted(case, sized, regime) else _basis_but_heat(case, sized, regime),
        worst_phase_kva=picture.worst_phase_kva,
        k_factor=picture.k_factor,
        k_at_load=picture.k_factor * loaded**2,
        loading_pct=sized.loading_pct,
    )


def _basis(case: Case, sized: Sized, regime: Regime) -> str:
    """What set the size: the need that the next smaller rating does not meet, where it is not the pick's own.

    A smaller unit may have another X/R, and drop more than its size alone says.
    """
    smaller = rating_below(sized, regime)
    if smaller is None or smaller < sized.governing.kva or case.choices.kva is not None:
        return sized.governing.basis
    below = size_up(case, sized.proposal, sized.picture, smaller, sized.derating, regime)
    return sized.governing.basis if below.fits else below.governing.basis


def _basis_but_heat(case: Case, sized: Sized, regime: Regime) -> str:
    """What set the size; heat where harmonics ask for a little more than it, but not for another size."""
    basis = _basis(case, sized, regime)
    if basis != "harmonics":
        return basis
    below_kva = rating_below(sized, regime) or 0.0
    return "heat" if sized.heat_kva > below_kva * (1 + SAME) else basis


def _only_insisted(case: Case, sized: Sized, regime: Regime) -> bool:
    """A smaller preferred rating would do: nothing but somebody's wish sets the size."""
    kva = case.choices.kva
    if kva is None or kva != sized.unit.kva:
        return False
    smaller = rating_below(sized, regime)
    return smaller is not None and sized.governing.kva <= smaller
