"""Numbers of the IEC world by key: table cells, each looked up once."""

from __future__ import annotations

from functools import lru_cache

from turnwright.reference import load
from turnwright.working import Number


@lru_cache(maxsize=128)
def limit(key: str) -> Number:
    """Return a number by its key.

    Example:
        >>> limit("overload_factor")
        1.45
    """
    return load("iec_limits").newest().row(key=key).number("value")
