"""Starting a motor: its locked rotor as a constant impedance in the network, and what voltage is left."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import combinations
from math import inf, isfinite

from msgspec import Struct

from turnwright.circuit.elements import delta_load, load
from turnwright.circuit.network import Impedance, Network
from turnwright.circuit.solution import Solution
from turnwright.circuit.solve import solve
from turnwright.errors import InputError

ROLE = "locked-rotor motor"
TOLERANCE = 1e-10


class MotorStart(Struct, frozen=True):
    """A motor at standstill, switched on.

    dip_pct         largest fall of voltage between its nodes, of the voltage before
    supply_dip_pct  the same between the nodes of the supply
    voltage_v       lowest voltage left between its nodes
    current_a       largest line current the motor draws
    start_kva       what it draws at the voltage left
    """

    dip_pct: float
    supply_dip_pct: float
    voltage_v: float
    current_a: float
    start_kva: float
    before: Solution
    after: Solution


def motor_start(
    network: Network,
    nodes: Sequence[str],
    locked_rotor_kva: float,
    power_factor: float,
    rated_v: float,
    *,
    supply_nodes: Sequence[str],
) -> MotorStart:
    """Return the dip, %, when a motor of `locked_rotor_kva` at `rated_v` starts at two or three nodes.

    The rest of the network is as described: loads that run are there before and during the start.

    Raises:
        InputError: CIR-13, not two or three nodes; otherwise as `solve`.

    Example:
        >>> from turnwright.circuit import supply3
        >>> network = Network(60.0, (supply3("SUP", ("H1", "H2", "H3"), 480.0, 10e3, 5.0),))
        >>> start = motor_start(network, network.sources[0].nodes, 800.0, 0.3, 480.0, supply_nodes=("H1", "H2"))
        >>> round(start.dip_pct, 2)
        8.74
    """
    names = {each.name for each in network.impedances}
    name = "motor"
    while any(other.startswith(name) for other in names):
        name += "'"
    motor: tuple[Impedance, ...]
    if len(nodes) == 3:
        motor = delta_load(name, nodes, locked_rotor_kva, power_factor, rated_v, ROLE)
    elif len(nodes) == 2:
        motor = (load(name, nodes[0], nodes[1], locked_rotor_kva, power_factor, rated_v, ROLE),)
    else:
        raise InputError(
            "CIR-13", "motor", f"a motor at {len(nodes)} nodes is not known.", "Give two or three."
        )
    before = solve(network)
    after = solve(network.with_(impedances=motor))
    into = dict.fromkeys(nodes, 0j)
    for branch in motor:
        into[branch.start] += after.currents_a[branch.name]
        into[branch.end] -= after.currents_a[branch.name]
    return MotorStart(
        dip_pct(before, after, nodes),
        dip_pct(before, after, supply_nodes),
        min(abs(after.voltage_v(a, b)) for a, b in combinations(nodes, 2)),
        max(map(abs, into.values())),
        abs(sum([after.power_va(branch.name) for branch in motor])) / 1e3,
        before,
        after,
    )


def dip_pct(before: Solution, after: Solution, nodes: Sequence[str]) -> float:
    """Return the largest fall of voltage between any two of the nodes, in % of the voltage before.

    Raises:
        InputError: CIR-13, there is no voltage to fall.
    """
    worst = -inf
    for a, b in combinations(nodes, 2):
        was = abs(before.voltage_v(a, b))
        if was == 0:
            raise InputError("CIR-13", a, f"there is no voltage between {a} and {b}.", "Check the nodes.")
        worst = max(worst, 100 * (1 - abs(after.voltage_v(a, b)) / was))
    if worst == -inf:
        raise InputError("CIR-13", "nodes", "a dip needs two nodes.", "Give two or three.")
    return worst


def largest_motor_kva(
    network: Network,
    nodes: Sequence[str],
    power_factor: float,
    rated_v: float,
    dip_limit_pct: float,
    *,
    supply_nodes: Sequence[str] | None = None,
    supply_dip_limit_pct: float = 100.0,
) -> float:
    """Return the locked-rotor kVA at `rated_v` that brings the dip to its limit, never above it; kVA.

    Raises:
        InputError: CIR-13, a limit outside 0 to 100 %, or a source so stiff that no motor reaches it.

    Example:
        >>> from turnwright.circuit import supply3
        >>> network = Network(60.0, (supply3("SUP", ("H1", "H2", "H3"), 480.0, 10e3, 5.0),))
        >>> round(largest_motor_kva(network, network.sources[0].nodes, 0.3, 480.0, 8.74), -1)
        800.0
    """
    if not 0 < dip_limit_pct < 100:
        raise InputError(
            "CIR-13", "dip_limit_pct", f"it is {dip_limit_pct} %.", "It lies between 0 and 100 %."
        )

    def over(kva: float) -> bool:
        start = motor_start(network, nodes, kva, power_factor, rated_v, supply_nodes=supply_nodes or nodes)
        return start.dip_pct > dip_limit_pct or start.supply_dip_pct > supply_dip_limit_pct

    low, high = 0.0, 1.0
    while not over(high):
        low, high = high, 4 * high
        if high > 1e12:
            raise InputError(
                "CIR-13", "network", "no motor brings the voltage to its limit.", "Give it impedance."
            )
    while high - low > TOLERANCE * high:
        middle = (low + high) / 2
        low, high = (low, middle) if over(middle) else (middle, high)
    return low


def smallest_unit_kva(
    build: Callable[[float], Network],
    sizes_kva: Iterable[float],
    nodes: Sequence[str],
    locked_rotor_kva: float,
    power_factor: float,
    rated_v: float,
    dip_limit_pct: float,
) -> float | None:
    """Return the first of `sizes_kva` whose network (`build(kva)`) keeps the dip in its limit; None: none
    does.

    Raises:
        InputError: as `motor_start`.
    """
    if not isfinite(dip_limit_pct):
        raise InputError("CIR-13", "dip_limit_pct", f"it is {dip_limit_pct} %.", "It must be a number.")
    for kva in sizes_kva:
        start = motor_start(build(kva), nodes, locked_rotor_kva, power_factor, rated_v, supply_nodes=nodes)
        if start.dip_pct <= dip_limit_pct:
            return kva
    return None
