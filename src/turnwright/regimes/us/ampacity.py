"""Ampacity of conductors: NEC Table 310.16, ambient and count corrections, terminals of 110.14(C)."""

from __future__ import annotations

from turnwright.reference import circular_mils, load
from turnwright.regimes.common.ampacity import (
    METALS,
    ColumnAmpacities,
    Surroundings,
    Wire,
    corrected_ampacity_a,
    sets_ampacity_a,
    terminal_column_c,
)
from turnwright.regimes.common.clauses import under

__all__ = ["METALS", "Ampacities", "Surroundings", "Wire", "terminal_column_c"]

FORMULAS = (
    under("NEC 310.15(B)(1), 310.15(C)(1)", corrected_ampacity_a),
    under("NEC 110.14(C), 310.10(G)", sets_ampacity_a),
)


class Ampacities(ColumnAmpacities):
    """Ampacity of every size for one edition: `Ampacities("2023").wires(Surroundings("copper", 75, 40, 3))`."""

    def __init__(self, edition: str) -> None:
        areas = load("nec_ch9_t8").at(edition)
        super().__init__(
            table=load("nec_310_16").at(edition),
            ambient=load("nec_310_15_b1").at(edition),
            count=load("nec_310_15_c1").at(edition),
            small=load("nec_240_4d").at(edition),
            area_of=lambda size: circular_mils(areas, size),
            formulas=FORMULAS,
        )
