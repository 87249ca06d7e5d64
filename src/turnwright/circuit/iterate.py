"""Loads whose current depends on their own voltage: constant power, constant current.

In the equations such a load is a small admittance y; what it draws beyond y V is an extra current found
here. Seen from the loads the rest of the network is linear, V = E + Z ΔI, so Newton's method runs on as many
unknowns as there are loads. The load is raised in steps from none, which keeps to the solution that has the
higher voltage.
"""

from __future__ import annotations

from cmath import exp
from math import radians

from turnwright.circuit.layout import Layout
from turnwright.circuit.linear import Factors, Row, Singular, factorize
from turnwright.circuit.network import EARTH, Load, Network, PowerLoad, Source1
from turnwright.errors import InputError

STEPS = ((0.5, 1.0), (0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0))
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
    volts_at_none = [_across(layout, load, base) for load in loads]
    z = [[_across(layout, load, x) for x in unit] for load in loads]
    stand_in = [stand_in_siemens(layout.network, load) for load in loads]
    taken = 0
    for steps in STEPS:
        volts: Row | None = volts_at_none
        for share in steps:
            volts, used = _newton(loads, share, z, stand_in, volts_at_none, volts or volts_at_none)
            taken += used
            if volts is None:
                break
        if volts is not None:
            return {
                load.name: _target(load, 1.0, v) - y * v
                for load, v, y in zip(loads, volts, stand_in, strict=True)
            }, taken
    weakest = min(range(len(loads)), key=lambda k: abs(volts_at_none[k]))
    where = loads[weakest]
    raise InputError(
        "CIR-07",
        where.name,
        f"no voltage between {where.start} and {where.end} lets all constant loads be carried.",
        "Reduce the loads, or describe them as constant impedances.",
    )


def draw(rhs: Row, layout: Layout, load: Load, current: complex) -> Row:
    """Return the right-hand side with a current drawn at a load's terminals (changed in place)."""
    tied = {part[0] for part in layout.floating}
    if load.start != EARTH and load.start not in tied:
        rhs[layout.number[load.start] - 1] -= current
    if load.end != EARTH and load.end not in tied:
        rhs[layout.number[load.end] - 1] += current
    return rhs


def _across(layout: Layout, load: Load, x: Row) -> complex:
    start, end = layout.number[load.start], layout.number[load.end]
    return (x[start - 1] if start else 0j) - (x[end - 1] if end else 0j)


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
        # rounding may keep the last digit moving: stop where it no longer shrinks
        if size <= goal or (size <= 1e3 * goal and size >= last):
            return volts, step
        last = size
        slopes = [_slopes(k, share, v) for k, v in zip(loads, volts, strict=True)]
        rows: list[Row] = []
        for i, row in enumerate(z):
            own = [-a * (s - y) for a, (s, _), y in zip(row, slopes, stand_in, strict=True)]
            own[i] += 1.0
            rows.append(own + [-a * c for a, (_, c) in zip(row, slopes, strict=True)])
        rows += [[a.conjugate() for a in row[count:] + row[:count]] for row in rows]
        try:
            step_by = factorize(rows).solve([-m for m in miss] + [-m.conjugate() for m in miss])
        except Singular:
            return None, step
        volts = [v + d for v, d in zip(volts, step_by, strict=False)]
    return None, MOST_ITERATIONS
