"""Bars: sizes with their loading, load by phase. Black, each bar labelled beside it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from turnwright.documents.drawing import shapes, svg
from turnwright.documents.drawing.shapes import Drawing, Shape
from turnwright.documents.report import Figure

WIDTH, ROW, BAR = 700.0, 22.0, 12.0
NAME_X, FROM_X, TO_X = 10.0, 170.0, 560.0
LETTER = 5.6
"""Width of a letter, a little more than most have: names end before the bars begin."""


class Bar(NamedTuple):
    """One bar: its name, its length, what is written behind it."""

    name: str
    value: float
    label: str


def bars(rows: Sequence[Bar], marks: Sequence[tuple[float, str]], caption: str) -> Figure | None:
    """Return bars from zero, with upright lines at the marks; None without rows.

    Args:
        rows: the bars, from top to bottom.
        marks: where a line stands, and what it means.
        caption: what is shown, with its unit.
    """
    if not rows:
        return None
    start = max(FROM_X, NAME_X + LETTER * max(len(row.name) for row in rows) + 6.0)
    largest = max((*(row.value for row in rows), *(value for value, _ in marks), 0.0)) or 1.0
    top = 22.0 + 13.0 * max(len(marks) - 1, 0)
    bottom = top + ROW * len(rows)
    elements: list[Shape] = [shapes.line(start, top - 4, start, bottom)]
    for at, (value, said) in enumerate(marks):
        x = _x(value, largest, start)
        elements += [
            shapes.line(x, 14 + 13.0 * at, x, bottom, dash="3 2"),
            shapes.words(x + 4, 12 + 13.0 * at, said),
        ]
    for at, row in enumerate(rows):
        y = top + ROW * at
        end = _x(row.value, largest, start)
        elements += [
            shapes.words(NAME_X, y + BAR - 2, row.name),
            shapes.bar(start, y, max(end - start, 0.5), BAR),
            shapes.words(end + 6, y + BAR - 2, row.label, cleared=True),
        ]
    said = "; ".join(f"{row.name}: {row.label}" for row in rows)
    lines = "; ".join(text for _, text in marks)
    text = f"{caption}: {said}." + (f" Lines: {lines}." if lines else "")
    return Figure(svg.written(Drawing(WIDTH, bottom + 8, tuple(elements), text)), text, caption, width=90)


def _x(value: float, largest: float, start: float) -> float:
    return start + (TO_X - start) * value / largest
