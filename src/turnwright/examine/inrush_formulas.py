"""Closed forms of switching on: pure functions of floats."""

from __future__ import annotations

from math import sqrt

from turnwright.working import formula


@formula("multiple · I_rated", "A")
def coordination_a(multiple: float, rated_a: float) -> float:
    """Return a point of the inrush for coordination. [A]

    multiple : of the rated current [-]
    rated_a  : rated current of the side that is switched on [A]
    Source: the multiple carries it

    Example:
        >>> coordination_a(multiple=12.0, rated_a=90.0)
        1080.0
    """
    return multiple * rated_a


@formula("I / I_device", "")
def device_multiple(current_a: float, device_a: float) -> float:
    """Return a current as a multiple of a device's rating. [-]

    current_a : current [A]
    device_a  : rating of the device [A]
    Source: definition

    Example:
        >>> device_multiple(current_a=1080.0, device_a=120.0)
        9.0
    """
    return current_a / device_a


@formula("I² · t", "A²s")
def let_through_a2s(current_a: float, time_s: float) -> float:
    """Return the integral of the squared current of a point for coordination. [A²s]

    current_a : rms current [A]
    time_s    : its duration [s]
    Source: definition, for a current of constant rms value

    Example:
        >>> let_through_a2s(current_a=1000.0, time_s=0.1)
        100000.0
    """
    return current_a**2 * time_s


@formula("√2 · V · (2 + B_r − B_s) / X", "A", "flux of a core closed at voltage zero, no resistance")
def largest_peak_a(voltage_v: float, residual_pu: float, knee_pu: float, x_ohm: float) -> float:
    """Return the largest first peak of one core, nothing but reactance in its way. [A]

    voltage_v   : across the winding [V]
    residual_pu : residual flux over the peak of the rated flux [-]
    knee_pu     : flux at which the core saturates, over the same [-]
    x_ohm       : reactance of the saturated winding and the supply [ohm]

    Example:
        >>> round(largest_peak_a(voltage_v=480.0, residual_pu=0.6, knee_pu=1.2, x_ohm=1.0), 1)
        950.4
    """
    return sqrt(2) * voltage_v * (2 + residual_pu - knee_pu) / x_ohm


@formula(
    "(x_saturated + x_leakage / 100) · V² / (S · 1000) + X_supply",
    "ohm",
    "per-unit impedance by its definition",
)
def saturated_ohm(
    saturated_pu: float, leakage_pct: float, voltage_v: float, kva: float, supply_ohm: float
) -> float:
    """Return the reactance in the way of a core that is saturated. [ohm]

    saturated_pu : of the winding with its core saturated, on its rating [-]
    leakage_pct  : of the winding that is switched on [%]
    voltage_v    : across the winding [V]
    kva          : rating of the core [kVA]
    supply_ohm   : reactance of the supply around the loop [ohm]

    Example:
        >>> round(saturated_ohm(0.1, leakage_pct=2.0, voltage_v=480.0, kva=23.04, supply_ohm=0.1), 9)
        1.3
    """
    return (saturated_pu + leakage_pct / 100) * voltage_v**2 / (kva * 1000) + supply_ohm


@formula("√(∫i² dt / t)", "A", "definition of the rms value")
def rms_until_a(i2t_a2s: float, time_s: float) -> float:
    """Return the rms current from closing to a time. [A]

    i2t_a2s : integral of the squared current to that time [A²s]
    time_s  : the time [s]

    Example:
        >>> rms_until_a(i2t_a2s=1000.0, time_s=0.1)
        100.0
    """
    return float(sqrt(i2t_a2s / time_s))


@formula("i_peak / √2", "A", "rms value of a sine of that peak")
def as_rms_a(peak_a: float) -> float:
    """Return the rms current on which an instantaneous trip that sees a peak is set. [A]

    peak_a : current [A]

    Example:
        >>> round(as_rms_a(peak_a=1414.2136), 3)
        1000.0
    """
    return peak_a / sqrt(2)
