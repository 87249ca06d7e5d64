"""Ampacity from tables with a column for each temperature: corrected from 90 °C, capped by the terminals."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Any

from msgspec import Struct

from turnwright.errors import TableError
from turnwright.reference import EditionTable, Row, in_band, over_through
from turnwright.working import Ledger, formula

COLUMNS_C = (60, 75, 90)
METALS = {"copper": "cu", "aluminum": "al"}


@formula("I_90 · F_ambient · F_count", "A")
def corrected_ampacity_a(table_a: float, ambient_factor: float, count_pct: float) -> float:
    """Return the ampacity of one conductor after ambient correction and count adjustment. [A]

    table_a        : ampacity of the 90 °C column [A]
    ambient_factor : factor by ambient temperature [-]
    count_pct      : percent by the number of current-carrying conductors together [%]
    Source: the factors carry it, as NEC 310.15(B)(1) and (C)(1)

    Example:
        >>> round(corrected_ampacity_a(table_a=225.0, ambient_factor=0.91, count_pct=80.0), 1)
        163.8
    """
    return table_a * ambient_factor * count_pct / 100


@formula("sets · min(I_terminals, I_corrected)", "A")
def sets_ampacity_a(terminal_a: float, corrected_a: float, sets: float) -> float:
    """Return the ampacity of all parallel sets: the corrected one, capped by the terminals. [A]

    terminal_a  : ampacity of the column of the terminals [A]
    corrected_a : ampacity of the conductor after correction [A]
    sets        : parallel sets [-]
    Source: terminals limit what a conductor may carry, as NEC 110.14(C); sets in parallel share evenly

    Example:
        >>> sets_ampacity_a(terminal_a=335.0, corrected_a=345.8, sets=3)
        1005.0
    """
    return sets * min(terminal_a, corrected_a)


class Wire(Struct, frozen=True):
    """One size of conductor in one metal, with its ampacity at the terminals and after correction.

    area  in the unit of the regime's tables, cmil or mm²
    """

    size: str
    area: float
    terminal_a: float
    corrected_a: float
    row: Row
    terminal_column: str
    device_max_a: float | None


class Surroundings(Struct, frozen=True):
    """What ampacity depends on besides the size."""

    metal: str
    terminal_c: int
    ambient_c: float
    counted: int


def terminal_column_c(terminals_c: float | None, device_a: float, small_through_a: float = 100.0) -> int:
    """Return the ampacity column of the terminals: as stated, else 60 °C for small devices and 75 °C above. [°C]

    terminals_c     : temperature rating of the terminals [°C]; None: not known
    device_a        : device they belong to [A]
    small_through_a : largest device that counts as small [A]

    Example:
        >>> terminal_column_c(None, 100), terminal_column_c(None, 110), terminal_column_c(90, 60)
        (60, 75, 90)
    """
    if terminals_c is None:
        return 60 if device_a <= small_through_a else 75
    return max((column for column in COLUMNS_C if column <= terminals_c), default=60)


class ColumnAmpacities:
    """Ampacity of every size: `ColumnAmpacities(...).wires(Surroundings("copper", 75, 40, 3))`.

    table    ampacity by size, metal and column
    ambient  factor by ambient temperature and column
    count    percent by the number of conductors together
    small    largest device by size, for the smallest conductors
    area_of  size -> area of one conductor
    formulas corrected ampacity of one conductor, ampacity of all sets
    """

    def __init__(
        self,
        table: EditionTable,
        ambient: EditionTable,
        count: EditionTable,
        small: EditionTable,
        area_of: Callable[[str], float],
        formulas: tuple[Callable[..., Any], Callable[..., Any]],
    ) -> None:
        self.table = table
        self.ambient = ambient
        self.count = count
        self.small = small
        self.area_of = area_of
        self.corrected, self.of_sets = formulas
        self.wires = lru_cache(maxsize=256)(self._wires)

    def _wires(self, around: Surroundings) -> tuple[Wire, ...]:
        metal = METALS[around.metal]
        terminal, insulation = f"{metal}_{around.terminal_c}c_a", f"{metal}_90c_a"
        ambient_factor, count_pct = self.factors(around)
        limits = {row.text("size"): row.optional(f"{metal}_device_max_a") for row in self.small.rows}
        wires = []
        for row in self.table.rows:
            table_a = row.optional(insulation)
            if table_a is None:
                continue
            size, terminal_a = row.text("size"), row.number(terminal)
            corrected_a = corrected_ampacity_a(table_a, ambient_factor, count_pct)
            wires.append(
                Wire(size, self.area_of(size), terminal_a, corrected_a, row, terminal, limits.get(size))
            )
        return tuple(wires)

    def factors(self, around: Surroundings) -> tuple[float, float]:
        """Return the ambient factor of 90 °C conductors and the count adjustment in percent."""
        try:
            row = over_through(self.ambient, "ambient_over_c", "ambient_through_c", around.ambient_c)
        except TableError:
            return 0.0, 0.0
        count = in_band(self.count, "conductors_min", "conductors_max", around.counted)
        return row.number("factor_90c"), count.number("ampacity_pct")

    def record(self, side: str, wire: Wire, sets: int, around: Surroundings, work: Ledger) -> float:
        """Return the ampacity of the sets, each step recorded. [A]"""
        ambient_factor, count_pct = self.factors(around)
        corrected_a = work.calc(
            f"conductors.{side}.corrected_a",
            self.corrected,
            table_a=wire.row.number(f"{METALS[around.metal]}_90c_a"),
            ambient_factor=ambient_factor,
            count_pct=count_pct,
        )
        ampacity_a: float = work.calc(
            f"conductors.{side}.ampacity_a",
            self.of_sets,
            terminal_a=wire.row.number(wire.terminal_column),
            corrected_a=corrected_a,
            sets=sets,
        )
        return ampacity_a
