"""The load that devices and conductors must carry: continuous, noncontinuous, motors, metered."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from turnwright.demand import sum_formulas as f
from turnwright.demand.account import Account
from turnwright.demand.records import Category, DemandTables, LoadDemand

CATEGORIES: tuple[Category, ...] = ("continuous", "noncontinuous", "motor", "measured")
_NAMES: dict[Category, str] = {
    "continuous": "continuous_kva",
    "noncontinuous": "noncontinuous_kva",
    "motor": "motors_kva",
    "measured": "measured_kva",
}


class CodeLoads(NamedTuple):
    """Load with growth by category, added in line, and what devices and conductors must carry. [kVA]"""

    continuous_kva: float
    noncontinuous_kva: float
    motors_kva: float
    measured_kva: float
    code_kva: float


def code_loads(
    loads: Sequence[LoadDemand], tables: DemandTables, growth_pct: float, account: Account
) -> CodeLoads:
    """Return the load for devices and conductors.

    Motors, continuous or not, are increased by a share of the largest alone; a motor inside a continuous
    group is covered by the factor on the group. A metered maximum takes its own factor in place of the others.
    """
    work = account.work
    sums: dict[Category, float] = {}
    for category in CATEGORIES:
        parts = {
            f"load[{load.index}].code_running_kva": load.code_running_kva
            for load in loads
            if load.category == category
        }
        name = f"demand.{_NAMES[category]}"
        if parts:
            today = account.total(f"{name}_today", f.total_kva, parts)
            sums[category] = work.calc(name, f.grown_kva, kva=today, growth_pct=growth_pct)
        else:
            sums[category] = work.note(name, 0.0, "kVA", f"no {category} load", "computed")
    largest = max(
        (load.motor_kva for load in loads if load.motor_kva is not None and increased(load)), default=None
    )
    if largest is None:
        largest = work.note(
            "demand.code_motor_kva", 0.0, "kVA", "no motor that is increased by itself", "computed"
        )
    code_kva = work.calc(
        "demand.code_kva",
        f.code_kva,
        noncontinuous_kva=sums["noncontinuous"],
        continuous_kva=sums["continuous"],
        motors_kva=sums["motor"],
        largest_motor_kva=largest,
        measured_kva=sums["measured"],
        continuous_factor=tables.continuous_factor,
        motor_fraction=tables.motor_conductor_allowance,
        measured_factor=tables.measured_demand_factor,
    )
    return CodeLoads(sums["continuous"], sums["noncontinuous"], sums["motor"], sums["measured"], code_kva)


def increased(load: LoadDemand) -> bool:
    """Tell whether the largest motor of a load is increased by itself, not with the whole load."""
    return load.motor_kva is not None and load.category in ("motor", "noncontinuous")


def factor_of(load: LoadDemand, tables: DemandTables) -> float | None:
    """Return the factor on the whole of a load for devices and conductors; None where it is 1. [-]"""
    if load.category == "continuous":
        return tables.continuous_factor
    return tables.measured_demand_factor if load.category == "measured" else None
