"""Everything that runs many cases: the answer with its range and its next question."""

from turnwright.narrow.select import regime_for, select

__all__ = ["regime_for", "select"]
