"""Heat given to the room and the air that carries it off."""

from __future__ import annotations

import math

from turnwright.working import formula

BTU_PER_H_PER_W = 3.412141633
CFM_PER_M3_S = 2118.880003


@formula("3.412 · P", "BTU/h", "1 W = 3.412 BTU/h")
def heat_btu_per_h(heat_w: float) -> float:
    """Return a heat flow in the unit of air conditioning. [BTU/h]

    heat_w : heat given to the room; of a dry type the whole loss [W]
    Source: 1 W = 3.412 BTU/h

    Example:
        >>> round(heat_btu_per_h(heat_w=1000.0))
        3412
    """
    return heat_w * BTU_PER_H_PER_W


@formula("P / (ρ · c · ΔT)", "m³/s", "heat balance of the air")
def air_flow_m3_s(heat_w: float, rise_k: float, density: float, specific_heat: float) -> float:
    """Return the air flow that carries a heat flow off. [m³/s]

    heat_w        : heat given to the room [W]
    rise_k        : warming of the air on its way through, above 0 [K]
    density       : of the air, 1.2 near 20 degC at sea level [kg/m³]
    specific_heat : of the air, 1005 [J/(kg·K)]
    Source: heat balance of the air

    Example:
        >>> round(air_flow_m3_s(heat_w=1000.0, rise_k=15.0, density=1.2, specific_heat=1005.0), 4)
        0.0553
    """
    return heat_w / (density * specific_heat * rise_k)


@formula("2118.9 · V", "cfm", "1 m³/s = 2118.9 cubic feet a minute")
def air_flow_cfm(flow_m3_s: float) -> float:
    """Return an air flow in cubic feet a minute. [cfm]

    flow_m3_s : air flow [m³/s]
    Source: 1 ft = 0.3048 m

    Example:
        >>> round(air_flow_cfm(flow_m3_s=1.0))
        2119
    """
    return flow_m3_s * CFM_PER_M3_S


@formula("k · P / (1000 · √H)", "m²", "common practice, openings at a warming of 15 K", "common practice")
def opening_m2(heat_w: float, height_m: float, factor: float) -> float:
    """Return the free area of the inlet for natural ventilation. [m²]

    heat_w   : heat given to the room [W]
    height_m : outlet above the middle of the unit, above 0 [m]
    factor   : 0.18 to 0.22; the larger one is the safer [-]
    Source: common practice, openings at a warming of 15 K

    Example:
        >>> round(opening_m2(heat_w=4000.0, height_m=4.0, factor=0.22), 2)
        0.44
    """
    return factor * heat_w / 1000.0 / math.sqrt(height_m)


@formula("A · (1 + p / 100)", "m²", "common practice, the outlet is larger", "common practice")
def outlet_m2(inlet_m2: float, extra_pct: float) -> float:
    """Return the free area of the outlet. [m²]

    inlet_m2  : free area of the inlet [m²]
    extra_pct : by how much the outlet is larger, 10 [%]
    Source: common practice

    Example:
        >>> round(outlet_m2(inlet_m2=0.5, extra_pct=10.0), 2)
        0.55
    """
    return inlet_m2 * (1.0 + extra_pct / 100.0)
