"""Harmonics through a connection: what passes to the supply, what a delta keeps, what the neutral carries."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from turnwright.circuit.network import Network
from turnwright.circuit.solution import HarmonicSolution
from turnwright.circuit.solve import solve_harmonics


class OrderFlow(Struct, frozen=True):
    """One harmonic order, rms amperes.

    supply_a   largest current of a supply line
    load_a     largest current of the load lines asked for; None without any
    delta_a    what circulates in the delta and does not reach the lines; None without one
    neutral_a  current of the neutral branch; None without one
    """

    order: int
    supply_a: float
    load_a: float | None
    delta_a: float | None
    neutral_a: float | None


class HarmonicFlow(Struct, frozen=True):
    """All orders, and what they make together.

    current_rms_a, k_factor  winding -> over all orders
    supply_thd_pct           source terminal -> distortion of its current; left out where it has no
                             fundamental
    voltage_thd_pct          node asked for -> distortion of its voltage to the reference
    neutral_rms_a            None without a neutral branch
    """

    orders: tuple[OrderFlow, ...]
    current_rms_a: dict[str, float]
    k_factor: dict[str, float]
    supply_thd_pct: dict[str, float]
    voltage_thd_pct: dict[str, float]
    neutral_rms_a: float | None
    solution: HarmonicSolution


def harmonic_flow(
    network: Network,
    orders: Iterable[int] | None = None,
    *,
    lines: Sequence[str] = (),
    delta: Sequence[str] = (),
    neutral: str | None = None,
    voltages: Iterable[tuple[str, str]] = (),
) -> HarmonicFlow:
    """Return how drawn currents of several orders spread, A and %.

    lines     branches of the load lines
    delta     branches of the windings of one delta, in order around it
    neutral   branch of the neutral conductor
    voltages  pairs of nodes whose distortion is asked for

    Raises:
        InputError: as `solve`; CIR-08, no such branch or node.
    """
    solved = solve_harmonics(network, orders)
    rows = []
    for order, solution in solved.by_order.items():
        circulating = sum([solution.current_a(name) for name in delta]) / len(delta) if delta else None
        rows.append(
            OrderFlow(
                order,
                max(abs(solution.currents_a[name]) for name in solution.sources) if solution.sources else 0.0,
                max(abs(solution.current_a(name)) for name in lines) if lines else None,
                None if circulating is None else abs(circulating),
                None if neutral is None else abs(solution.current_a(neutral)),
            )
        )
    first = next(iter(solved.by_order.values()))
    windings = [f"{core.name}.w{k}" for core in network.cores for k in range(1, len(core.windings) + 1)]
    one = solved.by_order.get(1)
    return HarmonicFlow(
        tuple(rows),
        {name: solved.current_rms_a(name) for name in windings},
        {name: solved.k_factor(name) for name in windings},
        {
            name: solved.current_thd_pct(name)
            for name in first.sources
            if one and abs(one.currents_a[name]) > 0
        },
        {node: solved.voltage_thd_pct(node, other) for node, other in voltages},
        None if neutral is None else solved.current_rms_a(neutral),
        solved,
    )
