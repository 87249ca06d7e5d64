"""From a row of a load list to the facts of a load, each with the cell it came from and what was assumed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from turnwright.ask.job_text import Line
from turnwright.ask.load_list.cells import (
    Size,
    accepted,
    hertz_in,
    is_nothing,
    is_open,
    kind_in,
    kind_named,
    number_in,
    size_in,
    start_in,
    system_in,
    yes_no,
)
from turnwright.ask.load_list.entries import Entry
from turnwright.ask.load_list.headings import LINES, SIZES, Column
from turnwright.quantities import parse_system
from turnwright.quantities.spelling import plain
from turnwright.quantities.unknown import Unknown
from turnwright.quantities.voltage_system import VoltageSystem

_ORDER = ("hp", "kva", "current", "kw")
"""Which size counts where a row states several: of motors the rated power, by which codes size them."""
_PLAIN = {"power_factor": "power factor", "efficiency": "efficiency", "demand_factor": "demand factor"}


class Context(NamedTuple):
    """What holds for all rows.

    columns  of the half of the list, by role
    system   of loads whose row names none, None where nobody said
    panel    of the panel, where it is a panel schedule: its circuits take part of it by their poles
    """

    columns: dict[str, Column]
    system: str | None
    panel: VoltageSystem | None


class LoadRead(NamedTuple):
    """One load: its lines for the job file, and what could not be used of its row."""

    lines: list[Line]
    unread: list[str]
    assumed: list[str]


def load_read(entry: Entry, index: int, context: Context) -> LoadRead:
    """Return the facts of one row as load number `index`, counted from 0."""
    row = _Row(entry, f"load[{index}]", context)
    row.name()
    row.size()
    row.system()
    row.rest()
    return LoadRead(row.lines, row.unread, row.assumed)


class _Row:
    """Gathers the facts of one row."""

    def __init__(self, entry: Entry, path: str, context: Context) -> None:
        self.entry = entry
        self.path = path
        self.context = context
        self.where = f"row {entry.number}{f' {entry.side}' if entry.side else ''}"
        self.lines: list[Line] = []
        self.unread: list[str] = []
        self.assumed: list[str] = []
        self.motor = False
        self.kind: str | None = None

    def cell(self, role: str) -> str:
        text = self.entry.cells.get(role, "")
        return "" if is_nothing(text) else text

    def put(self, key: str, value: object, remark: str) -> bool:
        """Take a fact that its key accepts; else tell the cell."""
        wrong = accepted(f"{self.path}.{key}", value)
        if wrong is not None:
            self.leave(remark, wrong)
            return False
        self.lines.append(Line(f"{self.path}.{key}", value, f"{self.where}: {remark}"))
        return True

    def leave(self, words: str, why: str) -> None:
        self.unread.append(f'{self.where}, "{words}": {why}')

    def assume(self, words: str) -> None:
        self.assumed.append(f"{self.where}: {words}")

    def name(self) -> None:
        said = self.cell("name") or (f"circuit {self.cell('circuit')}" if self.cell("circuit") else "")
        said = " ".join(said.split()) or f"row {self.entry.number}"
        self.put("name", said, said)
        kind = self.cell("kind")
        self.kind = kind_in(kind) if kind else None
        if kind and self.kind is None:
            self.leave(kind, "no kind of load that is known here")
        self.kind = self.kind or kind_named(said)
        if self.kind is not None:
            self.put("kind", self.kind, kind or said)

    def size(self) -> None:
        stated = list(self._sizes())
        pieces = self._pieces(stated)
        by_line = self._of_lines()
        stated = [by_line] if by_line is not None else stated
        self.motor = self._is_motor(stated)
        if not stated:
            self._no_size()
        order = sorted(stated, key=lambda pair: _ORDER.index(pair[0].key))
        for place, (size, words) in enumerate(order):
            if place:
                self.assume(f'"{words}" was not used: {order[0][0].value} is the size of this load.')
            else:
                self._take(size, words, pieces)

    def _is_motor(self, stated: list[tuple[Size, str]]) -> bool:
        """Whether the row speaks of a motor: by its kind, its horsepower, how it starts, or the heading of its kW."""
        column = self.context.columns.get("kw")
        by_heading = (
            column is not None and re.search(r"\b(?:motor|shaft)\b", column.heading.casefold()) is not None
        )
        starts = bool(self.cell("start")) and start_in(self.cell("start")) is not None
        return self.kind == "motor" or by_heading or starts or any(one.key == "hp" for one, _ in stated)

    def _sizes(self) -> Iterator[tuple[Size, str]]:
        for role in (*SIZES, "total"):
            text = self.cell(role)
            if not text or is_open(text) or number_in(text) == 0.0:
                continue
            column = self.context.columns[role]
            found = size_in(text, column.unit)
            if found is None:
                why = (
                    "no unit says what this number is"
                    if number_in(text) is not None
                    else "no size that can be read"
                )
                self.leave(text, why)
            else:
                yield found, text

    def _pieces(self, stated: list[tuple[Size, str]]) -> int:
        text = self.cell("quantity")
        number = (
            number_in(re.sub(r"\s*(?:x|ea|pcs?|off|no\.?)\.?$|^x\s*", "", text.casefold())) if text else None
        )
        own = next((size.pieces for size, _ in stated if size.pieces), None)
        if number is None:
            if text:
                self.leave(text, "no whole number of pieces")
            number = float(own or 1)
        if number != int(number) or number < 1:
            self.leave(text, "no whole number of pieces; counted as one")
            return 1
        return int(number)

    def _of_lines(self) -> tuple[Size, str] | None:
        """Add what hangs on each line; one piece of a load is what all its lines carry together."""
        sizes: dict[str, Size] = {}
        for role in LINES:
            text = self.cell(role)
            found = (
                size_in(text, self.context.columns[role].unit) if text and number_in(text) != 0.0 else None
            )
            if found is not None:
                sizes[role[-1]] = found
        if not sizes:
            return None
        key = next(iter(sizes.values())).key
        unit = next(iter(sizes.values())).value.rpartition(" ")[2]
        total = sum(float(one.value.rpartition(" ")[0]) for one in sizes.values())
        if len(sizes) < 3:
            lines = "CA" if set(sizes) == {"A", "C"} else "".join(sorted(sizes))
            self.put("lines", lines, f"stands under {' and '.join(sorted(sizes))}")
        words = " + ".join(one.value for one in sizes.values())
        return Size(key, f"{plain(round(total, 6))} {unit}"), words

    def _no_size(self) -> None:
        said = next((self.cell(role) for role in (*SIZES, "total") if self.cell(role)), "")
        self.put("kva", "unknown", said or "no size stands in this row")
        self.assume("its size is not known; it is asked for.")

    def _take(self, size: Size, words: str, pieces: int) -> None:
        remark = words
        only_total = self.cell("total") == words and not any(self.cell(role) for role in SIZES)
        self.put(size.key, size.value, remark)
        if size.rest:
            self.leave(size.rest, "words beside the size that were not read")
        if pieces > 1 and only_total:
            self.assume(f"{size.value} is that of all {pieces} pieces; it stands as one load.")
        elif pieces > 1:
            self.put("quantity", pieces, self.cell("quantity") or words)
        if size.key == "kw" and self.motor:
            self.put("shaft", True, "assumed: the rated kW of a motor is what its shaft gives")
            self.assume("the rated kW of a motor is taken as what its shaft gives; it draws more.")

    def system(self) -> None:
        volts, phases, wires = self.cell("system"), self.cell("phases"), self.cell("wires")
        if not phases and self.context.panel is None:
            phases = self.cell("poles")
        if volts and not is_open(volts):
            text = system_in(volts, phases, wires, motor=self.motor)
            words = " · ".join(one for one in (volts, phases, wires) if one)
            if text is None:
                self.leave(words, "not one voltage system")
                return
            self.put("system", text, words)
            hertz = hertz_in(volts)
            if hertz is not None and not self.cell("frequency"):
                self.put("frequency", hertz, volts)
            return
        if self.context.panel is not None:
            self._of_panel(self.context.panel)
        elif self.context.system is not None:
            self.put("system", self.context.system, "the voltage that stands for the whole list")

    def _of_panel(self, panel: VoltageSystem) -> None:
        """A circuit takes a line and the neutral, two lines, or all of them, by its poles."""
        lines = sum(bool(self.cell(role)) for role in LINES)
        said = re.search(r"[123]", self.cell("poles"))
        poles = int(said[0]) if said else lines
        if poles == 0 or (poles == 1 and panel.neutral_nominal_v is None):
            self.assume(f"its number of poles is not known; {panel.text} stands.")
            self.put("system", panel.text, "the voltage of the panel")
            return
        if poles == 1:
            text = f"{plain(panel.neutral_nominal_v or panel.line_v)} 1ph"
        else:
            text = f"{plain(panel.line_v)} {'3' if poles == 3 else '1'}ph"
        self.put("system", text, f"{poles} pole{'s' if poles > 1 else ''} of {panel.text}")

    def rest(self) -> None:
        for role in _PLAIN:
            text = self.cell(role)
            if text and not is_open(text):
                number = number_in(text)
                above = number is not None and number > (2.0 if role == "demand_factor" else 1.0)
                value = text if number is None else plain(number)
                self.put(role, f"{value} %" if above else value, text)
        flag = self.cell("continuous")
        if flag:
            known = yes_no(flag)
            if known is None:
                self.leave(flag, "neither yes nor no")
            else:
                self.put("continuous", known, flag)
        if self.cell("frequency"):
            text = self.cell("frequency")
            self.put("frequency", text if "hz" in text.casefold() else f"{text} Hz", text)
        if self.cell("start"):
            start = start_in(self.cell("start"))
            if start is None:
                self.leave(self.cell("start"), "no way of starting that is known here")
            else:
                self.put("start", start, self.cell("start"))
        if self.cell("note"):
            self.put("note", self.cell("note")[:500], "as it stands in the list")


def panel_of(text: str | None) -> VoltageSystem | None:
    """Return the system of a panel, None where nobody said."""
    if text is None:
        return None
    found = parse_system(text, where="panel")
    return None if isinstance(found, Unknown) else found
