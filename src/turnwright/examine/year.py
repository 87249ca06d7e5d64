"""What a metered load did to a unit: its hottest spot, the life it used, what was lost, what comes next to a limit."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from turnwright.errors import InputError
from turnwright.examine import year_pages as pages
from turnwright.examine.course import Course
from turnwright.examine.following import Trace, trace
from turnwright.examine.heat import Followed, followed_pick, followed_plate
from turnwright.examine.records import Answer
from turnwright.model.job import Nameplate
from turnwright.thermal.ageing import life_used_pct
from turnwright.thermal.cost import yearly_loss_cost
from turnwright.thermal.tables import constant
from turnwright.working import Ledger, formula

if TYPE_CHECKING:
    from turnwright.examine.options import Options
    from turnwright.examine.subject import Subject

HOW = "followed step by step: rise by IEC 60076-12 clause 5, first-order lag, cumulative ageing"


@formula("t_used / t", "", "IEC 60076-12, cumulative ageing", "seen")
def mean_ageing_rate(life_used_h: float, hours: float) -> float:
    """Return how many hours of normal life an hour used on average. [-]

    life_used_h : hours of normal life used [h]
    hours       : in so many hours, above 0 [h]

    Example:
        >>> mean_ageing_rate(life_used_h=12.0, hours=24.0)
        0.5
    """
    return life_used_h / hours


@formula("100 · x / x_limit", "%")
def of_limit_pct(value: float, limit: float) -> float:
    """Return how far a value goes toward its limit. [%]

    value, limit : in one unit, the limit above 0 [any]
    Source: definition

    Example:
        >>> of_limit_pct(value=165.0, limit=220.0)
        75.0
    """
    return 100.0 * value / limit


def study(subject: Subject, options: Options, work: Ledger) -> Answer:
    """Return what a metered load would do to the pick of a job.

    Raises:
        InputError: YEAR-05, YEAR-08.
    """
    return _answer(followed_pick(subject, options), _load(options), work)


def study_unit(plate: Nameplate, options: Options, work: Ledger) -> Answer:
    """Return what a metered load did to a unit that exists.

    Raises:
        InputError: YEAR-05, YEAR-08; HEAT-02, HEAT-04, HEAT-09 for its nameplate.
    """
    return _answer(followed_plate(plate, options), _load(options), work)


def _load(options: Options) -> Course:
    if options.load is None:
        fix = "Name it: --load FILE, a CSV or Parquet file with the columns time, load_pu, ambient_c."
        raise InputError("YEAR-08", "--load", "there is no metered load to follow.", fix)
    return options.load


def _answer(unit: Followed, course: Course, work: Ledger) -> Answer:
    found = trace(unit, course)
    answers = _answers(found, work)
    return Answer(
        said=pages.said_of(found, answers),
        answers=answers,
        grids=pages.grids_of(found, answers),
        series=pages.series_of(found),
        findings=pages.findings_of(found, answers),
        questions=pages.questions_of(found),
        assumed=pages.assumed_of(found),
    )


def _answers(found: Trace, work: Ledger) -> dict[str, Any]:
    model, unit, hours = found.unit.heat.model, found.unit, found.course.hours
    rated = work.note(
        "unit.hot_spot_rise_k", model.hot_spot_rise_k, "K", unit.heat.rise.source, unit.heat.rise.known
    )
    into: dict[str, Any] = {
        "steps": float(len(found.load_pu)),
        "step_h": found.course.step_h,
        "hot_spot_rise_k": rated,
        "exponent": model.exponent,
        "time_constant_h": model.time_constant_h,
    }
    law = {"rated_hot_spot_c": model.law.rated_hot_spot_c, "b_k": model.law.b_k}
    hot = work.note("answers.hot_spot_max_c", found.hot_spot_max_c, "degC", HOW, "computed", **into)
    used = work.note(
        "answers.life_used_h", found.life_used_h, "h", HOW, "computed", hot_spot_max_c=hot, **law
    )
    rate = work.calc("answers.mean_ageing_rate", mean_ageing_rate, life_used_h=used, hours=hours)
    share = work.calc(
        "answers.life_used_pct", life_used_pct, life_used_h=used, normal_life_h=model.law.normal_life_h
    )
    energy = found.energy_kwh
    if energy is not None:
        energy = work.note("answers.energy_loss_kwh", energy, "kWh", HOW, "computed", **_losses(found))
    answers: dict[str, Any] = {
        "hot_spot_max_c": hot,
        "hot_spot_max_at": pages.moment_of(found),
        "life_used_h": used,
        "life_used_pct": share,
        "mean_ageing_rate": rate,
        "energy_loss_kwh": energy,
        "no_load_loss_kwh": None if model.losses is None else model.losses.no_load_w * hours / 1000.0,
        "cost_loss": _cost(energy, unit, work),
        "currency": None if unit.price is None or energy is None else unit.price.currency,
        "peak_pu": found.peak_pu,
        "overload_h": found.overload_h,
        "hours": hours,
        **_limits(found, work, rate),
    }
    if found.average is not None:
        answers["at_average_ambient"] = {
            "ambient_c": unit.average_c,
            "hot_spot_max_c": found.average.hot_spot_max_c,
            "life_used_h": found.average.life_used_h,
            "energy_loss_kwh": found.average.energy_kwh,
        }
    return answers


def _losses(found: Trace) -> dict[str, float]:
    losses = found.unit.heat.model.losses
    if losses is None:
        return {}
    return {
        "no_load_w": losses.no_load_w,
        "load_loss_w": losses.ohmic_w + losses.eddy_w + losses.other_w,
        "reference_c": losses.reference_c,
    }


def _cost(energy: float | None, unit: Followed, work: Ledger) -> float | None:
    if energy is None or unit.price is None:
        return None
    cost: float = work.calc(
        "answers.cost_loss", yearly_loss_cost, energy_kwh=energy, price_kwh=unit.price.value
    )
    return cost


def _limits(found: Trace, work: Ledger, rate: float) -> dict[str, Any]:
    """Return how far each quantity goes toward its limit, and which is the nearest."""
    law, most = found.unit.heat.model.law, constant("emergency_load_max_pu")
    held = {
        "hot spot": (found.hot_spot_max_c, law.system_c, "degC"),
        "life": (rate, 1.0, "h/h"),
        "current": (found.peak_pu, most, "pu"),
    }
    limits = []
    for name, (value, limit, unit) in held.items():
        step = f"answers.limits[{name}].of_limit_pct"
        share = work.calc(step, of_limit_pct, value=value, limit=limit)
        limits.append({"name": name, "value": value, "limit": limit, "unit": unit, "of_limit_pct": share})
    nearest = max(limits, key=lambda each: each["of_limit_pct"])
    return {"limits": limits, "binds": nearest["name"]}
