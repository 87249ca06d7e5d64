"""Open-circuit and short-circuit tests, and the regulation that follows from them."""

from __future__ import annotations

import math

from turnwright.working import formula


@formula("V² / P", "ohm", "open-circuit test")
def core_resistance_ohm(voltage_v: float, power_w: float) -> float:
    """Return the resistance that stands for the core loss, on the side of the test. [ohm]

    voltage_v : test voltage [V]
    power_w   : power drawn, above 0 [W]
    Source: open-circuit test

    Example:
        >>> core_resistance_ohm(voltage_v=240.0, power_w=120.0)
        480.0
    """
    return voltage_v * voltage_v / power_w


@formula("V / √(I² − (P / V)²)", "ohm", "open-circuit test")
def magnetizing_reactance_ohm(voltage_v: float, current_a: float, power_w: float) -> float:
    """Return the magnetizing reactance, on the side of the test. [ohm]

    voltage_v : test voltage [V]
    current_a : exciting current, more than power over voltage [A]
    power_w   : power drawn [W]
    Source: open-circuit test

    Example:
        >>> round(magnetizing_reactance_ohm(voltage_v=200.0, current_a=4.0, power_w=120.0), 2)
        50.57
    """
    return voltage_v / math.sqrt(current_a * current_a - (power_w / voltage_v) ** 2)


@formula("V / I", "ohm", "short-circuit test")
def series_impedance_ohm(voltage_v: float, current_a: float) -> float:
    """Return the series impedance, on the side of the test. [ohm]

    voltage_v : test voltage [V]
    current_a : test current, above 0 [A]
    Source: short-circuit test

    Example:
        >>> series_impedance_ohm(voltage_v=60.0, current_a=10.0)
        6.0
    """
    return voltage_v / current_a


@formula("P / I²", "ohm", "short-circuit test")
def series_resistance_ohm(power_w: float, current_a: float) -> float:
    """Return the series resistance, on the side of the test. [ohm]

    power_w   : power drawn [W]
    current_a : test current, above 0 [A]
    Source: short-circuit test

    Example:
        >>> series_resistance_ohm(power_w=300.0, current_a=10.0)
        3.0
    """
    return power_w / (current_a * current_a)


@formula("√(Z² − R²)", "ohm", "short-circuit test")
def series_reactance_ohm(impedance_ohm: float, resistance_ohm: float) -> float:
    """Return the series reactance. [ohm]

    impedance_ohm  : series impedance, not below the resistance [ohm]
    resistance_ohm : series resistance [ohm]
    Source: short-circuit test

    Example:
        >>> series_reactance_ohm(impedance_ohm=5.0, resistance_ohm=3.0)
        4.0
    """
    return math.sqrt(impedance_ohm * impedance_ohm - resistance_ohm * resistance_ohm)


@formula("Z · (V_2 / V_1)²", "ohm")
def referred_ohm(ohm: float, from_v: float, to_v: float) -> float:
    """Return an impedance as the other winding sees it. [ohm]

    ohm    : impedance on one side [ohm]
    from_v : rated voltage of that side [V]
    to_v   : rated voltage of the other [V]
    Source: square of the turn ratio

    Example:
        >>> referred_ohm(ohm=4.0, from_v=480.0, to_v=240.0)
        1.0
    """
    return ohm * (to_v / from_v) ** 2


@formula("100 · Z · 1000 S / V²", "%")
def impedance_pct(ohm: float, kva: float, voltage_v: float) -> float:
    """Return an impedance in percent of the rating: single-phase, or three-phase line to line. [%]

    ohm       : impedance of one phase as a wye [ohm]
    kva       : rated power [kVA]
    voltage_v : rated voltage of the same side [V]
    Source: definition of the per-unit base

    Example:
        >>> impedance_pct(ohm=0.4, kva=50.0, voltage_v=1000.0)
        2.0
    """
    return 100.0 * ohm * 1000.0 * kva / (voltage_v * voltage_v)


@formula("100 · (√((cos φ + r K)² + (sin φ + x K)²) − 1)", "%", "voltage drop at constant full-load voltage")
def regulation_pct(resistance_pct: float, reactance_pct: float, load_pu: float, power_factor: float) -> float:
    """Return the regulation at a lagging load: rise at no load, of the full-load voltage. [%]

    resistance_pct, reactance_pct : of the rating [%]
    load_pu      : load current over rated current [-]
    power_factor : of the load, lagging [-]
    Source: voltage drop at constant full-load voltage

    Example:
        >>> round(regulation_pct(resistance_pct=3.0, reactance_pct=4.0, load_pu=1.0, power_factor=0.8), 3)
        4.809
    """
    r, x = resistance_pct * load_pu / 100.0, reactance_pct * load_pu / 100.0
    return 100.0 * (math.hypot(power_factor + r, math.sqrt(1.0 - power_factor**2) + x) - 1.0)


@formula("(V_sc / V_r)²", "", "no-load loss goes about with the square of the voltage")
def core_loss_share_in_test(voltage_v: float, rated_v: float) -> float:
    """Return the part of the no-load loss that a short-circuit test still measures. [-]

    voltage_v : test voltage [V]
    rated_v   : rated voltage of the same side [V]
    Source: no-load loss goes about with the square of the voltage

    Example:
        >>> core_loss_share_in_test(voltage_v=60.0, rated_v=240.0)
        0.0625
    """
    return (voltage_v / rated_v) ** 2
