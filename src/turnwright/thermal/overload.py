"""Permitted overload: the load for a time, and the time for a load, from a prior load."""

from __future__ import annotations

import math

from msgspec import Struct

from turnwright.errors import InputError
from turnwright.thermal.profile import HeatModel
from turnwright.thermal.rise import lag_share, load_for_rise_pu, ultimate_rise_k
from turnwright.thermal.tables import constant
from turnwright.working import CLOSED, Ledger, formula


@formula("(Δθ_max − Δθ_i · (1 − s)) / s", "K", "first-order lag, solved for the ultimate rise")
def ultimate_for_limit_k(limit_rise_k: float, initial_k: float, share: float) -> float:
    """Return the ultimate rise that reaches a limit just at the end of a time. [K]

    limit_rise_k : rise allowed at the end [K]
    initial_k    : rise at the start [K]
    share        : s = 1 − exp(−t / τ), above 0 [-]
    Source: first-order lag, solved for the ultimate rise

    Example:
        >>> ultimate_for_limit_k(limit_rise_k=100.0, initial_k=50.0, share=0.5)
        150.0
    """
    return (limit_rise_k - initial_k * (1.0 - share)) / share


@formula("τ · ln((Δθ_u − Δθ_i) / (Δθ_u − Δθ_max))", "h", "first-order lag, solved for the time")
def time_to_limit_h(
    limit_rise_k: float, initial_k: float, ultimate_k: float, time_constant_h: float
) -> float:
    """Return the time until a load reaches a limit; infinite where it never does. [h]

    limit_rise_k    : rise allowed [K]
    initial_k       : rise at the start [K]
    ultimate_k      : rise that the load ends at [K]
    time_constant_h : of the winding [h]
    Source: first-order lag, solved for the time

    Example:
        >>> round(time_to_limit_h(limit_rise_k=75.0, initial_k=50.0, ultimate_k=100.0, time_constant_h=1.0), 4)
        0.6931
        >>> time_to_limit_h(limit_rise_k=75.0, initial_k=50.0, ultimate_k=70.0, time_constant_h=1.0)
        inf
    """
    if initial_k > limit_rise_k:
        return 0.0
    if ultimate_k <= limit_rise_k:
        return math.inf
    return time_constant_h * math.log((ultimate_k - initial_k) / (ultimate_k - limit_rise_k))


class Overload(Struct, frozen=True):
    """What is permitted, and what limits it.

    load_pu         load [-]
    hours           time; infinite where the load may stay [h]
    binds           "hot spot" or "current": the cap on emergency loads
    hot_spot_c      hot spot at the end of the time, or in the long run [degC]
    rate_at_end     ageing rate there: hours of normal life an hour uses [-]
    """

    load_pu: float
    hours: float
    binds: str
    hot_spot_c: float
    rate_at_end: float


def permitted_load(
    model: HeatModel,
    hours: float,
    prior_pu: float,
    ambient_c: float,
    limit_c: float | None = None,
    work: Ledger = CLOSED,
) -> Overload | None:
    """Return the load permitted for a time after a long prior load; None: not even no load is.

    hours     : how long it is to last, above 0 [h]
    prior_pu  : load carried for long before [-]
    ambient_c : temperature of the air meanwhile [degC]
    limit_c   : hot spot not to be passed; None: the rated hot spot, at which life is normal [degC]
    Raises: InputError HEAT-08 when an argument is out of range.
    Source: IEC 60076-12: hot spot by clause 5, emergency loads up to 1.5 times rated current

    Example:
        >>> from turnwright.thermal.ageing import law_of
        >>> unit = HeatModel(average_rise_k=100.0, hot_spot_rise_k=125.0, exponent=1.6, time_constant_h=1.0,
        ...                  eddy_pu=0.08, k_rating=1.0, law=law_of(155))
        >>> round(permitted_load(unit, hours=1.0, prior_pu=0.5, ambient_c=20.0).load_pu, 3)
        1.229
        >>> round(permitted_load(unit, hours=1000.0, prior_pu=0.5, ambient_c=20.0).load_pu, 3)
        1.0
    """
    limit = _limit(model, prior_pu, ambient_c, limit_c)
    if not 0 < hours < math.inf:
        raise InputError("HEAT-08", "hours", f"{hours} h is no time for an overload.", "Make it above 0.")
    start = ultimate_rise_k(model.hot_spot_rise_k, prior_pu, model.exponent)
    share = lag_share(hours, model.time_constant_h)
    end = work.calc(
        "overload.ultimate_rise_k",
        ultimate_for_limit_k,
        limit_rise_k=limit - ambient_c,
        initial_k=start,
        share=share,
    )
    if end < 0 or start > limit - ambient_c:
        return None
    load = work.calc(
        "overload.load_pu",
        load_for_rise_pu,
        rise_k=end,
        rated_rise_k=model.hot_spot_rise_k,
        exponent=model.exponent,
    )
    cap = constant("emergency_load_max_pu")
    if load <= cap:
        return Overload(float(load), hours, "hot spot", limit, model.law.rate(limit))
    at_cap = ultimate_rise_k(model.hot_spot_rise_k, cap, model.exponent)
    reached = ambient_c + start + share * (at_cap - start)
    return Overload(float(cap), hours, "current", reached, model.law.rate(reached))


def permitted_time(
    model: HeatModel,
    load_pu: float,
    prior_pu: float,
    ambient_c: float,
    limit_c: float | None = None,
    work: Ledger = CLOSED,
) -> Overload:
    """Return for how long a load is permitted after a long prior load; 0 h above the cap on emergency loads.

    load_pu   : load to be carried [-]
    prior_pu  : load carried for long before [-]
    ambient_c : temperature of the air meanwhile [degC]
    limit_c   : hot spot not to be passed; None: the rated hot spot, at which life is normal [degC]
    Raises: InputError HEAT-08 when an argument is out of range.
    Source: IEC 60076-12, as `permitted_load`

    Example:
        >>> from turnwright.thermal.ageing import law_of
        >>> unit = HeatModel(average_rise_k=100.0, hot_spot_rise_k=125.0, exponent=1.6, time_constant_h=1.0,
        ...                  eddy_pu=0.08, k_rating=1.0, law=law_of(155))
        >>> round(permitted_time(unit, load_pu=1.2, prior_pu=0.5, ambient_c=20.0).hours, 3)
        1.091
        >>> permitted_time(unit, load_pu=0.9, prior_pu=0.5, ambient_c=20.0).hours
        inf
    """
    limit = _limit(model, prior_pu, ambient_c, limit_c)
    if not 0 <= load_pu < math.inf:
        raise InputError(
            "HEAT-08", "load", f"{load_pu} is no load.", "Write it over rated current, 0 or more."
        )
    cap = constant("emergency_load_max_pu")
    start = ultimate_rise_k(model.hot_spot_rise_k, prior_pu, model.exponent)
    end = ultimate_rise_k(model.hot_spot_rise_k, load_pu, model.exponent)
    if load_pu > cap:
        return Overload(load_pu, 0.0, "current", ambient_c + start, model.law.rate(ambient_c + start))
    hours = work.calc(
        "overload.hours",
        time_to_limit_h,
        limit_rise_k=limit - ambient_c,
        initial_k=start,
        ultimate_k=end,
        time_constant_h=model.time_constant_h,
    )
    reached = limit if math.isfinite(hours) else ambient_c + end
    if start > limit - ambient_c:
        reached = ambient_c + start
    return Overload(load_pu, float(hours), "hot spot", reached, model.law.rate(reached))


def _limit(model: HeatModel, prior_pu: float, ambient_c: float, limit_c: float | None) -> float:
    limit = model.law.rated_hot_spot_c if limit_c is None else limit_c
    fix = "Loads are over rated current and not below 0; temperatures are in degC."
    if not 0 <= prior_pu < math.inf:
        raise InputError("HEAT-08", "prior load", f"{prior_pu} is no load.", fix)
    if not -60 <= ambient_c <= 80:
        raise InputError("HEAT-08", "ambient", f"{ambient_c} °C is no ambient of a transformer.", fix)
    if not limit <= model.law.system_c:
        what = f"a hot spot of {limit:g} °C is above the class of the insulation, {model.law.system_c:g} °C."
        raise InputError("HEAT-08", "limit", what, "Choose a limit up to the class.")
    return limit
