"""The ranges that a regime's standard allows for the volts at the load, by the nominal volts."""

from __future__ import annotations

from functools import lru_cache

from msgspec import Struct

from turnwright.quantities import VoltageSystem, parse_system
from turnwright.reference import EditionTable, Row

NEAR = 0.005


class Range(Struct, frozen=True):
    """Least and largest volts for equipment, in one range of the standard."""

    name: str
    low_v: float
    high_v: float
    clause: str
    row: Row

    @property
    def title(self) -> str:
        """The range in a sentence.

        Example:
            >>> Range("A", 187.0, 218.0, "", None).title, Range("normal", 540.0, 625.0, "", None).title
            ('range A', 'the normal range')
        """
        return f"range {self.name}" if len(self.name) == 1 else f"the {self.name} range"


@lru_cache(maxsize=8)
def _nominal(table: EditionTable) -> tuple[tuple[float, Range], ...]:
    """Nominal volts of every row, between lines and to neutral, with the range."""
    found: list[tuple[float, Range]] = []
    for row in table.rows:
        system = parse_system(row.text("system"), where=table.name)
        assert isinstance(system, VoltageSystem)
        for side, volts in (("line", system.line_v), ("neutral", system.neutral_nominal_v)):
            low = row.optional(f"utilization_min_{side}_v")
            high = row.optional(f"service_max_{side}_v")
            if volts is not None and low is not None and high is not None:
                each = Range(str(row.text("range")), float(low), float(high), row.source.cite(), row)
                found.append((float(volts), each))
    return tuple(found)


@lru_cache(maxsize=256)
def ranges(nominal_v: float, table: EditionTable | None) -> tuple[Range, ...]:
    """Return the ranges of nominal volts, the narrow one first; none where the standard has no such system.

    Example:
        >>> from turnwright.reference import load
        >>> c84_1 = load("c84_1").newest()
        >>> ranges(208.0, c84_1)[0].low_v, ranges(415.0, c84_1), ranges(208.0, None)
        (187.0, (), ())
    """
    found: dict[str, Range] = {}
    for volts, each in _nominal(table) if table is not None else ():
        if abs(volts - nominal_v) <= NEAR * nominal_v:
            found.setdefault(each.name, each)
    return tuple(found.values())
