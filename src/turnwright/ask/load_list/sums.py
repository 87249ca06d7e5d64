"""Sums written into a load list, held against its rows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from turnwright.ask.load_list.cells import is_nothing, number_in
from turnwright.ask.load_list.entries import Entry
from turnwright.ask.load_list.headings import LINES, SIZES, Column

_SLACK = 0.005
"""Sums of rounded figures differ in their last digits."""


def checked_sums(rows: Sequence[Entry], columns: Iterable[Column]) -> Iterator[str]:
    """Yield where a sum of the list is not that of the rows above it, with pieces or without."""
    headings = {one.role: one.heading for one in columns}
    for row in rows:
        if row.fate != "sum":
            continue
        above = [
            one for one in rows if one.number < row.number and one.side == row.side and one.fate == "load"
        ]
        for role in (*SIZES, *LINES, "total"):
            said = number_in(row.cells.get(role, ""))
            if said is None or role not in headings:
                continue
            since = max(
                (one.number for one in rows if one.fate == "sum" and one.number < row.number), default=0
            )
            parts = [above, [one for one in above if one.number > since]]
            sums = [_sum(part, role, pieces) for part in parts for pieces in (False, True)]
            found = [each for each in sums if each is not None]
            if not found:
                why = "not every row has a number there"
                yield f'row {row.number}: the sum under "{headings[role]}" was not checked, {why}.'
            elif not any(abs(said - each) <= _SLACK * max(said, each) for each in found):
                yield _unequal(row.number, headings[role], said, found[-1])


def _unequal(number: int, heading: str, said: float, found: float) -> str:
    what = f'row {number} says {said:g} under "{heading}"; the rows above it come to {found:g}'
    return f"{what}: one of them is not right, or a factor is in it that is not written. The rows were read."


def _sum(rows: Sequence[Entry], role: str, pieces: bool) -> float | None:
    """Return the sum of a column; None where a row has a text there, or another unit than its heading."""
    total = 0.0  # what is part of a load was added to it
    for one in rows:
        text = one.cells.get(role, "")
        number = 0.0 if is_nothing(text) else number_in(text)
        if number is None:
            return None
        total += number * ((number_in(one.cells.get("quantity", "")) or 1.0) if pieces else 1.0)
    return total
