"""Which sizes the facts allow: the ends of what has a direction, a sweep over the rest.

The size rises or falls with each fact that has a direction, so the two jobs with all of them at the end that asks
for less, and at the end that asks for more, hold every job between them. What has no direction is swept: all
combinations where they are few, else one at a time and a seeded draw of combinations. A sweep can miss.

Measured: of 4000 concrete jobs drawn (seed 20260309) inside 400 half-known ones with two to four swept facts each,
15 had a size outside the range found, 0.4 % (`benchmarks/narrow_misses.py` repeats it).
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import product
from math import prod

from turnwright.model.job import Job
from turnwright.narrow.open_facts import OpenFact
from turnwright.narrow.outcome import Engine, Outcome
from turnwright.narrow.put import put_value

MOST_COMBINATIONS = 12
"""Combinations of swept facts looked at, each at both ends of all that has a direction."""
SEED = 1
_LEAST_LOADS = 2
"""Of one load alone no angle matters."""


def outcomes(job: Job, facts: Iterable[OpenFact], engine: Engine) -> frozenset[Outcome]:
    """Return the outcomes at the ends of what the open facts allow.

    job   : as given
    facts : its open facts; those without values, or not bounded, are left as they are
    """
    counted = [one for one in facts if one.values and one.bounded]
    swept = [one for one in counted if not one.direction]
    found = set()
    for combination in _combinations(swept):
        pairs = list(zip(swept, combination, strict=True))
        found |= {engine.size(_all_at(end, pairs)) for end in ends(job, counted)}
    return frozenset(found)


def ends(job: Job, facts: Iterable[OpenFact]) -> tuple[Job, ...]:
    """Return the jobs that ask for least and for most, what has no direction as it stands; one where all has none."""
    guided = [one for one in facts if one.values and one.bounded and one.direction]
    if not guided:
        return (job,)
    return (
        _all_at(job, [(one, one.smallest) for one in guided]),
        _all_at(job, [(one, one.largest) for one in guided]),
    )


def one_angle_told(job: Job, facts: Iterable[OpenFact], engine: Engine) -> frozenset[Outcome]:
    """Return what the job comes to when the power factor of one load is told and the others stay open.

    Loads of which no angle is known are taken at one angle; beside one whose angle is known the others add in
    line, which is the most they can. So an answer may raise what is to be allowed for, and the range holds that
    from the start: never does one answer lead out of it.

    job   : as given
    facts : its open facts
    """
    angles = [one for one in facts if one.values and one.bounded and one.key.endswith(".power_factor")]
    if not angles or len(job.load) < _LEAST_LOADS:
        return frozenset()
    told = ((one.key, value) for one in angles for value in (one.values[0], one.values[-1]))
    return frozenset(engine.size(put_value(job, key, value)) for key, value in told)


def _all_at(job: Job, pairs: Iterable[tuple[OpenFact, object]]) -> Job:
    for fact, value in pairs:
        job = put_value(job, fact.key, value)
    return job


def _combinations(swept: list[OpenFact]) -> list[tuple[object, ...]]:
    """Return the combinations of swept facts to look at."""
    if prod(len(one.values) for one in swept) <= MOST_COMBINATIONS:
        return list(product(*(one.values for one in swept)))
    from random import Random  # loading it costs as much as a whole answer

    draw = Random(SEED)
    middle = tuple(one.values[len(one.values) // 2] for one in swept)
    found: list[tuple[object, ...]] = [tuple(one.values[end] for one in swept) for end in (0, -1)]
    for place, one in enumerate(swept):
        found += [(*middle[:place], value, *middle[place + 1 :]) for value in (one.values[0], one.values[-1])]
    while len(found) < max(MOST_COMBINATIONS, 2 * len(swept) + 2):
        found.append(tuple(draw.choice(one.values) for one in swept))
    return found


def sizes(found: Iterable[Outcome]) -> tuple[float, float] | None:
    """Return the smallest and the largest size among outcomes; None where none has a size. [kVA]

    Example:
        >>> sizes([Outcome("selected", 75.0), Outcome("refused", None), Outcome("selected", 45.0)])
        (45.0, 75.0)
    """
    kvas = [one.kva for one in found if one.kva is not None]
    return (min(kvas), max(kvas)) if kvas else None


def width(found: Iterable[Outcome], series: tuple[float, ...]) -> int:
    """Return how many outcomes are possible: the sizes of the series from the smallest to the largest, and none.

    Example:
        >>> width([Outcome("selected", 45.0), Outcome("selected", 112.5)], (30.0, 45.0, 75.0, 112.5, 150.0))
        3
    """
    outcomes_found = list(found)
    ends = sizes(outcomes_found)
    between = sum(ends[0] <= kva <= ends[1] for kva in series) if ends is not None else 0
    if ends is not None and between == 0:
        between = 1
    return between + any(one.kva is None for one in outcomes_found)
