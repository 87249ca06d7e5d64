"""A load in steps followed through the winding: hot spot, life used, energy lost. The plain form, in floats.

The load of a step holds from its start to its end, and the temperature at the end counts for the whole step.
What a profile leaves behind is a state; the next part of the profile goes on from it, to the last digit as if
the profile had never been divided.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import repeat

from msgspec import Struct

from turnwright.errors import InputError
from turnwright.thermal.ageing import AgeingLaw, ageing_rate
from turnwright.thermal.harmonic_loss import stray_loss_bound, winding_loss_ratio
from turnwright.thermal.losses import resistance_factor
from turnwright.thermal.rise import average_rise_k, lag_share, lagged_rise_k, ultimate_rise_k


class Losses(Struct, frozen=True, kw_only=True):
    """Losses of a unit.

    no_load_w    no-load loss [W]
    ohmic_w      I²R at rated load and `reference_c` [W]
    eddy_w       winding eddy loss there [W]
    other_w      other stray loss there [W]
    reference_c  temperature of the three [degC]
    zero_c       T_k of the winding metal [degC]
    """

    no_load_w: float
    ohmic_w: float
    eddy_w: float
    other_w: float
    reference_c: float
    zero_c: float


class HeatModel(Struct, frozen=True, kw_only=True):
    """What heats and ages a unit.

    average_rise_k   average winding rise at rated load [K]
    hot_spot_rise_k  hot-spot rise at rated load [K]
    exponent         q of the hot-spot rise [-]
    time_constant_h  of the winding [h]
    eddy_pu          winding eddy loss per unit of I²R at rated load [-]
    k_rating         K that the unit is marked for, 1 without [-]
    law              how its insulation ages
    losses           None where they are not known: then no energy comes out
    """

    average_rise_k: float
    hot_spot_rise_k: float
    exponent: float
    time_constant_h: float
    eddy_pu: float
    k_rating: float
    law: AgeingLaw
    losses: Losses | None = None


class ThermalState(Struct, frozen=True):
    """What a profile has left behind so far.

    rise_k          hot-spot rise at its end [K]
    hours           its length [h]
    life_used_h     hours of normal life used [h]
    energy_kwh      energy lost; None where the losses are not known [kWh]
    hot_spot_max_c  highest hot spot at the end of a step [degC]
    peak_pu         highest load [-]
    overload_h      time above rated load [h]
    """

    rise_k: float
    hours: float = 0.0
    life_used_h: float = 0.0
    energy_kwh: float | None = 0.0
    hot_spot_max_c: float = -math.inf
    peak_pu: float = 0.0
    overload_h: float = 0.0


def steady(model: HeatModel, load_pu: float, loss_factor: float = 1.0) -> ThermalState:
    """Return the state of a unit that has carried a load for long; nothing is counted yet.

    load_pu     : load current over rated current [-]
    loss_factor : F_HL of its current [-]

    Example:
        >>> from turnwright.thermal.ageing import law_of
        >>> unit = HeatModel(average_rise_k=150.0, hot_spot_rise_k=180.0, exponent=1.6, time_constant_h=1.0,
        ...                  eddy_pu=0.08, k_rating=1.0, law=law_of(220))
        >>> steady(unit, 1.0).rise_k
        180.0
    """
    ratio = winding_loss_ratio(loss_factor, model.eddy_pu, model.k_rating)
    rise = ultimate_rise_k(model.hot_spot_rise_k, load_pu, model.exponent, ratio)
    return ThermalState(rise, energy_kwh=None if model.losses is None else 0.0)


def loss_w(losses: Losses, load_pu: float, winding_c: float, loss_factor: float) -> float:
    """Return the whole loss at a load and an average winding temperature. [W]

    load_pu     : load current over rated current [-]
    winding_c   : average winding temperature [degC]
    loss_factor : F_HL of the current; other stray loss takes the most that it allows [-]

    Example:
        >>> round(loss_w(Losses(no_load_w=300.0, ohmic_w=1000.0, eddy_w=80.0, other_w=20.0, reference_c=170.0,
        ...                     zero_c=234.5), 1.0, winding_c=170.0, loss_factor=1.0))
        1400
    """
    factor = resistance_factor(losses.reference_c, winding_c, losses.zero_c)
    stray = losses.eddy_w * loss_factor + losses.other_w * stray_loss_bound(loss_factor)
    return losses.no_load_w + load_pu * load_pu * (losses.ohmic_w * factor + stray / factor)


def follow(
    model: HeatModel,
    step_h: float,
    load_pu: Iterable[float],
    ambient_c: Iterable[float],
    state: ThermalState | None = None,
    loss_factor: Iterable[float] | None = None,
) -> ThermalState:
    """Return the state after a profile of even steps.

    step_h      : length of a step, above 0 [h]
    load_pu     : load current over rated current, one value a step [-]
    ambient_c   : temperature of the air that cools the unit, one value a step [degC]
    state       : where the part before ended; None: the first load has been carried for long
    loss_factor : F_HL, one value a step; None: sinusoidal current [-]
    Raises: InputError HEAT-07 when a value cannot be used or the columns differ in length.
    Source: IEC 60076-12, cumulative ageing

    Example:
        >>> from turnwright.thermal.ageing import law_of
        >>> unit = HeatModel(average_rise_k=150.0, hot_spot_rise_k=180.0, exponent=1.6, time_constant_h=1.0,
        ...                  eddy_pu=0.08, k_rating=1.0, law=law_of(220))
        >>> day = follow(unit, 0.25, [1.0] * 96, [30.0] * 96)
        >>> day.life_used_h, day.hot_spot_max_c, day.energy_kwh
        (24.0, 210.0, None)
    """
    if not 0 < step_h < math.inf:
        raise InputError("HEAT-07", "step", f"a step of {step_h} h cannot be followed.", "Make it above 0.")
    factors = repeat(1.0) if loss_factor is None else loss_factor
    law, losses, share = model.law, model.losses, lag_share(step_h, model.time_constant_h)
    rise, hours, life, energy, hottest, peak, over = _open(state, model)
    started = state is not None
    for number, (load, ambient, factor) in enumerate(_rows(load_pu, ambient_c, factors, loss_factor is None)):
        if not (0 <= load < math.inf and -150 < ambient < math.inf and 1 <= factor < math.inf):
            what = f"load {load} at {ambient} °C with loss factor {factor} cannot be used."
            fix = "Loads are 0 or more, loss factors 1 or more, temperatures in degC."
            raise InputError("HEAT-07", f"step {number + 1}", what, fix)
        ratio = winding_loss_ratio(factor, model.eddy_pu, model.k_rating)
        ultimate = ultimate_rise_k(model.hot_spot_rise_k, load, model.exponent, ratio)
        rise = lagged_rise_k(rise, ultimate, share) if started else ultimate
        started = True
        hot_spot = ambient + rise
        life += step_h * ageing_rate(hot_spot, law.rated_hot_spot_c, law.b_k)
        if losses is not None:
            winding = ambient + average_rise_k(rise, model.average_rise_k, model.hot_spot_rise_k)
            energy += step_h * loss_w(losses, load, winding, factor) / 1000.0
        hottest, peak = max(hottest, hot_spot), max(peak, load)
        over += step_h if load > 1.0 else 0.0
        hours += step_h
    return ThermalState(rise, hours, life, None if losses is None else energy, hottest, peak, over)


def _open(
    state: ThermalState | None, model: HeatModel
) -> tuple[float, float, float, float, float, float, float]:
    start = state or steady(model, 0.0)
    energy = 0.0 if start.energy_kwh is None else start.energy_kwh
    return (
        start.rise_k,
        start.hours,
        start.life_used_h,
        energy,
        start.hot_spot_max_c,
        start.peak_pu,
        start.overload_h,
    )


def _rows(
    load: Iterable[float], ambient: Iterable[float], factor: Iterable[float], sinusoidal: bool
) -> Iterable[tuple[float, float, float]]:
    """Yield the columns row by row, and refuse columns of unequal length."""
    try:
        if sinusoidal:
            yield from ((k, t, 1.0) for k, t in zip(load, ambient, strict=True))
        else:
            yield from zip(load, ambient, factor, strict=True)
    except ValueError:
        fix = "Give each step a load, an ambient temperature and, where there are any, a loss factor."
        raise InputError("HEAT-07", "profile", "its columns differ in length.", fix) from None
