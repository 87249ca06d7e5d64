"""The through-fault withstand of a dry-type unit: its category, its curve, and the mechanical one of category II."""

from __future__ import annotations

from typing import NamedTuple

from turnwright.examine.through_fault import (
    line_ground_share,
    mechanical_i2t_s,
    most_multiple,
    withstand_multiple,
    withstand_s,
)
from turnwright.reference import EditionTable, load
from turnwright.working import Ledger

POINTS = 24
CATEGORIES = (1, 2)


class Withstand(NamedTuple):
    """Points of currents over the base current and how long each is withstood, longest first.

    category    I to III of IEEE C57.12.59
    thermal     the curve of every unit; it ends at the largest current that can flow
    mechanical  the curve for faults that are frequent, of category II; () for others
    most        the largest through-fault current, over the base current
    """

    category: int
    thermal: tuple[tuple[float, float], ...]
    mechanical: tuple[tuple[float, float], ...]
    most: float


def withstand_of(
    phases: int, kva: float, impedance_pct: float | None, work: Ledger, supply_pct: float = 0.0
) -> Withstand:
    """Return the withstand of a unit.

    impedance_pct  of the unit, its low end; None: the current is not limited below the end of the curve
    supply_pct     impedance of the supply on the rating of the unit, counted from category II on
    """
    table = load("dry_type_constants").newest()
    limit, i2t, time_s, longest = (
        _number(table, key)
        for key in (
            "through_fault_max_multiple",
            "through_fault_i2t_s",
            "through_fault_time_s",
            "through_fault_longest_s",
        )
    )
    category = category_of(table, phases, kva)
    z_pct = None if impedance_pct is None else impedance_pct + (supply_pct if category > 1 else 0.0)
    most = limit
    if z_pct is not None:
        most = work.calc("withstand.most", most_multiple, limit=limit, impedance_pct=z_pct)
    first = work.calc("withstand.from", withstand_multiple, i2t_s=i2t, time_s=longest)
    thermal = _curve(i2t, first, most)
    mechanical: tuple[tuple[float, float], ...] = ()
    if category == CATEGORIES[1]:
        k = work.calc("withstand.mechanical_i2t_s", mechanical_i2t_s, most_multiple=most, time_s=time_s)
        mechanical = _curve(k, _number(table, "mechanical_curve_from") * most, most)
        at = mechanical[0][0]
        mechanical = ((at, withstand_s(i2t_s=i2t, multiple=at)), *mechanical)
    return Withstand(category, thermal, mechanical, most)


def category_of(table: EditionTable, phases: int, kva: float) -> int:
    """Return the category of a unit by its rating, 1 to 3."""
    word = "three" if phases == 3 else "single"
    for category in CATEGORIES:
        if kva <= _number(table, f"category_{category}_{word}_phase_max_kva"):
            return category
    return CATEGORIES[-1] + 1


def shifted(curve: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    """Return a curve as a line of a delta sees it when the fault is from a line of the wye to ground. [-, s]"""
    share = line_ground_share()
    return tuple((multiple * share, time_s) for multiple, time_s in curve)


def _curve(i2t_s: float, low: float, high: float) -> tuple[tuple[float, float], ...]:
    ratio = (high / low) ** (1 / POINTS)
    multiples = [*(low * ratio**k for k in range(POINTS)), high]
    return tuple((multiple, withstand_s(i2t_s=i2t_s, multiple=multiple)) for multiple in multiples)


def _number(table: EditionTable, key: str) -> float:
    return float(table.row(key=key).number("value"))
