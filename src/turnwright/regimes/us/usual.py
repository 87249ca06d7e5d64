"""What a standard unit usually is in this regime, where nobody says otherwise."""

from __future__ import annotations

from functools import lru_cache

from turnwright.reference import load
from turnwright.regimes.common import usual


@lru_cache(maxsize=1)
def usual_units() -> usual.UsualUnits:
    """Return the usual impedance, taps and sound level by size."""
    constants = load("dry_type_constants").newest()
    return usual.UsualUnits(
        bands=load("us_impedance_bands").newest(),
        ratios=load("us_winding_x_over_r").newest(),
        tolerance_pct=constants.row(key="impedance_tolerance_two_winding_pct").number("value"),
        taps=load("us_usual_taps").newest(),
        sound=load("sound_levels").newest(),
    )


def availability(phases: int, kva: float, primary: str, secondary: str) -> str:
    """Return "usual stock" where such a unit is usually on the shelf, else "to order"."""
    return usual.availability(load("us_usual_stock").newest(), phases, kva, primary, secondary)
