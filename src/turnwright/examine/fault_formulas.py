"""Closed forms of short circuits: pure functions of floats."""

from __future__ import annotations

from turnwright.circuit.studies.fault import peak_factor
from turnwright.working import formula


@formula("z / 100 · V² / (S · 1000)", "ohm", "per-unit impedance by its definition")
def unit_ohm(percent: float, kva: float, line_v: float) -> float:
    """Return the resistance or reactance of a unit per phase at its secondary. [ohm]

    percent : on the rating [%]
    kva     : rated power [kVA]
    line_v  : secondary volts between lines (single-phase: between the terminals) [V]

    Example:
        >>> round(unit_ohm(percent=4.0, kva=75.0, line_v=208.0), 9)
        0.023074133
    """
    return percent / 100 * line_v**2 / (kva * 1000)


@formula("z · (V_secondary / V_primary)²", "ohm", "turns ratio")
def referred_ohm(ohm: float, primary_v: float, secondary_v: float) -> float:
    """Return an impedance of the supply side as the secondary sees it. [ohm]

    ohm         : on the supply side [ohm]
    primary_v   : between lines on the supply side [V]
    secondary_v : between lines on the load side [V]

    Example:
        >>> referred_ohm(ohm=0.04, primary_v=480.0, secondary_v=240.0)
        0.01
    """
    return ohm * (secondary_v / primary_v) ** 2


@formula("z_unit + z_supply", "ohm")
def series_ohm(unit_ohm: float, supply_ohm: float) -> float:
    """Return two resistances or reactances in series. [ohm]

    unit_ohm   : of the unit [ohm]
    supply_ohm : of the supply, at the same volts [ohm]
    Source: Kirchhoff's voltage law; resistances and reactances each for themselves

    Example:
        >>> series_ohm(unit_ohm=0.5, supply_ohm=0.25)
        0.75
    """
    return unit_ohm + supply_ohm


@formula("I_fault / I_rated", "", "symmetrical current through the unit")
def fault_multiple(fault_a: float, rated_a: float) -> float:
    """Return a through-fault as a multiple of the rated current. [-]

    fault_a : symmetrical current of the secondary [A]
    rated_a : rated current of the secondary [A]

    Example:
        >>> fault_multiple(fault_a=5000.0, rated_a=200.0)
        25.0
    """
    return fault_a / rated_a


@formula("K / m²", "s", "IEEE C57.12.59, category I")
def withstand_s(constant_s: float, multiple: float) -> float:
    """Return how long a unit bears a through-fault. [s]

    constant_s : square of the multiple times the duration [s]
    multiple   : of the rated current [-]

    Example:
        >>> withstand_s(constant_s=1250.0, multiple=25.0)
        2.0
    """
    return constant_s / multiple**2


@formula(
    "I · max(peak(X/R) / peak(X/R of the test), 1)", "A", "first peak of the fault against that of the test"
)
def interrupting_a(fault_a: float, x_over_r: float, test_x_over_r: float) -> float:
    """Return the symmetrical interrupting rating that a fault with a higher peak than the test asks for. [A]

    fault_a       : symmetrical fault current [A]
    x_over_r      : of the fault [-]
    test_x_over_r : of the circuit the device was tested in [-]

    Example:
        >>> interrupting_a(10000.0, 1.0, 4.9), round(interrupting_a(10000.0, 8.0, 4.9))
        (10000.0, 10909)
    """
    return fault_a * max(peak_factor(x_over_r) / peak_factor(test_x_over_r), 1.0)


@formula("multiple · I_motors · V_secondary / V_primary", "A", "motors feed back through the unit")
def motors_at_supply_a(motors_a: float, secondary_v: float, primary_v: float) -> float:
    """Return what running motors add on the supply side, the impedance of the unit not counted. [A]

    motors_a    : what they add on the load side [A]
    secondary_v : between lines on the load side [V]
    primary_v   : between lines on the supply side [V]

    Example:
        >>> motors_at_supply_a(motors_a=400.0, secondary_v=240.0, primary_v=480.0)
        200.0
    """
    return motors_a * secondary_v / primary_v


@formula("c · V / √(R² + X²)", "A", "Ohm's law around the loop; c of IEC 60909-0")
def loop_fault_a(voltage_v: float, r_ohm: float, x_ohm: float, voltage_factor: float) -> float:
    """Return the fault current of a single-phase winding, shorted at its terminals. [A]

    voltage_v      : between the terminals [V]
    r_ohm, x_ohm   : of the whole loop, as the secondary sees it [ohm]
    voltage_factor : by which the voltage is raised [-]

    Example:
        >>> loop_fault_a(voltage_v=240.0, r_ohm=0.03, x_ohm=0.04, voltage_factor=1.0)
        4800.0
    """
    return float(voltage_factor * voltage_v / (r_ohm**2 + x_ohm**2) ** 0.5)


@formula("z · multiplier", "%", "half of a winding with a tap in its middle")
def half_pct(percent: float, multiplier: float) -> float:
    """Return the resistance or reactance of half a winding, on its own volts and the whole rating. [%]

    percent    : of the whole winding [%]
    multiplier : half over whole [-]

    Example:
        >>> half_pct(percent=2.0, multiplier=1.5)
        3.0
    """
    return percent * multiplier
