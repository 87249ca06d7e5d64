"""Losses of a transformer and what temperature, load, voltage and frequency make of them."""

from __future__ import annotations

from turnwright.working import formula


@formula("(T_k + t_2) / (T_k + t_1)", "", "IEEE C57.12.91, temperature correction", "memory")
def resistance_factor(from_c: float, to_c: float, zero_c: float) -> float:
    """Return the resistance at one temperature over that at another. [-]

    from_c, to_c : temperatures, both above -zero_c [degC]
    zero_c       : T_k of the metal, 234.5 copper, 225 aluminum [degC]
    Source: IEEE C57.12.91, temperature correction

    Example:
        >>> round(resistance_factor(from_c=20.0, to_c=75.0, zero_c=234.5), 4)
        1.2161
    """
    return (zero_c + to_c) / (zero_c + from_c)


@formula("P_LL / (1 + P_EC + P_OSL)", "W", "IEEE C57.110, load loss in parts", "memory")
def ohmic_loss_w(load_loss_w: float, eddy_pu: float, other_stray_pu: float) -> float:
    """Return the I²R part of a load loss. [W]

    load_loss_w    : load loss [W]
    eddy_pu        : winding eddy loss per unit of I²R at the same temperature [-]
    other_stray_pu : stray loss outside the windings per unit of I²R [-]
    Source: IEEE C57.110

    Example:
        >>> ohmic_loss_w(load_loss_w=1200.0, eddy_pu=0.15, other_stray_pu=0.05)
        1000.0
    """
    return load_loss_w / (1.0 + eddy_pu + other_stray_pu)


@formula("P_EC · share_OSL / share_EC", "", "IEEE C57.110, split of the stray loss of dry types", "memory")
def other_stray_pu(eddy_pu: float, eddy_share: float, other_share: float) -> float:
    """Return the stray loss outside the windings per unit of I²R. [-]

    eddy_pu     : winding eddy loss per unit of I²R [-]
    eddy_share  : share of the stray loss in the windings, 0.67 for dry types [-]
    other_share : share outside, 0.33 for dry types [-]
    Source: IEEE C57.110

    Example:
        >>> round(other_stray_pu(eddy_pu=0.08, eddy_share=0.67, other_share=0.33), 4)
        0.0394
    """
    return eddy_pu * other_share / eddy_share


@formula("P_Ω · f + P_stray / f", "W", "IEEE C57.12.91, temperature correction", "memory")
def load_loss_at_w(ohmic_w: float, stray_w: float, factor: float) -> float:
    """Return the load loss at another temperature: I²R rises with resistance, eddy and stray loss fall. [W]

    ohmic_w : I²R at the first temperature [W]
    stray_w : eddy and stray loss at the first temperature [W]
    factor  : resistance at the second temperature over that at the first [-]
    Source: IEEE C57.12.91, temperature correction

    Example:
        >>> load_loss_at_w(ohmic_w=500.0, stray_w=120.0, factor=1.2)
        700.0
    """
    return ohmic_w * factor + stray_w / factor


@formula("P_0 + K² · P_LL", "W")
def total_loss_w(no_load_loss_w: float, load_loss_w: float, load_pu: float) -> float:
    """Return the whole loss at a load. [W]

    no_load_loss_w : no-load loss [W]
    load_loss_w    : load loss at rated load, at the temperature wanted [W]
    load_pu        : load current over rated current [-]
    Source: load loss goes with the square of the current

    Example:
        >>> total_loss_w(no_load_loss_w=350.0, load_loss_w=2000.0, load_pu=0.5)
        850.0
    """
    return no_load_loss_w + load_pu * load_pu * load_loss_w


@formula("P_0m · (1 + a · (t_m − t))", "W", "10 CFR 431 Subpart K Appendix A", "memory")
def no_load_loss_at_w(measured_w: float, measured_c: float, wanted_c: float, coefficient: float) -> float:
    """Return the no-load loss at another core temperature. [W]

    measured_w  : no-load loss as measured [W]
    measured_c  : core temperature at the measurement [degC]
    wanted_c    : core temperature wanted, 20 degC in the rule [degC]
    coefficient : change per kelvin, 0.00065 in the rule [1/K]
    Source: 10 CFR 431 Subpart K Appendix A

    Example:
        >>> round(no_load_loss_at_w(100.0, measured_c=40.0, wanted_c=20.0, coefficient=0.00065), 3)
        101.3
    """
    return measured_w * (1.0 + coefficient * (measured_c - wanted_c))


@formula("(V / V_r) / (f / f_r)", "", "V = 4.44 f N Φ")
def flux_pu(voltage_pu: float, frequency_pu: float) -> float:
    """Return the flux in the core over its rated value. [-]

    voltage_pu   : voltage over rated voltage [-]
    frequency_pu : frequency over rated frequency [-]
    Source: V = 4.44 f N Φ

    Example:
        >>> round(flux_pu(voltage_pu=1.0, frequency_pu=50 / 60), 3)
        1.2
    """
    return voltage_pu / frequency_pu


@formula("V_r · f / f_r", "V", "V = 4.44 f N Φ")
def highest_voltage_v(rated_v: float, frequency_pu: float) -> float:
    """Return the voltage that keeps the rated flux at another frequency. [V]

    rated_v      : rated voltage [V]
    frequency_pu : frequency over rated frequency [-]
    Source: V = 4.44 f N Φ

    Example:
        >>> highest_voltage_v(rated_v=220.0, frequency_pu=0.5)
        110.0
    """
    return rated_v * frequency_pu


@formula("P_h · f · B^n + P_e · (f · B)²", "W", "hysteresis and eddy loss of the core, after Steinmetz")
def core_loss_w(
    hysteresis_w: float, eddy_w: float, flux_pu: float, frequency_pu: float, exponent: float
) -> float:
    """Return the no-load loss at another voltage and frequency. [W]

    hysteresis_w : hysteresis part at rated voltage and frequency [W]
    eddy_w       : eddy part at rated voltage and frequency [W]
    flux_pu      : flux over rated flux [-]
    frequency_pu : frequency over rated frequency [-]
    exponent     : of the flux in the hysteresis part, 1.6 to 2 by the steel [-]
    Source: hysteresis and eddy loss of the core, after Steinmetz

    Example:
        >>> core_loss_w(hysteresis_w=60.0, eddy_w=40.0, flux_pu=1.2, frequency_pu=1.0, exponent=2.0)
        144.0
    """
    return hysteresis_w * frequency_pu * float(flux_pu**exponent) + eddy_w * (frequency_pu * flux_pu) ** 2
