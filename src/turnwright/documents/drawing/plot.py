"""Plots in black: axes with units, curves, points and limits, each labelled where it stands.

Limits are upright lines, their labels in rows above the frame; labels of curves stand to the right of it, each at the
end of its curve, moved apart where they would cover each other.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import ceil, floor, isfinite, log10
from typing import Literal, NamedTuple

from turnwright.documents.drawing import shapes, svg
from turnwright.documents.drawing.shapes import Drawing, Point, Shape
from turnwright.documents.report import Figure

WIDTH, LEFT, RIGHT = 700.0, 62.0, 500.0
HEIGHT, LOG_HEIGHT = 210.0, 400.0
ROW, TOP, SMALL = 12.5, 20.0, 9.0
LETTER = 4.9
"""Width of a letter of the small text, on the wide side."""
ALIKE = 1e-4
"""Values that differ by no more than this share of them are drawn as one: nobody reads ticks of nine digits."""
TICKS = 6
BESIDE: dict[str, tuple[float, float, shapes.Anchor]] = {
    "right": (7.0, 3.0, "start"),
    "left": (-7.0, 3.0, "end"),
    "above": (0.0, -7.0, "middle"),
    "below": (0.0, 14.0, "middle"),
}
"""Where the label of a point stands from it."""
LEADER = "1 2"
"""Dots from a curve to its label: never taken for the curve going on."""
DASHES = ("", "6 3", "2 2", "8 2 2 2", "1 3", "10 4")


Place = Literal["right", "left", "above", "below"]


class Axis(NamedTuple):
    """An axis: its ends, straight or logarithmic, what stands on it and its unit."""

    low: float
    high: float
    name: str
    unit: str
    log: bool = False

    @property
    def title(self) -> str:
        """Name and unit."""
        return f"{self.name}, {self.unit}" if self.unit else self.name

    def share(self, value: float) -> float:
        """Return where a value lies between the ends, 0 to 1."""
        if self.log:
            return (log10(value) - log10(self.low)) / (log10(self.high) - log10(self.low))
        return (value - self.low) / (self.high - self.low)


class Curve(NamedTuple):
    """A line through points, with its label; `peak`: the label belongs to the largest value, not to the end."""

    points: tuple[Point, ...]
    label: str
    dash: str = ""
    width: float = 1.3
    peak: bool = False


class Limit(NamedTuple):
    """An upright line at a value, with its label."""

    at: float
    label: str
    dash: str = "3 2"


class Mark(NamedTuple):
    """A point with its label; `open_` ones are of the trade, filled ones solved."""

    x: float
    y: float
    label: str
    open_: bool = True
    place: Place = "right"


class Band(NamedTuple):
    """A stretch between two values, over part of the height, with its label inside."""

    low: float
    high: float
    y_low: float
    y_high: float
    label: str


class Plot(NamedTuple):
    """Everything on one pair of axes."""

    x: Axis
    y: Axis
    curves: Sequence[Curve] = ()
    limits: Sequence[Limit] = ()
    marks: Sequence[Mark] = ()
    bands: Sequence[Band] = ()


def figure(plot: Plot, caption: str, said: str = "") -> Figure:
    """Return a plot as a figure; `said` tells what it shows to those who do not see it."""
    drawn = drawing(plot, said or f"{caption}: {in_words(plot)}")
    return Figure(svg.written(drawn), drawn.title, caption, width=90)


def in_words(plot: Plot) -> str:
    """Return what stands in a plot."""
    axes = f"{plot.y.title} over {plot.x.title}"
    labels = [
        *(one.label for one in plot.limits),
        *(one.label for one in plot.curves if one.label),
        *(one.label for one in plot.marks),
        *(one.label for one in plot.bands),
    ]
    return f"{axes}. {'; '.join(labels)}." if labels else f"{axes}."


def drawing(plot: Plot, title: str) -> Drawing:
    """Return a plot as a drawing."""
    top = TOP + ROW * len(plot.limits)
    height = LOG_HEIGHT if plot.y.log else HEIGHT
    frame = _Frame(plot.x, plot.y, top, top + height)
    elements: list[Shape] = [*frame.axes(), *_bands(frame, plot.bands), *_limits(frame, plot.limits)]
    for curve in plot.curves:
        for piece in frame.inside(curve.points):
            elements.append(shapes.polyline(piece, curve.width, curve.dash))
    elements += _labels(frame, plot.curves)
    elements += [shape for mark in plot.marks for shape in _mark(frame, mark)]
    return Drawing(WIDTH, frame.bottom + 34, tuple(elements), title)


class _Frame:
    """Where values lie on the paper."""

    def __init__(self, x: Axis, y: Axis, top: float, bottom: float) -> None:
        self.x, self.y, self.top, self.bottom = x, y, top, bottom

    def at(self, x: float, y: float) -> Point:
        across, up = self.x.share(x), self.y.share(y)
        return LEFT + (RIGHT - LEFT) * across, self.bottom - (self.bottom - self.top) * up

    def axes(self) -> Iterator[Shape]:
        yield shapes.box(LEFT, self.top, RIGHT - LEFT, self.bottom - self.top)
        for value, label in ticks(self.x):
            across = self.at(value, self.y.low)[0]
            yield shapes.line(across, self.bottom, across, self.bottom + (5 if label else 3), 0.8)
            if label:
                yield shapes.words(across, self.bottom + 15, label, "middle", SMALL)
        for value, label in ticks(self.y):
            up = self.at(self.x.low, value)[1]
            yield shapes.line(LEFT - (5 if label else 3), up, LEFT, up, 0.8)
            if label:
                yield shapes.words(LEFT - 8, up + 3, label, "end", SMALL)
        yield shapes.words((LEFT + RIGHT) / 2, self.bottom + 29, self.x.title, "middle", SMALL + 0.5)
        yield shapes.words(LEFT - 56, self.top - 11, self.y.title, "start", SMALL + 0.5)

    def inside(self, points: Sequence[Point]) -> list[list[Point]]:
        """Return the pieces of a line that lie within the frame, as they are drawn."""
        pieces: list[list[Point]] = []
        placed = [self.at(*point) for point in points]
        for start, end in pairwise(placed):
            cut = self._cut(start, end)
            if cut is None:
                continue
            if pieces and pieces[-1][-1] == cut[0]:
                pieces[-1].append(cut[1])
            else:
                pieces.append([*cut])
        return pieces

    def _cut(self, start: Point, end: Point) -> tuple[Point, Point] | None:
        """Return the part of a straight line within the frame."""
        low, high = 0.0, 1.0
        steps = (
            (end[0] - start[0], LEFT - start[0], RIGHT - start[0]),
            (end[1] - start[1], self.top - start[1], self.bottom - start[1]),
        )
        for step, near, far in steps:
            if step == 0:
                if near > 0 or far < 0:
                    return None
                continue
            ends = sorted((near / step, far / step))
            low, high = max(low, ends[0]), min(high, ends[1])
        if low > high:
            return None
        return tuple(  # type: ignore[return-value]
            (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))
            for share in (low, high)
        )


def ticks(axis: Axis) -> Iterator[tuple[float, str]]:
    """Yield where ticks stand, and what is written at them; nothing at the small ones.

    Example:
        >>> [label for _, label in ticks(Axis(0.0, 10.0, "load", "kVA")) if label]
        ['0', '2', '4', '6', '8', '10']
        >>> [label for _, label in ticks(Axis(0.1, 100.0, "time", "s", log=True)) if label]
        ['0.1', '1', '10', '100']
    """
    if axis.log:
        wide = log10(axis.high / axis.low) > 2
        for power in range(floor(log10(axis.low)), ceil(log10(axis.high)) + 1):
            for factor in range(1, 10):
                value = factor * 10.0**power
                if axis.low * (1 - 1e-9) <= value <= axis.high * (1 + 1e-9):
                    named = factor == 1 or (not wide and factor in (2, 3, 5))
                    yield value, f"{value:g}" if named else ""
        return
    step = _step((axis.high - axis.low) / TICKS)
    first = ceil(axis.low / step - 1e-9)
    for k in range(first, floor(axis.high / step + 1e-9) + 1):
        yield k * step, f"{k * step:.10g}".replace("-0", "0") if k == 0 else f"{k * step:.10g}"


def _step(least: float) -> float:
    """Return the smallest of 1, 2, 2.5, 5 times a power of ten that is not below."""
    power = 10.0 ** floor(log10(least))
    return next(one * power for one in (1.0, 2.0, 2.5, 5.0, 10.0) if one * power >= least * (1 - 1e-9))


def around(values: Sequence[float], name: str, unit: str, zero: bool = True) -> Axis:
    """Return a straight axis that holds values, and 0 where it is to be there.

    Example:
        >>> around([3.0, 9.3], "current", "A")[:2]
        (0.0, 10.0)
        >>> around([234.001, 234.002], "temperature", "°C", zero=False)[:2]
        (100.0, 400.0)
    """
    good = [value for value in values if isfinite(value)]
    low, high = min(good, default=0.0), max(good, default=1.0)
    if zero:
        low, high = min(low, 0.0), max(high, 0.0)
    if high - low <= ALIKE * max(abs(low), abs(high), 1e-300):
        low, high = low - (abs(low) or 1.0) * 0.5, high + (abs(high) or 1.0) * 0.5
    step = _step((high - low) / TICKS)
    return Axis(floor(low / step + 1e-9) * step, ceil(high / step - 1e-9) * step, name, unit)


def _limits(frame: _Frame, limits: Sequence[Limit]) -> Iterator[Shape]:
    ordered = sorted(limits, key=lambda one: -one.at)
    placed = [
        (limit, frame.at(limit.at, frame.y.low)[0], frame.top - 8 - ROW * at)
        for at, limit in enumerate(ordered)
        if frame.x.low <= limit.at <= frame.x.high
    ]
    for limit, x, row in placed:
        yield shapes.line(x, row, x, frame.bottom, 0.9, limit.dash)
    for limit, x, row in placed:
        fits = x + 4 + LETTER * len(limit.label) <= WIDTH
        yield shapes.words(
            x + (4 if fits else -4), row + 4, limit.label, "start" if fits else "end", SMALL, cleared=True
        )


def _bands(frame: _Frame, bands: Sequence[Band]) -> Iterator[Shape]:
    for band in bands:
        low, high = max(band.low, frame.x.low), min(band.high, frame.x.high)
        if low >= high:
            continue
        (left, bottom), (right, top) = frame.at(low, band.y_low), frame.at(high, band.y_high)
        yield shapes.box(left, top, right - left, bottom - top, "2 2")
        for k in range(int((right - left) / 5)):
            yield shapes.line(left + 5 * k, bottom, left + 5 * (k + 1), top, 0.4)
        yield shapes.words((left + right) / 2, top - 5, band.label, "middle", SMALL, cleared=True)


def _labels(frame: _Frame, curves: Sequence[Curve]) -> Iterator[Shape]:
    """Write the labels of curves to the right of the frame, each with a thin line from the end of its curve."""
    ends: list[tuple[Point, str]] = []
    for curve in curves:
        pieces = frame.inside(curve.points)
        if pieces and curve.label:
            end = max((pieces[0][0], pieces[-1][-1]))
            if curve.peak:
                zero = frame.at(frame.x.low, min(max(0.0, frame.y.low), frame.y.high))[1]
                end = max((at for piece in pieces for at in piece), key=lambda at: abs(at[1] - zero))
            ends.append((end, curve.label))
    ends.sort(key=lambda one: one[0][1])
    ys: list[float] = []
    for (_, y), label in ends:
        lines = _wrapped(label)
        ys.append(max(y, ys[-1] + ROW) if ys else max(y, frame.top + 4))
        ys += [ys[-1] + ROW * k for k in range(1, len(lines))]
    over = max((ys[-1] - frame.bottom) if ys else 0.0, 0.0)
    at = 0
    for (x, y), label in ends:
        lines = _wrapped(label)
        row = ys[at] - over
        yield shapes.line(x, y, RIGHT + 8, row, 0.4, LEADER)
        for k, text in enumerate(lines):
            yield shapes.words(RIGHT + 11, row + 3 + ROW * k, text, "start", SMALL)
        at += len(lines)


def _wrapped(label: str) -> list[str]:
    from textwrap import wrap

    return wrap(label, int((WIDTH - RIGHT - 12) / LETTER)) or [""]


def _mark(frame: _Frame, mark: Mark) -> Iterator[Shape]:
    inside = frame.x.low <= mark.x <= frame.x.high and frame.y.low <= mark.y <= frame.y.high
    if not inside:
        return
    x, y = frame.at(mark.x, mark.y)
    yield shapes.ring(x, y) if mark.open_ else shapes.dot(x, y, 3.0, "OUTLINES")
    place = mark.place
    if place == "right" and x + 7 + LETTER * len(mark.label) > RIGHT:
        place = "left"
    across, down, anchor = BESIDE[place]
    yield shapes.words(x + across, y + down, mark.label, anchor, SMALL, cleared=True)
