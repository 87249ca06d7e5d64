"""Drawings as DXF: named layers, blocks with the nodes they stand for, units, text styles; same job, same bytes.

One file for each drawing of the diagrams. A terminal, a joint and a winding are blocks with attributes, so that
another program can read back what is joined to what.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from datetime import date
from hashlib import sha256
from typing import Any

from ezdxf.document import Drawing as Document
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new
from ezdxf.layouts.blocklayout import BlockLayout
from ezdxf.layouts.layout import Modelspace

from turnwright.documents.brief import Brief, units_of
from turnwright.documents.drawing.connection_of import connection_of
from turnwright.documents.drawing.one_line import one_line_drawing
from turnwright.documents.drawing.shapes import (
    BUMPS,
    LAYERS,
    Arc,
    Circle,
    Coil,
    Drawing,
    Line,
    Polyline,
    Rectangle,
    Shape,
    Symbol,
    Words,
)
from turnwright.documents.drawing.unit_drawing import winding_drawing
from turnwright.documents.report import Report
from turnwright.documents.words.sides import supply_of

VERSION = "R2010"
UNIT_MM, MM_PER_INCH = 0.25, 25.4
INCH, MILLIMETRE = 1, 4
"""Codes of $INSUNITS."""
CAP_HEIGHT = 0.72
"""Height of a capital over the size of the letters."""
COIL_HEIGHT = 34.0
TITLE, TITLE_STEP = "TITLE", 15.0
STYLE, BOLD_STYLE = "LETTERING", "LETTERING_BOLD"
STYLES = {STYLE: ("isocpeur.ttf", 1.0), BOLD_STYLE: ("isocpeur.ttf", 1.15)}
WEIGHTS = (13, 18, 25, 35, 50, 70, 100)
"""Line weights of the format that are used, in hundredths of a millimetre."""
ANCHORS = {
    "start": TextEntityAlignment.LEFT,
    "middle": TextEntityAlignment.CENTER,
    "end": TextEntityAlignment.RIGHT,
}
NO_DATE = date(2000, 1, 1)
JULIAN = 1721424.5
"""Julian date of the day before 1 January of the year 1."""
_GUID = re.compile(r"\{[0-9A-F]{8}-[0-9A-F-]{27}\}")
_WRITTEN = re.compile(r"(?m)^\d[\w.]* @ .*$")
_TIMES = re.compile(r"(?m)^(\$TD(?:U?CREATE|U?UPDATE))(\r?\n\s*40\r?\n).*$")
Layout = Modelspace | BlockLayout


def write(report: Report, brief: Brief, name: str) -> dict[str, bytes]:
    """Return the files: the one line, and the windings where they are known, of each unit."""
    return {
        f"{name}-{mark.lower()}-{kind}.dxf": dxf_of(drawing, heading, report, brief)
        for mark, kind, heading, drawing in drawings_of(brief)
    }


def drawings_of(brief: Brief) -> Iterator[tuple[str, str, str, Drawing]]:
    """Yield each drawing of a job: mark of the unit, kind, heading, drawing."""
    for unit in units_of(brief.result):
        yield unit.mark, "one-line", f"{unit.mark}: one line", one_line_drawing(unit, brief)
        joined = connection_of(unit.blocks.pick, brief.regime)
        if joined is not None:
            system = supply_of(brief.result.job)
            drawn = winding_drawing(joined, unit.blocks, system, brief.regime)
            kind = f"{unit.mark}: {joined.connection.kind}"
            yield unit.mark, "windings", f"{kind}, {unit.blocks.pick.vector_group or 'windings'}", drawn


def dxf_of(drawing: Drawing, heading: str, report: Report, brief: Brief) -> bytes:
    """Return a drawing as the content of a DXF file.

    Args:
        drawing: what to draw; a unit of it is a quarter of a millimetre.
        heading: what it is.
        report: the paper it belongs to, whose title and marks are written below it.
        brief: in inches where its measure is that of the United States, else in millimetres; its date.
    """
    inches = not brief.metric
    scale = UNIT_MM / MM_PER_INCH if inches else UNIT_MM
    document = new(VERSION)
    document.units = INCH if inches else MILLIMETRE
    document.header["$MEASUREMENT"] = 0 if inches else 1
    _tables(document, scale)
    page = _Page(document, scale)
    for shape in drawing.shapes:
        page.put(document.modelspace(), shape, drawing.height)
    page.titles(
        drawing, [heading, f"{report.kind}: {report.title}", " · ".join(report.marks), *_stamp(report)]
    )
    below = TITLE_STEP * (3 + len(_stamp(report)))
    low, high = (0.0, -below * scale), (drawing.width * scale, drawing.height * scale)
    document.modelspace().reset_extents((*low, 0.0), (*high, 0.0))
    document.modelspace().reset_limits(low, high)
    document.set_modelspace_vport((high[1] - low[1]) * 1.05, ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2))
    return _same_each_time(document, brief.date)


def _stamp(report: Report) -> list[str]:
    given = [f"{name} {value}" for name, value in report.stamp if value]
    return [" · ".join(given)] if given else []


def _tables(document: Document, scale: float) -> None:
    for layer in (*LAYERS, TITLE):
        document.layers.add(layer, color=7)
    dash, gap = 4 * scale, 3 * scale
    document.linetypes.add("DASHED", [dash + gap, dash, -gap], description="_ _ _")
    for name, (font, width) in STYLES.items():
        document.styles.add(name, font=font).dxf.width = width


def _same_each_time(document: Document, day: str) -> bytes:
    """Write a document without what changes from one writing to the next: times, order, names made at random."""
    for kind in sorted(document.entitydb.dxf_types_in_use()):  # else in the order of a set
        document.classes.add_class(kind)
    stream = io.StringIO()
    document.write(stream)
    text = stream.getvalue()
    at = (date.fromisoformat(day) if day else NO_DATE).toordinal() + JULIAN
    text = _TIMES.sub(lambda found: f"{found[1]}{found[2]}{at}", text)
    text = _WRITTEN.sub("turnwright", text)
    digest = sha256(_GUID.sub("", text).encode("utf-8", "replace")).hexdigest().upper()
    parts = (digest[:8], digest[8:12], digest[12:16], digest[16:20], digest[20:32])
    text = _GUID.sub(f"{{{'-'.join(parts)}}}", text)
    return text.encode(document.output_encoding, "dxfreplace")


def clean(text: str) -> str:
    """Return a text without what the format reads as something else than letters.

    Example:
        >>> clean("pump\\n50 %%d")
        'pump 50 % %d'
    """
    printable = "".join(char if char.isprintable() else " " for char in text)
    return printable.replace("%%", "% %").encode("utf-8", "replace").decode("utf-8")


class _Page:
    """Puts shapes into a document, y upwards; blocks are made when they are first needed."""

    def __init__(self, document: Document, scale: float) -> None:
        self.document, self.scale = document, scale

    def put(self, layout: Layout, shape: Shape, height: float) -> None:
        """Put a shape into a layout whose origin lies `height` below that of the drawing."""
        putters: dict[type[Any], Any] = {
            Line: self._line,
            Polyline: self._polyline,
            Arc: self._arc,
            Circle: self._circle,
            Rectangle: self._rectangle,
            Words: self._words,
            Coil: self._coil,
            Symbol: self._symbol,
        }
        putters[type(shape)](layout, shape, height)

    def titles(self, drawing: Drawing, texts: list[str]) -> None:
        """Write what the drawing is below it."""
        for at, text in enumerate(texts, start=1):
            style = BOLD_STYLE if at == 1 else STYLE
            self._text(
                self.document.modelspace(),
                clean(text),
                (0.0, -TITLE_STEP * at * self.scale),
                10.5,
                "start",
                style,
                TITLE,
            )

    def _at(self, x: float, y: float, height: float) -> tuple[float, float]:
        return round(x * self.scale, 6), round((height - y) * self.scale, 6)

    def _look(self, layer: str, width: float = 1.0, dash: str = "") -> dict[str, Any]:
        weight = width * UNIT_MM * 100
        nearest = min(WEIGHTS, key=lambda one: abs(one - weight))
        look: dict[str, Any] = {"layer": layer, "lineweight": nearest}
        return look | ({"linetype": "DASHED"} if dash else {})

    def _line(self, layout: Layout, shape: Line, height: float) -> None:
        ends = (self._at(shape.x1, shape.y1, height), self._at(shape.x2, shape.y2, height))
        layout.add_line(*ends, dxfattribs=self._look(shape.layer, shape.width, shape.dash))

    def _polyline(self, layout: Layout, shape: Polyline, height: float) -> None:
        points = [self._at(x, y, height) for x, y in shape.points]
        layout.add_lwpolyline(points, dxfattribs=self._look(shape.layer, shape.width, shape.dash))

    def _arc(self, layout: Layout, shape: Arc, height: float) -> None:
        # y turned over: what ran clockwise runs the other way
        layout.add_arc(
            self._at(shape.x, shape.y, height),
            shape.r * self.scale,
            -shape.end_deg,
            -shape.start_deg,
            dxfattribs=self._look(shape.layer, shape.width),
        )

    def _circle(self, layout: Layout, shape: Circle, height: float) -> None:
        if not shape.data:
            self._disc(layout, shape, self._at(shape.x, shape.y, height))
            return
        name = "TERMINAL" if shape.layer == "TERMINALS" else "JOINT"
        block, new = self._block(name)
        if new:
            self._disc(block, shape, (0.0, 0.0))
            self._tags(block, shape.data)
        self._insert(layout, name, self._at(shape.x, shape.y, height), shape.layer, shape.data)

    def _disc(self, layout: Layout, shape: Circle, at: tuple[float, float]) -> None:
        if shape.fill == "black":
            hatch = layout.add_hatch(color=7, dxfattribs={"layer": shape.layer})
            hatch.paths.add_edge_path().add_arc(at, shape.r * self.scale, 0, 360)
        else:
            layout.add_circle(at, shape.r * self.scale, dxfattribs=self._look(shape.layer, shape.width))

    def _rectangle(self, layout: Layout, shape: Rectangle, height: float) -> None:
        left, right, top, bottom = shape.x, shape.x + shape.width, shape.y, shape.y + shape.height
        corners = [
            self._at(x, y, height) for x, y in ((left, top), (right, top), (right, bottom), (left, bottom))
        ]
        if shape.filled:
            hatch = layout.add_hatch(color=7, dxfattribs={"layer": shape.layer})
            hatch.paths.add_polyline_path(corners, is_closed=True)
        else:
            look = self._look(shape.layer, 0.8, shape.dash)
            layout.add_lwpolyline(corners, close=True, dxfattribs=look)

    def _words(self, layout: Layout, shape: Words, height: float) -> None:
        style = BOLD_STYLE if shape.bold else STYLE
        at = self._at(shape.x, shape.y, height)
        if shape.text.strip():
            self._text(layout, clean(shape.text), at, shape.size, shape.anchor, style, shape.layer)

    def _text(
        self,
        layout: Layout,
        text: str,
        at: tuple[float, float],
        size: float,
        anchor: str,
        style: str,
        layer: str,
    ) -> None:
        look = {"style": style, "layer": layer}
        placed = layout.add_text(text, height=size * CAP_HEIGHT * self.scale, dxfattribs=look)
        placed.set_placement(at, align=ANCHORS[anchor])

    def _coil(self, layout: Layout, shape: Coil, height: float) -> None:
        block, new = self._block("WINDING")
        if new:
            r = COIL_HEIGHT / BUMPS / 2
            for bump in range(BUMPS):
                center = (0.0, -(2 * bump + 1) * r * self.scale)
                look = self._look(shape.layer, 1.2)
                block.add_arc(center, r * self.scale, -90, 90, dxfattribs=look)
            self._tags(block, shape.data)
        by = (shape.bottom - shape.top) / COIL_HEIGHT
        at = self._at(shape.x, shape.top, height)
        way = 1.0 if shape.side == "right" else -1.0
        self._insert(layout, "WINDING", at, shape.layer, shape.data, (way * by, by))

    def _symbol(self, layout: Layout, shape: Symbol, height: float) -> None:
        block, new = self._block(shape.name)
        if new:
            for inner in shape.shapes:
                self.put(block, inner, 0.0)
        self._insert(layout, shape.name, self._at(shape.x, shape.y, height), shape.layer, ())

    def _block(self, name: str) -> tuple[BlockLayout, bool]:
        if name in self.document.blocks:
            return self.document.blocks.get(name), False
        return self.document.blocks.new(name), True

    def _tags(self, block: BlockLayout, data: tuple[tuple[str, str], ...]) -> None:
        for tag, _ in data:
            block.add_attdef(tag, (0, 0), dxfattribs={"height": 2 * self.scale, "style": STYLE, "flags": 1})

    def _insert(
        self,
        layout: Layout,
        name: str,
        at: tuple[float, float],
        layer: str,
        data: tuple[tuple[str, str], ...],
        by: tuple[float, float] = (1.0, 1.0),
    ) -> None:
        look = {"layer": layer, "xscale": by[0], "yscale": by[1], "zscale": by[1]}
        placed = layout.add_blockref(name, at, dxfattribs=look)
        for tag, value in data:
            attributes = {"height": 2 * self.scale, "style": STYLE, "layer": layer, "flags": 1}
            placed.add_attrib(tag, clean(value), at, dxfattribs=attributes)
