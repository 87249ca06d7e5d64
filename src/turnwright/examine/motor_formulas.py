"""Closed forms of motor starting: pure functions of floats."""

from __future__ import annotations

from math import cos, radians, sqrt

from turnwright.working import formula


@formula("V² / |Z| / 1000", "kVA", "short-circuit power by its definition")
def short_circuit_kva(voltage_v: float, z_ohm: float) -> float:
    """Return the short-circuit power behind an impedance. [kVA]

    voltage_v : between lines, or between the two conductors [V]
    z_ohm     : per phase, or around the loop of two conductors [ohm]

    Example:
        >>> short_circuit_kva(voltage_v=200.0, z_ohm=0.04)
        1000.0
    """
    return voltage_v**2 / z_ohm / 1000


@formula("100 · (1 − 1 / |1 + S_start / S_sc ∠(θ_Z − φ)|)", "%", "voltage divider of locked rotor and supply")
def start_dip_pct(start_kva: float, short_circuit_kva: float, angle_deg: float) -> float:
    """Return the dip when a locked rotor is switched on, of the voltage before. [%]

    start_kva         : drawn at rated volts [kVA]
    short_circuit_kva : of the bus without load [kVA]
    angle_deg         : angle of the impedance of the bus less that of the motor; 0 is the largest dip [deg]

    Example:
        >>> round(start_dip_pct(start_kva=100.0, short_circuit_kva=900.0, angle_deg=0.0), 9)
        10.0
    """
    share = start_kva / short_circuit_kva
    return 100 * (1 - 1 / sqrt(1 + 2 * share * cos(radians(angle_deg)) + share**2))


@formula("S_sc · (√(1 / (1 − d)² − sin²(θ_Z − φ)) − cos(θ_Z − φ))", "kVA", "the same divider, turned round")
def largest_start_kva(dip_pct: float, short_circuit_kva: float, angle_deg: float) -> float:
    """Return the kVA a locked rotor may draw at rated volts for a dip. [kVA]

    dip_pct           : largest dip [%]
    short_circuit_kva : of the bus without load [kVA]
    angle_deg         : angle of the impedance of the bus less that of the motor [deg]

    Example:
        >>> round(largest_start_kva(dip_pct=10.0, short_circuit_kva=900.0, angle_deg=0.0), 9)
        100.0
    """
    turn = cos(radians(angle_deg))
    left = 1 - dip_pct / 100
    return short_circuit_kva * (sqrt(1 / left**2 - 1 + turn**2) - turn)


@formula("S_start / (multiple · share / 100)", "kVA")
def full_load_kva(start_kva: float, multiple: float, share_pct: float) -> float:
    """Return the full-load kVA of a motor that draws so much at its start. [kVA]

    start_kva : drawn at rated volts [kVA]
    multiple  : current of the start over full-load current, before any reduction [-]
    share_pct : line current of this way of starting, of the direct one [%]
    Source: definition of the multiple and of the share

    Example:
        >>> full_load_kva(start_kva=120.0, multiple=6.0, share_pct=100.0)
        20.0
    """
    return start_kva / (multiple * share_pct / 100)


@formula("(V / V_rated)² · share", "%", "NEMA MG 1: torque goes with the square of the voltage", "seen")
def torque_pct(voltage_pct: float, share_pct: float) -> float:
    """Return the starting torque, of that across the line at rated volts. [%]

    voltage_pct : voltage left at the motor, of rated [%]
    share_pct   : torque of this way of starting at the same voltage, of the direct one [%]

    Example:
        >>> torque_pct(voltage_pct=90.0, share_pct=100.0)
        81.0
    """
    return (voltage_pct / 100) ** 2 * share_pct
