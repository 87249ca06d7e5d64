"""Numbers of the reference tables that the heat of dry types needs, each with its source."""

from __future__ import annotations

from turnwright.reference import load
from turnwright.working import Number


def constant(key: str) -> Number:
    """Return a number of the table of constants of dry types, with its source.

    Raises: UnknownKey TBL-10 when there is no such number.

    Example:
        >>> constant("hot_spot_exponent_an")
        1.6
    """
    return load("dry_type_constants").newest().row(key=key).number("value")


def practice(key: str) -> Number:
    """Return a number of the table of trade practice, with its source.

    Raises: UnknownKey TBL-10 when there is no such number.

    Example:
        >>> practice("air_rise_k")
        15.0
    """
    return load("trade_practice").newest().row(key=key).number("value")
