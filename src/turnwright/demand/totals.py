"""Vector sums over loads."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from turnwright.demand import load_formulas, sum_formulas
from turnwright.demand.account import Account


class Share(Struct, frozen=True):
    """What one load brings to a sum. `name` is its step, `load[0].running`; its unit is added."""

    name: str
    kva: float
    power_factor: float | None


class Sum(Struct, frozen=True):
    """A vector sum [kVA]; power factor and angle of its known part, None and 0 when no angle is known."""

    kva: float
    power_factor: float | None
    lag_deg: float


def vector_sum(account: Account, name: str, shares: Sequence[Share]) -> Sum:
    """Return the vector sum of loads, recorded as `<name>kva`; angles that are not known add in line.

    Loads of one power factor, like loads of no known angle, add by their kVA alone.
    """
    factors = {share.power_factor for share in shares}
    known = factors - {None}
    if len(factors) <= 1:
        kva = account.total(
            f"{name}kva", sum_formulas.total_kva, {f"{one.name}_kva": one.kva for one in shares}
        )
        factor = next(iter(known), None)
        return Sum(kva, factor, 0.0 if factor is None else load_formulas.phase_angle_deg(factor))
    work, active, reactive, in_line = account.single, {}, {}, {}
    for one in shares:
        if one.power_factor is None:
            in_line[f"{one.name}_kva"] = one.kva
            continue
        parts = {"kva": one.kva, "power_factor": one.power_factor}
        active[f"{one.name}_kw"] = work.calc(f"{one.name}_kw", load_formulas.active_kw, **parts)
        reactive[f"{one.name}_kvar"] = work.calc(f"{one.name}_kvar", load_formulas.reactive_kvar, **parts)
    kw = account.total(f"{name}kw", sum_formulas.total_kw, active)
    kvar = account.total(f"{name}kvar", sum_formulas.total_kvar, reactive)
    rest = account.total(f"{name}in_line_kva", sum_formulas.total_kva, in_line)
    kva = account.work.calc(f"{name}kva", sum_formulas.vector_kva, kw=kw, kvar=kvar, in_line_kva=rest)
    if kw <= 0.0:
        return Sum(kva, None, 0.0)
    factor = account.work.calc(f"{name}power_factor", sum_formulas.total_power_factor, kw=kw, kvar=kvar)
    angle = account.work.calc(f"{name}phase_angle_deg", load_formulas.phase_angle_deg, power_factor=factor)
    return Sum(kva, factor, angle)
