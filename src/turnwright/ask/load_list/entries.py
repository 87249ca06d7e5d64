"""The rows of a load list, each with what became of it: a load, a sum, a heading, a spare way, or not read and why."""

from __future__ import annotations

import re
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from turnwright.ask.load_list.cells import is_ditto, is_nothing, number_in
from turnwright.ask.load_list.headings import LINES, SIZES, Column, Head, column_of
from turnwright.intake.sheet_file import Sheet

Fate = Literal["load", "part", "sum", "heading", "spare", "remark", "not read"]
_SUM = re.compile(
    r"(?:grand |sub ?-?|connected |overall |panel |all )*(?:totals?|sum|subtotals?|summe|somme|gesamt)\b.*"
    r"|(?:total|connected|demand|maximum|diversified) (?:connected |demand |panel )?(?:load|kva|kw|amps|current|va)\b.*"
    r"|(?:load|phase|line) (?:totals?|balance)\b.*",
    re.IGNORECASE,
)
_SPARE = re.compile(
    r"(?:\W*(?:spare|space|blank|unused|vacant|reserved?|future|empty|provision|bussed space)s?\b.*)",
    re.IGNORECASE,
)
_CARRIED = ("system", "phases", "wires", "kind", "frequency", "continuous", "start")


class Entry(Struct, frozen=True, kw_only=True):
    """One row of a list, of a panel schedule one side of it.

    number  of the row in the file, from 1
    side    "left" or "right" of a schedule with two halves, else ""
    cells   text by role; of a row without columns the whole row under ""
    fate    what became of it
    why     how it was taken, or why it was not read
    load    number of the load, from 0
    """

    number: int
    side: str
    cells: dict[str, str]
    fate: Fate
    why: str = ""
    load: int | None = None

    @property
    def words(self) -> str:
        """The cells as they stand in the file."""
        return " · ".join(dict.fromkeys(text for text in self.cells.values() if text))


def entries_of(sheet: Sheet, head: Head) -> list[Entry]:
    """Return every row below the head that is not empty, in the order of the file, halves one after the other."""
    found: list[Entry] = []
    for place, half in enumerate(head.halves):
        side = ("left", "right")[place] if len(head.halves) > 1 else ""
        before: dict[str, str] = {}
        for index in range(head.after, len(sheet.rows)):
            row = sheet.rows[index]
            cells = _cells(sheet, half, index, before)
            extra = " · ".join(_beside(row, head)) if place == 0 else ""
            if any(not is_nothing(text) for text in cells.values()):
                entry = _judged(Entry(number=index + 1, side=side, cells=cells, fate="load"), half, before)
                found.append(entry)
                before = cells if entry.fate in ("load", "part") else before
            if extra:
                found.append(
                    Entry(
                        number=index + 1,
                        side=side,
                        cells={"": extra},
                        fate="remark",
                        why="beside the columns",
                    )
                )
    return [_unless_sum(one, found) for one in found]


def _beside(row: tuple[str, ...], head: Head) -> list[str]:
    """Return cells that stand in no column with a heading."""
    known = {one.place for half in head.halves for one in half if one.heading}
    return [cell for place, cell in enumerate(row) if cell and place not in known]


def _cells(sheet: Sheet, half: tuple[Column, ...], index: int, before: dict[str, str]) -> dict[str, str]:
    """Return the cells of a row by role; what is merged downwards, or a ditto mark, repeats the one above."""
    row = sheet.rows[index]
    cells: dict[str, str] = {}
    for one in half:
        role = one.role.rstrip("?") if one.role else f"({one.letter})"
        text = row[one.place] if one.place < len(row) else ""
        if not text and one.role in _CARRIED:
            text = _merged_above(sheet, index, one.place)
        if is_ditto(text) and role in before:
            text = before[role]
        if text and role == "name" and cells.get(role):
            text = f"{cells[role]} {text}"
        if text and (role == "name" or not cells.get(role)):
            cells[role] = text
    return cells


def _merged_above(sheet: Sheet, index: int, place: int) -> str:
    for span in sheet.merged:
        inside = span.top < index <= span.bottom and span.left <= place <= span.right
        if inside:
            return sheet.rows[span.top][span.left]
    return ""


def _judged(entry: Entry, half: tuple[Column, ...], before: dict[str, str]) -> Entry:
    cells = entry.cells
    name = cells.get("name", "")
    sizes = [role for role in (*SIZES, *LINES, "total") if not is_nothing(cells.get(role, ""))]
    sizes = [role for role in sizes if number_in(cells[role]) != 0.0]
    texts = [text for text in cells.values() if text]
    if any(_SUM.fullmatch(text) for text in texts[:3]):
        return replace(entry, fate="sum", why="a sum, no load")
    if sum(bool(column_of(0, text).role) for text in texts) > len(texts) / 2 and len(texts) > 2 and not sizes:
        return replace(entry, fate="heading", why="the head again")
    if _SPARE.fullmatch(name) and not sizes:
        return replace(entry, fate="spare", why="no load yet")
    if not sizes:
        return _without_size(entry, name)
    return entry


def _without_size(entry: Entry, name: str) -> Entry:
    cells = {role: text for role, text in entry.cells.items() if not is_nothing(text)}
    facts = [role for role in cells if role in ("quantity", "system", "phases", "poles", "power_factor")]
    zero = [role for role in (*SIZES, *LINES, "total") if number_in(cells.get(role, "")) == 0.0]
    if zero:
        return replace(entry, fate="not read", why="its size is 0")
    if name and facts and "system" in facts:
        return entry
    unread = {role for role in cells if role.startswith("(")}
    if (
        not name
        and set(cells) <= {"circuit", "poles", "quantity"} | unread
        and len(cells.get("circuit", "")) < 7
    ):
        return replace(entry, fate="spare", why="nothing but its number")
    if len(cells) == 1 and len(next(iter(cells.values()))) <= 40:
        return replace(entry, fate="heading", why="a text by itself, without a size")
    return replace(entry, fate="remark", why="no size, no voltage")


def _unless_sum(entry: Entry, entries: list[Entry]) -> Entry:
    """A row without a name whose sizes are the sums of those above is a sum, whatever it is called."""
    if entry.fate != "load" or entry.cells.get("name") or entry.cells.get("circuit"):
        return entry
    above = [
        one for one in entries if one.side == entry.side and one.number < entry.number and one.fate == "load"
    ]
    for role in (*SIZES, *LINES, "total"):
        mine = number_in(entry.cells.get(role, ""))
        numbers = [number for one in above if (number := number_in(one.cells.get(role, ""))) is not None]
        if mine is not None and len(numbers) > 1 and abs(mine - sum(numbers)) <= 0.005 * sum(numbers):
            return replace(entry, fate="sum", why="the sum of the rows above, though it is not called so")
    return entry
