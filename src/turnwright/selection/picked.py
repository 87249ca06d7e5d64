"""What there is to say because a unit was picked: what set its size, and loads that need none."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from turnwright.arrangements.outputs import same_volts
from turnwright.arrangements.wishes import start_of
from turnwright.model.case import Case, CaseLoad
from turnwright.model.result import Finding
from turnwright.quantities import figure
from turnwright.reference import load as table
from turnwright.regimes import Regime
from turnwright.selection.evaluate import Evaluation
from turnwright.selection.grouping import is_served, may_be_served
from turnwright.selection.needs import SAME

SETS = {
    "drop": "Voltage drop, not heat, sets the size",
    "dip": "The dip at a motor's start, not heat, sets the size",
    "momentary": "The short-time demand, not heat, sets the size",
    "harmonics": "The harmonics set the size",
    "neutral": "The neutral, not heat, sets the size",
    "insisted": "The size is the one insisted on",
}


def picked_remarks(case: Case, final: Evaluation, regime: Regime) -> Iterator[Finding]:
    """Yield what set the size where it was not heat, and which loads the supply serves as it is."""
    yield from _size_basis(final, regime)
    yield from no_transformer_needed(case)
    if final.sized.proposal.winding_v is None:  # a winding in the line asks it itself
        yield from plates_near(case)


def _size_basis(final: Evaluation, regime: Regime) -> Iterator[Finding]:
    sized, demand = final.sized, final.blocks.demand
    heat = next((need.kva for need in sized.needs if need.basis == "heat"), None)
    if demand.basis not in SETS or heat is None:
        return
    series = regime.sizes_kva[sized.proposal.unit_phases]
    passes = next((kva for kva in series if kva >= heat * (1 - SAME)), None)
    alone = "" if passes is None or passes >= sized.unit.kva else f"; heat alone would pass {passes:g} kVA"
    yield Finding(
        code="size-basis",
        severity="note",
        message=f"{SETS[demand.basis]}{alone}.{_less_impedance(final, series)}",
        known="computed",
        value=float(demand.kva_required),
        limit=None if passes is None else float(passes),
        unit="kVA",
    )


def _less_impedance(final: Evaluation, series: tuple[float, ...]) -> str:
    """Which smaller size would do with how little impedance, where only the usual band of it is known.

    The size that a start or a drop at an unknown angle asks for goes with the impedance.
    """
    sized, basis = final.sized, final.blocks.demand.basis
    unit, need = sized.unit, sized.governing
    exact = basis == "dip" or (basis == "drop" and sized.picture.on_power_factor is None)
    if not exact or unit.nominal is not None or need.basis != basis or not isfinite(need.kva):
        return ""
    others = max((one.kva for one in sized.needs if one is not need), default=0.0)
    smaller = [
        (kva, unit.for_drop.magnitude_pct * kva / need.kva)
        for kva in series
        if others * (1 - SAME) <= kva < unit.kva
        and unit.for_drop.magnitude_pct * kva / need.kva >= unit.for_faults.magnitude_pct
    ]
    if not smaller:
        return ""
    (kva, most_pct), (least_kva, least_pct) = smaller[-1], smaller[0]
    even = f", with {figure(least_pct, rounding='down')} % even {least_kva:g} kVA" if least_kva < kva else ""
    return f" Ordered with no more than {figure(most_pct, rounding='down')} % impedance {kva:g} kVA would do{even}."


def no_transformer_needed(case: Case) -> Iterator[Finding]:
    """Yield the loads whose volts the supply has already."""
    for load in case.loads:
        if is_served(case, load):
            yield Finding(
                code="no-transformer-needed",
                severity="caution",
                message=(
                    f"{start_of(load.label)} asks for {_asked(load)}, which the {case.supply.system.text} "
                    "supply has already: no transformer is needed for the volts. One still makes sense for isolation "
                    "or a neutral and ground of its own."
                ),
                known="computed",
            )


def _asked(load: CaseLoad) -> str:
    plate = f"{load.nameplate_v:g} V"
    return (
        load.system.text
        if same_volts(load.nameplate_v, load.system.line_v)
        else f"{plate}, a plate of {load.system.text}"
    )


def plates_near(case: Case) -> Iterator[Finding]:
    """Yield the loads that may run on the supply as it is: its volts lie within the usual range about their plate."""
    supply = case.supply.system
    row = table("equipment_limits").newest().row(key="motor_voltage_pct")
    for load in case.loads:
        if is_served(case, load) or not may_be_served(case, load):
            continue
        off_pct = (supply.line_v / load.nameplate_v - 1) * 100
        low_v, high_v = (load.nameplate_v * (1 + sign * row.number("value") / 100) for sign in (-1, 1))
        yield Finding(
            code="ask-nameplate-range",
            severity="caution",
            message=(
                f"{start_of(load.label)}: maybe no transformer is needed. Ask the maker whether it accepts "
                f"{supply.line_v:g} V ({off_pct:+.1f} % of its {load.nameplate_v:g} V): motors mostly bear "
                f"{row.number('value'):g} % either way, and many plates say a range."
            ),
            known="common practice",
            value=float(supply.line_v),
            limit=high_v if off_pct > 0 else low_v,
            unit="V",
        )
