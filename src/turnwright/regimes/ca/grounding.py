"""Bonding and grounding conductors: CEC 10-616 and Table 16, 10-114 (numbers of 2021), earlier rules by edition."""

from __future__ import annotations

from turnwright.model.result import Grounding
from turnwright.reference import Row, first_at_least, load, over_through
from turnwright.regimes.ca.conductors import area_mm2
from turnwright.regimes.common.ampacity import METALS
from turnwright.regimes.procedures import GroundingNeed
from turnwright.working import Ledger


class GroundingSizes:
    """The procedure for one edition: `GroundingSizes("2024")(need, work)`. Areas are in mm²."""

    def __init__(self, edition: str) -> None:
        self.bonding = load("ca_bonding_conductors").at(edition)
        self.electrode = load("ca_grounding_conductors").at(edition)
        self.sizes = tuple(row.text("size") for row in load("ca_ampacity").at(edition).rows)

    def __call__(self, need: GroundingNeed, work: Ledger) -> Grounding:
        """Return the bonding conductors of both sides, the system bonding jumper and the grounding conductor."""
        metal = METALS[need.metal]
        before = need.primary_device_a / need.primary_sets
        equipment = self._bonding("equipment_conductor", before, need.primary_set_area, metal, work)
        if not need.derived:
            return Grounding(
                equipment_conductor=equipment,
                bonding_jumper=None,
                system_bonding_jumper=None,
                load_equipment_conductor=equipment,
                electrode_conductor=None,
            )
        # conductors that rely on the primary device are sized by it, referred by the voltages
        device_a = need.secondary_device_a or need.secondary_before_a or 0.0
        return Grounding(
            equipment_conductor=equipment,
            bonding_jumper=None,
            system_bonding_jumper=(
                self._bonding("system_bonding_jumper", device_a, need.total_area, metal, work)
                if need.neutral_bonded
                else None
            ),
            load_equipment_conductor=self._bonding(
                "load_equipment_conductor",
                device_a / need.secondary_sets,
                need.secondary_set_area,
                metal,
                work,
            ),
            electrode_conductor=self._electrode(need, work),
        )

    def _bonding(self, name: str, device_a: float, circuit_mm2: float, metal: str, work: Ledger) -> str:
        """Table 16 by the device; never required larger than the conductors of the circuit."""
        row = first_at_least(self.bonding, "device_through_a", device_a)
        size = self._no_larger(row.text(metal), circuit_mm2)
        return self._note(name, size, row, work, device_a=device_a)

    def _electrode(self, need: GroundingNeed, work: Ledger) -> str | None:
        """In copper, by the ampacity of the new system up to 2015, one size since; never larger than its conductors."""
        if not need.neutral_bonded:
            return None
        ampacity_a = need.secondary_ampacity_a
        row = over_through(self.electrode, "ampacity_over_a", "ampacity_through_a", ampacity_a)
        size = self._no_larger(row.text("cu"), need.total_area)
        return self._note("electrode_conductor", size, row, work, ampacity_a=ampacity_a)

    def _no_larger(self, size: str, circuit_mm2: float) -> str:
        if not 0 < circuit_mm2 < area_mm2(size):
            return size
        return next(s for s in self.sizes if area_mm2(s) >= circuit_mm2 * (1 - 1e-9))

    def _note(self, name: str, size: str, row: Row, work: Ledger, **inputs: float) -> str:
        noted: str = work.note(f"grounding.{name}", size, "", row.source.cite(), row.source.known, **inputs)
        return noted
