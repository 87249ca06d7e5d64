"""A unit followed through a metered load, day by day: plain floats, one unit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import repeat
from typing import NamedTuple

from msgspec import Struct

from turnwright.errors import InputError
from turnwright.examine.course import Course
from turnwright.examine.course_file import MOST_TIMES_RATING
from turnwright.examine.heat import Followed
from turnwright.thermal.profile import HeatModel, ThermalState, follow, steady

FEW_STEPS = 400
"""Up to so many steps each is a part by itself; of more, each day is."""
DAY_S = 86400.0
HOUR_S = 3600.0


class Part(NamedTuple):
    """A step or a day: when it begins [s], its steps, and what it left behind by itself."""

    start_s: float
    steps: range
    state: ThermalState


class Trace(Struct, frozen=True, kw_only=True):
    """What a load did to a unit.

    load_pu   load over the rating, one value a step [-]
    parts     in the order of time
    hottest   the step with the hottest spot
    average   the same load at the average ambient of the place, where none was metered and the trace is at the peak
    """

    unit: Followed
    course: Course
    load_pu: tuple[float, ...]
    parts: tuple[Part, ...]
    hottest: Part
    average: Trace | None = None

    @property
    def hot_spot_max_c(self) -> float:
        """The hottest spot. [degC]"""
        return self.hottest.state.hot_spot_max_c

    @property
    def life_used_h(self) -> float:
        """Hours of normal life used. [h]"""
        return math.fsum(part.state.life_used_h for part in self.parts)

    @property
    def energy_kwh(self) -> float | None:
        """Energy lost; None where the losses are not known. [kWh]"""
        if self.unit.heat.model.losses is None:
            return None
        return math.fsum(part.state.energy_kwh or 0.0 for part in self.parts)

    @property
    def overload_h(self) -> float:
        """Time above rated load. [h]"""
        return math.fsum(part.state.overload_h for part in self.parts)

    @property
    def peak_pu(self) -> float:
        """Highest load over the rating. [-]"""
        return max(self.load_pu)


def trace(unit: Followed, course: Course) -> Trace:
    """Return what a load did to a unit; where no ambient was metered, at the peak of the place and at its average.

    Raises:
        InputError: YEAR-05 for a load that the rating cannot belong to, YEAR-08 without a rated current.
    """
    load = load_pu_of(course, unit)
    if course.ambient_c is not None:
        return _traced(unit, course, load, course.ambient_c)
    average = _traced(unit, course, load, tuple(repeat(unit.average_c, len(load))))
    at_peak = _traced(unit, course, load, tuple(repeat(unit.peak_c, len(load))))
    return Trace(
        unit=unit,
        course=course,
        load_pu=load,
        parts=at_peak.parts,
        hottest=at_peak.hottest,
        average=average,
    )


def load_pu_of(course: Course, unit: Followed) -> tuple[float, ...]:
    """Return a load over the rating of a unit, one value a step. [-]

    Raises:
        InputError: YEAR-05, YEAR-08.
    """
    if course.load_is == "load_pu":
        return course.load
    base = unit.rated_kva if course.load_is == "kva" else unit.rated_a
    if base is None:
        what = f"the rated current of {unit.name} is not known, so that amperes cannot be used."
        fix = "Write its secondary with the number of phases, as 208Y/120, or give load_pu or kva."
        raise InputError("YEAR-08", course.name, what, fix)
    most = max(course.load)
    if most > MOST_TIMES_RATING * base:
        what = f"{course.load_is} reaches {most:g}, {most / base:.0f} times the rating of {base:.4g}."
        raise InputError("YEAR-05", course.name, what, "Write it in amperes or kVA.")
    return tuple(each / base for each in course.load)


def _traced(unit: Followed, course: Course, load: Sequence[float], ambient: Sequence[float]) -> Trace:
    model = unit.heat.model
    factor = course.factor
    days, parts = len(load) > FEW_STEPS, []
    rise: float | None = None
    befores: list[float | None] = []
    for stretch in course.stretches:
        if rise is not None:
            begun = steady(model, load[stretch.first], 1.0 if factor is None else factor[stretch.first])
            rise = max(rise, begun.rise_k)
        for steps in _cut(stretch.first, stretch.end, stretch.start_s, course.step_h * HOUR_S, days):
            start_s = stretch.start_s + (steps.start - stretch.first) * course.step_h * HOUR_S
            befores.append(rise)
            state = _follow(model, course, steps, load, ambient, rise)
            parts.append(Part(start_s, steps, state))
            rise = state.rise_k
    at = max(range(len(parts)), key=lambda i: parts[i].state.hot_spot_max_c)
    hottest = _hottest_step(model, course, parts[at], load, ambient, befores[at])
    return Trace(unit=unit, course=course, load_pu=tuple(load), parts=tuple(parts), hottest=hottest)


def _cut(first: int, end: int, start_s: float, step_s: float, days: bool) -> list[range]:
    """Cut a stretch at each midnight, or into its steps."""
    if not days:
        return [range(i, i + 1) for i in range(first, end)]
    cuts, at = [], first
    while at < end:
        now_s = start_s + (at - first) * step_s
        to_midnight = max(1, math.ceil((DAY_S - now_s % DAY_S) / step_s - 1e-9))
        cuts.append(range(at, min(end, at + to_midnight)))
        at += to_midnight
    return cuts


def _follow(
    model: HeatModel,
    course: Course,
    steps: range,
    load: Sequence[float],
    ambient: Sequence[float],
    rise_k: float | None,
) -> ThermalState:
    """Return what some steps leave behind by themselves, from a rise on."""
    cut = slice(steps.start, steps.stop)
    begin = None if rise_k is None else ThermalState(rise_k, energy_kwh=None if model.losses is None else 0.0)
    factor = None if course.factor is None else course.factor[cut]
    return follow(model, course.step_h, load[cut], ambient[cut], begin, factor)


def _hottest_step(
    model: HeatModel,
    course: Course,
    part: Part,
    load: Sequence[float],
    ambient: Sequence[float],
    rise_k: float | None,
) -> Part:
    """Return the step of a part in which its hottest spot was reached."""
    found = part
    best = -math.inf
    for i in part.steps:
        step = range(i, i + 1)
        state = _follow(model, course, step, load, ambient, rise_k)
        rise_k = state.rise_k
        if state.hot_spot_max_c > best:
            best = state.hot_spot_max_c
            start_s = part.start_s + (i - part.steps.start) * course.step_h * HOUR_S
            found = Part(start_s, step, state)
    return found
