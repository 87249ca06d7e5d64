"""Loads whose current depends on their own voltage: constant power, constant current.

In the equations such a load is a small admittance y; what it draws beyond y V is an extra current found here.
Seen from the loads the rest of the network is linear, V = E + Z ΔI, so Newton's method runs on as many unknowns
as there are loads. The loads are raised from none in steps, halved where one fails. A step counts only while the
determinant of the Jacobian keeps the sign it has without load: past the most that can be carried, where the
voltage is the lower of two, it has the other.
"""

from __future__ import annotations

from cmath import exp
from math import radians

from turnwright.circuit.layout import Layout
from turnwright.circuit.linear import Factors, PlainFactors, Row, Singular, sparse
from turnwright.circuit.network import EARTH, Load, Network, PowerLoad, Source1
from turnwright.errors import InputError

FIRST_STEP, LEAST_STEP = 0.5, 1e-4
MOST_ITERATIONS = 25


def stand_in_siemens(network: Network, load: Load) -> complex:
    """Return the small admittance that stands for a load in the equations, S."""
    highest = max((s.voltage_v if isinstance(s, Source1) else s.line_v for s in network.sources), default=1.0)
    volts = 10.0 * (highest or 1.0)
    if isinstance(load, PowerLoad):
        return complex(load.power_w, -load.reactive_var) / volts**2
    return abs(load.current_a) / volts + 0j


def extra_currents(layout: Layout, rhs: Row, factors: Factors) -> tuple[dict[str, complex], int]:
    """Return what each load draws beyond its stand-in, A, and the number of steps taken.

    Raises:
        InputError: CIR-07, the network cannot carry the loads.
    """
    loads = layout.network.loads
    base = factors.solve(rhs)
    unit = [factors.solve(draw([0j] * len(rhs), layout, load, 1 + 0j)) for load in loads]
    at_none = [_across(layout, load, base) for load in loads]
    z = [[_across(layout, load, x) for x in unit] for load in loads]
    stand_in = [stand_in_siemens(layout.network, load) for load in loads]
    taken, share, step = 0, 0.0, FIRST_STEP
    volts = at_none
    while share < 1.0 and step >= LEAST_STEP:
        goal = min(1.0, share + step)
        next_volts, used = _newton(loads, goal, z, stand_in, at_none, volts)
        taken += used
        if next_volts is None:
            step /= 2
        else:
            volts, share = next_volts, goal
    if share == 1.0:
        beyond = [_target(load, 1.0, v) - y * v for load, v, y in zip(loads, volts, stand_in, strict=True)]
        return {load.name: current for load, current in zip(loads, beyond, strict=True)}, taken
    weakest = min(range(len(loads)), key=lambda k: abs(at_none[k]))
    where = loads[weakest]
    raise InputError(
        "CIR-07",
        where.name,
        f"no voltage between {where.start} and {where.end} lets all constant loads be carried.",
        "Reduce the loads, or describe them as constant impedances.",
    )


def draw(rhs: Row, layout: Layout, load: Load, current_a: complex) -> Row:
    """Return the right-hand side with a current drawn at a load's terminals (changed in place)."""
    tied = {part[0] for part in layout.floating}
    if load.start != EARTH and load.start not in tied:
        rhs[layout.number[load.start]] -= current_a
    if load.end != EARTH and load.end not in tied:
        rhs[layout.number[load.end]] += current_a
    return rhs


def _across(layout: Layout, load: Load, x: Row) -> complex:
    volts = [*x, 0j]
    return volts[layout.number[load.start]] - volts[layout.number[load.end]]


def _target(load: Load, share: float, volts: complex) -> complex:
    """Return the current a load draws at its voltage, A."""
    if isinstance(load, PowerLoad):
        return (share * complex(load.power_w, load.reactive_var) / volts).conjugate()
    return share * load.current_a * exp(-1j * radians(load.lag_deg)) * volts / abs(volts)


def _slopes(load: Load, share: float, volts: complex) -> tuple[complex, complex]:
    """Return the derivatives of the current by the voltage and by its conjugate."""
    if isinstance(load, PowerLoad):
        return 0j, -(share * complex(load.power_w, load.reactive_var)).conjugate() / volts.conjugate() ** 2
    along = share * load.current_a * exp(-1j * radians(load.lag_deg)) / (2 * abs(volts))
    return along, -along * volts / volts.conjugate()


def _newton(
    loads: tuple[Load, ...], share: float, z: list[Row], stand_in: Row, at_none: Row, volts: Row
) -> tuple[Row | None, int]:
    """Return the voltages at the loads for a share of their size, None where there is no answer."""
    count = len(loads)
    goal = 1e-13 * max(map(abs, at_none))
    last = float("inf")
    for step in range(1, MOST_ITERATIONS + 1):
        if min(map(abs, volts)) <= goal:
            return None, step
        beyond = [_target(k, share, v) - y * v for k, v, y in zip(loads, volts, stand_in, strict=True)]
        miss = [
            v - e - sum([a * i for a, i in zip(row, beyond, strict=True)])
            for v, e, row in zip(volts, at_none, z, strict=True)
        ]
        size = max(map(abs, miss))
        slopes = [_slopes(k, share, v) for k, v in zip(loads, volts, strict=True)]
        rows: list[Row] = []
        for i, row in enumerate(z):
            own = [-a * (s - y) for a, (s, _), y in zip(row, slopes, stand_in, strict=True)]
            own[i] += 1.0
            rows.append(own + [-a * c for a, (_, c) in zip(row, slopes, strict=True)])
        rows += [[a.conjugate() for a in row[count:] + row[:count]] for row in rows]
        try:
            factors = PlainFactors(sparse(rows))
        except Singular:
            return None, step
        # rounding may keep the last digit moving: stop where it no longer shrinks
        if size <= goal or (size <= 1e3 * goal and size >= last):
            return (volts if factors.turn().real > 0 else None), step
        last = size
        step_by = factors.solve([-m for m in miss] + [-m.conjugate() for m in miss])
        volts = [v + d for v, d in zip(volts, step_by, strict=False)]
    return None, MOST_ITERATIONS
