"""Voltage systems: what "480" may mean, and which system a nameplate is made for."""

from __future__ import annotations

import math

from msgspec import structs

from turnwright.model.case import Defaults
from turnwright.quantities import VoltageSystem, parse_system
from turnwright.quantities.spelling import plain


def possible_systems(system: VoltageSystem, defaults: Defaults) -> tuple[str, ...]:
    """Return the systems that a text with volts only may mean, in the notation of the job file.

    Example:
        >>> us = Defaults(regime="us", edition="2023", frequency_hz=60.0, manufactured="2026",
        ...               insulation="THWN-2", nominal_v={460.0: 480.0},
        ...               power_factor_kw=0.85, x_over_r=6.0)
        >>> possible_systems(parse_system("480", where="supply.system"), us)
        ('480Y/277', '480 3ph', '480 1ph')
    """
    volts = plain(system.line_v)
    known = [parse_system(text, where="systems of the regime") for text in defaults.systems]
    names = [each.text for each in known if isinstance(each, VoltageSystem) and each.line_v == system.line_v]
    if not defaults.systems:
        names.append(f"{volts}Y/{system.line_v / math.sqrt(3):.0f}")
    return tuple(dict.fromkeys([*names, f"{volts} 3ph", f"{volts} 1ph"]))


def nominal_system(system: VoltageSystem, defaults: Defaults) -> VoltageSystem | None:
    """Return the system that equipment of this plate is made for, or None when the plate names one itself.

    A plate with a neutral (400Y/230) names its system. One without (460 3ph) states the volts of the machine,
    which belong to the nominal volts of `defaults.nominal_v`.

    Example:
        >>> us = Defaults(regime="us", edition="2023", frequency_hz=60.0, manufactured="2026",
        ...               insulation="THWN-2", nominal_v={460.0: 480.0},
        ...               power_factor_kw=0.85, x_over_r=6.0)
        >>> nominal_system(parse_system("460 3ph", where="load[0].system"), us).text
        '480 3ph'
    """
    if system.has_neutral:
        return None
    volts = defaults.nominal_v.get(system.line_v)
    if volts is None or volts == system.line_v:
        return None
    text = plain(volts) + system.text.removeprefix(plain(system.line_v))
    return structs.replace(system, text=text, line_v=volts)
