"""The federal efficiency rule for low-voltage dry-type transformers: 10 CFR 431.192 and 431.196."""

from __future__ import annotations

from datetime import date as Day
from datetime import timedelta

from msgspec.structs import replace

from turnwright.model.result import Efficiency
from turnwright.reference import EditionTable, load
from turnwright.regimes.procedures import LawNeed
from turnwright.working import Ledger, formula

NOTHING = Efficiency(at_35_pct=None, law_pct=None, loss_ceiling_w=None, law=None)


@formula("η_low + (η_high − η_low) · (S − S_low) / (S_high − S_low)", "%", "10 CFR 431.196(a)")
def between_rows_pct(kva: float, low_kva: float, high_kva: float, low_pct: float, high_pct: float) -> float:
    """Return the least efficiency of a rating between two rows of the table, on a straight line. [%]

    kva      : rated power [kVA]
    low_kva  : row below [kVA]; high_kva: row above [kVA]
    low_pct  : efficiency of the row below [%]; high_pct: of the row above [%]
    Source: 10 CFR 431.196(a)

    Example:
        >>> round(between_rows_pct(100.0, 75.0, 112.5, 98.60, 98.74), 3)
        98.693
    """
    if high_kva == low_kva:
        return low_pct
    return low_pct + (high_pct - low_pct) * (kva - low_kva) / (high_kva - low_kva)


@formula("x · S · 1000 · (100/η − 1)", "W", "10 CFR 431 Subpart K Appendix A")
def loss_ceiling_w(kva: float, load_pct: float, efficiency_pct: float) -> float:
    """Return the largest total loss that meets an efficiency at the test load, unity power factor. [W]

    kva            : rated power [kVA]
    load_pct       : load of the test in percent of the rated one [%]
    efficiency_pct : least efficiency [%]
    Source: 10 CFR 431 Subpart K Appendix A; ordinary definition of efficiency

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
        next_month = Day(int(year), int(rest[0]), 28) + timedelta(days=4)
        return (next_month.replace(day=1) - timedelta(days=1)).isoformat()
    return date


class EfficiencyLaw:
    """The procedure: `EfficiencyLaw()(need, work)`. Which level holds depends on the date of manufacture."""

    def __init__(self) -> None:
        self.levels = load("us_doe_lvdt_efficiency")
        self.scope = load("us_doe_scope")

    def __call__(self, need: LawNeed, work: Ledger) -> Efficiency:
        """Return the least efficiency of the unit and what it may lose at the test load."""
        need = replace(need, manufactured=last_day(need.manufactured))
        if need.manufactured < self.levels.editions[0] or not self._in_scope(need):
            return NOTHING
        table = self.levels.at(need.manufactured).where(phases=need.phases)
        ratings = table.column("kva")
        if not ratings[0] <= need.kva <= ratings[-1]:
            return NOTHING
        low = max(r for r in ratings if r <= need.kva)
        high = min(r for r in ratings if r >= need.kva)
        source = table.row(kva=low).source
        law_pct = work.calc(
            "efficiency.law_pct",
            between_rows_pct,
            kva=need.kva,
            low_kva=low,
            high_kva=high,
            low_pct=table.row(kva=low).number("min_efficiency_pct"),
            high_pct=table.row(kva=high).number("min_efficiency_pct"),
        )
        ceiling_w = work.calc(
            "efficiency.loss_ceiling_w",
            loss_ceiling_w,
            kva=need.kva,
            load_pct=self._number(need.manufactured, "test_load_pct"),
            efficiency_pct=law_pct,
        )
        return Efficiency(at_35_pct=None, law_pct=law_pct, loss_ceiling_w=ceiling_w, law=source.cite())

    def _in_scope(self, need: LawNeed) -> bool:
        """431.192: 60 Hz, low voltage on both sides, none of the kinds that the definition leaves out."""
        return (
            need.arrangement == "isolation"
            and need.frequency_hz == self._number(need.manufactured, "frequency_hz")
            and need.primary_v <= self._number(need.manufactured, "input_low_voltage_max_v")
            and need.secondary_v <= self._number(need.manufactured, "output_max_v")
            and need.enclosure in (None, "ventilated")
            and _tap_range_pct(need.taps_pct) < self._number(need.manufactured, "tap_range_excluded_pct")
        )

    def _number(self, manufactured: str, key: str) -> float:
        table: EditionTable = self.scope.at(manufactured)
        return table.row(key=key).number("value")


def _tap_range_pct(taps_pct: tuple[float, ...]) -> float:
    """Return highest minus lowest tap in percent of nominal."""
    return max(taps_pct, default=0.0) - min(taps_pct, default=0.0)
