"""Demand factors of the code, for the loads whose line asks for them by `demand_rule`."""

from __future__ import annotations

from msgspec.structs import replace

from turnwright.demand.records import DemandTables
from turnwright.demand.sizes import sized
from turnwright.model.case import CaseLoad
from turnwright.quantities import VoltageSystem
from turnwright.working import CLOSED, Ledger, formula


@formula("demand factor · code factor", "")
def factor_by_code(demand_factor: float, code_factor: float) -> float:
    """Return the demand factor of a load with that of the code. [-]

    demand_factor : as stated for the load [-]
    code_factor   : of the code, for all loads of this kind together [-]
    Source: the code factor carries it; both count, as the code speaks of the connected load

    Example:
        >>> factor_by_code(demand_factor=1.0, code_factor=0.75)
        0.75
    """
    return demand_factor * code_factor


def by_code(
    loads: tuple[CaseLoad, ...], secondary: VoltageSystem, tables: DemandTables, work: Ledger
) -> tuple[CaseLoad, ...]:
    """Return the loads with the code's demand factor on those that ask for it; the others as they are.

    The factor goes by all loads of one rule together: their connected kVA, their number of pieces, the two largest.
    """
    rules = {load.demand_rule for load in loads if load.demand_rule}
    if not rules or tables.code_demand is None:
        return loads
    factors = {rule: _factor(rule, loads, secondary, tables, work) for rule in sorted(rules)}
    return tuple(_with(load, factors.get(load.demand_rule or ""), work) for load in loads)


def _factor(
    rule: str, loads: tuple[CaseLoad, ...], secondary: VoltageSystem, tables: DemandTables, work: Ledger
) -> float:
    assert tables.code_demand is not None
    group = [load for load in loads if load.demand_rule == rule]
    pieces = [sized(load, secondary, tables, CLOSED) for load in group]
    total_kva = sum(piece.kva * load.quantity for piece, load in zip(pieces, group, strict=True))
    each = sorted(
        (p.kva for p, load in zip(pieces, group, strict=True) for _ in range(min(int(load.quantity), 2)))
    )
    count = sum(load.quantity for load in group)
    return tables.code_demand(rule, total_kva, count, sum(each[-2:]), work)


def _with(load: CaseLoad, factor: float | None, work: Ledger) -> CaseLoad:
    if factor is None:
        return load
    name = f"load[{load.index}].factor_by_code"
    joined = work.calc(name, factor_by_code, demand_factor=load.demand_factor, code_factor=factor)
    return replace(load, demand_factor=joined)
