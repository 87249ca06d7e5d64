"""Efficiency at a load, at its peak, and over a day."""

from __future__ import annotations

import math
from collections.abc import Iterable

from msgspec import Struct

from turnwright.errors import InputError
from turnwright.working import CLOSED, Ledger, formula


@formula("1000 · S · K · cos φ", "W")
def output_w(kva: float, load_pu: float, power_factor: float) -> float:
    """Return the power given off. [W]

    kva          : rated power [kVA]
    load_pu      : load over rated power [-]
    power_factor : of the load [-]
    Source: definition

    Example:
        >>> output_w(kva=75.0, load_pu=0.5, power_factor=0.8)
        30000.0
    """
    return 1000.0 * kva * load_pu * power_factor


@formula("100 · P_out / (P_out + P_loss)", "%")
def efficiency_pct(output_w: float, loss_w: float) -> float:
    """Return the efficiency. [%]

    output_w : power given off [W]
    loss_w   : whole loss at that load, not both 0 [W]
    Source: definition

    Example:
        >>> efficiency_pct(output_w=9800.0, loss_w=200.0)
        98.0
    """
    return 100.0 * output_w / (output_w + loss_w)


@formula("√(P_0 / P_LL)", "", "largest where no-load loss and load loss are equal")
def peak_load_pu(no_load_loss_w: float, load_loss_w: float) -> float:
    """Return the load at which the efficiency is largest. [-]

    no_load_loss_w : no-load loss [W]
    load_loss_w    : load loss at rated load, above 0 [W]
    Source: largest where no-load loss and load loss are equal

    Example:
        >>> peak_load_pu(no_load_loss_w=250.0, load_loss_w=1000.0)
        0.5
    """
    return math.sqrt(no_load_loss_w / load_loss_w)


@formula("100 · W_out / (W_out + W_0 + W_LL)", "%")
def energy_efficiency_pct(output_kwh: float, no_load_kwh: float, load_kwh: float) -> float:
    """Return the efficiency by energies, over a day the all-day efficiency. [%]

    output_kwh  : energy given off [kWh]
    no_load_kwh : energy of the no-load loss [kWh]
    load_kwh    : energy of the load loss [kWh]
    Source: definition

    Example:
        >>> energy_efficiency_pct(output_kwh=97.0, no_load_kwh=2.0, load_kwh=1.0)
        97.0
    """
    return 100.0 * output_kwh / (output_kwh + no_load_kwh + load_kwh)


class Interval(Struct, frozen=True):
    """A part of the day with one load: hours, load over rated power, power factor."""

    hours: float
    load_pu: float
    power_factor: float = 1.0


class AllDay(Struct, frozen=True):
    """Energies of a day and the efficiency they make; the efficiency is None where nothing was given off."""

    output_kwh: float
    no_load_kwh: float
    load_kwh: float
    efficiency_pct: float | None


def all_day(
    kva: float,
    no_load_loss_w: float,
    load_loss_w: float,
    intervals: Iterable[Interval],
    work: Ledger = CLOSED,
) -> AllDay:
    """Return the energies of a day and its efficiency; hours without load count where they are listed.

    kva            : rated power [kVA]
    no_load_loss_w : no-load loss, drawn in every hour listed [W]
    load_loss_w    : load loss at rated load [W]
    Raises: InputError HEAT-01 when an interval has negative hours, or load or power factor out of range.

    Example:
        >>> day = all_day(100.0, 1500.0, 1500.0, [Interval(3, 1.0), Interval(4, 0.5), Interval(17, 0.0)])
        >>> round(day.efficiency_pct, 4)
        92.2509
    """
    output = no_load = load = 0.0
    for number, each in enumerate(intervals):
        if not (0 <= each.hours < math.inf and 0 <= each.load_pu < math.inf and 0 <= each.power_factor <= 1):
            fix = "Hours and load are 0 or more, a power factor is 0 to 1."
            raise InputError("HEAT-01", f"interval {number + 1}", f"{each} cannot be used.", fix)
        output += each.hours * output_w(kva, each.load_pu, each.power_factor) / 1000.0
        no_load += each.hours * no_load_loss_w / 1000.0
        load += each.hours * each.load_pu**2 * load_loss_w / 1000.0
    given = {"output_kwh": output, "no_load_kwh": no_load, "load_kwh": load}
    if output <= 0:
        return AllDay(**given, efficiency_pct=None)
    share = work.calc("efficiency.all_day_pct", energy_efficiency_pct, **given)
    return AllDay(**given, efficiency_pct=share)
