"""How much a unit may carry for a time after a load it carried for long, and for how long a load may stand.

===========  ==============================
code         what is wrong
===========  ==============================
``OVER-01``  a number cannot be used
===========  ==============================
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from turnwright.errors import InputError
from turnwright.examine.heat import Followed, followed_pick, followed_plate
from turnwright.examine.records import Answer, Assumed, Grid, Series
from turnwright.examine.words import NOTHING, grid
from turnwright.model.job import Nameplate
from turnwright.model.result import Finding
from turnwright.quantities import figure
from turnwright.regimes.said import said
from turnwright.thermal.overload import Overload, permitted_load, permitted_time
from turnwright.thermal.profile import HeatModel
from turnwright.thermal.rise import ultimate_rise_k
from turnwright.thermal.tables import constant, practice
from turnwright.working import CLOSED, Ledger, Number

if TYPE_CHECKING:
    from turnwright.examine.options import Options
    from turnwright.examine.subject import Subject

HOURS = (0.25, 0.5, 1.0, 2.0, 4.0, 8.0)
LOADS = (1.1, 1.2, 1.3, 1.4, 1.5)
MOST_HOURS, MOST_LOAD = 8784.0, 20.0
CURVE_POINTS = 40
PCT = 100.0


def study(subject: Subject, options: Options, work: Ledger) -> Answer:
    """Return what the pick of a job may carry for a time, after the load of the job.

    Raises:
        InputError: OVER-01.
    """
    own = float(subject.sized.loading_pct) * subject.sized.derating / PCT
    return _answer(followed_pick(subject, options), own, "the load of the job", options, work)


def study_unit(plate: Nameplate, options: Options, work: Ledger) -> Answer:
    """Return what a unit that exists may carry for a time.

    Raises:
        InputError: OVER-01; HEAT-02, HEAT-04, HEAT-09 for its nameplate.
    """
    usual = practice("loading_high_pct") / PCT
    says = "the high end of the usual band of loading"
    return _answer(followed_plate(plate, options), usual, says, options, work)


def _answer(unit: Followed, usual_pu: float, says: str, options: Options, work: Ledger) -> Answer:
    _check("after", options.after, 0.0, MOST_LOAD)
    _check("lasting", options.lasting, 0.0, MOST_HOURS)
    _check("times", options.times, 0.0, MOST_LOAD)
    prior = usual_pu if options.after is None else options.after
    model, ambient = unit.heat.model, unit.peak_c
    hours = HOURS if options.lasting is None else (options.lasting,)
    loads = LOADS if options.times is None else (options.times,)
    asked = work if options.lasting is not None or options.times is not None else CLOSED
    permitted = [(each, permitted_load(model, each, prior, ambient, work=asked)) for each in hours]
    times = [permitted_time(model, each, prior, ambient, work=asked) for each in loads]
    before = ambient + ultimate_rise_k(model.hot_spot_rise_k, prior, model.exponent)
    answers: dict[str, Any] = {
        "prior_pu": work.note(
            "answers.prior_pu", float(prior), "", says, "given" if options.after else "computed"
        ),
        "ambient_c": float(ambient),
        "hot_spot_before_c": float(before),
        "hot_spot_limit_c": float(model.law.rated_hot_spot_c),
        "load_max_pu": float(constant("emergency_load_max_pu")),
        "loads": [_load(each, found) for each, found in permitted],
        "times": [_time(found) for found in times],
    }
    return Answer(
        said=tuple(_said(unit, answers)),
        answers=answers,
        grids=_grids(answers),
        series=_series(model, prior, ambient),
        findings=tuple(_findings(answers)),
        assumed=_assumed(unit, prior, says if options.after is None else ""),
    )


def _check(name: str, value: float | None, low: float, high: float) -> None:
    if value is not None and not (low <= value <= high and (value > 0 or name == "after")):
        fix = f"Write it above {low:g} and up to {high:g}."
        raise InputError("OVER-01", f"--{name}", f"{value:g} cannot be used.", fix)


def _load(hours: float, found: Overload | None) -> dict[str, Any]:
    if found is None:
        return {
            "hours": float(hours),
            "load_pu": None,
            "binds": "hot spot",
            "hot_spot_c": None,
            "rate_at_end": None,
        }
    return {
        "hours": float(hours),
        "load_pu": float(found.load_pu),
        "binds": found.binds,
        "hot_spot_c": float(found.hot_spot_c),
        "rate_at_end": float(found.rate_at_end),
    }


def _time(found: Overload) -> dict[str, Any]:
    stays = math.isinf(found.hours)
    return {
        "load_pu": float(found.load_pu),
        "stays": stays,
        "hours": None if stays else float(found.hours),
        "binds": found.binds,
        "hot_spot_c": float(found.hot_spot_c),
    }


def _said(unit: Followed, answers: dict[str, Any]) -> Iterator[str]:
    prior = (
        f"{_pct(answers['prior_pu'], 'up')} carried for long, at {figure(answers['ambient_c'])} °C around it"
    )
    for one in answers["loads"] if len(answers["loads"]) < len(HOURS) else answers["loads"][2:3]:
        if one["load_pu"] is None:
            yield f"After {prior}, {unit.name} may not carry any load for {_hours(one['hours'])}."
        else:
            yield f"After {prior}, {unit.name} may carry {_pct(one['load_pu'], 'down')} for {_hours(one['hours'])}."
    if len(answers["times"]) < len(LOADS):
        for one in answers["times"]:
            stands = "stay" if one["stays"] else f"stand for {_hours(one['hours'])}"
            yield f"After the same, {_pct(one['load_pu'], 'up')} may {stands}."
    limit, most = answers["hot_spot_limit_c"], answers["load_max_pu"]
    yield (
        f"The hottest spot stays at or below {figure(limit)} °C, at which life is normal, and the load at or below "
        f"{_pct(most, 'down')}; terminals, devices and conductors have limits of their own."
    )


def _pct(load_pu: float, rounding: Any) -> str:
    return f"{figure(PCT * load_pu, rounding=rounding)} % of rated load"


def _hours(hours: float) -> str:
    return (
        f"{figure(60 * hours, rounding='down')} min" if hours < 1 else f"{figure(hours, rounding='down')} h"
    )


def _grids(answers: dict[str, Any]) -> tuple[Grid, ...]:
    loads = [
        (
            _hours(one["hours"]),
            NOTHING if one["load_pu"] is None else f"{figure(PCT * one['load_pu'], rounding='down')} %",
            one["binds"],
            NOTHING if one["hot_spot_c"] is None else f"{figure(one['hot_spot_c'], rounding='up')} °C",
        )
        for one in answers["loads"]
    ]
    times = [
        (
            f"{figure(PCT * one['load_pu'], rounding='up')} %",
            "stays" if one["stays"] else _hours(one["hours"]),
            one["binds"],
            f"{figure(one['hot_spot_c'], rounding='up')} °C",
        )
        for one in answers["times"]
    ]
    return (
        grid("How much for a time", ("time", "load", "what limits it", "hottest spot"), loads),
        grid("How long for a load", ("load", "time", "what limits it", "hottest spot"), times),
    )


def _series(model: HeatModel, prior: float, ambient: float) -> tuple[Series, ...]:
    """Return the permitted load over the time it lasts, from the shortest time of the table to the longest."""
    ratio = (HOURS[-1] / HOURS[0]) ** (1 / (CURVE_POINTS - 1))
    points = [
        (hours, found.load_pu)
        for i in range(CURVE_POINTS)
        if (found := permitted_load(model, hours := HOURS[0] * ratio**i, prior, ambient)) is not None
    ]
    if not points:
        return ()
    return (
        Series(
            name="permitted load",
            kind="line",
            x_name="time it lasts",
            x_unit="h",
            y_name="load over rated",
            y_unit="",
            x=tuple(float(x) for x, _ in points),
            y=tuple(float(y) for _, y in points),
        ),
    )


def _findings(answers: dict[str, Any]) -> Iterator[Finding]:
    before, limit = answers["hot_spot_before_c"], answers["hot_spot_limit_c"]
    if before > limit:
        message = "Already before, the hottest spot is above the one at which life is normal: no overload is permitted."
        yield said(
            "hot-spot-over-rated",
            "caution",
            message,
            clause="IEC 60076-12",
            value=before,
            limit=limit,
            unit="degC",
        )
    most: Number = constant("emergency_load_max_pu")
    message = (
        "By heat of the windings alone. The maker's loading limits come first; devices, conductors and terminals "
        "must carry the overload too, and the volts fall with it."
    )
    yield said("overload-basis", "note", message, clause=most.step.source, known=most.step.known)


def _assumed(unit: Followed, prior: float, says: str) -> tuple[Assumed, ...]:
    found = [Assumed(f"before: {figure(PCT * prior)} % of rated load", says)] if says else []
    found.append(Assumed("sinusoidal currents", "harmonics make a unit hotter"))
    return (*found, *unit.place, *unit.assumed)
