"""The size of one load: pure functions of floats."""

from __future__ import annotations

import math

from turnwright.working import formula

WATTS_PER_HP = 746.0
"""The electric horsepower is 746 W by definition."""

SQRT3 = math.sqrt(3.0)


@formula("√3 · V · I / 1000", "kVA")
def three_phase_kva(line_v: float, current_a: float) -> float:
    """Return the apparent power of a balanced three-phase load. [kVA]

    line_v    : nominal voltage between lines [V]
    current_a : line current [A]
    Source: definition

    Example:
        >>> round(three_phase_kva(line_v=240, current_a=150), 2)
        62.35
    """
    return SQRT3 * line_v * current_a / 1000.0


@formula("V · I / 1000", "kVA")
def single_phase_kva(line_v: float, current_a: float) -> float:
    """Return the apparent power of a single-phase load. [kVA]

    line_v    : nominal voltage between its two conductors [V]
    current_a : current [A]
    Source: definition

    Example:
        >>> single_phase_kva(line_v=480, current_a=240)
        115.2
    """
    return line_v * current_a / 1000.0


@formula("1000 · S / (√3 · V)", "A")
def three_phase_current_a(line_v: float, kva: float) -> float:
    """Return the line current of a balanced three-phase load. [A]

    line_v : voltage between lines [V]
    kva    : apparent power [kVA]
    Source: definition

    Example:
        >>> round(three_phase_current_a(line_v=208, kva=30), 1)
        83.3
    """
    return 1000.0 * kva / (SQRT3 * line_v)


@formula("1000 · S / V", "A")
def single_phase_current_a(line_v: float, kva: float) -> float:
    """Return the current of a single-phase load. [A]

    line_v : voltage between its two conductors [V]
    kva    : apparent power [kVA]
    Source: definition

    Example:
        >>> single_phase_current_a(line_v=240, kva=15)
        62.5
    """
    return 1000.0 * kva / line_v


@formula("P / cos φ", "kVA")
def input_kva(power_kw: float, power_factor: float) -> float:
    """Return the apparent power behind an electrical input power. [kVA]

    power_kw     : input power [kW]
    power_factor : power factor, above 0 [-]
    Source: definition

    Example:
        >>> input_kva(power_kw=24, power_factor=0.8)
        30.0
    """
    return power_kw / power_factor


@formula("P / (η · cos φ)", "kVA")
def shaft_kva(power_kw: float, efficiency: float, power_factor: float) -> float:
    """Return the apparent power behind a mechanical output power. [kVA]

    power_kw     : shaft power [kW]
    efficiency   : efficiency, above 0 [-]
    power_factor : power factor, above 0 [-]
    Source: definition

    Example:
        >>> round(shaft_kva(power_kw=217, efficiency=0.95, power_factor=0.88), 1)
        259.6
    """
    return power_kw / (efficiency * power_factor)


@formula("0.746 · hp / (η · cos φ)", "kVA")
def horsepower_kva(power_hp: float, efficiency: float, power_factor: float) -> float:
    """Return the apparent power of a motor by its shaft power in horsepower. [kVA]

    power_hp     : shaft power [hp]
    efficiency   : efficiency, above 0 [-]
    power_factor : power factor, above 0 [-]
    Source: definition; 1 hp = 746 W

    Example:
        >>> round(horsepower_kva(power_hp=290, efficiency=0.95, power_factor=0.88), 2)
        258.78
    """
    return power_hp * WATTS_PER_HP / 1000.0 / (efficiency * power_factor)


@formula("S_on · √(on / 100)", "kVA")
def rms_kva(on_kva: float, duty_on_pct: float) -> float:
    """Return the steady load that heats as much as a load that is on for a share of each period. [kVA]

    on_kva      : apparent power while on [kVA]
    duty_on_pct : share of the period it is on [%]
    Source: heating goes with the square of the current, averaged over a period short beside the time constant

    Example:
        >>> round(rms_kva(on_kva=115.2, duty_on_pct=10), 1)
        36.4
    """
    return on_kva * math.sqrt(duty_on_pct / 100.0)


@formula("S_on · m", "kVA")
def duty_code_kva(on_kva: float, multiplier: float) -> float:
    """Return the load that conductors of a duty-cycle load must carry. [kVA]

    on_kva     : apparent power while on [kVA]
    multiplier : multiplier of the code for the duty cycle [-]
    Source: the multiplier carries it

    Example:
        >>> round(duty_code_kva(on_kva=115.2, multiplier=0.32), 2)
        36.86
    """
    return on_kva * multiplier


@formula("max(S_running, S_momentary · share)", "kVA")
def momentary_code_kva(running_kva: float, momentary_kva: float, share: float) -> float:
    """Return the load that conductors of a load with a momentary rating must carry. [kVA]

    running_kva   : long-time load of all pieces [kVA]
    momentary_kva : momentary load of all pieces [kVA]
    share         : of the momentary load that counts [-]
    Source: the share carries it

    Example:
        >>> momentary_code_kva(running_kva=20.0, momentary_kva=100.0, share=0.5)
        50.0
    """
    return max(running_kva, momentary_kva * share)


@formula("S · n · demand factor", "kVA")
def running_kva(kva: float, quantity: float, demand_factor: float) -> float:
    """Return what all pieces of a load draw together. [kVA]

    kva           : one piece [kVA]
    quantity      : pieces [-]
    demand_factor : share that runs at the same time [-]
    Source: definition

    Example:
        >>> running_kva(kva=10, quantity=4, demand_factor=0.75)
        30.0
    """
    return kva * quantity * demand_factor


@formula("S · n", "kVA")
def metered_kva(kva: float, quantity: float) -> float:
    """Return what all pieces of a metered load draw together: a metered maximum takes no demand factor. [kVA]

    kva      : metered maximum of one piece [kVA]
    quantity : pieces [-]
    Source: definition

    Example:
        >>> metered_kva(kva=41, quantity=1)
        41
    """
    return kva * quantity


@formula("I · n · demand factor", "A")
def running_current_a(current_a: float, quantity: float, demand_factor: float = 1.0) -> float:
    """Return the currents of all pieces of a load, added in line. [A]

    current_a     : one piece [A]
    quantity      : pieces [-]
    demand_factor : share that runs at the same time [-]
    Source: definition

    Example:
        >>> running_current_a(current_a=42, quantity=2)
        84.0
    """
    return current_a * quantity * demand_factor


@formula("S · cos φ", "kW")
def active_kw(kva: float, power_factor: float) -> float:
    """Return the active part of an apparent power. [kW]

    kva          : apparent power [kVA]
    power_factor : power factor [-]
    Source: definition

    Example:
        >>> active_kw(kva=100, power_factor=0.6)
        60.0
    """
    return kva * power_factor


@formula("S · √(1 − cos² φ)", "kvar")
def reactive_kvar(kva: float, power_factor: float) -> float:
    """Return the reactive part of an apparent power, lagging. [kvar]

    kva          : apparent power [kVA]
    power_factor : power factor, lagging [-]
    Source: definition

    Example:
        >>> reactive_kvar(kva=100, power_factor=0.6)
        80.0
    """
    return kva * math.sqrt(1.0 - power_factor * power_factor)


@formula("arccos(cos φ)", "deg")
def phase_angle_deg(power_factor: float) -> float:
    """Return the angle by which the current lags the voltage. [deg]

    power_factor : power factor, lagging [-]
    Source: definition

    Example:
        >>> round(phase_angle_deg(power_factor=0.5), 9)
        60.0
    """
    return math.degrees(math.acos(power_factor))
