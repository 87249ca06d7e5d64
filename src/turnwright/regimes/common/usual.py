"""What a standard unit usually is, from the tables of a regime."""

from __future__ import annotations

from functools import lru_cache

from turnwright.model.unit import Impedance
from turnwright.reference import EditionTable, Row, from_below, load, over_through
from turnwright.regimes.regime import UsualUnit


def split(magnitude_pct: float, x_over_r: float) -> Impedance:
    """Return resistance and reactance of an impedance of known magnitude and X/R, in percent.

    Example:
        >>> split(5.0, 0.75)
        Impedance(resistance_pct=4.0, reactance_pct=3.0)
    """
    resistance = magnitude_pct / (1 + x_over_r**2) ** 0.5
    return Impedance(resistance, resistance * x_over_r)


def usual_p_ecr() -> float:
    """Return the high end of the usual winding eddy loss of dry types per unit of I²R. [-]"""
    return load("dry_type_constants").newest().row(key="p_ecr_high_pct").number("value") / 100


class UsualUnits:
    """The usual impedance, taps and sound level of a size: `UsualUnits(...)(phases, kva, k_rating, sound_as)`.

    The band of impedance is used by its low end for faults and its high end for drops; X/R likewise by the end that
    is cautious for each: a high X/R lasts longer in a fault, a low one drops more at the power factors of loads.

    bands         impedance by phases and size
    ratios        X/R by phases and size
    tolerance_pct of the impedance of two windings
    taps          by size
    sound         levels by size; None: the regime has no such table
    """

    def __init__(
        self,
        bands: EditionTable,
        ratios: EditionTable,
        tolerance_pct: float,
        taps: EditionTable,
        sound: EditionTable | None,
    ) -> None:
        self.bands = bands
        self.ratios = ratios
        self.tolerance_pct = tolerance_pct
        self.taps = taps
        self.sound = sound
        self._of = lru_cache(maxsize=512)(self._make)

    def __call__(self, phases: int, kva: float, k_rating: float, sound_as: str = "ventilated") -> UsualUnit:
        """Return what a unit of this size usually is; its sound as that of an enclosure."""
        return self._of(phases, kva, k_rating, sound_as)

    def _make(self, phases: int, kva: float, k_rating: float, sound_as: str) -> UsualUnit:
        band, ratio = (_of_size(table.where(phases=phases), kva) for table in (self.bands, self.ratios))
        return UsualUnit(
            impedance_tolerance_pct=self.tolerance_pct,
            x_over_r=(ratio.number("low"), ratio.number("high")),
            for_faults=split(band.number("low_pct"), ratio.number("high")),
            for_drop=split(band.number("high_pct"), ratio.number("low")),
            taps_pct=taps_pct(self.taps, kva),
            sound_db=None if self.sound is None else sound_db(self.sound, kva, sound_as, k_rating),
        )


def _of_size(bands: EditionTable, kva: float) -> Row:
    """The row of a size; a unit larger than any of the table, which somebody may insist on, is like its largest."""
    largest = max(bands.rows, key=lambda row: row.number("kva_through"))
    return over_through(bands, "kva_over", "kva_through", min(kva, largest.number("kva_through")))


def taps_pct(taps: EditionTable, kva: float) -> tuple[float, ...]:
    """Return the usual taps of a size in percent of the nominal primary voltage, highest first."""
    row = from_below(taps, "kva_from", "kva_below", kva)
    above_step, below_step = row.optional("above_step_pct"), row.optional("below_step_pct")
    above = [above_step * n for n in range(int(row.number("above_count")), 0, -1)] if above_step else []
    below = [-below_step * n for n in range(1, int(row.number("below_count")) + 1)] if below_step else []
    return (*above, 0.0, *below)


def sound_db(levels: EditionTable, kva: float, enclosure: str, k_rating: float) -> float | None:
    """Return the average sound level limit of a size; None above the table."""
    for row in levels.where(enclosure=enclosure).rows:
        k_max, over = row.optional("k_max"), row.optional("kva_over")
        in_k = row.number("k_min") <= k_rating and (k_max is None or k_rating <= k_max)
        if in_k and (over is None or kva > over) and kva <= row.number("kva_through"):
            return row.number("level_dba")
    return None


def availability(stock: EditionTable, phases: int, kva: float, primary: str, secondary: str) -> str:
    """Return "usual stock" where such a unit is usually on the shelf, else "to order"."""
    for row in stock.rows:
        same = (
            float(row.number("phases")) == phases
            and row.text("primary") == primary
            and row.text("secondary") == secondary
        )
        if same and row.number("kva_min") <= kva <= row.number("kva_max"):
            return "usual stock"
    return "to order"
