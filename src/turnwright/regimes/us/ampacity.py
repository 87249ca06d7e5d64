"""Ampacity of conductors: NEC Table 310.16, ambient and count corrections, terminals of 110.14(C)."""

from __future__ import annotations

from functools import lru_cache

from msgspec import Struct

from turnwright.errors import TableError
from turnwright.reference import Row, circular_mils, in_band, load, over_through
from turnwright.working import Ledger, formula

COLUMNS_C = (60, 75, 90)
METALS = {"copper": "cu", "aluminum": "al"}


@formula("I_90 · F_ambient · F_count", "A", "NEC 310.15(B)(1), 310.15(C)(1)")
def corrected_ampacity_a(table_a: float, ambient_factor: float, count_pct: float) -> float:
    """Return the ampacity of one conductor after ambient correction and count adjustment. [A]

    table_a        : ampacity of the 90 °C column [A]
    ambient_factor : factor of Table 310.15(B)(1) [-]
    count_pct      : percent of Table 310.15(C)(1) [%]
    Source: NEC 310.15(B)(1), 310.15(C)(1)

    Example:
        >>> round(corrected_ampacity_a(table_a=225.0, ambient_factor=0.91, count_pct=80.0), 1)
        163.8
    """
    return table_a * ambient_factor * count_pct / 100


@formula("sets · min(I_terminals, I_corrected)", "A", "NEC 110.14(C), 310.10(G)")
def sets_ampacity_a(terminal_a: float, corrected_a: float, sets: float) -> float:
    """Return the ampacity of all parallel sets: the corrected one, capped by the terminals. [A]

    terminal_a  : ampacity of the column of the terminals [A]
    corrected_a : ampacity of the conductor after correction [A]
    sets        : parallel sets [-]
    Source: NEC 110.14(C), 310.10(G)

    Example:
        >>> sets_ampacity_a(terminal_a=335.0, corrected_a=345.8, sets=3)
        1005.0
    """
    return sets * min(terminal_a, corrected_a)


class Wire(Struct, frozen=True):
    """One size of conductor in one metal, with its ampacity at the terminals and after correction."""

    size: str
    cmil: float
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


def terminal_column_c(terminals_c: float | None, device_a: float) -> int:
    """Return the ampacity column of the terminals: as stated, else 60 °C up to 100 A and 75 °C above. [°C]

    Source: NEC 110.14(C)(1)

    Example:
        >>> terminal_column_c(None, 100), terminal_column_c(None, 110), terminal_column_c(90, 60)
        (60, 75, 90)
    """
    if terminals_c is None:
        return 60 if device_a <= 100 else 75
    return max((column for column in COLUMNS_C if column <= terminals_c), default=60)


class Ampacities:
    """Ampacity of every size for one edition: `Ampacities("2023").wires(Surroundings("copper", 75, 40, 3))`."""

    def __init__(self, edition: str) -> None:
        self.table = load("nec_310_16").at(edition)
        self.ambient = load("nec_310_15_b1").at(edition)
        self.count = load("nec_310_15_c1").at(edition)
        self.small = load("nec_240_4d").at(edition)
        self.areas = load("nec_ch9_t8").at(edition)
        self.wires = lru_cache(maxsize=256)(self._wires)

    def _wires(self, around: Surroundings) -> tuple[Wire, ...]:
        metal = METALS[around.metal]
        terminal, insulation = f"{metal}_{around.terminal_c}c_a", f"{metal}_90c_a"
        ambient_factor, count_pct = self.factors(around)
        limits = {row.text("size"): row.optional(f"{metal}_device_max_a") for row in self.small.rows}
        wires = []
        for row in self.table.rows:
            terminal_a, table_a = row.optional(terminal), row.optional(insulation)
            if terminal_a is None or table_a is None:
                continue
            size = row.text("size")
            corrected_a = corrected_ampacity_a(table_a, ambient_factor, count_pct)
            area = circular_mils(self.areas, size)
            wires.append(Wire(size, area, terminal_a, corrected_a, row, terminal, limits.get(size)))
        return tuple(wires)

    def factors(self, around: Surroundings) -> tuple[float, float]:
        """Return the ambient factor of 90 °C conductors and the count adjustment in percent."""
        try:
            row = over_through(self.ambient, "ambient_over_c", "ambient_through_c", around.ambient_c)
        except TableError:
            return 0.0, 0.0
        factor = row.optional("factor_90c")
        count = in_band(self.count, "conductors_min", "conductors_max", around.counted)
        return (0.0 if factor is None else factor), count.number("ampacity_pct")

    def record(self, side: str, wire: Wire, sets: int, around: Surroundings, work: Ledger) -> float:
        """Return the ampacity of the sets, each step recorded."""
        ambient_factor, count_pct = self.factors(around)
        corrected_a = work.calc(
            f"conductors.{side}.corrected_a",
            corrected_ampacity_a,
            table_a=wire.row.number(f"{METALS[around.metal]}_90c_a"),
            ambient_factor=ambient_factor,
            count_pct=count_pct,
        )
        ampacity_a: float = work.calc(
            f"conductors.{side}.ampacity_a",
            sets_ampacity_a,
            terminal_a=wire.row.number(wire.terminal_column),
            corrected_a=corrected_a,
            sets=sets,
        )
        return ampacity_a
