"""Which tap the supply, as measured, asks for, and the volts the load then gets."""

from __future__ import annotations

from msgspec import Struct

from turnwright.model.case import Case
from turnwright.working import formula

NOMINAL_TAP_PCT = 0.0


class AtTap(Struct, frozen=True):
    """A tap and the supply it was chosen for: mean of what was measured between lines, or nominal."""

    tap_pct: float
    supply_v: float
    measured: bool


@formula("V_supply · V_2 / (V_1 · (1 + tap / 100))", "V")
def tapped_output_v(supply_v: float, primary_v: float, secondary_v: float, tap_pct: float) -> float:
    """Return the no-load output at a tap of the supply-side winding. [V]

    supply_v    : applied [V]
    primary_v   : rated volts of the supply-side winding [V]
    secondary_v : rated volts of the other [V]
    tap_pct     : position, over the rated volts of the supply-side winding [%]
    Source: turns ratio

    Example:
        >>> round(tapped_output_v(supply_v=456.0, primary_v=480.0, secondary_v=208.0, tap_pct=-5.0), 1)
        208.0
    """
    return supply_v * secondary_v / (primary_v * (1 + tap_pct / 100))


@formula("mean of the measured volts", "V")
def mean_v(measured_v: tuple[float, ...]) -> float:
    """Return the mean of measured volts. [V]

    measured_v : one or more measured volts [V]
    Source: definition

    Example:
        >>> mean_v(measured_v=(478.0, 481.0, 481.0))
        480.0
    """
    return sum(measured_v) / len(measured_v)


def tap_for(case: Case, taps_pct: tuple[float, ...], primary_v: float) -> AtTap:
    """Return the tap whose rated volts are nearest the supply; the nominal one where nothing is measured."""
    measured = tuple(float(volts) for volts in case.supply.measured_v)
    if not measured:
        return AtTap(NOMINAL_TAP_PCT, float(case.supply.line_v), False)
    supply_v = mean_v(measured)
    choice = min(
        taps_pct or (NOMINAL_TAP_PCT,),
        key=lambda tap: (abs(primary_v * (1 + tap / 100) - supply_v), abs(tap)),
    )
    return AtTap(choice, supply_v, True)
