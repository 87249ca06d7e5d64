"""Sound of several units together, and at a distance."""

from __future__ import annotations

import math
from collections.abc import Sequence

from turnwright.working import formula


@formula("10 · log₁₀(Σ 10^(L_i / 10))", "dB(A)", "sum of sound powers")
def combined_dba(levels_dba: Sequence[float]) -> float:
    """Return the level of several sources at one place. [dB(A)]

    levels_dba : level of each at that place, at least one [dB(A)]
    Source: sum of sound powers

    Example:
        >>> round(combined_dba(levels_dba=(50.0, 50.0)), 2)
        53.01
    """
    loudest = max(levels_dba)
    return loudest + 10.0 * math.log10(math.fsum(10.0 ** ((each - loudest) / 10.0) for each in levels_dba))


@formula("L − 20 · log₁₀(d_2 / d_1)", "dB(A)", "free field, beyond about one size of the unit")
def at_distance_dba(level_dba: float, from_m: float, to_m: float) -> float:
    """Return the level farther away in the open, 6 dB less with each doubling. [dB(A)]

    level_dba : level at the first distance [dB(A)]
    from_m    : first distance, about the size of the unit or more [m]
    to_m      : second distance [m]
    Source: free field

    Example:
        >>> round(at_distance_dba(level_dba=50.0, from_m=1.0, to_m=2.0), 1)
        44.0
    """
    return level_dba - 20.0 * math.log10(to_m / from_m)


@formula("L_N + 10 · log₁₀ S + C", "dB(A)", "Bies and Hansen, sound power of a transformer")
def sound_power_dba(level_dba: float, wall_m2: float, correction_db: float) -> float:
    """Return the sound power of a unit by its average level. [dB(A)]

    level_dba     : average level near the walls [dB(A)]
    wall_m2       : area of the four walls, above 0 [m²]
    correction_db : C, of the room; 0 outdoors [dB]
    Source: Bies and Hansen, sound power of a transformer

    Example:
        >>> sound_power_dba(level_dba=50.0, wall_m2=10.0, correction_db=0.0)
        60.0
    """
    return level_dba + 10.0 * math.log10(wall_m2) + correction_db


@formula("L_W − 10 · log₁₀(2 π d²)", "dB(A)", "free field over hard ground")
def outdoor_dba(power_dba: float, distance_m: float) -> float:
    """Return the level in the open at a distance from a small source on hard ground. [dB(A)]

    power_dba  : sound power of all sources [dB(A)]
    distance_m : distance, beyond about the size of the source [m]
    Source: free field over hard ground, the power spread over half a sphere

    Example:
        >>> round(outdoor_dba(power_dba=60.0, distance_m=10.0), 2)
        32.02
    """
    return power_dba - 10.0 * math.log10(2.0 * math.pi * distance_m**2)


@formula("L_W + 10 · log₁₀(4 / A)", "dB(A)", "diffuse field of a room")
def room_dba(power_dba: float, absorption_m2: float) -> float:
    """Return the level in a room away from its source. [dB(A)]

    power_dba     : sound power of all sources [dB(A)]
    absorption_m2 : area that takes all sound in, above 0 [m²]
    Source: diffuse field, 4 W / A

    Example:
        >>> round(room_dba(power_dba=60.0, absorption_m2=4.0), 1)
        60.0
    """
    return power_dba + 10.0 * math.log10(4.0 / absorption_m2)
