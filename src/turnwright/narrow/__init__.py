"""Everything that runs many cases: the answer with its range and its next question, thresholds; `next_sizes` apart."""

from turnwright.narrow.put import at, put
from turnwright.narrow.select import regime_for, select
from turnwright.narrow.thresholds import Turn, thresholds

__all__ = [
    "Turn",
    "at",
    "put",
    "regime_for",
    "select",
    "thresholds",
]
