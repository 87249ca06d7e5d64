"""Pieces of an SVG drawing: each function returns one element as text."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from typing import Literal

Anchor = Literal["start", "middle", "end"]
FONT = "Inter, 'Helvetica Neue', Helvetica, Arial, sans-serif"
TEXT_SIZE = 10.5
BUMPS = 4


def number(value: float) -> str:
    """Return a coordinate, rounded to a tenth, without a minus before zero.

    Example:
        >>> number(12.04), number(-0.01), number(7)
        ('12', '0', '7')
    """
    return f"{round(value, 1) + 0.0:.1f}".removesuffix(".0")


def line(x1: float, y1: float, x2: float, y2: float, width: float = 1.0, dash: str = "") -> str:
    """Return a straight line."""
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    ends = f'x1="{number(x1)}" y1="{number(y1)}" x2="{number(x2)}" y2="{number(y2)}"'
    return f'<line {ends} stroke="#000" stroke-width="{number(width)}"{dashed}/>'


def polyline(points: Iterable[tuple[float, float]], width: float = 1.0) -> str:
    """Return a line through points."""
    ends = " ".join(f"{number(x)},{number(y)}" for x, y in points)
    return f'<polyline points="{ends}" fill="none" stroke="#000" stroke-width="{number(width)}"/>'


def dot(x: float, y: float, r: float = 2.2) -> str:
    """Return a filled dot: a joint, or the mark of a winding end."""
    return f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(r)}" fill="#000"/>'


def ring(x: float, y: float, r: float = 3.0) -> str:
    """Return an open circle: a terminal."""
    where = f'cx="{number(x)}" cy="{number(y)}" r="{number(r)}"'
    return f'<circle {where} fill="#fff" stroke="#000" stroke-width="1"/>'


def outline(x: float, y: float, r: float) -> str:
    """Return a circle with nothing in it."""
    where = f'cx="{number(x)}" cy="{number(y)}" r="{number(r)}"'
    return f'<circle {where} fill="none" stroke="#000" stroke-width="1.2"/>'


def bar(x: float, y: float, width: float, height: float) -> str:
    """Return a filled bar."""
    size = f'x="{number(x)}" y="{number(y)}" width="{number(width)}" height="{number(height)}"'
    return f'<rect {size} fill="#000"/>'


def box(x: float, y: float, width: float, height: float, dash: str = "") -> str:
    """Return an empty rectangle."""
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    size = f'x="{number(x)}" y="{number(y)}" width="{number(width)}" height="{number(height)}"'
    return f'<rect {size} fill="none" stroke="#000" stroke-width="0.8"{dashed}/>'


def words(
    x: float,
    y: float,
    text: str,
    anchor: Anchor = "start",
    size: float = TEXT_SIZE,
    bold: bool = False,
    cleared: bool = False,
) -> str:
    """Return a line of text; `y` is its base line. `cleared`: lines behind it are interrupted."""
    weight = ' font-weight="700"' if bold else ""
    weight += ' paint-order="stroke" stroke="#fff" stroke-width="4"' if cleared else ""
    where = f'x="{number(x)}" y="{number(y)}" text-anchor="{anchor}" font-size="{number(size)}"'
    return f"<text {where}{weight}>{escape(text)}</text>"


def coil(x: float, top: float, bottom: float, side: Literal["left", "right"]) -> str:
    """Return a winding between two points under each other, its turns bulging to one side."""
    step = (bottom - top) / BUMPS
    sweep = 1 if side == "right" else 0
    r = number(step / 2)
    arcs = "".join(f" a{r} {r} 0 0 {sweep} 0 {number(step)}" for _ in range(BUMPS))
    return f'<path d="M{number(x)} {number(top)}{arcs}" fill="none" stroke="#000" stroke-width="1.2"/>'


def ground(x: float, y: float) -> list[str]:
    """Return the sign of ground under a point."""
    return [
        line(x, y, x, y + 6),
        line(x - 8, y + 6, x + 8, y + 6, 1.2),
        line(x - 5, y + 9, x + 5, y + 9, 1.2),
        line(x - 2, y + 12, x + 2, y + 12, 1.2),
    ]


def drawing(width: float, height: float, elements: Iterable[str], title: str) -> str:
    """Return a whole drawing; `title` is what a reader hears who does not see it."""
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {number(width)} {number(height)}" '
        f'width="{number(width)}" height="{number(height)}" role="img" font-family="{FONT}" fill="#000">'
    )
    return "\n".join([head, f"<title>{escape(title)}</title>", *elements, "</svg>"])
