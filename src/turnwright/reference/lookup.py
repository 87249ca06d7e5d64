"""How rules read a table: the next rating up, the next down, the band that holds a value."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable

from turnwright.errors import OutsideTable, TableError
from turnwright.reference.row import Row
from turnwright.reference.table import EditionTable


def first_at_least(table: EditionTable, column: str, value: float) -> Row:
    """Return the row with the smallest entry of `column` not below `value`, both in the column's unit.

    Raises: OutsideTable TBL-12 when every entry is below.

    Example:
        >>> from turnwright.reference import load
        >>> first_at_least(load("nec_240_6a").at("2023"), "rating_a", 112.8).number("rating_a")
        125.0
    """
    entries, rows = table.ascending(column)
    place = bisect_left(entries, _usable(table, value))
    if place == len(rows):
        raise _outside(
            table, column, value, f"The largest is {entries[-1]:g}." if entries else "The column is empty."
        )
    return rows[place]


def last_at_most(table: EditionTable, column: str, value: float) -> Row:
    """Return the row with the largest entry of `column` not above `value`, both in the column's unit.

    Raises: OutsideTable TBL-12 when every entry is above.

    Example:
        >>> from turnwright.reference import load
        >>> last_at_most(load("nec_240_6a").at("2023"), "rating_a", 225.5).number("rating_a")
        225.0
    """
    entries, rows = table.ascending(column)
    place = bisect_right(entries, _usable(table, value))
    if place == 0:
        raise _outside(
            table, column, value, f"The smallest is {entries[0]:g}." if entries else "The column is empty."
        )
    return rows[bisect_left(entries, entries[place - 1])]


def all_at_least(table: EditionTable, column: str, value: float) -> tuple[Row, ...]:
    """Return the rows whose entry of `column` is not below `value`, smallest first; none when all are below.

    Example:
        >>> from turnwright.reference import load
        >>> sizes = load("standard_kva").newest().where(phases=3)
        >>> [row.number("kva") for row in all_at_least(sizes, "kva", 400)]
        [500.0, 750.0, 1000.0]
    """
    entries, rows = table.ascending(column)
    return tuple(rows[bisect_left(entries, _usable(table, value)) :])


def over_through(table: EditionTable, over_column: str, through_column: str, value: float) -> Row:
    """Return the row with `over_column` < `value` <= `through_column`; an empty end is open.

    Raises: OutsideTable TBL-12 when no band holds it.

    Example:
        >>> from turnwright.reference import load
        >>> factors = load("nec_310_15_b1").at("2023")
        >>> over_through(factors, "ambient_over_c", "ambient_through_c", 40).number("factor_75c")
        0.88
    """
    return _band(table, over_column, through_column, value, lambda low, high: low < value <= high)


def from_below(table: EditionTable, from_column: str, below_column: str, value: float) -> Row:
    """Return the row with `from_column` <= `value` < `below_column`; an empty end is open.

    Raises: OutsideTable TBL-12 when no band holds it.

    Example:
        >>> from turnwright.reference import load
        >>> limits = load("nec_450_3b").at("2023").where(method="primary only", side="primary")
        >>> from_below(limits, "rated_current_from_a", "rated_current_below_a", 8.99).number("max_pct")
        167.0
    """
    return _band(table, from_column, below_column, value, lambda low, high: low <= value < high)


def in_band(table: EditionTable, min_column: str, max_column: str, value: float) -> Row:
    """Return the row with `min_column` <= `value` <= `max_column`; an empty end is open.

    Raises: OutsideTable TBL-12 when no band holds it.

    Example:
        >>> from turnwright.reference import load
        >>> counts = load("nec_310_15_c1").at("2023")
        >>> in_band(counts, "conductors_min", "conductors_max", 4).number("ampacity_pct")
        80.0
    """
    return _band(table, min_column, max_column, value, lambda low, high: low <= value <= high)


def circular_mils(table_8: EditionTable, size: str) -> float:
    """Return the area of a conductor size: kcmil sizes by name, AWG sizes from Chapter 9 Table 8. [cmil]

    Example:
        >>> from turnwright.reference import load
        >>> circular_mils(load("nec_ch9_t8").at("2023"), "4/0 AWG")
        211600.0
    """
    number, _, unit = size.partition(" ")
    if unit == "kcmil" and number.isdecimal():
        return float(number) * 1000.0
    return table_8.where(size=size).rows[0].number("circular_mils")


def _band(
    table: EditionTable,
    low_column: str,
    high_column: str,
    value: float,
    holds: Callable[[float, float], bool],
) -> Row:
    _usable(table, value)
    for low, high, row in table.bands(low_column, high_column):
        if holds(low, high):
            return row
    raise _outside(
        table, high_column, value, f"See {low_column} and {high_column} for where it begins and ends."
    )


def _usable(table: EditionTable, value: float) -> float:
    if value != value:
        raise TableError(
            "TBL-12", f"{table.name}.csv", "'nan' cannot be looked up.", "Find out the value first."
        )
    return value


def _outside(table: EditionTable, column: str, value: float, end: str) -> OutsideTable:
    return OutsideTable("TBL-12", f"{table.name}.csv", f"no entry of {column} serves {value:g}.", end)
