"""The answer about a metered load in sentences, tables, curves and findings."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from turnwright.examine.course import HOUR_S, length, moment
from turnwright.examine.following import DAY_S, Trace
from turnwright.examine.records import Assumed, Grid, Series
from turnwright.examine.words import NOTHING, grid
from turnwright.model.result import Finding, Question
from turnwright.quantities import figure
from turnwright.regimes.said import said
from turnwright.thermal.tables import constant

WORST_DAYS = 5
LONG_LIFE_YEARS = 100.0
"""Beyond it heat is no limit to the life of a unit."""
YEAR_H = 8760.0
SAYS = {"hot spot": "hottest spot", "life": "life used an hour", "current": "highest load"}


def said_of(found: Trace, answers: dict[str, Any]) -> tuple[str, ...]:
    """Return the answer in sentences, the most important first."""
    return (
        _hot(found, answers),
        _life(found, answers),
        _lost(found, answers),
        _over(answers),
        f"What comes closest to its limit: {SAYS[answers['binds']]}.",
    )


def moment_of(found: Trace) -> str:
    """Return the end of the step with the hottest spot, as people write it."""
    at = moment(found.hottest.start_s + found.course.step_h * HOUR_S)
    return f"{at} UTC" if found.course.zone else at


def _hot(found: Trace, answers: dict[str, Any]) -> str:
    hot, rated = answers["hot_spot_max_c"], found.unit.heat.model.law.rated_hot_spot_c
    name, when = found.unit.name, answers["hot_spot_max_at"]
    reached = f"The hottest spot of {name} reached {figure(hot, rounding='up')} °C by {when}"
    beyond = abs(hot - rated)
    if hot <= rated:
        return (
            f"{reached}, {figure(beyond, rounding='down')} K below the {rated:g} °C at which life is normal."
        )
    return f"{reached}, {figure(beyond, rounding='up')} K above the {rated:g} °C at which life is normal."


def _life(found: Trace, answers: dict[str, Any]) -> str:
    law = found.unit.heat.model.law
    used, rate = answers["life_used_h"], answers["mean_ageing_rate"]
    told = (
        f"In {figure(answers['hours'], digits=4)} h it used {figure(used, rounding='up')} h of life, "
        f"{figure(answers['life_used_pct'], rounding='up')} % of the normal life of {law.normal_life_h:,.0f} h."
    )
    years = law.normal_life_h / rate / YEAR_H if rate > 0 else float("inf")
    if years > LONG_LIFE_YEARS:
        return f"{told} Loaded like this, heat is no limit to its life."
    lasts = figure(years, digits=2, rounding="down")
    return f"{told} Loaded like this all the time, its insulation lasts {lasts} years."


def _lost(found: Trace, answers: dict[str, Any]) -> str:
    energy = answers["energy_loss_kwh"]
    if energy is None:
        return "Its losses are not known: no energy and no cost can be told."
    told = f"It lost {energy:,.0f} kWh, {answers['no_load_loss_kwh']:,.0f} kWh of it without load"
    price = found.unit.price
    if price is None or answers["cost_loss"] is None:
        return f"{told}; no price of energy was given."
    return f"{told}; at {price.value:g} {price.currency} a kWh that is {answers['cost_loss']:,.0f} {price.currency}."


def _over(answers: dict[str, Any]) -> str:
    peak = figure(answers["peak_pu"], rounding="up")
    if not answers["overload_h"]:
        return f"It was never above its rated load; the highest was {peak} of it."
    hours = figure(answers["overload_h"], digits=4, rounding="up")
    return f"It was above its rated load for {hours} h, at most {peak} of it."


def grids_of(found: Trace, answers: dict[str, Any]) -> tuple[Grid, ...]:
    """Return the limits, and the worst days where there are several."""
    rows = [
        (
            SAYS[each["name"]],
            _value(each["value"], each["unit"], "up"),
            _value(each["limit"], each["unit"], "down"),
            f"{figure(each['of_limit_pct'], rounding='up')} %",
        )
        for each in answers["limits"]
    ]
    limits = grid("What limits it", ("", "reached", "limit", "of it"), rows)
    days = _days(found)
    if len(days) < 2:
        return (limits,)
    worst = sorted(days.items(), key=lambda each: -each[1][2])[:WORST_DAYS]
    known = found.energy_kwh is not None
    rows_of_days = [
        (
            day,
            f"{figure(hot, rounding='up')} °C",
            figure(peak, rounding="up"),
            f"{figure(used, rounding='up')} h",
            f"{figure(energy)} kWh" if known else NOTHING,
        )
        for day, (hot, peak, used, energy) in worst
    ]
    heads = ("day", "hottest spot", "highest load", "life used", "lost")
    return limits, grid("The days that used the most life", heads, rows_of_days)


def _value(value: float, unit: str, rounding: Any) -> str:
    shown = {"degC": " °C", "h/h": " h", "pu": " of rated"}[unit]
    return f"{figure(value, rounding=rounding)}{shown}"


def _days(found: Trace) -> dict[str, tuple[float, float, float, float]]:
    """Return hottest spot, highest load, life used and energy lost by day."""
    days: dict[str, tuple[float, float, float, float]] = {}
    for part in found.parts:
        day = moment(part.start_s)[:10]
        hot, peak, used, energy = days.get(day, (float("-inf"), 0.0, 0.0, 0.0))
        state = part.state
        days[day] = (
            max(hot, state.hot_spot_max_c),
            max(peak, state.peak_pu),
            used + state.life_used_h,
            energy + (state.energy_kwh or 0.0),
        )
    return days


def series_of(found: Trace) -> tuple[Series, ...]:
    """Return hottest spot, load and life used over time: of each step, or of each day of a long load."""
    each = "of each step" if len(found.parts) == len(found.load_pu) else "of each day"
    start = found.parts[0].start_s
    x = tuple((part.start_s - start) / DAY_S for part in found.parts)
    used, so_far = [], 0.0
    for part in found.parts:
        so_far += part.state.life_used_h
        used.append(so_far)
    curves = (
        (f"hottest spot {each}", "temperature", "°C", tuple(p.state.hot_spot_max_c for p in found.parts)),
        (f"highest load {each}", "load over rated", "", tuple(p.state.peak_pu for p in found.parts)),
        ("life used so far", "life used", "h", tuple(used)),
    )
    since = f"days since {moment(start)}"
    return tuple(
        Series(name=name, kind="line", x_name=since, x_unit="d", y_name=y_name, y_unit=unit, x=x, y=y)
        for name, y_name, unit, y in curves
    )


def findings_of(found: Trace, answers: dict[str, Any]) -> tuple[Finding, ...]:
    """Return what exceeds a limit, what the file left open, and by which rules it was followed."""
    return (*_beyond(found, answers), *found.course.findings, *_coarse(found), *_basis(found))


def _beyond(found: Trace, answers: dict[str, Any]) -> Iterator[Finding]:
    law, hot = found.unit.heat.model.law, answers["hot_spot_max_c"]
    if hot > law.system_c:
        message = (
            f"The hottest spot passes the class of the insulation, {law.system_c:g} °C: what ages there does not "
            "come back, and no rule of loading covers it."
        )
        yield said(
            "hot-spot-over-class",
            "stop",
            message,
            clause="IEC 60076-12",
            value=hot,
            limit=law.system_c,
            unit="degC",
        )
    elif hot > law.rated_hot_spot_c:
        rated = f"{law.rated_hot_spot_c:g} °C"
        message = f"For a time the hottest spot is above {rated}, where life goes faster than normal."
        yield said(
            "hot-spot-over-rated",
            "note",
            message,
            clause="IEC 60076-12",
            value=hot,
            limit=law.rated_hot_spot_c,
            unit="degC",
        )
    rate = answers["mean_ageing_rate"]
    if rate > 1:
        used = f"{figure(rate, rounding='up')} h"
        message = (
            f"On average an hour uses {used} of life: loaded like this it does not last its normal life."
        )
        yield said("life-shortened", "caution", message, clause="IEC 60076-12", value=rate, limit=1.0)
    most = constant("emergency_load_max_pu")
    if answers["peak_pu"] > most:
        message = f"The highest load is above {most:g} times rated current, the most that is accepted in an emergency."
        yield said(
            "load-over-cap", "caution", message, clause=most.step.source, known=most.step.known,
            value=answers["peak_pu"], limit=most,
        )  # fmt: skip


def _coarse(found: Trace) -> Iterator[Finding]:
    tau = found.unit.heat.model.time_constant_h
    if found.course.step_h > tau:
        message = (
            f"The steps of {length(found.course.step_h * HOUR_S)} are longer than the time constant of {tau:g} h: "
            "peaks inside a step are not seen, and the hottest spot may have been hotter."
        )
        yield said("coarse-steps", "caution", message)


def _basis(found: Trace) -> Iterator[Finding]:
    heat = found.unit.heat
    message = f"Hot-spot rise {heat.rise.hot_spot_k:g} K at rated load; with load to the power {heat.model.exponent:g}."
    if heat.model.hot_spot_rise_k > heat.rise.hot_spot_k:
        message += (
            f" In the thin air of the site it is {figure(heat.model.hot_spot_rise_k, rounding='up')} K."
        )
    yield said("hot-spot-rise", "note", message, clause=heat.rise.source, known=heat.rise.known)
    message = f"Life by the constants of class {heat.model.law.system_c:g} °C."
    if "60076-12" in heat.model.law.source:
        message += " IEEE C57.96 has life curves of its own, which are not carried here."
    yield said("ageing-law", "note", message, clause=heat.model.law.source, known=heat.model.law.known)


def assumed_of(found: Trace) -> tuple[Assumed, ...]:
    """Return what stands in for what nobody gave."""
    rest = [
        *found.unit.assumed,
        Assumed("before the first step the first load had been carried for long", "nobody metered it"),
        *found.unit.place,
    ]
    if found.course.factor is None:
        rest.append(Assumed("sinusoidal currents", "no k_factor was metered"))
    if found.average is None:
        return tuple(rest)
    unit, used = found.unit, figure(found.average.life_used_h, rounding="up")
    place = "of the site" if unit.place_known else "of usual service"
    what = f"ambient {unit.peak_c:g} °C all the time, the peak {place}"
    why = f"none was metered; at the average, {unit.average_c:g} °C, it uses {used} h of life"
    return (Assumed(what, why), *rest)


def questions_of(found: Trace) -> tuple[Question, ...]:
    """Return what to ask next."""
    asked = []
    if found.average is not None:
        ends = sorted((found.average.life_used_h, found.life_used_h))
        why = "The air at the unit decides how much of its rise it can use; a log of its temperature settles it."
        asked.append(
            Question(
                key="ambient_c", ask="How warm was the air at the unit, hour by hour?",
                assumed=found.unit.peak_c, why=why, moves={"life_used_h": ends},
            )
        )  # fmt: skip
    if found.unit.heat.model.losses is None:
        why = "Without both losses neither energy nor cost can be told; the test report has them."
        asked.append(
            Question(
                key="no_load_loss, load_loss", ask="What are its no-load loss and its load loss?", why=why
            )
        )
    elif found.unit.price is None:
        asked.append(
            Question(
                key="price_kwh", ask="What does a kWh cost?", why="Losses cost nothing until it is known."
            )
        )
    return tuple(asked)
