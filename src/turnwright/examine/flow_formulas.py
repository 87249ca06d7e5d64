"""Closed forms of unequal and distorted load: pure functions of floats."""

from __future__ import annotations

from math import fsum, sqrt

from turnwright.working import formula


@formula("I / I_rated · 100", "%")
def winding_loading_pct(current_a: float, rated_a: float) -> float:
    """Return the loading of a winding. [%]

    current_a : rms current [A]
    rated_a   : current it is made for [A]
    Source: definition

    Example:
        >>> winding_loading_pct(current_a=80.0, rated_a=100.0)
        80.0
    """
    return 100 * current_a / rated_a


@formula(
    "F_below + (F_above − F_below) · (u − u_below) / (u_above − u_below)", "", "between points of the curve"
)
def interpolated_factor(
    unbalance_pct: float, below_pct: float, below_factor: float, above_pct: float, above_factor: float
) -> float:
    """Return the factor between two points of a derating curve. [-]

    unbalance_pct : voltage unbalance [%]
    below_pct     : unbalance of the point before [%]
    below_factor  : its factor [-]
    above_pct     : unbalance of the point after [%]
    above_factor  : its factor [-]

    Example:
        >>> interpolated_factor(1.5, below_pct=1.0, below_factor=0.98, above_pct=2.0, above_factor=0.95)
        0.965
    """
    share = (unbalance_pct - below_pct) / (above_pct - below_pct)
    return below_factor + (above_factor - below_factor) * share


@formula("I_rms / √(1 + (THD / 100)²)", "A")
def fundamental_a(current_a: float, distortion_pct: float) -> float:
    """Return the fundamental of a current whose amperes are rms with harmonics included. [A]

    current_a      : rms [A]
    distortion_pct : total distortion [%]
    Source: definition of total distortion: rms of the harmonics over the fundamental

    Example:
        >>> fundamental_a(current_a=125.0, distortion_pct=75.0)
        100.0
    """
    return float(current_a / (1 + (distortion_pct / 100) ** 2) ** 0.5)


@formula(
    "3 · √(Σ I_h²), h = 3, 9, 15, …", "A", "triplen orders of balanced phases are in phase in the neutral"
)
def balanced_neutral_a(**orders: float) -> float:
    """Return the neutral current of three equal loads between lines and neutral. [A]

    orders : rms line currents by order, h3, h9, h15, … [A]
    Source: triplen orders of balanced phases are in phase; all others cancel

    Example:
        >>> round(balanced_neutral_a(h3=50.0, h9=8.0), 1)
        151.9
    """
    return 3 * sqrt(fsum(value * value for value in orders.values()))


@formula("I_chosen / factor", "A", "IEC 60364-5-52 Annex E", "memory")
def cable_rating_a(chosen_a: float, factor: float) -> float:
    """Return the ampacity that a four-core cable must have for a current with a third harmonic. [A]

    chosen_a : line or neutral current, as the table says [A]
    factor   : reduction factor of the table [-]
    Source: IEC 60364-5-52 Annex E

    Example:
        >>> round(cable_rating_a(chosen_a=46.8, factor=0.86), 1)
        54.4
    """
    return chosen_a / factor


@formula("percent / 100", "")
def per_unit(percent: float) -> float:
    """Return a percentage as a share. [-]

    percent : the percentage [%]
    Source: definition

    Example:
        >>> per_unit(percent=8.0)
        0.08
    """
    return percent / 100
