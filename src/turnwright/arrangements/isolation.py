"""Two separate windings on one core: the ordinary transformer, three-phase or single-phase."""

from __future__ import annotations

from turnwright.arrangements.outputs import accepts, delta_of, same_volts, shared_outputs, winding
from turnwright.arrangements.proposal import Arrangement, Build, NominalSystem, NotServed, Proposal
from turnwright.circuit import connections
from turnwright.model.case import Case
from turnwright.quantities import VoltageSystem
from turnwright.reference import load

NAME = "isolation"


def propose(case: Case, nominal: tuple[NominalSystem, ...]) -> tuple[Proposal, ...] | NotServed:
    """Return the isolation transformers that serve the case, three-phase and single-phase ones.

    Several equal units in parallel where a number of units is insisted on.
    """
    outputs = shared_outputs(case, nominal)
    three = [o for o in outputs if o.system.phases == 3 and not o.system.high_leg]
    single = [o for o in outputs if o.system.phases == 1]
    units = case.choices.units or 1
    found: list[Proposal] = []
    if three and case.supply.system.phases == 3:
        found.append(_three_phase(case, three[0], units))
    if single and all(load.system.phases == 1 for load in case.loads):
        wye = bool(three) and three[0].winding == "wye"
        found.append(_single_phase(case, _for_one_piece(case, single), units, _least_spread(wye)))
    if found:
        return tuple(sorted(found, key=lambda proposal: proposal.rank))
    return not_shared(case)


def not_shared(case: Case) -> NotServed:
    """Return why no one secondary serves the loads: the one insisted on, or none there is."""
    chosen = case.choices.secondary
    if chosen is not None:
        cannot = [load for load in case.loads if not accepts(chosen, load)]
        wanted = ", ".join(f"{load.label} ({load.system.text})" for load in cannot)
        reason = (
            f"these cannot run on it: {wanted}"
            if cannot
            else "it takes a winding with its middle brought out"
        )
        return NotServed(
            code="secondary-does-not-serve",
            message=f"A {chosen.text} secondary is insisted on; {reason}.",
            known="computed",
        )
    wanted = ", ".join(sorted({load.system.text for load in case.loads}))
    return NotServed(
        code="no-shared-voltage",
        message=f"No voltage system of one secondary serves all the loads together: {wanted}.",
        known="computed",
    )


def _three_phase(case: Case, output: NominalSystem, units: int) -> Proposal:
    supply_v = case.supply.system.line_v
    is_wye = output.winding == "wye"
    step_up = output.system.line_v > supply_v
    secondary = output.system if is_wye else winding(f"{output.system.line_v:g} delta")
    single_only = all(load.system.phases == 1 for load in case.loads)
    return Proposal(
        arrangement=NAME,
        phases=3,
        unit_phases=3,
        units=units,
        primary=winding(f"{supply_v:g} delta"),
        secondary=secondary,
        output=output.system if is_wye else delta_of(case, float(output.system.line_v)),
        lines=("A", "B", "C"),
        vector_group=vector_group(is_wye, step_up),
        derived=True,
        covered=not is_wye,
        why=_why_three_phase(is_wye, single_only, units),
        rank=1 if single_only and _pieces(case) < _least_spread(is_wye) else 0,
        build=build_three_phase(is_wye, step_up, float(supply_v), float(output.system.line_v), units),
        share=1 / units,
        drop_share=1 / units,
    )


def vector_group(is_wye: bool, step_up: bool) -> str:
    """Return the vector group: the higher voltage comes first and leads the lower by 30 degrees, as ANSI has it."""
    if not is_wye:
        return "Dd0"
    return "YNd1" if step_up else "Dyn1"


def build_three_phase(
    is_wye: bool, step_up: bool, primary_v: float, secondary_v: float, units: int = 1
) -> Build:
    """Return the builder of a delta primary with a wye or delta secondary; equal units in parallel count as one."""
    group = ("Dyn11" if step_up else "Dyn1") if is_wye else "Dd0"
    return lambda kva, resistance_pct, reactance_pct: connections.three_phase(
        "T1", group, kva * units, primary_v, secondary_v, resistance_pct, reactance_pct
    )


def _why_three_phase(is_wye: bool, single_only: bool, units: int) -> str:
    if units > 1:
        return f"{units} equal units in parallel share the load; same impedance, taps and vector group."
    if single_only:
        return "The single-phase loads are spread over three phases: no line carries more than its share."
    if is_wye:
        return "A delta winding on the supply side needs no neutral; the wye side gives a neutral of its own."
    return "Delta to delta serves three-wire three-phase loads; it gives no neutral."


def _for_one_piece(case: Case, single: list[NominalSystem]) -> VoltageSystem:
    """Return the first system; for one piece that would load half of its winding only, the one of two wires.

    The coils of a single-phase unit are then linked in parallel, and the piece has all of its rating.
    """
    first = single[0].system
    load = case.loads[0]
    wanted = load.system
    whole = wanted.wires != 2 or same_volts(first.line_v, wanted.line_v)
    if _pieces(case) != 1 or load.lines is not None or whole:
        return first
    return next((one.system for one in single if same_volts(one.system.line_v, wanted.line_v)), first)


def _single_phase(case: Case, output: VoltageSystem, units: int, least_spread: int) -> Proposal:
    supply = case.supply.system
    on_lines = supply.phases == 3
    three_wire = output.wires == 3
    return Proposal(
        arrangement=NAME,
        phases=1,
        unit_phases=1,
        units=units,
        primary=winding(f"{supply.line_v:g} 1ph"),
        secondary=output,
        output=output,
        lines=("A", "B"),
        vector_group=None,
        derived=True,
        covered=not three_wire,
        why=(
            "A single-phase unit on two lines of the supply; the third line carries nothing."
            if on_lines
            else "A single-phase unit on the single-phase supply."
        ),
        rank=0 if not on_lines or _pieces(case) < least_spread else 1,
        build=build_single_phase(three_wire, float(supply.line_v), float(output.line_v), units),
        share=1 / units,
        drop_share=1 / units,
    )


def build_single_phase(three_wire: bool, primary_v: float, secondary_v: float, units: int = 1) -> Build:
    """Return the builder of a single-phase unit, its middle brought out where `three_wire`."""
    if not three_wire:
        return lambda kva, resistance_pct, reactance_pct: connections.single_phase(
            "T1", kva * units, primary_v, secondary_v, resistance_pct, reactance_pct
        )
    ratio = half_reactance_ratio()
    return lambda kva, resistance_pct, reactance_pct: connections.single_phase_three_wire(
        "T1", kva * units, primary_v, secondary_v, resistance_pct, reactance_pct, ratio
    )


def half_reactance_ratio() -> float:
    """Return the reactance to half a winding over that to the whole, by common practice. [-]"""
    return float(load("trade_practice").newest().row(key="half_winding_x_multiplier").number("value"))


def _least_spread(is_wye: bool) -> int:
    """Pieces from which single-phase loads are spread over three phases.

    Two of them leave a third of a delta idle that gives no neutral either: a single-phase unit does it with less.
    """
    return 2 if is_wye else 3


def _pieces(case: Case) -> float:
    """Pieces that may run at the same time; of two loads that exclude each other the more numerous counts."""
    named = {load.name: load for load in case.loads if load.name is not None}
    excluded = {
        frozenset((load.index, other.index)): min(load.quantity, other.quantity)
        for load in case.loads
        if load.never_with is not None and (other := named.get(load.never_with)) is not None
    }
    return sum(load.quantity for load in case.loads) - sum(excluded.values())


ISOLATION = Arrangement(
    name=NAME,
    says="separate primary and secondary windings: any ratio, a new neutral or none, the ground fault stays local",
    propose=propose,
)
