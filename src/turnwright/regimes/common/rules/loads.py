"""Checks of the load list: uneven phases, motors by the tables of a code."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from turnwright.model.case import CaseLoad
from turnwright.quantities import figure
from turnwright.regimes.common.rules.plain import practice
from turnwright.regimes.rule import Check, Facts, Said


def on_current_a(facts: Facts, one: CaseLoad) -> float | None:
    """Return the current of one piece of a load while it is on. [A]"""
    return next((made.on_current_a for made in facts.picture.loads if made.index == one.index), None)


def uneven_phases(facts: Facts) -> Iterator[Said]:
    """Each winding carries a third: the most loaded one decides, and one reading says nothing of the others."""
    phases_kva = facts.picture.phase_kva
    if len(phases_kva) < 2:
        return
    average_kva = sum(phases_kva) / len(phases_kva)
    if average_kva <= 0:
        return
    above_pct = (max(phases_kva) / average_kva - 1) * 100
    watch_pct = practice("phase_unbalance_watch_pct")
    if above_pct > watch_pct:
        worst = facts.picture.phases[phases_kva.index(max(phases_kva))]
        yield Said(
            message=(
                f"Phase {worst} carries {figure(above_pct)} % more than the average: spread the single-phase "
                "loads, and measure all phases later, not one."
            ),
            value=above_pct,
            limit=watch_pct,
            unit="%",
        )


def motor_tables(share_pct: Callable[[Facts], float]) -> Check:
    """Return the check that says which current a motor counts by; `share_pct` is that of the largest one."""

    def check(facts: Facts) -> Iterator[Said]:
        made = facts.picture.largest_motor
        largest = next((one for one in facts.picture.loads if one.index == made), None)
        if largest is None or largest.table_current_a is None:
            return
        yield Said(
            message=(
                f"Motors count by the tables, not by the nameplate: {figure(largest.table_current_a)} A for the "
                f"largest, at {share_pct(facts):g} % for conductors and devices; the nameplate sets its overload "
                "protection."
            ),
            value=largest.table_current_a,
            unit="A",
        )

    return check
