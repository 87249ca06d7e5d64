"""Everything that runs many cases: the answer with its range and its next question, and thresholds."""

from turnwright.narrow.next_sizes import NextSizes, SizeChange, next_sizes
from turnwright.narrow.put import at, put
from turnwright.narrow.select import regime_for, select
from turnwright.narrow.thresholds import Turn, thresholds

__all__ = [
    "NextSizes",
    "SizeChange",
    "Turn",
    "at",
    "next_sizes",
    "put",
    "regime_for",
    "select",
    "thresholds",
]
