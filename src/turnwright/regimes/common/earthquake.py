"""The horizontal force of an earthquake on equipment fixed to a building, as a share of its weight, by regime."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from turnwright.reference import Row, load
from turnwright.working import Number, formula

ROOF = 1.0
"""Height of the fixing over that of the building, at the roof."""


@lru_cache(maxsize=64)
def seismic_row(regime: str, key: str) -> Row:
    """Return the row of a number."""
    return load("seismic_forces").newest().row(regime=regime, key=key)


def _number(regime: str, key: str) -> Number:
    return seismic_row(regime, key).number("value")


@formula("lead · a · S · I / R · (1 + gain · z/h), within least and most · S · I", "")
def part_force_share(
    acceleration_g: float,
    importance: float,
    height_share: float,
    lead: float,
    amplification: float,
    response: float,
    height_gain: float,
    least: float,
    most: float,
) -> float:
    """Return the horizontal force on a part of a building over its weight. [-]

    acceleration_g : short-period design acceleration S_DS, of g [g]
    importance     : I_p [-]
    height_share   : height of the fixing over that of the building [-]
    lead, amplification, response, height_gain, least, most : numbers of the equation [-]
    Source: ASCE/SEI 7-16 eq. 13.3-1 to 13.3-3

    Example:
        >>> round(part_force_share(1.0, 1.5, 1.0, 0.4, 1.0, 2.5, 2.0, 0.3, 1.6), 3)
        0.72
    """
    force = lead * amplification * acceleration_g * importance / response * (1 + height_gain * height_share)
    return min(max(force, least * acceleration_g * importance), most * acceleration_g * importance)


@formula("lead · S · I · S_p, S_p = a · (1 + gain · z/h) / R within least and most", "")
def canadian_force_share(
    acceleration_g: float,
    importance: float,
    height_share: float,
    lead: float,
    amplification: float,
    response: float,
    height_gain: float,
    least: float,
    most: float,
) -> float:
    """Return the horizontal force on a component of a building over its weight. [-]

    acceleration_g : F_a S_a(0.2), or S(0.2) with the site in it, of g [g]
    importance     : I_E [-]
    height_share   : height of the fixing over that of the building [-]
    lead, amplification, response, height_gain, least, most : numbers of the equation [-]
    Source: National Building Code of Canada 4.1.8.18

    Example:
        >>> round(canadian_force_share(0.5, 1.5, 1.0, 0.3, 1.0, 1.25, 2.0, 0.7, 4.0), 3)
        0.54
    """
    shape = min(max(amplification * (1 + height_gain * height_share) / response, least), most)
    return lead * acceleration_g * importance * shape


@formula("a_g·S · (gain · (1 + z/H) / 2 − less) · γ_a / q_a", "")
def european_force_share(
    acceleration_g: float,
    importance: float,
    height_share: float,
    response: float,
    height_gain: float,
    least_gain: float,
) -> float:
    """Return the horizontal force on a rigid non-structural element over its weight. [-]

    acceleration_g : a_g S, of g [g]
    importance     : γ_a [-]
    height_share   : height of the fixing over that of the building [-]
    response       : q_a [-]
    height_gain, least_gain : numbers of the equation [-]
    Source: EN 1998-1 4.3.5.2 with T_a = 0

    Example:
        >>> round(european_force_share(0.2, 1.5, 1.0, 2.0, 3.0, 0.5), 3)
        0.375
    """
    shape = max(height_gain * (1 + height_share) / 2 - least_gain, 1.0)
    return acceleration_g * shape * importance / response


_FORCES: dict[str, Callable[..., float]] = {
    "us": part_force_share,
    "ca": canadian_force_share,
    "iec": european_force_share,
}
_INPUTS = {
    "us": ("lead", "amplification", "response", "height_gain", "least", "most"),
    "ca": ("lead", "amplification", "response", "height_gain", "least", "most"),
    "iec": ("response", "height_gain", "least_gain"),
}


def importance(regime: str, essential: bool) -> float:
    """Return the importance factor of equipment.

    Example:
        >>> importance("us", True), importance("us", False)
        (1.5, 1.0)
    """
    return float(_number(regime, "essential")) if essential else 1.0


def force_share(regime: str, acceleration_g: float, essential: bool, height_share: float = ROOF) -> float:
    """Return the horizontal force over the weight, at the roof unless the height is known. [-]

    Example:
        >>> round(force_share("us", 1.0, True), 3)
        0.72
    """
    numbers = {key: float(_number(regime, key)) for key in _INPUTS[regime]}
    return float(
        _FORCES[regime](
            acceleration_g=acceleration_g,
            importance=importance(regime, essential),
            height_share=height_share,
            **numbers,
        )
    )
