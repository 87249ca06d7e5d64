"""Figures for people: how a size is written in a sentence, a table, a paper."""

import math
from typing import Literal

from turnwright.quantities.spelling import plain
from turnwright.quantities.units import KINDS, KindName, unit_of

Rounding = Literal["nearest", "up", "down"]

_DIGITS_KEPT = 12
"""Digits looked at: beyond them a float holds the noise of its arithmetic, as in 62.400000000000006."""

_SHOWN = {"degC": "°C", "degF": "°F"}


def _shifted(digits: int, drop: int, rounding: Rounding) -> int:
    """Drop decimal digits from an integer: to the nearest (halves away from 0), away from 0, or toward 0."""
    if drop <= 0:
        return digits
    scale = int(10**drop)
    whole, rest = divmod(digits, scale)
    more = rest * 2 >= scale if rounding == "nearest" else rest > 0 and rounding == "up"
    return whole + more


def _toward(value: float, rounding: Rounding) -> Rounding:
    """Up and down are along the number line; the digits of a negative size go the other way."""
    if value >= 0 or rounding == "nearest":
        return rounding
    return "down" if rounding == "up" else "up"


def figure(value: float, *, digits: int | None = 3, rounding: Rounding = "nearest") -> str:
    """Return a number with so many significant figures [the unit of `value`].

    Digits before the decimal point are never blanked: 13470 stays 13470. Zeros at the end are left out.

    Args:
        value: any finite float.
        digits: significant figures, at least 1; None gives every digit, so that reading gives the value back.
        rounding: `nearest`, or `up` or `down` along the number line, for limits and requirements.

    Raises:
        ValueError: the value is not finite or `digits` is below 1.

    Example:
        >>> figure(62.35), figure(13469.6), figure(0.0451, digits=2), figure(62.31, rounding="up")
        ('62.4', '13470', '0.045', '62.4')
    """
    if not math.isfinite(value) or (digits is not None and digits < 1):
        raise ValueError(f"no figure for {value} with {digits} digits")
    if value == 0:
        return "0"
    if digits is None:
        return plain(value)
    mantissa, exponent = f"{abs(value):.{_DIGITS_KEPT - 1}e}".split("e")
    power = int(exponent)
    decimals = max(0, digits - 1 - power)
    drop = _DIGITS_KEPT - 1 - power - decimals
    kept = _shifted(int(mantissa.replace(".", "")) * 10 ** max(0, -drop), drop, _toward(value, rounding))
    text = str(kept).zfill(decimals + 1)
    if decimals:
        text = f"{text[:-decimals]}.{text[-decimals:]}".rstrip("0").rstrip(".")
    return f"-{text}" if value < 0 and kept else text


def format_quantity(
    value: float,
    kind: KindName,
    *,
    digits: int | None = 3,
    rounding: Rounding = "nearest",
    unit: str | None = None,
) -> str:
    """Return a size with its unit, for people; `parse_quantity` reads it back.

    Args:
        value: size in the unit used inside (V, A, kVA, kW, hp, kvar, Hz, m, degC, K, %, s, dB, kg), a float.
        kind: the kind of quantity.
        digits: significant figures; None gives every digit.
        rounding: `nearest`, `up` or `down`: a limit goes down, a requirement up; only the caller knows.
        unit: another unit of the kind to show it in; the currency, for money.

    Raises:
        ValueError: the value is not finite.
        LookupError: the unit does not belong to the kind, or money comes without a currency.

    Example:
        >>> format_quantity(62.35, "apparent power"), format_quantity(450.0, "current")
        ('62.4 kVA', '450 A')
        >>> format_quantity(13470.0, "current", unit="kA"), format_quantity(-40.0, "temperature")
        ('13.5 kA', '-40 °C')
        >>> format_quantity(0.12, "energy price", unit="USD"), format_quantity(0.85, "per unit")
        ('0.12 USD', '0.85')
    """
    found = unit_of(KINDS[kind].unit if unit is None else unit, kind)
    if found is None:
        raise LookupError(f"no unit of {kind}: {unit}")
    text = figure(found.from_inside(value), digits=digits, rounding=rounding)
    symbol = _SHOWN.get(found.symbol, found.symbol)
    return f"{text} {symbol}" if symbol else text
