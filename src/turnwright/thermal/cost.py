"""What losses cost over the years: loss factors A and B, owning cost, break-even."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from turnwright.working import formula


@formula("(1 − (1 + i)^−n) / i", "", "present worth of equal yearly sums")
def present_worth_years(interest_pct: float, years: float) -> float:
    """Return how many yearly sums a sum today is worth. [-]

    interest_pct : yearly interest, above -100 [%]
    years        : number of years [a]
    Source: present worth of equal yearly sums

    Example:
        >>> round(present_worth_years(interest_pct=8.0, years=20.0), 3)
        9.818
    """
    i = interest_pct / 100.0
    return float(years) if i == 0 else float((1.0 - (1.0 + i) ** -years) / i)


@formula("w · (h · p + 12 · d) / 1000", "per W", "A factor: capitalized cost of no-load loss")
def a_factor_per_w(
    price_kwh: float, hours_per_year: float, present_worth_years: float, demand_price_kw_month: float = 0.0
) -> float:
    """Return what a watt of no-load loss costs over the years. [per W]

    price_kwh             : price of energy [currency/kWh]
    hours_per_year        : hours energised [h]
    present_worth_years   : yearly sums a sum today is worth [-]
    demand_price_kw_month : price of demand [currency/(kW·month)]
    Source: capitalized cost of no-load loss

    Example:
        >>> a_factor_per_w(price_kwh=0.125, hours_per_year=8000.0, present_worth_years=10.0)
        10.0
    """
    return present_worth_years * (hours_per_year * price_kwh + 12.0 * demand_price_kw_month) / 1000.0


@formula("w · K² · (h · p · F + 12 · d) / 1000", "per W", "B factor: capitalized cost of load loss")
def b_factor_per_w(
    price_kwh: float,
    hours_per_year: float,
    present_worth_years: float,
    peak_load_pu: float,
    loss_factor: float,
    demand_price_kw_month: float = 0.0,
) -> float:
    """Return what a watt of rated load loss costs over the years. [per W]

    price_kwh             : price of energy [currency/kWh]
    hours_per_year        : hours energised [h]
    present_worth_years   : yearly sums a sum today is worth [-]
    peak_load_pu          : highest load over rated load [-]
    loss_factor           : mean of the squared load over its highest square [-]
    demand_price_kw_month : price of demand at the peak [currency/(kW·month)]
    Source: capitalized cost of load loss

    Example:
        >>> b_factor_per_w(0.125, 8000.0, 10.0, peak_load_pu=1.0, loss_factor=0.25)
        2.5
    """
    energy = hours_per_year * price_kwh * loss_factor
    return present_worth_years * peak_load_pu**2 * (energy + 12.0 * demand_price_kw_month) / 1000.0


@formula("Σ h K² / (Σ h · K_max²)", "", "definition")
def loss_factor(hours: tuple[float, ...], load_pu: tuple[float, ...]) -> float:
    """Return the mean of the squared load over its highest square. [-]

    hours   : hours of each load [h]
    load_pu : the loads, not all 0, as many as hours [-]
    Source: definition

    Example:
        >>> loss_factor(hours=(12.0, 12.0), load_pu=(1.0, 0.0))
        0.5
    """
    squares = sum(h * k * k for h, k in zip(hours, load_pu, strict=True))
    return squares / (sum(hours) * max(load_pu) ** 2)


@formula("C + A · P_0 + B · P_LL + A_aux · P_aux", "currency", "total owning cost")
def owning_cost(
    price: float,
    a_per_w: float,
    no_load_loss_w: float,
    b_per_w: float,
    load_loss_w: float,
    auxiliary_per_w: float = 0.0,
    auxiliary_w: float = 0.0,
) -> float:
    """Return price and capitalized losses of a unit together. [currency]

    price           : price of the unit [currency]
    a_per_w         : cost of no-load loss [currency/W]
    no_load_loss_w  : no-load loss [W]
    b_per_w         : cost of load loss [currency/W]
    load_loss_w     : load loss at rated load [W]
    auxiliary_per_w : cost of the power of fans [currency/W]
    auxiliary_w     : power of fans [W]
    Source: total owning cost

    Example:
        >>> owning_cost(price=4000.0, a_per_w=5.0, no_load_loss_w=200.0, b_per_w=1.0, load_loss_w=1500.0)
        6500.0
    """
    return price + a_per_w * no_load_loss_w + b_per_w * load_loss_w + auxiliary_per_w * auxiliary_w


@formula("C + w · p · E", "currency", "total owning cost")
def energy_owning_cost(
    price: float, present_worth_years: float, price_kwh: float, energy_kwh: float
) -> float:
    """Return price and the energy that a unit loses over the years together. [currency]

    price               : price of the unit [currency]
    present_worth_years : yearly sums a sum today is worth [-]
    price_kwh           : price of energy [currency/kWh]
    energy_kwh          : energy lost in a year [kWh]
    Source: total owning cost

    Example:
        >>> energy_owning_cost(price=4000.0, present_worth_years=10.0, price_kwh=0.125, energy_kwh=2000.0)
        6500.0
    """
    return price + present_worth_years * price_kwh * energy_kwh


@formula("E · p", "currency/a")
def yearly_loss_cost(energy_kwh: float, price_kwh: float) -> float:
    """Return what the losses of a year cost. [currency/a]

    energy_kwh : energy lost in a year [kWh]
    price_kwh  : price of energy [currency/kWh]
    Source: definition

    Example:
        >>> yearly_loss_cost(energy_kwh=1000.0, price_kwh=0.125)
        125.0
    """
    return energy_kwh * price_kwh


@formula("ΔC_year / (p / 100)", "currency", "yearly saving over the yearly charge on capital")
def break_even_price(yearly_saving: float, carrying_charge_pct: float) -> float:
    """Return how much dearer a unit may be for what it saves each year. [currency]

    yearly_saving       : saved each year [currency/a]
    carrying_charge_pct : interest, depreciation and the like on the price, above 0 [%]
    Source: yearly saving over the yearly charge on capital

    Example:
        >>> break_even_price(yearly_saving=525.6, carrying_charge_pct=10.0)
        5256.0
    """
    return yearly_saving / (carrying_charge_pct / 100.0)


@formula("ΔC / ΔC_year", "a", "simple payback")
def payback_years(extra_price: float, yearly_saving: float) -> float:
    """Return after how many years a dearer unit has paid for itself, without interest. [a]

    extra_price   : by how much it is dearer [currency]
    yearly_saving : saved each year, above 0 [currency/a]
    Source: simple payback

    Example:
        >>> payback_years(extra_price=500.0, yearly_saving=125.0)
        4.0
    """
    return extra_price / yearly_saving


@formula("p · (1 + 1 / COP)", "currency", "heat of the losses carried off by cooling")
def cooled_price(price: float, cop: float) -> float:
    """Return what a kWh, or a kW, of losses costs in a room that is cooled. [currency]

    price : without cooling, of a kWh or of a kW for a month [currency]
    cop   : heat carried off over the power of the cooling, above 0 [-]
    Source: each kWh of losses is a kWh of heat

    Example:
        >>> cooled_price(price=0.2, cop=4.0)
        0.25
    """
    return price * (1.0 + 1.0 / cop)


@formula("h · (P_0 + K² · F · P_LL) / 1000", "kWh/a", "load loss goes with the square of the current")
def yearly_energy_kwh(
    no_load_loss_w: float, load_loss_w: float, peak_load_pu: float, loss_factor: float, hours_per_year: float
) -> float:
    """Return the energy lost in a year. [kWh/a]

    no_load_loss_w : no-load loss [W]
    load_loss_w    : load loss at rated load [W]
    peak_load_pu   : highest load over rated load [-]
    loss_factor    : mean of the squared load over its highest square [-]
    hours_per_year : hours energised [h]
    Source: load loss goes with the square of the current

    Example:
        >>> yearly_energy_kwh(200.0, 1000.0, peak_load_pu=0.5, loss_factor=0.4, hours_per_year=8000.0)
        2400.0
    """
    return hours_per_year * (no_load_loss_w + peak_load_pu**2 * loss_factor * load_loss_w) / 1000.0


@formula("12 · d · (P_0 + K² · P_LL) / 1000", "currency/a", "demand of the losses at the highest load")
def yearly_demand_cost(
    no_load_loss_w: float, load_loss_w: float, peak_load_pu: float, demand_price_kw_month: float
) -> float:
    """Return what the demand of the losses costs in a year. [currency/a]

    no_load_loss_w, load_loss_w : as in `yearly_energy_kwh` [W]
    peak_load_pu                : highest load over rated load [-]
    demand_price_kw_month       : price of demand [currency/(kW·month)]
    Source: demand of the losses at the highest load

    Example:
        >>> yearly_demand_cost(200.0, 1200.0, peak_load_pu=0.5, demand_price_kw_month=10.0)
        60.0
    """
    return 12.0 * demand_price_kw_month * (no_load_loss_w + peak_load_pu**2 * load_loss_w) / 1000.0


@formula("h · P · min(1, K² · F) / 1000", "kWh/a", "all of a full-load loss is load loss, or none of it")
def least_energy_kwh(
    full_load_loss_w: float, peak_load_pu: float, loss_factor: float, hours_per_year: float
) -> float:
    """Return the least energy that a full-load loss can come to in a year, however it divides. [kWh/a]

    full_load_loss_w : no-load loss and load loss at rated load together [W]
    peak_load_pu, loss_factor, hours_per_year : as in `yearly_energy_kwh`
    Source: linear in the share of load loss, so that an end has the least

    Example:
        >>> least_energy_kwh(1000.0, peak_load_pu=0.5, loss_factor=1.0, hours_per_year=8000.0)
        2000.0
    """
    return hours_per_year * full_load_loss_w * min(1.0, peak_load_pu**2 * loss_factor) / 1000.0


@formula("h · P · max(1, K² · F) / 1000", "kWh/a", "all of a full-load loss is load loss, or none of it")
def most_energy_kwh(
    full_load_loss_w: float, peak_load_pu: float, loss_factor: float, hours_per_year: float
) -> float:
    """Return the most energy that a full-load loss can come to in a year, however it divides. [kWh/a]

    full_load_loss_w, peak_load_pu, loss_factor, hours_per_year : as in `least_energy_kwh`
    Source: linear in the share of load loss, so that an end has the most

    Example:
        >>> most_energy_kwh(1000.0, peak_load_pu=0.5, loss_factor=1.0, hours_per_year=8000.0)
        8000.0
    """
    return hours_per_year * full_load_loss_w * max(1.0, peak_load_pu**2 * loss_factor) / 1000.0


@formula(
    "h · max(P_0 + K² · F · P_LL) / 1000, with P_0 + P_LL ≤ P and P_0 + c · P_LL ≤ P_law",
    "kWh/a",
    "linear in both losses, so that a corner of what is possible has the most",
)
def most_lawful_energy_kwh(
    full_load_loss_w: float,
    law_loss_w: float,
    law_share: float,
    peak_load_pu: float,
    loss_factor: float,
    hours_per_year: float,
) -> float:
    """Return the most energy that a full-load loss can come to in a year under an efficiency law. [kWh/a]

    full_load_loss_w : no-load loss and load loss at rated load together, at most [W]
    law_loss_w       : most that the law lets it lose at the load of its test [W]
    law_share        : c, least load loss there over load loss at rated load, above 0 and below 1 [-]
    peak_load_pu, loss_factor, hours_per_year : as in `yearly_energy_kwh`
    Source: linear in both losses, so that a corner of what is possible has the most

    Example:
        >>> most_lawful_energy_kwh(1000.0, 280.0, 0.1, peak_load_pu=0.5, loss_factor=1.0, hours_per_year=1000.0)
        400.0
    """
    share = peak_load_pu**2 * loss_factor
    both = min(max((full_load_loss_w - law_loss_w) / (1.0 - law_share), 0.0), law_loss_w / law_share)
    corners = [
        (min(full_load_loss_w, law_loss_w), 0.0),
        (max(min(full_load_loss_w - both, law_loss_w - law_share * both), 0.0), both),
        (0.0, min(full_load_loss_w, law_loss_w / law_share)),
    ]
    return hours_per_year * max(no_load + share * load for no_load, load in corners) / 1000.0


@formula("min over P of E_least(P) − E_most(r_high · P)", "kWh/a", "ends of what two units can lose")
def least_saved_kwh(
    low_w: float,
    high_w: float,
    ratio_high: float,
    peak_load_pu: float,
    loss_factor: float,
    hours_per_year: float,
    law_loss_w: float = inf,
    law_share: float = 0.5,
) -> float:
    """Return the least that another build of a unit saves in a year; below 0: the most that it loses more. [kWh/a]

    How the losses of each divide is not known, only what a law leaves possible.

    low_w, high_w : full-load loss of the unit, both ends of what is usual [W]
    ratio_high    : full-load loss of the other build over that of the unit, at most, above 0 [-]
    peak_load_pu, loss_factor, hours_per_year : as in `least_energy_kwh`
    law_loss_w    : most that the law lets either lose at the load of its test; infinite: no law says [W]
    law_share     : as in `most_lawful_energy_kwh`, of the other build [-]
    Source: convex and piecewise linear in P, so that an end or a kink has the least

    Example:
        >>> least_saved_kwh(1000.0, 1500.0, ratio_high=0.8, peak_load_pu=1.0, loss_factor=1.0, hours_per_year=1000.0)
        200.0
    """
    shape = {"peak_load_pu": peak_load_pu, "loss_factor": loss_factor, "hours_per_year": hours_per_year}
    kinks = (law_loss_w / ratio_high, law_loss_w / (law_share * ratio_high))
    return min(
        least_energy_kwh(full_w, **shape)
        - most_lawful_energy_kwh(ratio_high * full_w, law_loss_w, law_share, **shape)
        for full_w in _ends_and(low_w, high_w, kinks)
    )


@formula("max over P of E_most(P) − E_least(r_low · P)", "kWh/a", "ends of what two units can lose")
def most_saved_kwh(
    low_w: float,
    high_w: float,
    ratio_low: float,
    peak_load_pu: float,
    loss_factor: float,
    hours_per_year: float,
    law_loss_w: float = inf,
    law_share: float = 0.5,
) -> float:
    """Return the most that another build of a unit saves in a year. [kWh/a]

    low_w, high_w : full-load loss of the unit, both ends of what is usual [W]
    ratio_low     : full-load loss of the other build over that of the unit, at least [-]
    peak_load_pu, loss_factor, hours_per_year : as in `least_energy_kwh`
    law_loss_w    : most that the law lets the unit lose at the load of its test; infinite: no law says [W]
    law_share     : as in `most_lawful_energy_kwh`, of the unit [-]
    Source: concave and piecewise linear in P, so that an end or a kink has the most

    Example:
        >>> most_saved_kwh(1000.0, 1000.0, ratio_low=0.5, peak_load_pu=1.0, loss_factor=1.0, hours_per_year=1000.0)
        500.0
    """
    shape = {"peak_load_pu": peak_load_pu, "loss_factor": loss_factor, "hours_per_year": hours_per_year}
    return max(
        most_lawful_energy_kwh(full_w, law_loss_w, law_share, **shape)
        - least_energy_kwh(ratio_low * full_w, **shape)
        for full_w in _ends_and(low_w, high_w, (law_loss_w, law_loss_w / law_share))
    )


def _ends_and(low_w: float, high_w: float, kinks: tuple[float, ...]) -> Iterator[float]:
    yield low_w
    yield high_w
    yield from (kink for kink in kinks if low_w < kink < high_w)


@formula("w · ΔC_year", "currency", "present worth of what is saved")
def worth_of_saving(present_worth_years: float, yearly_saving: float) -> float:
    """Return how much dearer a unit may be for what it saves over the years. [currency]

    present_worth_years : yearly sums a sum today is worth [-]
    yearly_saving       : saved each year [currency/a]
    Source: present worth of equal yearly sums

    Example:
        >>> worth_of_saving(present_worth_years=10.0, yearly_saving=52.5)
        525.0
    """
    return present_worth_years * yearly_saving


@formula("ΔC / (w · ΔE)", "currency/kWh", "price of energy at which a dearer unit pays")
def break_even_price_kwh(extra_price: float, present_worth_years: float, saved_kwh: float) -> float:
    """Return the price of energy from which on a dearer unit pays. [currency/kWh]

    extra_price         : by how much it is dearer [currency]
    present_worth_years : yearly sums a sum today is worth, above 0 [-]
    saved_kwh           : saved each year, above 0 [kWh/a]
    Source: present worth of equal yearly sums

    Example:
        >>> break_even_price_kwh(extra_price=600.0, present_worth_years=10.0, saved_kwh=500.0)
        0.12
    """
    return extra_price / (present_worth_years * saved_kwh)


@formula("mean K² / K_max²", "", "definition")
def loss_factor_of(mean_square: float, peak_load_pu: float) -> float:
    """Return the loss factor of a metered load. [-]

    mean_square  : mean of the squared load [-]
    peak_load_pu : highest load, above 0 [-]
    Source: definition

    Example:
        >>> round(loss_factor_of(mean_square=0.16, peak_load_pu=0.8), 4)
        0.25
    """
    return mean_square / (peak_load_pu * peak_load_pu)
