"""The curves and bars of a study as pictures: one for each pair of axes."""

from __future__ import annotations

import re
from collections.abc import Sequence
from html import escape
from itertools import groupby
from typing import cast

from turnwright.documents.drawing import plot
from turnwright.documents.drawing.bars import Bar, bars
from turnwright.documents.drawing.svg import FONT
from turnwright.documents.report import Figure
from turnwright.documents.words.figures import bare
from turnwright.errors import InputError
from turnwright.examine.records import Series

SWINGS = 0.1
FAR_FROM_ZERO = 0.7
"""Curves whose least value is above this share of their largest are shown without the zero of their axis."""
MOST_CURVES = len(plot.DASHES)


def figures_of(series: Sequence[Series]) -> list[Figure]:
    """Return the pictures of a study: curves with the same axes together, bars each on their own."""
    found: list[Figure] = []
    for _, group in groupby(
        series, key=lambda one: (one.kind, one.x_name, one.x_unit, one.y_name, one.y_unit)
    ):
        together = list(group)
        if together[0].kind == "bars":
            found += [picture for one in together if (picture := _bars(one)) is not None]
            continue
        for start in range(0, len(together), MOST_CURVES):
            found.append(_lines(together[start : start + MOST_CURVES]))
    return found


def sheet_of(series: Sequence[Series], title: str) -> str:
    """Return the pictures of a study under each other, as the text of one SVG file.

    Raises:
        InputError: EXM-11, a study without curves.
    """
    pictures = figures_of(series)
    if not pictures:
        fix = "Leave --plot out; not every study has curves."
        raise InputError("EXM-11", "--plot", "this study has no curves to draw.", fix)
    parts, y = [], 0.0
    for picture in pictures:
        parts.append(
            f'<text x="10" y="{y + 16:g}" font-size="12" font-weight="700">{escape(picture.caption)}</text>'
        )
        parts.append(picture.svg.replace("<svg ", f'<svg y="{y + 24:g}" ', 1))
        height = re.search(r'height="([\d.]+)"', picture.svg)
        y += 40.0 + (float(height[1]) if height else 0.0)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {plot.WIDTH:g} {y:g}" width="{plot.WIDTH:g}" '
        f'height="{y:g}" role="img" font-family="{FONT}" fill="#000">'
    )
    background = f'<rect width="{plot.WIDTH:g}" height="{y:g}" fill="#fff"/>'
    return "\n".join([head, f"<title>{escape(title)}</title>", background, *parts, "</svg>", ""])


def _lines(series: Sequence[Series]) -> Figure:
    first = series[0]
    curves = [
        plot.Curve(
            tuple((x, y) for x, y in zip(cast(tuple[float, ...], one.x), one.y, strict=True)),
            one.name,
            dash,
            1.1,
            _swings(one),
        )
        for one, dash in zip(series, plot.DASHES, strict=False)
    ]
    xs = [x for curve in curves for x, _ in curve.points]
    ys = [y for curve in curves for _, y in curve.points]
    x = plot.around(xs, first.x_name, first.x_unit, zero=False)
    y = plot.around(ys, first.y_name, first.y_unit, zero=min(ys) < FAR_FROM_ZERO * max(ys))
    caption = series[0].name if len(series) == 1 else f"{first.y_name.capitalize()} over {first.x_name}"
    return plot.figure(plot.Plot(x, y, curves), caption)


def _swings(one: Series) -> bool:
    """A curve whose end is next to nothing beside its largest value."""
    return bool(one.y) and abs(one.y[-1]) < SWINGS * max(map(abs, one.y))


def _bars(series: Series) -> Figure | None:
    unit = f" {series.y_unit}" if series.y_unit else ""
    rows = [
        Bar(str(name), abs(float(value)), f"{bare(float(f'{value:.3g}'))}{unit}")
        for name, value in zip(series.x, series.y, strict=True)
    ]
    return bars(rows, (), f"{series.name}, {series.y_unit}" if series.y_unit else series.name)
