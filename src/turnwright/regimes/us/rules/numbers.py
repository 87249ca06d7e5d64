"""The numbers that rules compare with: table cells, each looked up once."""

from __future__ import annotations

from functools import lru_cache

from turnwright.reference import Row, load
from turnwright.working import Number

METRES_PER_FOOT = 0.3048
SAME = 1e-9
"""Two values closer than this (relative) are one value, whatever the float says."""


@lru_cache(maxsize=512)
def limit(edition: str, key: str) -> Number:
    """Return a number of the NEC by its key.

    Raises: UnknownKey TBL-10 when the edition has no such number.

    Example:
        >>> limit("2023", "ground_fault_protection_min_a")
        1000.0
    """
    return load("nec_limits").at(edition).row(key=key).number("value")


@lru_cache(maxsize=128)
def place_row(edition: str, item: str) -> Row:
    """Return a row of the numbers of Article 450 and of working space."""
    return load("nec_450_misc").at(edition).row(item=item)


def place_limit(edition: str, item: str) -> Number:
    """Return a number of Article 450 or of working space, in the unit of its row."""
    return place_row(edition, item).number("value")


@lru_cache(maxsize=64)
def usual(key: str) -> Number:
    """Return a number that only these rules use, common practice or physics of equipment, by its key."""
    return load("us_rule_numbers").newest().row(key=key).number("value")


@lru_cache(maxsize=64)
def secondary_case(edition: str, rule: str) -> Row:
    """Return one case of 240.21(C)."""
    return load("nec_240_21c").at(edition).row(rule=rule)


@lru_cache(maxsize=64)
def service_band_v(system: str) -> tuple[float, float] | None:
    """Return least and largest service voltage between lines, range A; None for a system the table has not.

    Example:
        >>> service_band_v("480 delta corner") == service_band_v("480 3ph"), service_band_v("415Y/240")
        (True, None)
    """
    name = f"{system.partition(' ')[0]} 3ph" if " delta" in system and "/" not in system else system
    row = next(
        (r for r in load("c84_1").newest().rows if r.text("system") == name and r.text("range") == "A"), None
    )
    if row is None:
        return None
    low, high = row.optional("service_min_line_v"), row.optional("service_max_line_v")
    return None if low is None or high is None else (float(low), float(high))
