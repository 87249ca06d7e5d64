"""Demand factors of NEC article 220 for the usual kinds of load, where the user asks for them."""

from __future__ import annotations

from turnwright.demand import CodeDemand
from turnwright.reference import in_band, load
from turnwright.working import Ledger, formula


@formula("(min(S, S_first) + max(S − S_first, 0) · share / 100) / S", "", "NEC 220.44, 220.47")
def receptacle_factor(total_kva: float, first_kva: float, rest_pct: float) -> float:
    """Return the demand factor of receptacle loads other than in dwellings. [-]

    total_kva : all receptacle loads together [kVA]
    first_kva : part that counts in full [kVA]
    rest_pct  : share of the rest that counts [%]
    Source: NEC 220.44 (2017, 2020), 220.47 (2023)

    Example:
        >>> receptacle_factor(total_kva=30.0, first_kva=10.0, rest_pct=50.0)
        0.6666666666666666
    """
    if total_kva <= first_kva:
        return 1.0
    return (first_kva + (total_kva - first_kva) * rest_pct / 100) / total_kva


@formula("max(factor / 100, S_two largest / S)", "", "NEC 220.56")
def kitchen_factor(total_kva: float, factor_pct: float, two_largest_kva: float) -> float:
    """Return the demand factor of commercial kitchen equipment, never below its two largest pieces. [-]

    total_kva       : all kitchen equipment together [kVA]
    factor_pct      : of the table, by number of pieces [%]
    two_largest_kva : the two largest pieces together [kVA]
    Source: NEC 220.56

    Example:
        >>> kitchen_factor(total_kva=60.0, factor_pct=65.0, two_largest_kva=45.0)
        0.75
    """
    return max(factor_pct / 100, two_largest_kva / total_kva)


def code_demand(edition: str) -> CodeDemand:
    """Return the function (rule, total kVA, pieces, two largest kVA, ledger) -> demand factor of one edition."""
    limits = load("nec_limits").at(edition)
    kitchen = load("nec_220_56").at(edition)

    def factor(rule: str, total_kva: float, count: float, two_largest_kva: float, work: Ledger) -> float:
        if total_kva <= 0:
            return 1.0
        name = f"demand.rule[{rule}].factor"
        if rule == "receptacles":
            first, rest = (
                limits.row(key=f"receptacle_{key}").number("value") for key in ("first_kva", "rest_pct")
            )
            value = work.calc(name, receptacle_factor, total_kva=total_kva, first_kva=first, rest_pct=rest)
        else:
            share = in_band(kitchen, "pieces_min", "pieces_max", count).number("factor_pct")
            inputs = {"total_kva": total_kva, "factor_pct": share, "two_largest_kva": two_largest_kva}
            value = work.calc(name, kitchen_factor, **inputs)
        found: float = value
        return found

    return factor
