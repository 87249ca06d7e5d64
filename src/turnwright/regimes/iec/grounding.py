"""Protective and earthing conductors: IEC 60364-5-54 Table 54.2 and 542.3."""

from __future__ import annotations

from turnwright.model.result import Grounding
from turnwright.reference import Row, load, over_through
from turnwright.regimes.iec.numbers import limit
from turnwright.regimes.procedures import GroundingNeed
from turnwright.working import Ledger, formula

SAME = 1e-9


@formula("share · S / 100", "mm²", "IEC 60364-5-54 Table 54.2")
def share_of_line_mm2(line_mm2: float, share_pct: float) -> float:
    """Return the least protective conductor as a share of the line conductor. [mm²]

    line_mm2  : line conductor [mm²]
    share_pct : of the table [%]
    Source: IEC 60364-5-54 Table 54.2

    Example:
        >>> share_of_line_mm2(line_mm2=95.0, share_pct=50.0)
        47.5
    """
    return line_mm2 * share_pct / 100


class ProtectiveConductors:
    """The procedure: `ProtectiveConductors()(need, work)`. Areas are in mm², conductors of the metal of the lines.

    `equipment_conductor` is the protective conductor of the primary circuit, `load_equipment_conductor` of the
    secondary, `electrode_conductor` the earthing conductor of the star point. The others are not of this world.
    """

    def __init__(self) -> None:
        self.table = load("iec_protective_conductors").newest()
        self.sizes = load("iec_conductor_sizes").newest().column("area_mm2")

    def __call__(self, need: GroundingNeed, work: Ledger) -> Grounding:
        """Return the protective conductors of both sides and the earthing conductor of the star point."""
        before = self._protective("equipment_conductor", need.primary_set_area, 0.0, work)
        if not need.derived:
            after, earthing = before, None
        else:
            selv = need.secondary_v is not None and need.secondary_v <= limit("selv_max_v")
            after = (
                None  # nothing of a SELV circuit is tied to earth
                if selv and not need.neutral_bonded
                else self._protective("load_equipment_conductor", need.secondary_set_area, 0.0, work)
            )
            earthing = (
                self._protective(
                    "electrode_conductor", need.total_area, limit("earthing_conductor_min_mm2"), work
                )
                if need.neutral_bonded
                else None
            )
        return Grounding(
            equipment_conductor=before,
            bonding_jumper=None,
            system_bonding_jumper=None,
            load_equipment_conductor=after,
            electrode_conductor=earthing,
        )

    def _protective(self, name: str, line_mm2: float, least_mm2: float, work: Ledger) -> str | None:
        """Table 54.2 by the line conductor, then the next size there is."""
        if line_mm2 <= 0:
            return None
        row = over_through(self.table, "line_over_mm2", "line_through_mm2", line_mm2)
        fixed = row.optional("pe_mm2")
        asked = fixed
        if asked is None:
            asked = work.calc(
                f"grounding.{name}.least_mm2",
                share_of_line_mm2,
                line_mm2=line_mm2,
                share_pct=row.number("line_share_pct"),
            )
        wanted = max(asked, least_mm2)
        size = next((area for area in self.sizes if area >= wanted * (1 - SAME)), self.sizes[-1])
        return self._note(name, f"{size:g} mm²", row, work, line_mm2=line_mm2, least_mm2=wanted)

    def _note(self, name: str, size: str, row: Row, work: Ledger, **inputs: float) -> str:
        noted: str = work.note(f"grounding.{name}", size, "", row.source.cite(), row.source.known, **inputs)
        return noted
