"""How much balanced load would drop the volts of a three-phase unit as far as its single-phase loads do."""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt
from typing import NamedTuple

from turnwright.demand import LoadPicture
from turnwright.working import formula

PAIRS = ("AB", "BC", "CA")
LINES = ("A", "B", "C")
OWN_PAIR, OTHER_PAIR = 2.0, 0.5
"""Drop between two lines by a load there, and by one between two others, over that of the same load balanced."""
OWN_LINE, ACROSS = 3.0, 1.5
"""Drop to neutral by a load there; between two lines by one to neutral at either, and the other way round."""
SKEW = sqrt(3) / 2
"""What comes on top by the loads beside a place that do not balance each other, times the tangent of the angle."""


class Place(NamedTuple):
    """What drops the volts at one place: loads there, loads elsewhere, loads elsewhere that are not balanced. [kVA]"""

    own_kva: float
    other_kva: float
    skew_kva: float


@formula("S_3 + Σ factor · S + √3/2 · |tan(θ_Z − φ)| · |ΔS|", "kVA", "phasors through three equal impedances")
def dropping_kva(
    three_phase_kva: float, own_kva: float, other_kva: float, skew_kva: float, tangent: float
) -> float:
    """Return the balanced load that drops the worst of the volts as far as the loads do. [kVA]

    three_phase_kva : three-phase load [kVA]
    own_kva         : of single-phase loads where it drops most, times their factor [kVA]
    other_kva       : of those elsewhere, times their factor [kVA]
    skew_kva        : by how much those on one side of the place exceed those on the other [kVA]
    tangent         : of the angle between impedance and load current [-]
    Source: geometry; one line-to-line load on a three-phase unit drops twice as far as the same load balanced

    Example:
        >>> dropping_kva(0.0, own_kva=2.0 * 60.0, other_kva=0.5 * 60.0, skew_kva=60.0, tangent=0.0)
        150.0
    """
    return three_phase_kva + own_kva + other_kva + SKEW * abs(tangent) * skew_kva


def angle_tangent(resistance_pct: float, reactance_pct: float, power_factor: float) -> float:
    """Return the tangent of the angle between an impedance and a lagging current. [-]

    Example:
        >>> round(angle_tangent(resistance_pct=4.0, reactance_pct=3.0, power_factor=0.6), 4)
        -0.2917
    """
    sine = sqrt(1 - power_factor**2)
    along = resistance_pct * power_factor + reactance_pct * sine
    return (reactance_pct * power_factor - resistance_pct * sine) / along


def worst_place(picture: LoadPicture, tangent: float) -> dict[str, float]:
    """Return the inputs of `dropping_kva` at the place where they come to most."""
    placed = _placed(picture)
    three_kva = float(picture.on_kva) - sum(placed.values())

    def inputs(place: Place) -> dict[str, float]:
        return {"three_phase_kva": three_kva, **place._asdict(), "tangent": tangent}

    return max(map(inputs, _places(placed)), key=lambda each: dropping_kva(**each))


def _placed(picture: LoadPicture) -> dict[str, float]:
    """The single-phase load by its lines while all is on, with growth; empty where there is none."""
    counted = [picture.loads[index] for index in picture.counted]
    plain = sum(float(load.running_on_kva) for load in counted)
    scale = float(picture.on_kva) / plain if plain else 0.0
    on_kva = {load.index: float(load.running_on_kva) * scale for load in counted}
    pieces: dict[int, int] = {}
    for one in picture.placements:
        pieces[one.load] = pieces.get(one.load, 0) + one.pieces
    found: dict[str, float] = {}
    for one in picture.placements:
        if one.pieces and one.load in on_kva:
            share = on_kva[one.load] * one.pieces / pieces[one.load]
            found[one.lines] = found.get(one.lines, 0.0) + share
    return found


def _places(placed: dict[str, float]) -> Iterator[Place]:
    """Yield each place that has single-phase load; none at all where there is none."""
    if not placed:
        yield Place(0.0, 0.0, 0.0)
    pair = {lines: placed.get(lines, 0.0) for lines in PAIRS}
    line = {name: placed.get(name, 0.0) for name in LINES}
    for lines in placed:
        beside = [pair[each] for each in PAIRS if each != lines and set(each) & set(lines)]
        if lines in pair:
            at = [line[name] for name in lines]
            yield Place(
                OWN_PAIR * pair[lines],
                OTHER_PAIR * sum(beside) + ACROSS * sum(at),
                abs(beside[0] - beside[1]) + abs(at[0] - at[1]),
            )
        elif lines in line:
            yield Place(OWN_LINE * line[lines], ACROSS * sum(beside), abs(beside[0] - beside[1]))
