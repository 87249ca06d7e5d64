"""The numbers that rules compare with: table cells, each looked up once."""

from __future__ import annotations

from functools import lru_cache

from turnwright.reference import load
from turnwright.working import Number


@lru_cache(maxsize=128)
def limit(edition: str, key: str) -> Number:
    """Return a number of the Canadian code by its key.

    Example:
        >>> limit("2024", "conductor_rated_pct")
        125.0
    """
    return load("ca_limits").at(edition).row(key=key).number("value")
