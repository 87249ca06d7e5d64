"""A load in even steps: what was metered, stretch by stretch, and what its times leave open.

Nothing is put into a gap. What comes after one is a stretch of its own, and the hours between are told.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from itertools import pairwise
from typing import Literal, NamedTuple

from msgspec import Struct

from turnwright.errors import InputError
from turnwright.model.result import Finding
from turnwright.regimes.said import said

LoadIs = Literal["load_pu", "current_a", "kva"]
HOUR_S = 3600.0
LONGEST_STEP_S = 24 * HOUR_S
CLOCK_CHANGES = 2
"""So many changes of the clock a year has, and so many are taken for one."""
NEAR_S = 1e-6
FIX = "Mend the times of the file; nothing is put in here. Times in UTC have no clock changes."


class Stretch(NamedTuple):
    """Even steps without a break: the first and the one after the last of them, and the time of the first [s]."""

    first: int
    end: int
    start_s: float


class Course(Struct, frozen=True, kw_only=True):
    """A metered load.

    name       of the file
    step_h     length of a step [h]
    zone       whether times are in UTC
    load_is    what the load is: over the rating, amperes of the secondary, or kVA
    load       one value a step
    ambient_c  one value a step; None: not metered [degC]
    factor     harmonic loss factor, one value a step; None: taken as sinusoidal [-]
    stretches  in the order of time
    findings   what there is to say of its times
    """

    name: str
    step_h: float
    zone: bool
    load_is: LoadIs
    load: tuple[float, ...]
    ambient_c: tuple[float, ...] | None
    factor: tuple[float, ...] | None
    stretches: tuple[Stretch, ...]
    findings: tuple[Finding, ...] = ()

    @property
    def hours(self) -> float:
        """The time that was metered. [h]"""
        return len(self.load) * self.step_h


class Looked(NamedTuple):
    """What was seen of times: the step [s], the rows to keep in their order, where stretches begin, what to say."""

    step_s: float
    keep: Sequence[int]
    begins: tuple[int, ...]
    findings: tuple[Finding, ...]


def look_at_times(
    times: Sequence[float], same: Callable[[int, int], bool], where: str, zone: bool = False
) -> Looked:
    """Return how times go, or refuse them where it cannot be told which rows are right.

    times : since 1970, one a row [s]
    same  : tells whether two rows are alike
    where : for messages
    zone  : times are in UTC, where no clock changes
    Raises: InputError YEAR-06 for uneven steps and for rows that contradict each other.

    Example:
        >>> look_at_times([0.0, 900.0, 1800.0, 3600.0], lambda a, b: False, "load.csv").begins
        (0, 3)
    """
    if len(times) < 2:
        what = "there is one row only, so that its step is not known."
        raise InputError("YEAR-03", where, what, "Give at least two rows.")
    steps = [after - before for before, after in pairwise(times)]
    step = _usual(steps, where)
    if all(d == step for d in steps):
        return Looked(step, range(len(times)), (0,), ())
    back = [i for i, d in enumerate(steps) if _set_back(d, step, zone) and not same(i, i + 1)]
    if len(back) > CLOCK_CHANGES:
        back = []
    if any(d < 0 for i, d in enumerate(steps) if i not in back):
        return _in_order(times, same, where, zone)
    return _kept(times, steps, step, frozenset(back), same, where, zone)


def _in_order(times: Sequence[float], same: Callable[[int, int], bool], where: str, zone: bool) -> Looked:
    """Put rows in the order of time and look once more."""
    order = sorted(range(len(times)), key=times.__getitem__)
    found = look_at_times([times[i] for i in order], lambda a, b: same(order[a], order[b]), where, zone)
    note = said(
        "rows-in-order",
        "note",
        "The rows were not in the order of time; they were put in order.",
        known="given",
    )
    return found._replace(keep=[order[i] for i in found.keep], findings=(note, *found.findings))


def _usual(steps: Sequence[float], where: str) -> float:
    forward = Counter(d for d in steps if d > 0)
    if not forward:
        raise InputError("YEAR-06", where, "all times are the same.", FIX)
    step, _ = forward.most_common(1)[0]
    if step > LONGEST_STEP_S:
        what = f"the step is {length(step)}, too long to follow heat."
        raise InputError("YEAR-06", where, what, "Give steps of a day or less, such as 15 min.")
    return step


def _set_back(difference: float, step: float, zone: bool) -> bool:
    """Tell whether a clock set back by an hour stands between two rows."""
    return not zone and step <= HOUR_S and abs(difference - (step - HOUR_S)) < NEAR_S


def _kept(
    times: Sequence[float],
    steps: Sequence[float],
    step: float,
    back: frozenset[int],
    same: Callable[[int, int], bool],
    where: str,
    zone: bool,
) -> Looked:
    """Return the rows without doubled ones, and where a gap makes a new stretch begin."""
    keep, begins, gaps, twice = [0], [0], [], []
    for i, difference in enumerate(steps):
        if i in back or abs(difference - step) < NEAR_S:
            keep.append(i + 1)
            continue
        if difference == 0:
            if not same(i, i + 1):
                what = f"two rows for {moment(times[i])} tell different things."
                raise InputError("YEAR-06", where, what, FIX)
            twice.append(i)
            continue
        if abs(difference / step - round(difference / step)) * step > NEAR_S:
            raise _uneven(times, steps, step, where)
        begins.append(len(keep))
        gaps.append(i)
        keep.append(i + 1)
    findings = (*_changes(times, sorted(back)), *_gaps(times, steps, step, gaps, zone), *_twice(times, twice))
    return Looked(step, keep, tuple(begins), findings)


def _uneven(times: Sequence[float], steps: Sequence[float], step: float, where: str) -> InputError:
    odd = [i for i, d in enumerate(steps) if abs(d / step - round(d / step)) * step > NEAR_S]
    number = f"{len(odd)} uneven step{'s' if len(odd) > 1 else ''}"
    first = f"the first of {length(steps[odd[0]])} after {moment(times[odd[0]])}"
    what = f"{number} beside the usual {length(step)}, {first}."
    return InputError("YEAR-06", where, what, FIX)


def _changes(times: Sequence[float], back: Sequence[int]) -> list[Finding]:
    return [
        said(
            "clock-set-back",
            "note",
            f"After {moment(times[i])} the times go back: taken as a clock set back by an hour, rows as they stand.",
            known="given",
        )
        for i in back
    ]


def _gaps(
    times: Sequence[float], steps: Sequence[float], step: float, gaps: Sequence[int], zone: bool
) -> list[Finding]:
    if not gaps:
        return []
    missing = sum(steps[i] - step for i in gaps)
    number = "1 gap" if len(gaps) == 1 else f"{len(gaps)} gaps"
    message = (
        f"{number}, {length(missing)} missing, the first after {moment(times[gaps[0]])}. Nothing was put in: after "
        "a gap the unit is taken as hot as before it, or as its next load would make it, whichever is hotter."
    )
    hours = [i for i in gaps if abs(steps[i] - step - HOUR_S) < NEAR_S]
    if not zone and step <= HOUR_S and 0 < len(hours) <= CLOCK_CHANGES:
        message += f" After {moment(times[hours[0]])} it looks like a clock set forward by an hour."
    return [said("gaps", "caution", message, known="given", value=missing / HOUR_S, unit="h")]


def _twice(times: Sequence[float], twice: Sequence[int]) -> list[Finding]:
    if not twice:
        return []
    number = "1 row stands" if len(twice) == 1 else f"{len(twice)} rows stand"
    message = f"{number} twice, alike in everything, the first at {moment(times[twice[0]])}; counted once."
    return [said("rows-twice", "note", message, known="given")]


def moment(time_s: float) -> str:
    """Return a time as people write it.

    Example:
        >>> moment(0.0)
        '1970-01-01 00:00'
    """
    at = datetime.fromtimestamp(time_s, UTC)
    return f"{at:%Y-%m-%d %H:%M:%S}" if at.second else f"{at:%Y-%m-%d %H:%M}"


def length(time_s: float) -> str:
    """Return a length of time in the unit that suits it.

    Example:
        >>> length(900.0), length(7200.0), length(90.0), length(5400.0)
        ('15 min', '2 h', '90 s', '90 min')
    """
    for name, size in (("h", HOUR_S), ("min", 60.0)):
        if time_s >= size and time_s % size == 0:
            return f"{time_s / size:.0f} {name}"
    return f"{time_s:g} s"
