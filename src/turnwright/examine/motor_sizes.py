"""The largest motor for a unit, the smallest unit for a motor, by way of starting."""

from __future__ import annotations

from math import inf, sqrt
from typing import Any

from turnwright.examine.motor_cases import DIRECT, METHODS, Motor, dip_site, start
from turnwright.examine.motor_formulas import full_load_kva
from turnwright.examine.runs import NOT_COUNTED
from turnwright.examine.subject import Subject
from turnwright.selection.candidate import candidate
from turnwright.selection.specification import ORDINARY_K
from turnwright.selection.starting import MULTIPLES, SHARES, USUAL

WITHIN = 1 + 1e-9


def reduction(subject: Subject, method: str) -> tuple[float, float]:
    """Return the multiple of the full-load current a way of starting draws, and its share of that. [-, %]"""
    if method in MULTIPLES:
        return subject.practice(MULTIPLES[method]), 100.0
    return subject.practice(USUAL), subject.practice(SHARES[method]) if method in SHARES else 100.0


def largest_by_method(subject: Subject, start_kva: float) -> dict[str, Any]:
    """Return the largest motor that draws no more than so many kVA, by way of starting: full-load kVA, and hp."""
    return {"methods": [_largest(subject, method, start_kva) for method in METHODS]}


def _largest(subject: Subject, method: str, start_kva: float) -> dict[str, Any]:
    multiple, share_pct = reduction(subject, method)
    kva = full_load_kva(start_kva=start_kva, multiple=multiple, share_pct=share_pct)
    hp, beyond = horsepower(subject, kva)
    return {"method": method, "full_load_kva": kva, "hp": hp, "beyond_table": beyond}


def horsepower(subject: Subject, kva: float) -> tuple[float | None, bool]:
    """Return the largest motor of the regime's table whose full load is no more, and whether the table ends there."""
    proposal = subject.sized.proposal
    phases, line_v = 3 if subject.three_phase else 1, float(proposal.output.line_v)
    for column in subject.regime.demand.motor_columns:
        if column.phases != phases or not column.from_v <= line_v <= column.through_v:
            continue
        by_hp = {
            float(row.number("hp")): float(current_a)
            for row in column.table.rows
            if (current_a := row.optional(column.column)) is not None
        }
        root = sqrt(3) if phases == 3 else 1.0
        fitting = [hp for hp, amperes in by_hp.items() if root * line_v * amperes / 1000 <= kva * WITHIN]
        largest = max(fitting, default=None)
        return largest, largest == max(by_hp)
    return None, False


def smallest_units(
    subject: Subject, motor: Motor, power_factor: float | None, limit_pct: float
) -> dict[str, float | None]:
    """Return the smallest usual size that keeps the dip at its terminals in the limit, by way of starting."""
    dips: dict[float, dict[str, float]] = {}
    found: dict[str, float | None] = {}
    for method in METHODS:
        found[method] = None
        for kva in _sizes_kva(subject):
            if kva not in dips:
                dips[kva] = _dips(subject, motor, power_factor, kva)
            if dips[kva][method] <= limit_pct * WITHIN:
                found[method] = kva
                break
    return found


def _sizes_kva(subject: Subject) -> list[float]:
    """The usual sizes of such a unit, ascending."""
    proposal = subject.sized.proposal
    least, most = proposal.size_limits_kva or (0.0, inf)
    series = subject.regime.sizes_kva[proposal.unit_phases]
    return [float(kva) for kva in series if least <= kva <= most]


def _dips(subject: Subject, motor: Motor, power_factor: float | None, kva: float) -> dict[str, float]:
    """The dips of one size by way of starting; of an unknown supply the same weakness for every size."""
    proposal, case = subject.sized.proposal, subject.case
    unit = candidate(proposal, kva, case, subject.regime, case.choices.k_rating or ORDINARY_K)
    site = dip_site(subject, unit.for_drop, NOT_COUNTED, kva=kva)
    return {
        method: start(subject, site, motor, motor.kva[method], power_factor).dip_pct for method in METHODS
    }


def direct_share_pct(subject: Subject, motor: Motor) -> float:
    """Return the full load of a motor over the rating of the unit. [%]"""
    kva = motor.demand.motor_kva or 0.0
    return 100 * kva / subject.passes_kva


def starts_direct(motor: Motor) -> bool:
    """Return whether a motor starts across the line."""
    return motor.method == DIRECT
