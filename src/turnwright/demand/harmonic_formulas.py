"""Harmonic currents of loads: pure functions of floats. Orders are named h1, h3, h5 and so on."""

from __future__ import annotations

import math

from turnwright.working import formula


@formula("√(Σ I_h²), h > 1, in percent of I_1", "%")
def distortion_pct(**orders: float) -> float:
    """Return the total distortion of a current. [%]

    orders : harmonic currents in percent of the fundamental, h3, h5, … [%]
    Source: definition

    Example:
        >>> round(distortion_pct(h3=45, h5=25, h7=12), 2)
        52.86
    """
    return math.sqrt(math.fsum(value * value for value in orders.values()))


@formula("S / √(1 + (THD / 100)²)", "kVA")
def fundamental_kva(kva: float, distortion_pct: float) -> float:
    """Return the fundamental part of a load whose amperes are rms with harmonics included. [kVA]

    kva            : apparent power by rms current [kVA]
    distortion_pct : total distortion of the current [%]
    Source: I = √(Σ I_h²)

    Example:
        >>> round(fundamental_kva(kva=40, distortion_pct=52.858), 2)
        35.36
    """
    return kva / math.hypot(1.0, distortion_pct / 100.0)


@formula("S_1 · p_h / 100", "kVA")
def order_kva(fundamental_kva: float, percent: float) -> float:
    """Return the current of one order as apparent power at nominal voltage. [kVA]

    fundamental_kva : fundamental part of the load [kVA]
    percent         : current of the order in percent of the fundamental [%]
    Source: definition

    Example:
        >>> order_kva(fundamental_kva=40, percent=25)
        10.0
    """
    return fundamental_kva * percent / 100.0


@formula("Σ I_h² h² / Σ I_h²", "", "IEEE C57.110, harmonic loss factor for winding eddy currents")
def harmonic_loss_factor(**orders: float) -> float:
    """Return the harmonic loss factor of a current, also called its K factor. [-]

    orders : rms currents by order in one unit, h1, h3, h5, …, not all 0 [any]
    Source: IEEE C57.110, harmonic loss factor for winding eddy currents

    Example:
        >>> round(harmonic_loss_factor(h1=100, h3=45, h5=25, h7=12), 2)
        3.98
    """
    squares = {int(name[1:]): value * value for name, value in orders.items()}
    return math.fsum(i * h * h for h, i in squares.items()) / math.fsum(squares.values())


@formula("100 · I_h / I_1", "%")
def order_pct(order_kva: float, fundamental_kva: float) -> float:
    """Return the current of one order in percent of the fundamental. [%]

    order_kva, fundamental_kva : apparent power of either at the same volts, the second above 0 [kVA]
    Source: definition

    Example:
        >>> order_pct(order_kva=5, fundamental_kva=20)
        25.0
    """
    return 100.0 * order_kva / fundamental_kva


@formula("√(I_1² + Σ I_h²)", "A")
def neutral_rms_a(fundamental_a: float, harmonic_a: float) -> float:
    """Return the neutral current. [A]

    fundamental_a : fundamental of the neutral current [A]
    harmonic_a    : all its harmonics together [A]
    Source: orders are orthogonal

    Example:
        >>> neutral_rms_a(fundamental_a=30.0, harmonic_a=40.0)
        50.0
    """
    return math.hypot(fundamental_a, harmonic_a)


@formula("√(Σ I_Nh²)", "A")
def neutral_harmonic_a(**orders: float) -> float:
    """Return all harmonics of the neutral current together. [A]

    orders : neutral current by order, h3, h9, … [A]
    Source: orders are orthogonal

    Example:
        >>> neutral_harmonic_a(h3=30.0, h9=40.0)
        50.0
    """
    return math.sqrt(math.fsum(value * value for value in orders.values()))
