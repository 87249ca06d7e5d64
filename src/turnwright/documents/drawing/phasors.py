"""The phasor sketch of a connection: its windings as arrows between the potentials of their ends."""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping, Sequence

from turnwright.circuit import Network, solve, supply1, supply3
from turnwright.circuit.connections import Place
from turnwright.documents.drawing import shapes
from turnwright.documents.drawing.connection_of import Joined
from turnwright.documents.drawing.shapes import Shape

RADIUS = 36.0
NEAR = 12.0
"""Spots closer than this share one name."""
_X_OVER_R = 5.0  # without load no current flows: any value gives the same sketch
_HZ = 60.0


def potentials(joined: Joined, supply_v: float) -> dict[str, complex]:
    """Return the no-load voltage of every terminal and joint, H1 or the first supply line upwards. [V]"""
    if joined.three_phase:
        lines = (joined.supply[0], joined.supply[1], joined.supply[2])
        network = Network(_HZ, sources=(supply3("S", lines, supply_v, math.inf, _X_OVER_R),))
    else:
        ends = (joined.supply[0], joined.supply[1])
        network = Network(_HZ, sources=(supply1("S", *ends, supply_v, math.inf, _X_OVER_R),))
    solution = solve(network.with_(cores=joined.connection.cores))
    return {node: volts * 1j for node, volts in solution.voltages_v.items()}


def sketch(
    places: Sequence[Place], at: Mapping[str, complex], x: float, y: float, radius: float = RADIUS
) -> list[Shape]:
    """Return windings as arrows around a centre, from the other end of each to its dotted one."""
    nodes = list(dict.fromkeys(node for place in places for node in (place.dot, place.other)))
    if not nodes:
        return []
    middle = _middle([at[node] for node in nodes])
    largest = max(abs(at[node] - middle) for node in nodes)
    spots = {node: (at[node] - middle) / largest * radius for node in nodes}
    elements: list[Shape] = []
    for place in places:
        tail, head = spots[place.other], spots[place.dot]
        elements += _arrow(x + tail.real, y - tail.imag, x + head.real, y - head.imag)
    free = _free_angle([spot for spot in spots.values() if abs(spot) >= NEAR])
    return elements + [_name(", ".join(names), spot, x, y, free) for names, spot in _named(spots)]


def _free_angle(spots: Sequence[complex]) -> float:
    """Return the direction that lies farthest from all spots: where a name in the middle is not crossed. [rad]"""
    angles = sorted(cmath.phase(spot) % math.tau for spot in spots)
    if not angles:
        return 0.0
    ends = [*angles[1:], angles[0] + math.tau]
    gap, start = max((round(end - start, 6), start) for start, end in zip(angles, ends, strict=True))
    return start + gap / 2


def _named(spots: Mapping[str, complex]) -> list[tuple[list[str], complex]]:
    """Return the names to write and where; those that would cover each other stand together, at the outermost."""
    found: list[tuple[list[str], complex]] = []
    outer_first = sorted(spots.items(), key=lambda one: -round(abs(one[1]), 6))
    for node, spot in outer_first:
        if "." in node:
            continue
        near = next((names for names, there in found if abs(there - spot) < NEAR), None)
        if near is None:
            found.append(([node], spot))
        else:
            near.append(node)
    return found


def _middle(points: list[complex]) -> complex:
    """Return the middle of the box around points."""
    xs, ys = [point.real for point in points], [point.imag for point in points]
    return complex((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)


def _arrow(x1: float, y1: float, x2: float, y2: float) -> list[Shape]:
    angle = math.atan2(y2 - y1, x2 - x1)
    wing = 6.0
    elements: list[Shape] = [shapes.line(x1, y1, x2, y2, 1.2, layer="PHASORS")]
    for turn in (2.7, -2.7):
        elements.append(
            shapes.line(x2, y2, x2 + wing * math.cos(angle + turn), y2 + wing * math.sin(angle + turn), 1.0)
        )
    return elements


def _name(node: str, spot: complex, x: float, y: float, free: float) -> Shape:
    middle = abs(spot) < NEAR
    away = spot + cmath.rect(16.0 if middle else 11.0, free if middle else cmath.phase(spot))
    anchor: shapes.Anchor = "middle" if abs(away.real) < 12 else "start" if away.real > 0 else "end"
    return shapes.words(x + away.real, y - away.imag + 4, node, anchor)
