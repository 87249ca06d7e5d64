"""Sheets of a schedule: plain rows, numbers with decimals, formulas with the value they come to."""

from __future__ import annotations

from typing import TypeAlias

from msgspec import Struct

from turnwright.quantities import fixed


class Num(Struct, frozen=True):
    """A number and how many decimals of it are shown."""

    value: float
    decimals: int = 1


class Formula(Struct, frozen=True):
    """A formula of a workbook, with `{r}` for the number of its row; `value` is what it comes to."""

    text: str
    value: float
    decimals: int = 1


Entry: TypeAlias = str | Num | Formula | None


class Sheet(Struct, frozen=True, kw_only=True):
    """One sheet: its name, columns with their width in characters, rows, rows of sums, notes below.

    `foot` rows stand under the rows; in their formulas `{first}` and `{last}` are the rows above them, and
    `{above}` the row before their own and `{before}` the one before that.
    """

    name: str
    title: str
    columns: tuple[tuple[str, int], ...]
    rows: tuple[tuple[Entry, ...], ...]
    foot: tuple[tuple[Entry, ...], ...] = ()
    notes: tuple[str, ...] = ()


def above(value: float, decimals: int) -> Num:
    """Return a demand as it is shown: never below what it is."""
    return Num(float(fixed(value, decimals, "up")), decimals)


def below(value: float, decimals: int) -> Num:
    """Return a limit as it is shown: never above what it is."""
    return Num(float(fixed(value, decimals, "down")), decimals)


HEAD_ROWS = 4
"""Rows above the first row of entries: title, job, a blank one, the names of the columns."""


def formula_text(formula: Formula, row: int, rows: int) -> str:
    """Return a formula with the numbers of its rows filled in; rows are counted from 1.

    Example:
        >>> formula_text(Formula("=SUM(D{first}:D{last})", 3.0), row=7, rows=2)
        '=SUM(D5:D6)'
    """
    last = HEAD_ROWS + rows
    return formula.text.format(r=row, first=HEAD_ROWS + 1, last=last, above=row - 1, before=row - 2)


def shown(entry: Entry) -> str:
    """Return an entry as text: numbers with their decimals, formulas as their value."""
    if entry is None:
        return ""
    return entry if isinstance(entry, str) else f"{entry.value:.{entry.decimals}f}"
