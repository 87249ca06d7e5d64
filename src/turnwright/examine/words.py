"""How a study writes its figures, and the findings it makes."""

from __future__ import annotations

from collections.abc import Iterable
from math import isfinite

from turnwright.examine.records import Grid
from turnwright.model.result import Finding, Severity
from turnwright.quantities import figure, fixed
from turnwright.quantities.figures import Rounding
from turnwright.reference import Row
from turnwright.regimes.said import said

NOTHING = "–"
KILO = 1000.0
NEXT_TO_NOTHING = 1e-5
"""Amperes or percent that are the noise of the arithmetic."""
LINES = ("A", "B", "C")


def amps(value: float | None, rounding: Rounding = "nearest") -> str:
    """Return a current, in kA from 1 kA on; "–" for None.

    Example:
        >>> amps(5124.0, "up"), amps(131.07), amps(None)
        ('5.13 kA', '131 A', '–')
    """
    if value is None or not isfinite(value):
        return NOTHING
    if abs(value) < NEXT_TO_NOTHING:
        return "0 A"
    if abs(value) >= KILO:
        return f"{figure(value / KILO, rounding=rounding)} kA"
    return f"{figure(value, rounding=rounding)} A"


def amps_column(values: Iterable[float | None], rounding: Rounding = "nearest") -> list[str]:
    """Return the currents of one column in one unit with the same decimals.

    Example:
        >>> amps_column([5196.2, 0.0, None], "up"), amps_column([131.07, 9.0])
        (['5.20 kA', '0.00 kA', '–'], ['131.1 A', '9.0 A'])
    """
    currents = list(values)
    largest = max((abs(one) for one in currents if one is not None), default=0.0)
    if largest >= KILO:
        return [
            NOTHING if one is None else f"{_in_column(one / KILO, 2, rounding, largest / KILO)} kA"
            for one in currents
        ]
    return [NOTHING if one is None else f"{_in_column(one, 1, rounding, largest)} A" for one in currents]


def _in_column(value: float, decimals: int, rounding: Rounding, largest: float) -> str:
    """A number with so many decimals; what is rounding beside the largest of its column is 0."""
    return fixed(value if abs(value) > max(1e-6 * largest, NEXT_TO_NOTHING) else 0.0, decimals, rounding)


def pct(value: float | None, rounding: Rounding = "nearest") -> str:
    """Return a percentage; "–" for None.

    Example:
        >>> pct(12.345), pct(0.0), pct(4.0001, "up")
        ('12.3 %', '0 %', '4.01 %')
    """
    if value is None or not isfinite(value):
        return NOTHING
    return "0 %" if abs(value) < NEXT_TO_NOTHING else f"{figure(value, rounding=rounding)} %"


def volts(value: float) -> str:
    """Return a voltage with one decimal.

    Example:
        >>> volts(207.9461), volts(480.0)
        ('207.9 V', '480.0 V')
    """
    return f"{_in_column(value, 1, 'nearest', value)} V"


def ratio(value: float | None) -> str:
    """Return a ratio; "–" for None.

    Example:
        >>> ratio(1.6832), ratio(float("inf"))
        ('1.68', 'no R')
    """
    if value is None:
        return NOTHING
    return figure(value) if isfinite(value) else "no R"


def kva_words(value: float, rounding: Rounding = "nearest") -> str:
    """Return a power.

    Example:
        >>> kva_words(62.353), kva_words(37.5)
        ('62.4 kVA', '37.5 kVA')
    """
    return f"{figure(value, rounding=rounding)} kVA"


def listed(words: Iterable[str]) -> str:
    """Return words as a list in a sentence.

    Example:
        >>> listed(["A"]), listed(["A", "B", "C"])
        ('A', 'A, B and C')
    """
    items = list(words)
    return items[0] if len(items) == 1 else f"{', '.join(items[:-1])} and {items[-1]}"


def grid(title: str, heads: Iterable[str], rows: Iterable[Iterable[str]]) -> Grid:
    """Return a table."""
    return Grid(title, tuple(heads), tuple(tuple(row) for row in rows))


def by_row(
    code: str,
    severity: Severity,
    message: str,
    row: Row,
    *,
    value: float | None = None,
    limit: float | None = None,
    unit: str | None = None,
) -> Finding:
    """Return a finding that rests on a row of a table: its clause, and how that is known."""
    source = row.source
    clause = None if source.document == "common practice" else source.cite()
    return said(
        code, severity, message, clause=clause, known=source.known, value=value, limit=limit, unit=unit
    )
