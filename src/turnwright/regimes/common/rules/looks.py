"""What several rules ask of the loads: which are meant by a name."""

from __future__ import annotations

from functools import lru_cache

from turnwright.model.case import CaseLoad
from turnwright.quantities import VoltageSystem
from turnwright.reference import load
from turnwright.regimes.rule import Facts

SQRT3 = 3**0.5


@lru_cache(maxsize=1)
def _words() -> tuple[tuple[str, str], ...]:
    rows = load("load_words").newest().rows
    return tuple((f" {row.text('word')} ", str(row.text("occasion"))) for row in rows)


@lru_cache(maxsize=16384)
def occasions(name: str) -> frozenset[str]:
    """Return what the name of a load gives away: fire pump, crane, stage.

    Example:
        >>> sorted(occasions("Fire-pump, east"))
        ['fire pump']
        >>> occasions("pumps")
        frozenset()
    """
    if not name:
        return frozenset()
    text = f" {' '.join(''.join(c if c.isalnum() else ' ' for c in name.casefold()).split())} "
    return frozenset(occasion for word, occasion in _words() if word in text)


def named(facts: Facts, occasion: str) -> tuple[CaseLoad, ...]:
    """Return the loads whose names say that they are such."""
    return tuple(load for load in facts.case.loads if occasion in occasions(load.name))


def to_ground_v(system: VoltageSystem, grounding: str | None) -> float:
    """Return the highest voltage of a line to ground; between lines where the system is not tied to ground. [V]

    Example:
        >>> from turnwright.quantities import parse_system
        >>> to_ground_v(parse_system("480 3ph", where="example"), "ungrounded")
        480.0
        >>> round(to_ground_v(parse_system("240/120 delta", where="example"), None), 1)
        207.8
    """
    if system.neutral_v is None or grounding in ("ungrounded", "resistance", "corner"):
        return system.line_v
    return system.line_v * SQRT3 / 2 if system.high_leg else system.neutral_v
