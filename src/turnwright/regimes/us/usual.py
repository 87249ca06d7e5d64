"""What a standard unit usually is in this regime, where nobody says otherwise."""

from __future__ import annotations

from functools import lru_cache

from turnwright.model.unit import Impedance
from turnwright.reference import from_below, load, over_through
from turnwright.regimes.regime import UsualUnit


def split(magnitude_pct: float, x_over_r: float) -> Impedance:
    """Return resistance and reactance of an impedance of known magnitude and X/R, in percent.

    Example:
        >>> split(5.0, 0.75)
        Impedance(resistance_pct=4.0, reactance_pct=3.0)
    """
    resistance = magnitude_pct / (1 + x_over_r**2) ** 0.5
    return Impedance(resistance, resistance * x_over_r)


@lru_cache(maxsize=512)
def usual_unit(phases: int, kva: float, k_rating: float) -> UsualUnit:
    """Return the usual impedance, taps and sound level of a size.

    The band of impedance is used by its low end for faults and its high end for drops; X/R likewise by the end that
    is cautious for each: a high X/R lasts longer in a fault, a low one drops more at the power factors of loads.
    """
    band = over_through(
        load("us_impedance_bands").newest().where(phases=phases), "kva_over", "kva_through", kva
    )
    ratio = over_through(
        load("us_winding_x_over_r").newest().where(phases=phases), "kva_over", "kva_through", kva
    )
    constants = load("dry_type_constants").newest()
    return UsualUnit(
        impedance_tolerance_pct=constants.row(key="impedance_tolerance_two_winding_pct").number("value"),
        x_over_r=(ratio.number("low"), ratio.number("high")),
        for_faults=split(band.number("low_pct"), ratio.number("high")),
        for_drop=split(band.number("high_pct"), ratio.number("low")),
        taps_pct=usual_taps_pct(kva),
        sound_db=sound_db(kva, "ventilated", k_rating),
    )


def usual_taps_pct(kva: float) -> tuple[float, ...]:
    """Return the usual taps of a size in percent of the nominal primary voltage, highest first."""
    row = from_below(load("us_usual_taps").newest(), "kva_from", "kva_below", kva)
    above_step, below_step = row.optional("above_step_pct"), row.optional("below_step_pct")
    above = [above_step * n for n in range(int(row.number("above_count")), 0, -1)] if above_step else []
    below = [-below_step * n for n in range(1, int(row.number("below_count")) + 1)] if below_step else []
    return (*above, 0.0, *below)


def sound_db(kva: float, enclosure: str, k_rating: float) -> float | None:
    """Return the average sound level limit of a size; None above the table."""
    table = load("sound_levels").newest().where(enclosure=enclosure)
    for row in table.rows:
        k_max, over = row.optional("k_max"), row.optional("kva_over")
        in_k = row.number("k_min") <= k_rating and (k_max is None or k_rating <= k_max)
        if in_k and (over is None or kva > over) and kva <= row.number("kva_through"):
            return row.number("level_dba")
    return None


def availability(phases: int, kva: float, primary: str, secondary: str) -> str:
    """Return "usual stock" where such a unit is usually on the shelf, else "to order"."""
    for row in load("us_usual_stock").newest().rows:
        same = (
            float(row.number("phases")) == phases
            and row.text("primary") == primary
            and row.text("secondary") == secondary
        )
        if same and row.number("kva_min") <= kva <= row.number("kva_max"):
            return "usual stock"
    return "to order"
