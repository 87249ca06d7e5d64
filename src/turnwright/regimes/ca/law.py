"""The Canadian efficiency rule for dry-type transformers: SOR/2016-311, sections 703 to 706."""

from __future__ import annotations

from turnwright.reference import load
from turnwright.regimes.common.clauses import under
from turnwright.regimes.common.efficiency import VENTILATED, LeastEfficiency, between_rows_pct, loss_ceiling_w
from turnwright.regimes.procedures import LawNeed

FORMULAS = (
    under("SOR/2016-311 ss. 705.1, 705.2", between_rows_pct),
    under("SOR/2016-311 s. 705; test by 10 CFR 431 Subpart K Appendix A", loss_ceiling_w),
)


def largest_kva_key(phases: int) -> str:
    """Return the key of the largest rating of the scope.

    Example:
        >>> largest_kva_key(1), largest_kva_key(3)
        ('kva_max_one_phase', 'kva_max_three_phase')
    """
    return f"kva_max_{'one' if phases == 1 else 'three'}_phase"


class EfficiencyLaw(LeastEfficiency):
    """The procedure: `EfficiencyLaw()(need, work)`. Earlier levels than those of 2016 are not carried."""

    def __init__(self) -> None:
        super().__init__(load("ca_efficiency"), FORMULAS)
        self.scope = load("ca_efficiency_scope").newest()

    def in_scope(self, need: LawNeed) -> bool:
        """60 Hz, 1.2 kV class, ventilated, separate windings; taps do not matter, unlike under the US rule."""
        return (
            need.arrangement == "isolation"
            and need.frequency_hz == self._number("frequency_hz")
            and max(need.primary_v, need.secondary_v) <= self._number("low_voltage_max_v")
            and need.enclosure in VENTILATED
            and self._number("kva_min") <= need.kva <= self._number(largest_kva_key(need.phases))
        )

    def test_load_pct(self, manufactured: str) -> float:
        """Return the load of the test. [%]"""
        return self._number("test_load_pct")

    def _number(self, key: str) -> float:
        return self.scope.row(key=key).number("value")
