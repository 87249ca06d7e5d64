"""Two separate windings on one core: the ordinary transformer, three-phase or single-phase."""

from __future__ import annotations

from turnwright.arrangements.outputs import shared_outputs
from turnwright.arrangements.proposal import Arrangement, Build, NominalSystem, NotServed, Proposal
from turnwright.circuit import connections
from turnwright.model.case import Case
from turnwright.quantities import VoltageSystem, parse_system
from turnwright.reference import load

NAME = "isolation"


def winding(text: str) -> VoltageSystem:
    """Return a winding of the notation, `480 delta`, `240 1ph`."""
    system = parse_system(text, where="winding")
    assert isinstance(system, VoltageSystem)
    return system


def propose(case: Case, nominal: tuple[NominalSystem, ...]) -> tuple[Proposal, ...] | NotServed:
    """Return the isolation transformers that serve the case, three-phase and single-phase ones."""
    outputs = shared_outputs(case, nominal)
    three = [o for o in outputs if o.system.phases == 3 and not o.system.high_leg]
    single = [o for o in outputs if o.system.phases == 1]
    found: list[Proposal] = []
    if three and case.supply.system.phases == 3:
        found.append(_three_phase(case, three[0]))
    if single and all(load.system.phases == 1 for load in case.loads):
        found.append(_single_phase(case, single[0].system))
    if found:
        return tuple(sorted(found, key=lambda proposal: proposal.rank))
    return NotServed(
        code="no-shared-voltage",
        message=(
            "No voltage system of one secondary serves all the loads together: "
            + ", ".join(sorted({load.system.text for load in case.loads}))
            + "."
        ),
        clause="ANSI C84.1",
        known="computed",
    )


def _three_phase(case: Case, output: NominalSystem) -> Proposal:
    supply_v = case.supply.system.line_v
    is_wye = output.winding == "wye"
    step_up = output.system.line_v > supply_v
    secondary = output.system if is_wye else winding(f"{output.system.line_v:g} delta")
    single_only = all(load.system.phases == 1 for load in case.loads)
    return Proposal(
        arrangement=NAME,
        phases=3,
        units=1,
        primary=winding(f"{supply_v:g} delta"),
        secondary=secondary,
        output=output.system if is_wye else secondary,
        lines=("A", "B", "C"),
        vector_group=_vector_group(is_wye, step_up),
        derived=True,
        covered=not is_wye,
        why=_why_three_phase(is_wye, single_only),
        rank=1 if single_only and _pieces(case) == 1 else 0,
        build=_build_three_phase(is_wye, step_up, supply_v, output.system.line_v),
    )


def _vector_group(is_wye: bool, step_up: bool) -> str:
    """The higher voltage comes first and leads the lower one by 30 degrees, as in ANSI practice."""
    if not is_wye:
        return "Dd0"
    return "YNd1" if step_up else "Dyn1"


def _build_three_phase(is_wye: bool, step_up: bool, primary_v: float, secondary_v: float) -> Build:
    group = ("Dyn11" if step_up else "Dyn1") if is_wye else "Dd0"
    return lambda kva, resistance_pct, reactance_pct: connections.three_phase(
        "T1", group, kva, primary_v, secondary_v, resistance_pct, reactance_pct
    )


def _why_three_phase(is_wye: bool, single_only: bool) -> str:
    if single_only:
        return "The single-phase loads are spread over three phases: no line carries more than its share."
    if is_wye:
        return "A delta winding on the supply side needs no neutral; the wye side gives a neutral of its own."
    return "Delta to delta serves three-wire three-phase loads; it gives no neutral."


def _single_phase(case: Case, output: VoltageSystem) -> Proposal:
    supply = case.supply.system
    on_lines = supply.phases == 3
    three_wire = output.wires == 3
    return Proposal(
        arrangement=NAME,
        phases=1,
        units=1,
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
        rank=0 if not on_lines or _pieces(case) == 1 else 1,
        build=_build_single_phase(three_wire, supply.line_v, output.line_v),
    )


def _build_single_phase(three_wire: bool, primary_v: float, secondary_v: float) -> Build:
    if not three_wire:
        return lambda kva, resistance_pct, reactance_pct: connections.single_phase(
            "T1", kva, primary_v, secondary_v, resistance_pct, reactance_pct
        )
    half = load("trade_practice").newest().row(key="half_winding_x_multiplier").number("value")
    return lambda kva, resistance_pct, reactance_pct: connections.single_phase_three_wire(
        "T1", kva, primary_v, secondary_v, resistance_pct, reactance_pct, float(half)
    )


def _pieces(case: Case) -> float:
    return sum(load.quantity for load in case.loads)


ISOLATION = Arrangement(
    name=NAME,
    says="separate primary and secondary windings: any ratio, a new neutral or none, the ground fault stays local",
    propose=propose,
)
