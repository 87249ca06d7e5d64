"""Sums over loads: pure functions of floats. A sum takes its terms by name, so that the working shows them."""

from __future__ import annotations

import math

from turnwright.demand.load_formulas import single_phase_current_a, three_phase_current_a
from turnwright.working import formula


@formula("Σ S", "kVA")
def total_kva(**terms: float) -> float:
    """Return the sum of apparent powers of one angle, or of angles that are not known. [kVA]

    terms : apparent powers [kVA]
    Source: definition

    Example:
        >>> total_kva(first=17.5, second=6.3)
        23.8
    """
    return math.fsum(terms.values())


@formula("Σ P", "kW")
def total_kw(**terms: float) -> float:
    """Return the sum of active powers. [kW]

    terms : active powers [kW]
    Source: definition

    Example:
        >>> total_kw(first=60.0, second=10.0)
        70.0
    """
    return math.fsum(terms.values())


@formula("Σ Q", "kvar")
def total_kvar(**terms: float) -> float:
    """Return the sum of reactive powers. [kvar]

    terms : reactive powers, lagging [kvar]
    Source: definition

    Example:
        >>> total_kvar(first=80.0, second=-17.0)
        63.0
    """
    return math.fsum(terms.values())


@formula("√(P² + Q²) + S_in_line", "kVA")
def vector_kva(kw: float, kvar: float, in_line_kva: float) -> float:
    """Return the vector sum of loads; those whose angle is not known add in line with the others. [kVA]

    kw          : active power of the loads whose angle is known [kW]
    kvar        : reactive power of the same [kvar]
    in_line_kva : of the loads whose angle is not known [kVA]
    Source: definition; in line is the largest the sum can be

    Example:
        >>> vector_kva(kw=30, kvar=40, in_line_kva=7)
        57.0
    """
    return math.hypot(kw, kvar) + in_line_kva


@formula("P / √(P² + Q²)", "")
def total_power_factor(kw: float, kvar: float) -> float:
    """Return the power factor of a sum of loads. [-]

    kw   : active power [kW]
    kvar : reactive power, not both 0 [kvar]
    Source: definition

    Example:
        >>> total_power_factor(kw=30, kvar=40)
        0.6
    """
    return kw / math.hypot(kw, kvar)


@formula("S · (1 + growth / 100)", "kVA")
def grown_kva(kva: float, growth_pct: float) -> float:
    """Return a load after its growth. [kVA]

    kva        : apparent power today [kVA]
    growth_pct : growth to allow for [%]
    Source: definition

    Example:
        >>> round(grown_kva(kva=22, growth_pct=15), 1)
        25.3
    """
    return kva * (1.0 + growth_pct / 100.0)


@formula("f · S_largest", "kVA")
def motor_allowance_kva(largest_motor_kva: float, fraction: float) -> float:
    """Return what is added for the largest motor. [kVA]

    largest_motor_kva : one piece of the largest motor [kVA]
    fraction          : share of it that is added [-]
    Source: common practice, after the 125 % of NEC 430.24

    Example:
        >>> motor_allowance_kva(largest_motor_kva=16.0, fraction=0.25)
        4.0
    """
    return fraction * largest_motor_kva


@formula("S + allowance for the largest motor", "kVA")
def heat_kva(kva_with_growth: float, motor_allowance_kva: float) -> float:
    """Return the load that the size of the unit is measured by when heat decides. [kVA]

    kva_with_growth     : running load with growth [kVA]
    motor_allowance_kva : allowance for the largest motor [kVA]
    Source: common practice

    Example:
        >>> heat_kva(kva_with_growth=41.2, motor_allowance_kva=4.4)
        45.6
    """
    return kva_with_growth + motor_allowance_kva


@formula("S_nc + f_c · S_c + S_m + f_m · S_largest + f_d · S_measured", "kVA", "each factor names its clause")
def code_kva(
    noncontinuous_kva: float,
    continuous_kva: float,
    motors_kva: float,
    largest_motor_kva: float,
    measured_kva: float,
    continuous_factor: float,
    motor_fraction: float,
    measured_factor: float,
) -> float:
    """Return the load that devices and conductors must carry. [kVA]

    noncontinuous_kva : other than motors, below 3 h [kVA]
    continuous_kva    : other than motors, 3 h or more [kVA]
    motors_kva        : motors; continuous or not, they are increased by the largest alone [kVA]
    largest_motor_kva : one piece of the largest motor that is not increased otherwise [kVA]
    measured_kva      : metered maximum [kVA]
    continuous_factor : of the code, on the continuous load [-]
    motor_fraction    : of the code, on the largest motor [-]
    measured_factor   : of the code, on the metered maximum [-]
    Source: the code that the factors come from, as NEC 215.2(A)(1), 430.24, 220.87; 1 and 0 where it has no such rule

    Example:
        >>> code_kva(10, 20, 8, 4, 0, continuous_factor=1.25, motor_fraction=0.25, measured_factor=1.25)
        44.0
    """
    steady = noncontinuous_kva + continuous_factor * continuous_kva
    return steady + motors_kva + motor_fraction * largest_motor_kva + measured_factor * measured_kva


@formula("1000 · S / (√3 · V), single-phase 1000 · S / V", "A")
def design_current_a(kva: float, line_v: float, phases: float) -> float:
    """Return the current that devices and conductors must carry, on one side of a unit. [A]

    kva    : load for devices and conductors [kVA]
    line_v : voltage between lines of that side [V]
    phases : 1 or 3 [-]
    Source: definition

    Example:
        >>> round(design_current_a(kva=31.625, line_v=208, phases=3), 1)
        87.8
    """
    return three_phase_current_a(line_v, kva) if phases == 3 else single_phase_current_a(line_v, kva)
