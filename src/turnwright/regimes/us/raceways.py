"""The smallest raceway for a set of conductors: NEC Chapter 9 Tables 1, 4 and 5."""

from __future__ import annotations

from functools import lru_cache

from turnwright.reference import load

INSULATION = "XHHW/XHHW-2/XHH"
KINDS = {"steel": "EMT", "pvc": "PVC-40", "aluminum": "RMC"}


class Raceways:
    """Trade sizes of one edition: `Raceways("2023").smallest("4/0 AWG", 3, "steel")`."""

    def __init__(self, edition: str) -> None:
        self.areas = load("nec_ch9_t5").at(edition)
        self.raceways = load("nec_ch9_t4").at(edition)
        self.smallest = lru_cache(maxsize=1024)(self._smallest)

    def _smallest(self, size: str, conductors: int, kind: str) -> str | None:
        """Return the raceway as people write it, `EMT 2-1/2`; None when the tables end before."""
        area = self._area_in2(size)
        if area is None:
            return None
        # the grounding conductor is never larger than the phases: one more of their size leaves room for it
        count, total = conductors + 1, (conductors + 1) * area
        column = {1: "fill_1_in2", 2: "fill_2_in2"}.get(count, "fill_over_2_in2")
        trade = KINDS[kind]
        for row in self.raceways.where(raceway=trade).rows:
            room = row.optional(column)
            if room is not None and room >= total:
                return f"{trade} {row.text('trade_size')}"
        return None

    def _area_in2(self, size: str) -> float | None:
        rows = (r for r in self.areas.rows if r.text("size") == size and r.text("insulation") == INSULATION)
        row = next(rows, None)
        return None if row is None else row.optional("area_in2")
