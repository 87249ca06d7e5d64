"""How long a dry-type unit withstands a fault that flows through it: pure functions of floats."""

from __future__ import annotations

from math import sqrt

from turnwright.working import formula

SOURCE = "IEEE C57.12.59"


@formula("K / I²", "s", SOURCE)
def withstand_s(i2t_s: float, multiple: float) -> float:
    """Return how long a unit withstands a through fault. [s]

    i2t_s    : square of the current over the base current, times its duration [s]
    multiple : current over the base current [-]

    Example:
        >>> withstand_s(i2t_s=1250.0, multiple=25.0), withstand_s(i2t_s=1250.0, multiple=10.0)
        (2.0, 12.5)
    """
    return i2t_s / multiple**2


@formula("√(K / t)", "", SOURCE)
def withstand_multiple(i2t_s: float, time_s: float) -> float:
    """Return the through-fault current that a unit withstands for a time, over its base current. [-]

    i2t_s  : square of the current over the base current, times its duration [s]
    time_s : duration [s]

    Example:
        >>> round(withstand_multiple(i2t_s=1250.0, time_s=100.0), 3)
        3.536
    """
    return sqrt(i2t_s / time_s)


@formula("I_max² · t", "s", SOURCE)
def mechanical_i2t_s(most_multiple: float, time_s: float) -> float:
    """Return the constant of the mechanical curve of category II. [s]

    most_multiple : largest through-fault current over the base current, the supply counted [-]
    time_s        : the time it is set at, 2 s [s]

    Example:
        >>> mechanical_i2t_s(most_multiple=20.0, time_s=2.0)
        800.0
    """
    return most_multiple**2 * time_s


@formula("min(I_limit, 100 / Z)", "", SOURCE)
def most_multiple(limit: float, impedance_pct: float) -> float:
    """Return the largest through-fault current over the base current, the impedance of the unit alone in its way. [-]

    limit         : where the curve ends at the latest [-]
    impedance_pct : of the unit [%]

    Example:
        >>> most_multiple(25.0, impedance_pct=5.0), most_multiple(25.0, impedance_pct=3.0)
        (20.0, 25.0)
    """
    return min(limit, 100.0 / impedance_pct)


@formula(
    "1 / √3",
    "",
    "turn ratio of delta-wye: line current of a line-ground fault over that of a three-phase one",
)
def line_ground_share() -> float:
    """Return the share of a line-to-ground fault at the wye that the worst line of the delta sees. [-]

    Example:
        >>> round(line_ground_share(), 3)
        0.577
    """
    return 1 / sqrt(3.0)
