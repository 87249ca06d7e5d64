"""Numbers with so many decimals, as columns of figures have them."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal

from turnwright.quantities.figures import Rounding

_ROUNDING = {"nearest": ROUND_HALF_UP, "up": ROUND_CEILING, "down": ROUND_FLOOR}
_NOISE_DIGITS = 12
"""Significant digits looked at before rounding: further ones are the noise of the arithmetic."""


def fixed(value: float, decimals: int, rounding: Rounding = "nearest") -> str:
    """Return a number with so many decimals [the unit of `value`]: a limit goes down, a demand goes up.

    Raises:
        ValueError: the value is not finite.

    Example:
        >>> fixed(360.8439, 1), fixed(87.03, 0, "up"), fixed(1039.9, 0, "down")
        ('360.8', '88', '1039')
        >>> fixed(88.00000000000001, 0, "up")
        '88'
        >>> fixed(-1e-13, 1, "up")
        '0.0'
    """
    number = Decimal(f"{value:.{_NOISE_DIGITS}g}")
    if not number.is_finite():
        raise ValueError(f"no figure for {value}")
    rounded = number.quantize(Decimal(1).scaleb(-decimals), _ROUNDING[rounding])
    return f"{rounded if rounded else abs(rounded):f}"
