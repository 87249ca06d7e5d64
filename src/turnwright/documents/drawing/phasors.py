"""The phasor sketch of a connection: its windings as arrows between the potentials of their ends."""

from __future__ import annotations

import cmath
import math

from turnwright.circuit import Network, solve, supply1, supply3
from turnwright.circuit.connections import Place
from turnwright.documents.drawing import svg
from turnwright.documents.drawing.connection_of import Joined

RADIUS = 42.0
_X_OVER_R = 5.0  # without load no current flows: any value gives the same sketch
_HZ = 60.0


def potentials(joined: Joined, supply_v: float) -> dict[str, complex]:
    """Return the no-load voltage of every terminal and joint, H1 or the first supply line upwards. [V]"""
    if joined.three_phase:
        source = supply3("S", (joined.supply[0], joined.supply[1], joined.supply[2]), supply_v, math.inf, _X_OVER_R)
        turn = 1j
    else:
        source = supply1("S", joined.supply[0], joined.supply[1], supply_v, math.inf, _X_OVER_R)
        turn = 1j
    solution = solve(Network(_HZ, sources=(source,), cores=joined.connection.cores))
    return {node: volts * turn for node, volts in solution.voltages_v.items()}


def sketch(joined: Joined, at: dict[str, complex], x: float, y: float, side: str) -> list[str]:
    """Return the sketch of one side around a centre, as large as the other side's."""
    places = [place for place in joined.connection.places if _on(place, joined, side)]
    nodes = list(dict.fromkeys(node for place in places for node in (place.dot, place.other)))
    if not nodes:
        return []
    middle = _middle([at[node] for node in nodes])
    largest = max(abs(at[node] - middle) for node in nodes)
    if largest == 0:
        return []
    spots = {node: (at[node] - middle) / largest * RADIUS for node in nodes}
    elements = []
    for place in places:
        tail, head = spots[place.other], spots[place.dot]
        elements += _arrow(x + tail.real, y - tail.imag, x + head.real, y - head.imag)
    for node, spot in spots.items():
        if "." not in node:
            elements.append(_name(node, spot, x, y))
    return elements


def _on(place: Place, joined: Joined, side: str) -> bool:
    """Tell whether a winding belongs to the sketch of a side; a winding in series belongs to both."""
    terminals = {*joined.supply, joined.supply_neutral} if side == "supply" else {*joined.load, joined.load_neutral}
    inner = {end for end in (place.dot, place.other) if "." in end}
    ends = {place.dot, place.other}
    if inner:
        same = "primary" if (joined.supply == joined.connection.terminals.get("primary")) == (side == "supply") else "secondary"
        return place.side == same
    return ends <= terminals


def _middle(points: list[complex]) -> complex:
    """Return the middle of the box around points."""
    xs, ys = [point.real for point in points], [point.imag for point in points]
    return complex((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)


def _arrow(x1: float, y1: float, x2: float, y2: float) -> list[str]:
    angle = math.atan2(y2 - y1, x2 - x1)
    wing = 6.0
    elements = [svg.line(x1, y1, x2, y2, 1.2)]
    for turn in (2.7, -2.7):
        elements.append(
            svg.line(x2, y2, x2 + wing * math.cos(angle + turn), y2 + wing * math.sin(angle + turn), 1.0)
        )
    return elements


def _name(node: str, spot: complex, x: float, y: float) -> str:
    if abs(spot) < RADIUS / 4:
        return svg.words(x + spot.real + 6, y - spot.imag + 12, node)
    away = spot + cmath.rect(11.0, cmath.phase(spot))
    anchor: svg.Anchor = "middle" if abs(away.real) < 12 else "start" if away.real > 0 else "end"
    return svg.words(x + away.real, y - away.imag + 4, node, anchor)
