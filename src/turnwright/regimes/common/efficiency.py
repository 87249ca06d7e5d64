"""Arithmetic of laws that ask for a least efficiency at a part load."""

from __future__ import annotations

import datetime
from abc import ABC, abstractmethod
from collections.abc import Callable
from typing import Any

from msgspec.structs import replace

from turnwright.model.result import Efficiency
from turnwright.reference import Table
from turnwright.regimes.procedures import LawNeed
from turnwright.working import Ledger, formula

VENTILATED = (None, "ventilated", "open", "cast")
"""Enclosures of units that laws call neither sealed nor nonventilated; None: nobody said, an ordinary one."""
NOTHING = Efficiency(at_35_pct=None, law_pct=None, loss_ceiling_w=None, law=None)


@formula("η_low + (η_high − η_low) · (S − S_low) / (S_high − S_low)", "%")
def between_rows_pct(kva: float, low_kva: float, high_kva: float, low_pct: float, high_pct: float) -> float:
    """Return the least efficiency of a rating between two rows of the table, on a straight line. [%]

    kva      : rated power [kVA]
    low_kva  : row below [kVA]
    high_kva : row above [kVA]
    low_pct  : efficiency of the row below [%]
    high_pct : of the row above [%]
    Source: the table carries it; straight line between its rows

    Example:
        >>> round(between_rows_pct(100.0, 75.0, 112.5, 98.60, 98.74), 3)
        98.693
    """
    if high_kva == low_kva:
        return low_pct
    return low_pct + (high_pct - low_pct) * (kva - low_kva) / (high_kva - low_kva)


@formula("x · S · 1000 · (100/η − 1)", "W")
def loss_ceiling_w(kva: float, load_pct: float, efficiency_pct: float) -> float:
    """Return the largest total loss that meets an efficiency at the test load, unity power factor. [W]

    kva            : rated power [kVA]
    load_pct       : load of the test in percent of the rated one [%]
    efficiency_pct : least efficiency [%]
    Source: ordinary definition of efficiency

    Example:
        >>> round(loss_ceiling_w(75.0, 35.0, 98.60), 1)
        372.7
    """
    return load_pct / 100 * kva * 1000 * (100 / efficiency_pct - 1)


def last_day(date: str) -> str:
    """Return the last day that a year or a month may mean: a stricter level may begin within it.

    Example:
        >>> last_day("2029-04"), last_day("2011"), last_day("2027-05-01")
        ('2029-04-30', '2011-12-31', '2027-05-01')
    """
    year, *rest = date.split("-")
    if not rest:
        return f"{year}-12-31"
    if len(rest) == 1:
        next_month = datetime.date(int(year), int(rest[0]), 28) + datetime.timedelta(days=4)
        return (next_month.replace(day=1) - datetime.timedelta(days=1)).isoformat()
    return date


class LeastEfficiency(ABC):
    """The procedure of a law with levels by date of manufacture, rated power and phases: `law(need, work)`.

    levels    least efficiency, the edition of the table is the date from which a level holds
    formulas  efficiency between two rows, loss ceiling
    """

    def __init__(self, levels: Table, formulas: tuple[Callable[..., Any], Callable[..., Any]]) -> None:
        self.levels = levels
        self.least_pct, self.ceiling_w = formulas

    @abstractmethod
    def in_scope(self, need: LawNeed) -> bool:
        """Return whether the law speaks of such a unit; its date of manufacture is a full one."""

    @abstractmethod
    def test_load_pct(self, manufactured: str) -> float:
        """Return the load of the test in percent of the rated one. [%]"""

    def __call__(self, need: LawNeed, work: Ledger) -> Efficiency:
        """Return the least efficiency of the unit and what it may lose at the test load."""
        need = replace(need, manufactured=last_day(need.manufactured))
        if need.manufactured < self.levels.editions[0] or not self.in_scope(need):
            return NOTHING
        table = self.levels.at(need.manufactured).where(phases=need.phases)
        ratings = table.column("kva")
        if not ratings[0] <= need.kva <= ratings[-1]:
            return NOTHING
        low = table.row(kva=max(r for r in ratings if r <= need.kva))
        high = table.row(kva=min(r for r in ratings if r >= need.kva))
        law_pct = work.calc(
            "efficiency.law_pct",
            self.least_pct,
            kva=need.kva,
            low_kva=low.number("kva"),
            high_kva=high.number("kva"),
            low_pct=low.number("min_efficiency_pct"),
            high_pct=high.number("min_efficiency_pct"),
        )
        most_w = work.calc(
            "efficiency.loss_ceiling_w",
            self.ceiling_w,
            kva=need.kva,
            load_pct=self.test_load_pct(need.manufactured),
            efficiency_pct=law_pct,
        )
        return Efficiency(at_35_pct=None, law_pct=law_pct, loss_ceiling_w=most_w, law=low.source.cite())
