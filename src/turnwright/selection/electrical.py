"""What the circuit of a pick says: supply line currents, voltages at the load, fault currents."""

from __future__ import annotations

from functools import lru_cache
from itertools import combinations
from math import acos, degrees

from msgspec import Struct

from turnwright.arrangements import Proposal
from turnwright.circuit import CurrentLoad, Network, Solution, solve
from turnwright.circuit.ports import Pair, Ports, ports
from turnwright.circuit.studies.fault import infinite_bus_fault_a
from turnwright.circuit.studies.motor_start import motor_start
from turnwright.circuit.thevenin import thevenin
from turnwright.errors import InputError
from turnwright.model.case import Case
from turnwright.model.result import Fault, Voltage
from turnwright.model.unit import Impedance, Unit
from turnwright.regimes import Regime
from turnwright.selection.currents import full_load
from turnwright.selection.network import EARTH, LINE_NODES, NEUTRAL, SUPPLY_NODES, load_elements, network_of
from turnwright.selection.screen import Sized
from turnwright.selection.starting import hardest_start
from turnwright.working import Ledger, formula


class LoadFlow(Struct, frozen=True, kw_only=True):
    """The circuit at the load with growth: line currents of the supply, volts at the secondary."""

    line_load_a: tuple[float, ...]
    secondary_v: float
    no_load_v: float


@formula("solved circuit: line currents at the load with growth", "A")
def supply_lines_a(
    solved_a: tuple[float, ...], solved_secondary_a: float, secondary_load_a: float
) -> tuple[float, ...]:
    """Return the line currents of the supply, never below what the cautious sum of the loads implies. [A]

    solved_a           : line currents of the supply in the solved circuit [A]
    solved_secondary_a : largest line current of the secondary there [A]
    secondary_load_a   : the same by the cautious sum, unknown angles in line [A]
    Source: the solved currents, scaled up so that none falls below the cautious sum

    Example:
        >>> supply_lines_a((10.0, 10.0, 0.0), 20.0, 22.0)
        (11.0, 11.0, 0.0)
    """
    scale = max(secondary_load_a / solved_secondary_a, 1.0) if solved_secondary_a else 1.0
    return tuple(current * scale for current in solved_a)


@formula("(V_0 − V_load) / V_0 · 100", "%", "IEC 60076-1; on the no-load voltage")
def regulation_pct(no_load_v: float, loaded_v: float) -> float:
    """Return the voltage regulation on the no-load voltage. [%]

    no_load_v : secondary volts without load [V]
    loaded_v  : secondary volts at the load [V]

    Example:
        >>> round(regulation_pct(no_load_v=208.0, loaded_v=200.3), 2)
        3.7
    """
    return (no_load_v - loaded_v) / no_load_v * 100


@formula("I_fault + multiple · I_motors", "A")
def with_motors_a(worst_a: float, motor_full_load_a: float, motor_multiple: float) -> float:
    """Return a fault current with what running motors add, magnitudes in line. [A]

    worst_a           : fault current through the transformer, worst type at the low impedance [A]
    motor_full_load_a : full-load current of the motors of the load [A]
    motor_multiple    : fault current of a running motor over its full-load current [-]
    Source: motors feed back about their starting current for the first cycles; the multiple carries it

    Example:
        >>> with_motors_a(worst_a=6000.0, motor_full_load_a=100.0, motor_multiple=4.0)
        6400.0
    """
    return worst_a + motor_multiple * motor_full_load_a


@lru_cache(maxsize=4)
def _solved(network: Network) -> Solution:
    """The last few are kept: a job with another answer to a question mostly has the same circuit."""
    return solve(network)


def load_flow(case: Case, sized: Sized, *, on_value: bool = False) -> LoadFlow:
    """Solve the circuit at the load with growth, supply stiff, impedance at the end that drops most.

    Loads of unknown angle take the one that drops most in the transformer.
    """
    proposal, picture, z = sized.proposal, sized.picture, sized.unit.for_drop
    worst_lag_deg = degrees(acos(min(z.resistance_pct / z.magnitude_pct, 1.0)))
    loads = load_elements(case, proposal, picture, worst_lag_deg, on_value)
    network = network_of(case, proposal, sized.unit.kva, z, None).with_(loads=loads)
    solution = _solved(network)
    lines = SUPPLY_NODES if case.supply.system.phases == 3 else SUPPLY_NODES[:2]
    return LoadFlow(
        line_load_a=_supply_lines(solution, lines, sized, loads),
        secondary_v=_lowest_v(solution, sized),
        no_load_v=float(proposal.output.line_v),
    )


def _supply_lines(
    solution: Solution, lines: tuple[str, ...], sized: Sized, loads: tuple[CurrentLoad, ...]
) -> tuple[float, ...]:
    solved = tuple(abs(solution.current_a(f"SUP:{node}")) for node in lines)
    entering: dict[str, complex] = {}
    for load in loads:
        current = solution.current_a(load.name)
        entering[load.start] = entering.get(load.start, 0j) + current
        entering[load.end] = entering.get(load.end, 0j) - current
    largest = max(abs(entering.get(node, 0j)) for node in LINE_NODES.values())
    return supply_lines_a(solved, largest, max(sized.picture.line_a))


def _lowest_v(solution: Solution, sized: Sized) -> float:
    """Lowest voltage between lines at the secondary terminals."""
    nodes = list(LINE_NODES.values())[: 3 if sized.proposal.phases == 3 else 2]
    pairs = [(a, b) for i, a in enumerate(nodes) for b in nodes[i + 1 :]]
    return min(abs(solution.voltage_v(a, b)) for a, b in pairs)


def voltage_of(case: Case, sized: Sized, flow: LoadFlow, regime: Regime, work: Ledger) -> Voltage:
    """Return no-load and loaded volts of the secondary and the regulation; duty loads while they are on."""
    picture = sized.picture
    if picture.on_kva > picture.kva_with_growth * (1 + 1e-9):
        flow = load_flow(case, sized, on_value=True)
    regulation = work.calc(
        "voltage.regulation_pct", regulation_pct, no_load_v=flow.no_load_v, loaded_v=flow.secondary_v
    )
    return Voltage(
        secondary_no_load_v=flow.no_load_v,
        secondary_full_load_v=flow.secondary_v,
        regulation_pct=regulation,
        start_dip_pct=_start_dip_pct(case, sized, regime, work),
    )


def _start_dip_pct(case: Case, sized: Sized, regime: Regime, work: Ledger) -> float | None:
    """The dip at the secondary when the hardest motor starts alone, its locked rotor in line with the impedances.

    An unknown supply counts as a weak one.
    """
    start = hardest_start(case, sized.picture, regime, work)
    if start is None:
        return None
    unit, proposal, supply = sized.unit, sized.proposal, case.supply
    fault_a = supply.fault_current_low_a
    if fault_a is None:
        weak = regime.practice.row(key="weak_source_multiple").number("value")
        through_kva = max(unit.kva, sized.picture.kva_with_growth)
        fault_a = full_load(supply.system.phases or 3)(kva=through_kva * weak, voltage_v=supply.line_v)
    network = network_of(case, proposal, unit.kva, unit.for_drop, fault_a)
    nodes, rated_v = _motor_terminals(proposal, sized.picture.loads[start.load].place)
    seen = thevenin(network, nodes[0], nodes[1])[1]
    found = motor_start(
        network,
        nodes,
        float(start.kva),
        min(seen.real / abs(seen), 1.0),
        rated_v,
        supply_nodes=SUPPLY_NODES[: supply.system.phases if supply.system.phases == 3 else 2],
    )
    says = "solved circuit: locked rotor of the largest motor at the secondary"
    noted: float = work.note(
        "voltage.start_dip_pct", found.dip_pct, "%", says, "computed", start_kva=start.kva
    )
    return noted


def _motor_terminals(proposal: Proposal, place: str) -> tuple[tuple[str, ...], float]:
    """The nodes of the secondary that a motor stands at, and the volts between two of them."""
    first, second, third = LINE_NODES.values()
    output = proposal.output
    if place == "line to neutral" and output.neutral_v is not None:
        return (first, NEUTRAL), float(output.neutral_v)
    if place == "three-phase":
        return (first, second, third), float(output.line_v)
    return (first, second), float(output.line_v)


@formula("c · I_k", "A", "IEC 60909-0")
def raised_a(current_a: float, voltage_factor: float) -> float:
    """Return a fault current with the driving voltage raised by the factor c. [A]

    current_a      : at the nominal voltage [A]
    voltage_factor : c; 1 where the regime has none [-]
    Source: IEC 60909-0

    Example:
        >>> raised_a(current_a=1000.0, voltage_factor=1.1)
        1100.0
    """
    return current_a * voltage_factor


def faults_of(
    case: Case, sized: Sized, motor_multiple: float, work: Ledger, voltage_factor: float = 1.0
) -> Fault:
    """Return the fault currents at the secondary terminals.

    At the given source and impedance; `maximum_a` is the worst type at the low tolerance of the impedance, with what
    running motors add.

    motor_multiple : fault current that running motors add, of their full-load current [-]
    voltage_factor : by which the regime raises the driving voltage (factor c) [-]
    """
    unit, proposal = sized.unit, sized.proposal
    z = unit.nominal or unit.for_faults
    nominal = _terminals(case, sized, z, voltage_factor)
    low = (
        nominal if unit.nominal is None else _terminals(case, sized, _tolerance_low(unit, z), voltage_factor)
    )
    worst_a = low.worst_a
    has_neutral = proposal.output.neutral_v is not None and bool(nominal.to_ground)
    factor = {"voltage_factor": voltage_factor} if voltage_factor != 1.0 else {}
    rated_a = full_load(proposal.phases)(kva=unit.kva, voltage_v=proposal.secondary.line_v)
    motors_a = full_load(proposal.phases)(kva=sized.picture.motors_kva, voltage_v=proposal.secondary.line_v)
    says = "solved circuit: bolted fault at the secondary terminals"

    def noted(name: str, current_a: float) -> float:
        found: float = work.note(name, raised_a(current_a, voltage_factor), "A", says, "computed", **factor)
        return found

    return Fault(
        secondary_a=noted("fault.secondary_a", nominal.lines_a),
        line_ground_a=noted("fault.line_ground_a", nominal.ground_a) if has_neutral else None,
        maximum_a=(
            None
            if worst_a is None
            else work.calc(
                "fault.maximum_a",
                with_motors_a,
                worst_a=raised_a(worst_a, voltage_factor),
                motor_full_load_a=motors_a,
                motor_multiple=motor_multiple,
            )
        ),
        primary_a=case.supply.fault_current_a,
        x_over_r=nominal.seen.x_over_r(nominal.between[0]),
        infinite_source_a=_infinite_source_a(rated_a, z, voltage_factor, work),
    )


def _infinite_source_a(rated_a: float, z: Impedance, voltage_factor: float, work: Ledger) -> float:
    name = "fault.infinite_source_a"
    current_a: float = work.calc(
        name, infinite_bus_fault_a, full_load_a=rated_a, impedance_pct=z.magnitude_pct
    )
    if voltage_factor == 1.0:
        return current_a
    raised: float = work.calc(name, raised_a, current_a=float(current_a), voltage_factor=voltage_factor)
    return raised


class Terminals(Struct, frozen=True):
    """The circuit as faults at the secondary see it: from between its lines, and from lines to ground."""

    seen: Ports
    between: tuple[Pair, ...]
    to_ground: tuple[Pair, ...]

    @property
    def lines_a(self) -> float:
        """The current of the line that carries most in a fault between all lines. [A]"""
        shorts = self.seen.short_a(self.between[:2])
        return max(abs(current) for current in (*shorts, sum(shorts)))

    @property
    def ground_a(self) -> float:
        """The current of a fault from a line to ground. [A]"""
        return abs(self.seen.short_a(self.to_ground[:1])[0])

    @property
    def worst_a(self) -> float | None:
        """The largest current of one line in any type of fault; None where nothing limits it. [A]"""
        faults: list[tuple[Pair, ...]] = [(pair,) for pair in (*self.between, *self.to_ground)]
        faults.extend(combinations(self.to_ground, 2))
        if len(self.to_ground) == 3:
            faults.append(self.to_ground)
        try:
            currents = [abs(current) for shorted in faults for current in self.seen.short_a(shorted)]
        except InputError:
            return None
        return max(self.lines_a, *currents)


def _terminals(case: Case, sized: Sized, z: Impedance, voltage_factor: float) -> Terminals:
    """The secondary terminals of a unit.

    The fault current of the supply is told with the factor c in it (Z_Q = c · V / I), so that the circuit at c times
    the volts is c times the circuit with a supply of I / c.
    """
    given_a = case.supply.fault_current_a
    supply_a = None if given_a is None else given_a / voltage_factor
    proposal = sized.proposal
    network = network_of(case, proposal, sized.unit.kva, z, supply_a)
    nodes = tuple(LINE_NODES.values())[: 3 if proposal.phases == 3 else 2]
    return _seen(network, nodes, _ground_of(proposal))


@lru_cache(maxsize=4)
def _seen(network: Network, nodes: tuple[str, ...], ground: str | None) -> Terminals:
    """The circuit from between its lines and from lines to ground; without the latter where no current can return,
    as behind a common winding whose star is not brought out."""
    between = tuple((node, nodes[-1]) for node in nodes[:-1])
    if len(nodes) == 3:
        between = (*between, (nodes[0], nodes[1]))
    to_ground = tuple((node, ground) for node in nodes) if ground else ()
    try:
        return Terminals(ports(network, (*between, *to_ground)), between, to_ground)
    except InputError:
        if not to_ground:
            raise
        return Terminals(ports(network, between), between, ())


def _ground_of(proposal: Proposal) -> str | None:
    """Where a fault to ground returns: the bonded neutral, the ground of the supply where a line passes straight
    through, nowhere on an output that floats."""
    if proposal.output.neutral_v is not None:
        return NEUTRAL
    return EARTH if not proposal.derived and not proposal.shunt else None


def _tolerance_low(unit: Unit, z: Impedance) -> Impedance:
    share = 1 - unit.impedance_tolerance_pct / 100
    return Impedance(z.resistance_pct * share, z.reactance_pct * share)
