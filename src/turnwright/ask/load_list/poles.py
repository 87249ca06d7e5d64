"""Circuits of a panel schedule that take several rows: one load of two or three poles."""

from __future__ import annotations

import re
from collections.abc import Sequence

from msgspec.structs import replace

from turnwright.ask.load_list.cells import is_ditto, is_nothing, number_in
from turnwright.ask.load_list.entries import Entry
from turnwright.ask.load_list.headings import LINES
from turnwright.quantities.spelling import plain

_ADDED = ("kva", "kw", "size", "total")


def joined(entries: Sequence[Entry]) -> list[Entry]:
    """Return the entries with the further rows of a circuit added to its first one.

    A row without a name below a load of several poles, or below one whose name a mark repeats, is part of it.
    """
    found: list[Entry] = []
    open_at: dict[str, tuple[int, int]] = {}
    for entry in entries:
        at, left = open_at.get(entry.side, (-1, 0))
        if left and _goes_on(entry):
            found[at], entry = (
                _with(found[at], entry),
                replace(entry, fate="part", why=f"of row {found[at].number}"),
            )
            open_at[entry.side] = (at, left - 1)
        elif entry.fate == "load":
            open_at[entry.side] = (len(found), _poles(entry) - 1)
        elif entry.fate not in ("remark", "spare"):
            open_at.pop(entry.side, None)
        found.append(entry)
    return found


def _poles(entry: Entry) -> int:
    said = re.search(r"[123]", entry.cells.get("poles", ""))
    if said:
        return int(said[0])
    return 3 if any(role in entry.cells for role in LINES) else 1


def _goes_on(entry: Entry) -> bool:
    name = entry.cells.get("name", "")
    unnamed = is_nothing(name) or is_ditto(name)
    return (
        entry.fate in ("load", "spare", "not read", "remark")
        and unnamed
        and not re.search(r"[123]", entry.cells.get("poles", ""))
    )


def _with(first: Entry, more: Entry) -> Entry:
    cells = dict(first.cells)
    for role in LINES:
        text = more.cells.get(role, "")
        if text and not is_nothing(text) and not cells.get(role):
            cells[role] = text
    for role in _ADDED:
        one, other = number_in(cells.get(role, "")), number_in(more.cells.get(role, ""))
        if one is not None and other is not None:
            cells[role] = plain(round(one + other, 9))
    return replace(first, cells=cells)
