"""Duty-cycle multipliers of welder supply conductors: NEC 630.11(A) and 630.31(A)(2)."""

from __future__ import annotations

from collections.abc import Callable

from turnwright.errors import TableError
from turnwright.reference import load, over_through


def duty_multiplier(edition: str) -> Callable[[str, float], float | None]:
    """Return a function (kind of load, duty in percent) -> multiplier on the current while on, None for other kinds.

    Source: NEC Table 630.31(A)(2), resistance welders

    Example:
        >>> float(duty_multiplier("2023")("welder", 10.0))
        0.32
    """
    table = load("nec_630_welders").at(edition).where(kind="resistance")

    def multiplier(kind: str, duty_pct: float) -> float | None:
        if kind != "welder":
            return None
        try:
            return over_through(table, "duty_over_pct", "duty_through_pct", duty_pct).number("multiplier")
        except TableError:
            return 1.0

    return multiplier
