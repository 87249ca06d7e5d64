"""The signs of a one-line diagram, drawn in our own hand: after IEC 60617 or after IEEE 315, by regime.

Each stands around (0, 0), its leads along the line that it interrupts, and reaches from -`REACH` to +`REACH`.
"""

from __future__ import annotations

from math import pi, sin

from turnwright.documents.drawing.shapes import (
    Arc,
    Circle,
    Line,
    Polyline,
    Shape,
    Symbol,
    box,
    line,
    words,
)

REACH = 14.0
UNIT_REACH = 36.0
"""The same of a transformer."""
RADIUS = 20.0
LETTERS = {"wye": "Y", "delta": "Δ", "single": "1"}


def device(fused: bool, iec: bool, x: float, y: float) -> Symbol:
    """Return the sign of a fuse or a breaker."""
    kind = "FUSE" if fused else "BREAKER"
    build = {
        (True, True): _fuse_iec,
        (True, False): _fuse_ieee,
        (False, True): _breaker_iec,
        (False, False): _breaker_ieee,
    }[fused, iec]
    return Symbol(f"{kind}_{'IEC_60617' if iec else 'IEEE_315'}", x, y, build(), "DEVICES")


def _leads(half: float) -> tuple[Line, Line]:
    return line(0, -REACH, 0, -half, layer="DEVICES"), line(0, half, 0, REACH, layer="DEVICES")


def _fuse_iec() -> tuple[Shape, ...]:
    """A box with the line through it."""
    return box(-4, -9, 8, 18, layer="DEVICES"), line(0, -REACH, 0, REACH, layer="DEVICES")


def _fuse_ieee() -> tuple[Shape, ...]:
    """One wave between two small open ends."""
    points = [(5 * sin(pi * k / 6), -8 + 16 * k / 12) for k in range(13)]
    wave = Polyline(tuple(points), 1.2, "", "DEVICES")
    return *_leads(10), *_ends(9.5), wave


def _ends(at: float) -> tuple[Circle, Circle]:
    return (
        Circle(0, -at, 1.5, "white", 1.0, "DEVICES"),
        Circle(0, at, 1.5, "white", 1.0, "DEVICES"),
    )


def _breaker_iec() -> tuple[Shape, ...]:
    """A contact that opens, and a cross at the end where it does."""
    return (
        *_leads(8),
        line(0, 8, -7, -7, 1.2, layer="DEVICES"),
        line(-3, -11, 3, -5, 1.2, layer="DEVICES"),
        line(-3, -5, 3, -11, 1.2, layer="DEVICES"),
    )


def _breaker_ieee() -> tuple[Shape, ...]:
    """An arc over the gap between two small open ends."""
    return *_leads(9), *_ends(8), Arc(-1.5, 0, 10.5, -58, 58, 1.2, "DEVICES")


def transformer(above: str, below: str, iec: bool, x: float, y: float) -> Symbol:
    """Return the sign of two windings; `above` and `below` are their connections: wye, delta, single or other."""
    build = _circles if iec else _rows
    name = f"TRANSFORMER_{_part(above)}_{_part(below)}_{'IEC_60617' if iec else 'IEEE_315'}"
    return Symbol(name, x, y, build(above, below), "DEVICES")


def _part(connection: str) -> str:
    return connection.upper() if connection in LETTERS else "OTHER"


def _circles(above: str, below: str) -> tuple[Shape, ...]:
    """Two circles that overlap, the connection written in each."""
    apart = 0.7 * RADIUS
    return (
        line(0, -UNIT_REACH, 0, -apart - RADIUS, layer="DEVICES"),
        Circle(0, -apart, RADIUS, "none", 1.2, "DEVICES"),
        Circle(0, apart, RADIUS, "none", 1.2, "DEVICES"),
        line(0, apart + RADIUS, 0, UNIT_REACH, layer="DEVICES"),
        words(0, -apart - 2, LETTERS.get(above, ""), "middle", layer="DEVICES"),
        words(0, apart + 9, LETTERS.get(below, ""), "middle", layer="DEVICES"),
    )


def _rows(above: str, below: str) -> tuple[Shape, ...]:
    """Two rows of turns that face each other, the connection written beside each."""
    r, gap, count = 7.0, 5.0, 3
    lefts = [(2 * k - count + 1) * r for k in range(count)]
    upper = [Arc(at, -gap - r, r, 0, 180, 1.2, "DEVICES") for at in lefts]
    lower = [Arc(at, gap + r, r, 180, 360, 1.2, "DEVICES") for at in lefts]
    edge = gap + r
    return (
        line(0, -UNIT_REACH, 0, -edge, layer="DEVICES"),
        *upper,
        line(-count * r, -1.5, count * r, -1.5, layer="CORES"),
        line(-count * r, 1.5, count * r, 1.5, layer="CORES"),
        *lower,
        line(0, edge, 0, UNIT_REACH, layer="DEVICES"),
        *_beside(above, -edge, count * r),
        *_beside(below, edge, count * r),
    )


def _beside(connection: str, y: float, x: float) -> tuple[Shape, ...]:
    """The sign of a connection beside a row of turns: three lines from a star point, or a triangle."""
    at = x + 14
    if connection == "wye":
        return (
            line(at, y, at, y + 7, layer="DEVICES"),
            line(at, y, at - 6, y - 5, layer="DEVICES"),
            line(at, y, at + 6, y - 5, layer="DEVICES"),
        )
    if connection == "delta":
        corners = ((at - 7, y + 5), (at + 7, y + 5), (at, y - 7), (at - 7, y + 5))
        return (Polyline(corners, 1.0, "", "DEVICES"),)
    return (words(at, y + 4, LETTERS.get(connection, ""), "middle", layer="DEVICES"),)
