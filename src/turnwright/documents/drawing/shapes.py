"""What a drawing consists of: shapes on named layers, in units of a quarter of a millimetre, y downwards.

A drawing is made once of these and written twice: as SVG by `drawing.svg`, as DXF by `writers.dxf`.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, TypeAlias, get_args

from msgspec import Struct
from msgspec.structs import replace

Anchor = Literal["start", "middle", "end"]
Side = Literal["left", "right"]
Layer = Literal[
    "CONDUCTORS",
    "WINDINGS",
    "CORES",
    "TERMINALS",
    "JOINTS",
    "DEVICES",
    "GROUNDING",
    "PHASORS",
    "OUTLINES",
    "TEXT",
]
LAYERS: tuple[Layer, ...] = get_args(Layer)
TEXT_SIZE = 10.5
BUMPS = 4
Data: TypeAlias = tuple[tuple[str, str], ...]
"""What a shape stands for, as tag and value: the node of a terminal, the ends of a winding."""
Point = tuple[float, float]


class Line(Struct, frozen=True):
    """A straight line."""

    x1: float
    y1: float
    x2: float
    y2: float
    width: float
    dash: str
    layer: Layer


class Polyline(Struct, frozen=True):
    """A line through points."""

    points: tuple[Point, ...]
    width: float
    dash: str
    layer: Layer


class Arc(Struct, frozen=True):
    """Part of a circle, from one angle to the other, counted from the right and turning with y downwards. [deg]"""

    x: float
    y: float
    r: float
    start_deg: float
    end_deg: float
    width: float
    layer: Layer


class Circle(Struct, frozen=True):
    """A circle: a joint (filled), a terminal (open), a part of a sign (nothing in it)."""

    x: float
    y: float
    r: float
    fill: Literal["black", "white", "none"]
    width: float
    layer: Layer
    data: Data = ()


class Rectangle(Struct, frozen=True):
    """A rectangle, filled or empty."""

    x: float
    y: float
    width: float
    height: float
    filled: bool
    dash: str
    layer: Layer


class Words(Struct, frozen=True):
    """A line of text; `y` is its base line. `cleared`: lines behind it are interrupted."""

    x: float
    y: float
    text: str
    anchor: Anchor
    size: float
    bold: bool
    cleared: bool
    layer: Layer


class Coil(Struct, frozen=True):
    """A winding between two points under each other, its turns bulging to one side."""

    x: float
    top: float
    bottom: float
    side: Side
    layer: Layer
    data: Data = ()


class Symbol(Struct, frozen=True):
    """A sign of a standard: its name, where it stands, and its shapes around (0, 0)."""

    name: str
    x: float
    y: float
    shapes: tuple[Shape, ...]
    layer: Layer


Shape: TypeAlias = Line | Polyline | Arc | Circle | Rectangle | Words | Coil | Symbol


class Drawing(Struct, frozen=True):
    """A whole drawing; `title` is what a reader hears who does not see it."""

    width: float
    height: float
    shapes: tuple[Shape, ...]
    title: str


def line(
    x1: float,
    y1: float,
    x2: float,
    y2: float,
    width: float = 1.0,
    dash: str = "",
    layer: Layer = "CONDUCTORS",
) -> Line:
    """Return a straight line."""
    return Line(x1, y1, x2, y2, width, dash, layer)


def polyline(
    points: Iterable[Point], width: float = 1.0, dash: str = "", layer: Layer = "OUTLINES"
) -> Polyline:
    """Return a line through points."""
    return Polyline(tuple(points), width, dash, layer)


def dot(x: float, y: float, r: float = 2.2, layer: Layer = "JOINTS", data: Data = ()) -> Circle:
    """Return a filled dot: a joint, or the mark of a winding end."""
    return Circle(x, y, r, "black", 0.0, layer, data)


def ring(x: float, y: float, r: float = 3.0, data: Data = ()) -> Circle:
    """Return an open circle: a terminal."""
    return Circle(x, y, r, "white", 1.0, "TERMINALS", data)


def bar(x: float, y: float, width: float, height: float) -> Rectangle:
    """Return a filled bar."""
    return Rectangle(x, y, width, height, True, "", "OUTLINES")


def box(
    x: float, y: float, width: float, height: float, dash: str = "", layer: Layer = "OUTLINES"
) -> Rectangle:
    """Return an empty rectangle."""
    return Rectangle(x, y, width, height, False, dash, layer)


def words(
    x: float,
    y: float,
    text: str,
    anchor: Anchor = "start",
    size: float = TEXT_SIZE,
    bold: bool = False,
    cleared: bool = False,
    layer: Layer = "TEXT",
) -> Words:
    """Return a line of text."""
    return Words(x, y, text, anchor, size, bold, cleared, layer)


def coil(x: float, top: float, bottom: float, side: Side, data: Data = ()) -> Coil:
    """Return a winding."""
    return Coil(x, top, bottom, side, "WINDINGS", data)


def ground(x: float, y: float) -> Symbol:
    """Return the sign of ground under a point."""
    shapes = (
        line(0, 0, 0, 6, layer="GROUNDING"),
        line(-8, 6, 8, 6, 1.2, layer="GROUNDING"),
        line(-5, 9, 5, 9, 1.2, layer="GROUNDING"),
        line(-2, 12, 2, 12, 1.2, layer="GROUNDING"),
    )
    return Symbol("GROUND", x, y, shapes, "GROUNDING")


def flat(shapes: Iterable[Shape]) -> list[Shape]:
    """Return shapes with the signs among them as their own shapes, in their place."""
    found: list[Shape] = []
    for shape in shapes:
        if isinstance(shape, Symbol):
            found += [moved(inner, shape.x, shape.y) for inner in flat(shape.shapes)]
        else:
            found.append(shape)
    return found


def moved(shape: Shape, x: float, y: float) -> Shape:
    """Return a shape elsewhere.

    Example:
        >>> moved(dot(1.0, 2.0), 10.0, 0.0).x
        11.0
    """
    if isinstance(shape, Line):
        return replace(shape, x1=shape.x1 + x, x2=shape.x2 + x, y1=shape.y1 + y, y2=shape.y2 + y)
    if isinstance(shape, Polyline):
        return replace(shape, points=tuple((at + x, down + y) for at, down in shape.points))
    if isinstance(shape, Coil):
        return replace(shape, x=shape.x + x, top=shape.top + y, bottom=shape.bottom + y)
    return replace(shape, x=shape.x + x, y=shape.y + y)
