"""Hot-spot rise at a load, its course in time, and the time constant behind it."""

from __future__ import annotations

import math

from turnwright.working import formula


@formula("Z · Δθ_W", "K", "IEC 60076-12, clause 5", "memory")
def rated_hot_spot_rise_k(average_rise_k: float, factor: float) -> float:
    """Return the hot-spot rise at rated load where only the average rise is known. [K]

    average_rise_k : average winding rise at rated load [K]
    factor         : Z, 1.25 where the maker gives none [-]
    Source: IEC 60076-12, clause 5

    Example:
        >>> rated_hot_spot_rise_k(average_rise_k=100.0, factor=1.25)
        125.0
    """
    return average_rise_k * factor


@formula("Δθ_R · (K² · g)^(q / 2)", "K", "IEC 60076-12, clause 5; IEEE C57.96", "memory")
def ultimate_rise_k(rated_rise_k: float, load_pu: float, exponent: float, loss_ratio: float = 1.0) -> float:
    """Return the hot-spot rise that a steady load ends at. [K]

    rated_rise_k : hot-spot rise at rated load [K]
    load_pu      : load current over rated current [-]
    exponent     : q, of the current: 1.6 self-cooled, 2.0 forced air [-]
    loss_ratio   : g, loss of the winding with harmonics over that without at the same current [-]
    Source: IEC 60076-12, clause 5; IEEE C57.96 with 2m in place of q

    Example:
        >>> round(ultimate_rise_k(rated_rise_k=125.0, load_pu=0.8, exponent=1.6), 1)
        87.5
    """
    return rated_rise_k * float((load_pu * load_pu * loss_ratio) ** (0.5 * exponent))


@formula("(Δθ / Δθ_R)^(1 / q) / √g", "", "IEC 60076-12, clause 5, solved for the load", "memory")
def load_for_rise_pu(rise_k: float, rated_rise_k: float, exponent: float, loss_ratio: float = 1.0) -> float:
    """Return the steady load that ends at a hot-spot rise. [-]

    rise_k       : rise wanted, not below 0 [K]
    rated_rise_k : hot-spot rise at rated load [K]
    exponent     : q, of the current [-]
    loss_ratio   : g, as in `ultimate_rise_k` [-]
    Source: IEC 60076-12, clause 5

    Example:
        >>> round(load_for_rise_pu(rise_k=145.59, rated_rise_k=125.0, exponent=1.6), 3)
        1.1
    """
    return float((rise_k / rated_rise_k) ** (1.0 / exponent)) / math.sqrt(loss_ratio)


@formula("Δθ_R / F^q", "K", "the derated load F reaches the rated rise")
def rise_in_thin_air_k(rated_rise_k: float, share: float, exponent: float) -> float:
    """Return the rise at rated load where the air is too thin for it. [K]

    rated_rise_k : rise at rated load in usual service [K]
    share        : F, share of the rated power that the altitude leaves, above 0 [-]
    exponent     : q, of the current [-]
    Source: the derated load F reaches the rated rise

    Example:
        >>> rise_in_thin_air_k(rated_rise_k=180.0, share=1.0, exponent=1.6)
        180.0
        >>> round(rise_in_thin_air_k(rated_rise_k=180.0, share=0.95, exponent=1.6), 1)
        195.4
    """
    return rated_rise_k / float(share**exponent)


@formula("1 − exp(−Δt / τ)", "", "IEC 60076-12; first-order lag, exact for a constant load", "memory")
def lag_share(step_h: float, time_constant_h: float) -> float:
    """Return the share of the way to the ultimate rise that one step covers. [-]

    step_h          : length of the step [h]
    time_constant_h : thermal time constant of the winding, above 0 [h]
    Source: first-order lag, exact for a constant load

    Example:
        >>> round(lag_share(step_h=1.0, time_constant_h=1.0), 4)
        0.6321
    """
    return -math.expm1(-step_h / time_constant_h)


@formula("Δθ_i + (Δθ_u − Δθ_i) · (1 − exp(−t / τ))", "K", "IEC 60076-12; IEEE C57.96", "memory")
def lagged_rise_k(initial_k: float, ultimate_k: float, share: float) -> float:
    """Return the hot-spot rise at the end of a step. [K]

    initial_k  : rise at its start [K]
    ultimate_k : rise that the load would end at [K]
    share      : 1 − exp(−t / τ), see `lag_share` [-]
    Source: IEC 60076-12; IEEE C57.96

    Example:
        >>> lagged_rise_k(initial_k=20.0, ultimate_k=100.0, share=0.5)
        60.0
    """
    return initial_k + share * (ultimate_k - initial_k)


@formula("θ_a + Δθ", "degC", "IEC 60076-12; IEEE C57.96", "memory")
def hot_spot_c(ambient_c: float, rise_k: float) -> float:
    """Return the hot-spot temperature. [degC]

    ambient_c : temperature of the air that cools the unit [degC]
    rise_k    : hot-spot rise [K]
    Source: IEC 60076-12; IEEE C57.96

    Example:
        >>> hot_spot_c(ambient_c=30.0, rise_k=180.0)
        210.0
    """
    return ambient_c + rise_k


@formula("Δθ · Δθ_W / Δθ_R", "K", "average and hot-spot rise keep their ratio at rated load", "assumed")
def average_rise_k(rise_k: float, rated_average_k: float, rated_hot_spot_rise_k: float) -> float:
    """Return the average winding rise that belongs to a hot-spot rise. [K]

    rise_k                : hot-spot rise [K]
    rated_average_k       : average winding rise at rated load [K]
    rated_hot_spot_rise_k : hot-spot rise at rated load [K]
    Source: the ratio of both is taken as at rated load

    Example:
        >>> average_rise_k(rise_k=90.0, rated_average_k=150.0, rated_hot_spot_rise_k=180.0)
        75.0
    """
    return rise_k * rated_average_k / rated_hot_spot_rise_k


@formula("c_metal · m_metal + c_ins · m_ins", "W·min/K", "IEC 60076-12, time constant", "memory")
def heat_capacity_w_min_per_k(
    metal_kg: float, insulation_kg: float, metal_capacity: float, insulation_capacity: float
) -> float:
    """Return the heat capacity of a winding. [W·min/K]

    metal_kg            : mass of the conductor [kg]
    insulation_kg       : mass of resin and other insulation [kg]
    metal_capacity      : 15.0 aluminum, 6.42 copper [W·min/(kg·K)]
    insulation_capacity : 24.5 [W·min/(kg·K)]
    Source: IEC 60076-12, time constant

    Example:
        >>> heat_capacity_w_min_per_k(10.0, 2.0, metal_capacity=15.0, insulation_capacity=24.5)
        199.0
    """
    return metal_kg * metal_capacity + insulation_kg * insulation_capacity


@formula("C · Δθ_R / (60 · P_r)", "h", "IEC 60076-12, time constant", "memory")
def rated_time_constant_h(capacity_w_min_per_k: float, rated_rise_k: float, winding_loss_w: float) -> float:
    """Return the time constant of a winding at rated load. [h]

    capacity_w_min_per_k : heat capacity [W·min/K]
    rated_rise_k         : hot-spot rise at rated load [K]
    winding_loss_w       : loss of the winding at rated load, above 0 [W]
    Source: IEC 60076-12, time constant

    Example:
        >>> rated_time_constant_h(capacity_w_min_per_k=300.0, rated_rise_k=120.0, winding_loss_w=600.0)
        1.0
    """
    return capacity_w_min_per_k * rated_rise_k / (60.0 * winding_loss_w)


@formula("τ_R · (U − I) / (U^(1/m) − I^(1/m))", "h", "IEEE C57.96, time constant off rated load", "memory")
def time_constant_h(rated_h: float, ultimate_pu: float, initial_pu: float, exponent: float) -> float:
    """Return the time constant of a change between two rises. [h]

    rated_h     : time constant at rated load [h]
    ultimate_pu : rise at the end over the rise at rated load, not below 0 [-]
    initial_pu  : rise at the start over the rise at rated load, not below 0 [-]
    exponent    : m, of the loss: half of q [-]
    Source: IEEE C57.96, time constant off rated load

    Example:
        >>> time_constant_h(rated_h=1.5, ultimate_pu=1.0, initial_pu=0.0, exponent=0.8)
        1.5
        >>> round(time_constant_h(rated_h=1.5, ultimate_pu=1.4, initial_pu=1.4, exponent=0.8), 3)
        1.103
    """
    if math.isclose(ultimate_pu, initial_pu, rel_tol=1e-9):
        if ultimate_pu <= 0:
            return math.inf if exponent < 1 else rated_h
        return rated_h * exponent * float(ultimate_pu ** (1.0 - 1.0 / exponent))
    ends = float(ultimate_pu ** (1.0 / exponent)) - float(initial_pu ** (1.0 / exponent))
    return rated_h * (ultimate_pu - initial_pu) / ends
