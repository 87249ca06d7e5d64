"""From the facts people have (fault current, kVA, power factor) to elements of a network."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite, sqrt

from turnwright.circuit.network import EARTH, Impedance, Source1, Source3
from turnwright.errors import InputError


def source_impedance_ohm(voltage_v: float, fault_a: float, x_over_r: float) -> complex:
    """Return the impedance behind `voltage_v` (line to neutral) that lets `fault_a` flow, ohm.

    Z = V / I,  R = Z / √(1 + (X/R)²),  X = R · X/R; an infinite fault current gives no impedance.

    Example:
        >>> source_impedance_ohm(277.0, 27700.0, 0.0)
        (0.01+0j)
    """
    if not (voltage_v > 0 and fault_a > 0 and x_over_r >= 0) or not isfinite(voltage_v):
        raise InputError(
            "CIR-01",
            "source",
            f"{voltage_v} V with a fault current of {fault_a} A at X/R {x_over_r} is no source.",
            "Voltage and fault current must be above zero, X/R not below zero.",
        )
    size = voltage_v / fault_a
    if x_over_r == float("inf"):
        return complex(0.0, size)
    r = size / sqrt(1 + x_over_r**2)
    return complex(r, r * x_over_r)


def supply3(
    name: str,
    nodes: tuple[str, str, str],
    line_v: float,
    fault_a: float,
    x_over_r: float,
    z0_over_z1: float = 1.0,
    angle_deg: float = 0.0,
    star: str | None = EARTH,
) -> Source3:
    """Return a three-phase source that feeds `fault_a` into a bolted three-phase fault at its terminals."""
    z1 = source_impedance_ohm(line_v / sqrt(3), fault_a, x_over_r)
    return Source3(name, nodes, line_v, z1, z1 * z0_over_z1, angle_deg, star)


def supply1(
    name: str,
    node: str,
    other: str,
    voltage_v: float,
    fault_a: float,
    x_over_r: float,
    angle_deg: float = 0.0,
) -> Source1:
    """Return a single-phase source that feeds `fault_a` into a short circuit of its terminals."""
    return Source1(
        name, node, other, voltage_v, source_impedance_ohm(voltage_v, fault_a, x_over_r), angle_deg
    )


def load_impedance_ohm(kva: float, power_factor: float, voltage_v: float) -> complex:
    """Return the impedance that draws `kva` at `voltage_v`, ohm; a negative power factor is a leading one.

    Z = V² / S · (|pf| + j √(1 - pf²)), the reactance negative where leading.

    Example:
        >>> load_impedance_ohm(12.0, 0.8, 120.0)
        (0.96+0.72j)
    """
    if not (
        isfinite(kva) and kva > 0 and isfinite(voltage_v) and voltage_v > 0 and 0 < abs(power_factor) <= 1
    ):
        raise InputError(
            "CIR-01",
            "load",
            f"{kva} kVA at power factor {power_factor} and {voltage_v} V is no load.",
            "kVA and voltage must be above zero, the power factor at most 1 and not 0.",
        )
    size = voltage_v**2 / (kva * 1e3)
    # x² - y² as a product keeps the digits that 1 - pf² loses near unity
    reactive = sqrt((1 - abs(power_factor)) * (1 + abs(power_factor)))
    return complex(size * abs(power_factor), size * (reactive if power_factor > 0 else -reactive))


def load(
    name: str, start: str, end: str, kva: float, power_factor: float, voltage_v: float, role: str = "load"
) -> Impedance:
    """Return a constant impedance that draws `kva` at `voltage_v`; a negative power factor leads."""
    z = load_impedance_ohm(kva, power_factor, voltage_v)
    if z.imag < 0:
        return Impedance(name, start, end, z.real, 0.0, role, -z.imag)
    return Impedance(name, start, end, z.real, z.imag, role)


def wye_load(
    name: str,
    nodes: Sequence[str],
    star: str,
    kva: float,
    power_factor: float,
    line_v: float,
    role: str = "load",
) -> tuple[Impedance, ...]:
    """Return three equal impedances from lines to `star`, `kva` in all, named ``name_1`` to ``name_3``."""
    return tuple(
        load(f"{name}_{k}", node, star, kva / 3, power_factor, line_v / sqrt(3), role)
        for k, node in enumerate(nodes, 1)
    )


def delta_load(
    name: str, nodes: Sequence[str], kva: float, power_factor: float, line_v: float, role: str = "load"
) -> tuple[Impedance, ...]:
    """Return three equal impedances between lines, `kva` in all: ``name_12``, ``name_23``, ``name_31``."""
    return tuple(
        load(
            f"{name}_{k + 1}{(k + 1) % 3 + 1}",
            nodes[k],
            nodes[(k + 1) % 3],
            kva / 3,
            power_factor,
            line_v,
            role,
        )
        for k in range(3)
    )


def conductors(
    name: str, ends: Sequence[tuple[str, str]], r_ohm: float, x_ohm: float
) -> tuple[Impedance, ...]:
    """Return equal uncoupled conductors, named ``name_1``, ``name_2``, ..."""
    return tuple(
        Impedance(f"{name}_{k}", a, b, r_ohm, x_ohm, "conductor") for k, (a, b) in enumerate(ends, 1)
    )
