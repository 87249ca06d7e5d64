"""Whether the times of a unit go in even steps, and what is wrong where they do not."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
SECOND_NS = 1_000_000_000
HOUR_NS = 3600 * SECOND_NS
LONGEST_STEP_NS = 24 * HOUR_NS


class Looked(NamedTuple):
    """What was seen: the step (0: one row only), how to put the rows in order (None: they are), what is wrong."""

    step_ns: int
    order: Ints | None
    what: str


def look_at_times(time: Ints, tick_ns: int = 1) -> Looked:
    """Return the step of a course of times, or what breaks it; rows out of order are put in order.

    time    : times since 1970, in ticks
    tick_ns : length of a tick [ns]

    Example:
        >>> quarter = 15 * 60 * SECOND_NS
        >>> look_at_times(np.arange(4) * quarter).step_ns == quarter
        True
        >>> look_at_times(np.array([0, 1, 2, 4, 5]) * quarter).what
        '1 gap, 1 step missing, the first after 1970-01-01 00:30:00.'
    """
    if len(time) < 2:
        return Looked(0, None, "")
    steps = time[1:] - time[:-1]
    step = int(steps[0])
    if step > 0 and bool((steps == step).all()):
        return Looked(step * tick_ns, None, _too_long(step * tick_ns))
    return _look_closer(time * tick_ns)


def _look_closer(time_ns: Ints) -> Looked:
    """Return what breaks the even steps of times."""
    steps = time_ns[1:] - time_ns[:-1]
    back = int(np.count_nonzero(steps < 0))
    if not back:
        return Looked(_usual(steps), None, _describe(time_ns, steps))
    if back <= max(2, len(steps) // 100):  # a clock set back, not rows in a random order
        at = int(np.argmax(steps < 0))
        told = f"time goes back {_length(-int(steps[at]))} after {moment(int(time_ns[at]))}"
        usual = _usual(steps)
        hint = " It looks like a clock set back by an hour." if usual - int(steps[at]) == HOUR_NS else ""
        ordered = np.sort(time_ns)
        if bool((np.diff(ordered) == usual).all()):
            return Looked(usual, np.argsort(time_ns, kind="stable"), _too_long(usual))
        return Looked(usual, None, f"{told}.{hint}")
    order = np.argsort(time_ns, kind="stable")
    found = look_at_times(time_ns[order])
    return Looked(found.step_ns, order, found.what)


def moment(time_ns: int) -> str:
    """Return a time as people write it.

    Example:
        >>> moment(0)
        '1970-01-01 00:00:00'
    """
    return str(np.datetime64(time_ns, "ns").astype("datetime64[s]")).replace("T", " ")


def _usual(steps: Ints) -> int:
    """Return the most common step above 0; 0 where there is none."""
    forward = steps[steps > 0]
    if not len(forward):
        return 0
    values, counts = np.unique(forward, return_counts=True)
    return int(values[np.argmax(counts)])


def _describe(time_ns: Ints, steps: Ints) -> str:
    usual = _usual(steps)
    if not usual:
        return "all times are the same."
    same = steps == 0
    gaps = (steps > usual) & (steps % usual == 0)
    odd = (steps != usual) & ~same & ~gaps
    told = []
    if odd.any():
        at = int(np.argmax(odd))
        told.append(
            f"{int(odd.sum())} uneven steps beside the usual {_length(usual)}, "
            f"the first of {_length(int(steps[at]))} after {moment(int(time_ns[at]))}"
        )
    if same.any():
        at = int(np.argmax(same))
        told.append(f"{_count(int(same.sum()), 'duplicate time')}, the first {moment(int(time_ns[at]))}")
    if gaps.any():
        at = int(np.argmax(gaps))
        missing = int((steps[gaps] // usual - 1).sum())
        told.append(
            f"{_count(int(gaps.sum()), 'gap')}, {_count(missing, 'step')} missing, "
            f"the first after {moment(int(time_ns[at]))}"
        )
    an_hour = bool(gaps.any()) and int(steps[gaps][0]) - usual == HOUR_NS and usual < HOUR_NS
    hint = " It looks like a clock set forward by an hour." if an_hour else ""
    return "; ".join(told) + "." + hint


def _too_long(step_ns: int) -> str:
    return f"the step is {_length(step_ns)}, too long to follow heat." if step_ns > LONGEST_STEP_NS else ""


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


def _length(time_ns: int) -> str:
    """Return a length of time in the unit that suits it."""
    for name, size in (("h", HOUR_NS), ("min", 60 * SECOND_NS), ("s", SECOND_NS)):
        if time_ns >= size and time_ns % size == 0:
            return f"{time_ns // size} {name}"
    return f"{time_ns / SECOND_NS:g} s"
