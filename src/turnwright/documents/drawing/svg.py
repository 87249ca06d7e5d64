"""A drawing as SVG: black lines, and a text that says the same."""

from __future__ import annotations

from collections.abc import Callable
from html import escape
from math import cos, radians, sin
from typing import Any

from turnwright.documents.drawing.shapes import (
    BUMPS,
    Arc,
    Circle,
    Coil,
    Drawing,
    Line,
    Polyline,
    Rectangle,
    Words,
    flat,
)

FONT = "Inter, 'Helvetica Neue', Helvetica, Arial, sans-serif"
LETTER_SHARE = 0.52
"""Width of a letter as a share of its height, as texts have it on average."""
FILLS = {"black": ' fill="#000"', "white": ' fill="#fff"', "none": ' fill="none"'}


def written(drawing: Drawing) -> str:
    """Return a drawing as the text of an SVG file; same drawing, same text."""
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {number(drawing.width)} {number(drawing.height)}" '
        f'width="{number(drawing.width)}" height="{number(drawing.height)}" role="img" font-family="{FONT}" '
        f'fill="#000">'
    )
    elements = [_WRITERS[type(shape)](shape) for shape in flat(drawing.shapes)]
    return "\n".join([head, f"<title>{escape(drawing.title)}</title>", *elements, "</svg>"])


def number(value: float) -> str:
    """Return a coordinate, rounded to a tenth, without a minus before zero.

    Example:
        >>> number(12.04), number(-0.01), number(7)
        ('12', '0', '7')
    """
    return f"{round(value, 1) + 0.0:.1f}".removesuffix(".0")


def _dashed(dash: str) -> str:
    return f' stroke-dasharray="{dash}"' if dash else ""


def _line(shape: Line) -> str:
    ends = f'x1="{number(shape.x1)}" y1="{number(shape.y1)}" x2="{number(shape.x2)}" y2="{number(shape.y2)}"'
    return f'<line {ends} stroke="#000" stroke-width="{number(shape.width)}"{_dashed(shape.dash)}/>'


def _polyline(shape: Polyline) -> str:
    ends = " ".join(f"{number(x)},{number(y)}" for x, y in shape.points)
    stroke = f'stroke="#000" stroke-width="{number(shape.width)}"{_dashed(shape.dash)}'
    return f'<polyline points="{ends}" fill="none" {stroke}/>'


def _arc(shape: Arc) -> str:
    (x1, y1), (x2, y2) = (
        (shape.x + shape.r * cos(radians(angle)), shape.y + shape.r * sin(radians(angle)))
        for angle in (shape.start_deg, shape.end_deg)
    )
    large = int(abs(shape.end_deg - shape.start_deg) > 180)
    sweep = int(shape.end_deg > shape.start_deg)
    r = number(shape.r)
    path = f"M{number(x1)} {number(y1)} A{r} {r} 0 {large} {sweep} {number(x2)} {number(y2)}"
    return f'<path d="{path}" fill="none" stroke="#000" stroke-width="{number(shape.width)}"/>'


def _circle(shape: Circle) -> str:
    where = f'cx="{number(shape.x)}" cy="{number(shape.y)}" r="{number(shape.r)}"'
    stroke = f' stroke="#000" stroke-width="{number(shape.width)}"' if shape.width else ""
    return f"<circle {where}{FILLS[shape.fill]}{stroke}/>"


def _rectangle(shape: Rectangle) -> str:
    size = f'x="{number(shape.x)}" y="{number(shape.y)}" width="{number(shape.width)}" height="{number(shape.height)}"'
    if shape.filled:
        return f'<rect {size} fill="#000"/>'
    return f'<rect {size} fill="none" stroke="#000" stroke-width="0.8"{_dashed(shape.dash)}/>'


def _words(shape: Words) -> str:
    weight = ' font-weight="700"' if shape.bold else ""
    where = f'x="{number(shape.x)}" y="{number(shape.y)}" text-anchor="{shape.anchor}"'
    written = f'<text {where} font-size="{number(shape.size)}"{weight}>{escape(shape.text)}</text>'
    return f"{_cleared(shape)}\n{written}" if shape.cleared else written


def _cleared(shape: Words) -> str:
    """Return a white field behind a text; a white outline of its letters would eat them in some programs."""
    wide = LETTER_SHARE * shape.size * len(shape.text)
    left = shape.x - {"start": 0.0, "middle": wide / 2, "end": wide}[shape.anchor]
    size = f'width="{number(wide)}" height="{number(shape.size * 1.1)}"'
    return f'<rect x="{number(left)}" y="{number(shape.y - shape.size * 0.85)}" {size} fill="#fff"/>'


def _coil(shape: Coil) -> str:
    step = (shape.bottom - shape.top) / BUMPS
    sweep = 1 if shape.side == "right" else 0
    r = number(step / 2)
    arcs = "".join(f" a{r} {r} 0 0 {sweep} 0 {number(step)}" for _ in range(BUMPS))
    start = f"M{number(shape.x)} {number(shape.top)}"
    return f'<path d="{start}{arcs}" fill="none" stroke="#000" stroke-width="1.2"/>'


_WRITERS: dict[type[Any], Callable[[Any], str]] = {
    Line: _line,
    Polyline: _polyline,
    Arc: _arc,
    Circle: _circle,
    Rectangle: _rectangle,
    Words: _words,
    Coil: _coil,
}
