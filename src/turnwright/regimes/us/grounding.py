"""Grounding and bonding conductors: NEC Tables 250.122, 250.102(C)(1) and 250.66."""

from __future__ import annotations

from functools import lru_cache
from math import ceil

from turnwright.model.result import Grounding
from turnwright.reference import Row, circular_mils, first_at_least, load, over_through
from turnwright.regimes.procedures import GroundingNeed
from turnwright.regimes.us.ampacity import METALS
from turnwright.working import Ledger, formula


@formula("share · A_phase / 100", "cmil", "NEC 250.102(C)(1) note 1")
def share_of_phase_cmil(phase_cmil: float, share_pct: float) -> float:
    """Return the least area of a jumper in percent of the phase area. [cmil]

    phase_cmil : area of one phase [cmil]
    share_pct  : percent of Table 250.102(C)(1) note 1 [%]
    Source: NEC 250.102(C)(1) note 1

    Example:
        >>> share_of_phase_cmil(phase_cmil=1_200_000.0, share_pct=12.5)
        150000.0
    """
    return phase_cmil * share_pct / 100


class GroundingSizes:
    """The procedure for one edition: `GroundingSizes("2023")(need, work)`."""

    def __init__(self, edition: str) -> None:
        self.equipment = load("nec_250_122").at(edition)
        self.jumpers = load("nec_250_102c1").at(edition)
        self.electrode = load("nec_250_66").at(edition)
        self.areas = load("nec_ch9_t8").at(edition)
        self.sizes = tuple(row.text("size") for row in load("nec_310_16").at(edition).rows)
        limits = load("nec_limits").at(edition)
        self.share_pct = limits.row(key="jumper_phase_area_pct").number("value")
        self.must_ground_v = tuple(
            limits.row(key=key).number("value") for key in ("must_ground_min_v", "must_ground_to_ground_v")
        )
        self.size_of_area = lru_cache(maxsize=512)(self._size_of_area)

    def __call__(self, need: GroundingNeed, work: Ledger) -> Grounding:
        """Return the grounding and bonding conductors of both sides."""
        metal = METALS[need.metal]
        equipment = self._equipment(
            "equipment_conductor", need.primary_device_a, need.primary_set_area, metal, work
        )
        if not need.derived:
            return Grounding(
                equipment_conductor=equipment,
                bonding_jumper=None,
                system_bonding_jumper=None,
                load_equipment_conductor=equipment,
                electrode_conductor=None,
            )
        load_side = None
        if need.secondary_device_a is not None:
            load_side = self._equipment(
                "load_equipment_conductor", need.secondary_device_a, need.secondary_set_area, metal, work
            )
        return Grounding(
            equipment_conductor=equipment,
            bonding_jumper=self._jumper("bonding_jumper", need.set_area, metal, work),
            system_bonding_jumper=(
                self._jumper("system_bonding_jumper", need.total_area, metal, work)
                if need.neutral_bonded or self._must_ground(need.unbonded_v, need.supply_to_ground_v)
                else None
            ),
            load_equipment_conductor=load_side,
            electrode_conductor=self._electrode(need.total_area, metal, work),
        )

    def _must_ground(self, unbonded_v: float | None, supply_v: float | None) -> bool:
        """250.20(B)(1): within 150 V to ground; 250.20(A): below 50 V too where the supply has more than that."""
        least_v, most_v = self.must_ground_v
        if unbonded_v is None or unbonded_v > most_v:
            return False
        return unbonded_v >= least_v or (supply_v is not None and supply_v > most_v)

    def _equipment(self, name: str, device_a: float, set_cmil: float, metal: str, work: Ledger) -> str:
        """250.122: by the device ahead, never required larger than the circuit conductors."""
        row = first_at_least(self.equipment, "device_through_a", device_a)
        size: str = row.text(metal)
        if 0 < set_cmil < circular_mils(self.areas, size):
            size = self.size_of_area(set_cmil)
        return self._note(name, size, row, work, device_a=device_a)

    def _jumper(self, name: str, phase_cmil: float, metal: str, work: Ledger) -> str:
        row = over_through(
            self.jumpers, f"phase_{metal}_over_cmil", f"phase_{metal}_through_cmil", phase_cmil
        )
        size = row.optional_text(metal)
        if size is not None:
            return self._note(name, size, row, work, phase_cmil=phase_cmil)
        least = work.calc(
            f"grounding.{name}.least_cmil",
            share_of_phase_cmil,
            phase_cmil=phase_cmil,
            share_pct=self.share_pct,
        )
        return self._note(name, self.size_of_area(float(least)), row, work, least_cmil=least)

    def _electrode(self, phase_cmil: float, metal: str, work: Ledger) -> str:
        """250.66, in copper: aluminum is not allowed at most electrodes (250.64(A))."""
        over, through = f"phase_{metal}_over_cmil", f"phase_{metal}_through_cmil"
        row = over_through(self.electrode, over, through, phase_cmil)
        return self._note("electrode_conductor", row.text("cu"), row, work, phase_cmil=phase_cmil)

    def _note(self, name: str, size: str, row: Row, work: Ledger, **inputs: float) -> str:
        noted: str = work.note(f"grounding.{name}", size, "", row.source.cite(), row.source.known, **inputs)
        return noted

    def _size_of_area(self, least_cmil: float) -> str:
        """Return the smallest conductor of at least this area; above the table several of the largest in parallel."""
        found = next((s for s in self.sizes if circular_mils(self.areas, s) >= least_cmil * (1 - 1e-9)), None)
        if found is not None:
            return found
        largest = self.sizes[-1]
        return f"{ceil(least_cmil / circular_mils(self.areas, largest) * (1 - 1e-9))} × {largest}"
