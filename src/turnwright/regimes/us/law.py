"""The federal efficiency rule for low-voltage dry-type transformers: 10 CFR 431.192 and 431.196."""

from __future__ import annotations

from turnwright.reference import EditionTable, load
from turnwright.regimes.common.clauses import under
from turnwright.regimes.common.efficiency import (
    VENTILATED,
    LeastEfficiency,
    between_rows_pct,
    last_day,
    loss_ceiling_w,
)
from turnwright.regimes.procedures import LawNeed

__all__ = ["EfficiencyLaw", "last_day"]

FORMULAS = (
    under("10 CFR 431.196(a)", between_rows_pct),
    under("10 CFR 431 Subpart K Appendix A", loss_ceiling_w),
)


class EfficiencyLaw(LeastEfficiency):
    """The procedure: `EfficiencyLaw()(need, work)`. Which level holds depends on the date of manufacture."""

    def __init__(self) -> None:
        super().__init__(load("us_doe_lvdt_efficiency"), FORMULAS)
        self.scope = load("us_doe_scope")

    def in_scope(self, need: LawNeed) -> bool:
        """431.192: 60 Hz, low voltage on both sides, none of the kinds that the definition leaves out."""
        return (
            need.arrangement == "isolation"
            and need.frequency_hz == self._number(need.manufactured, "frequency_hz")
            and need.primary_v <= self._number(need.manufactured, "input_low_voltage_max_v")
            and need.secondary_v <= self._number(need.manufactured, "output_max_v")
            and need.enclosure in VENTILATED
            and _tap_range_pct(need.taps_pct) < self._number(need.manufactured, "tap_range_excluded_pct")
        )

    def test_load_pct(self, manufactured: str) -> float:
        """Return the load of the test. [%]"""
        return self._number(manufactured, "test_load_pct")

    def _number(self, manufactured: str, key: str) -> float:
        table: EditionTable = self.scope.at(manufactured)
        return table.row(key=key).number("value")


def _tap_range_pct(taps_pct: tuple[float, ...]) -> float:
    """Return highest minus lowest tap in percent of nominal."""
    return max(taps_pct, default=0.0) - min(taps_pct, default=0.0)
