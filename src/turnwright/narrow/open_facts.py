"""The facts of a job that may still turn out one way or another, and which ways.

A fact is open when the file gives a range ("110..140 A", "about 120 A"), when it says "unknown", or when nothing
is said and what stands in is not on the safe side for the size: the power factor of a load in kW, and the growth and
the service conditions of the place. The last two are wishes and usual conditions: they are asked for, with what they
would move, and do not widen the range of what is possible.

**Direction.** With more of one fact the size can only rise, or only fall; then the ends of what it may be bound
what the size may be. Load, growth, ambient, altitude, starting current and harmonics rise; efficiency and the limits
of drop and dip fall; a power factor falls where the load is stated in kW and nobody limits the drop. All others are
swept: pieces (one piece more can change the arrangement), power factors otherwise (the sum of two loads is largest
where their angles agree), frequency, resistance, fault current.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Literal, NamedTuple

from msgspec import Struct

from turnwright.intake import read_value
from turnwright.model.case import Case
from turnwright.model.job import Job, Spectrum
from turnwright.model.keys import key_of
from turnwright.narrow.put import exact
from turnwright.quantities import UNKNOWN, Quantity
from turnwright.regimes import Regime

Known = Literal["unknown", "half-known", "absent"]
MOST_COUNTED = 5
"""Whole numbers of pieces tried one by one; of a wider range its ends and the middle."""
_SWEPT = {
    "quantity",
    "fault_current",
    "frequency",
    "resistance",
    "k_rating",
    "power_factor",
    "source_kva",
    "rise",
}
_RISING = {"impedance"}
_TABLES = ("supply", "site", "circuit", "choices")


class OpenFact(NamedTuple):
    """A fact that is not settled.

    key        path in the job file
    how        written as unknown, half-known, or absent
    direction  1: more of it, larger size; -1: smaller; 0: no direction known, all values are tried
    texts      what it may turn out to be, as a person would answer, in ascending order
    values     the same as the job's records hold it
    bounded    whether it lies between the first and the last for certain
    """

    key: str
    how: Known
    direction: int
    texts: tuple[str, ...]
    values: tuple[Any, ...]
    bounded: bool = True

    @property
    def widens(self) -> bool:
        """Whether the range of possible sizes covers it."""
        return self.bounded and bool(self.values) and (self.how != "absent" or self.key.startswith("load["))

    @property
    def smallest(self) -> Any:
        """The value that asks for the smallest size, where there is a direction."""
        return self.values[0 if self.direction > 0 else -1]

    @property
    def largest(self) -> Any:
        """The value that asks for the largest size, where there is a direction."""
        return self.values[-1 if self.direction > 0 else 0]


def open_facts(job: Job, case: Case | None, regime: Regime) -> tuple[OpenFact, ...]:
    """Return the open facts of a job: those written as unknown first, then the half-known, then the absent.

    job    : the facts as given
    case   : what they came to; None while a required fact is missing
    regime : brings what is usual
    """
    found = list(_written(job, regime))
    if case is not None:
        said = {one.key for one in found}
        found += [one for one in _absent(job, case, regime) if one.key not in said]
    rank = {"unknown": 0, "half-known": 1, "absent": 2}
    return tuple(sorted(found, key=lambda one: rank[one.how]))


def _written(job: Job, regime: Regime) -> Iterator[OpenFact]:
    """Yield what the job gives as a range or as unknown."""
    for path, node in _nodes(job):
        for name in node.__struct_fields__:
            value = getattr(node, name)
            if isinstance(value, Quantity) and value.form != "exact":
                found = _quantity(job, f"{path}.{name}", value, regime)
            elif isinstance(value, Spectrum):
                found = _spectrum(f"{path}.{name}", value)
            elif value is UNKNOWN:
                found = _unknown(job, f"{path}.{name}", regime)
            else:
                continue
            if found is not None:
                yield found


def _nodes(job: Job) -> Iterator[tuple[str, Struct]]:
    for index, load in enumerate(job.load):
        yield f"load[{index}]", load
        if load.duty is not None:
            yield f"load[{index}].duty", load.duty
    for name in _TABLES:
        yield name, getattr(job, name)


def _quantity(job: Job, path: str, given: Quantity, regime: Regime) -> OpenFact | None:
    low, high = given.low, given.high
    if low is None or high is None:
        return _unknown(job, path, regime)
    key = key_of(path)
    if key is not None and key.kind == "count":
        low, high = max(1.0, low // 1), -(-high // 1)
        whole = range(int(low), int(high) + 1)
        points = [float(n) for n in whole] if len(whole) <= MOST_COUNTED else [low, (low + high) // 2, high]
    else:
        points = sorted([low, (low + high) / 2, high, *_agreeing(job, path, low, high)])
    values = tuple(exact(given, point) for point in dict.fromkeys(points))
    return OpenFact(path, "half-known", direction(job, path), tuple(one.text for one in values), values)


def _agreeing(job: Job, path: str, low: float, high: float) -> list[float]:
    """Return the power factors of the other loads between two: where angles agree, the sum is largest."""
    if not path.endswith(".power_factor"):
        return []
    others = (load.power_factor for load in job.load if load.power_factor is not None)
    return [one.low for one in others if one.form == "exact" and one.low is not None and low < one.low < high]


def _spectrum(path: str, given: Spectrum) -> OpenFact | None:
    if all(each.form == "exact" for _, each in given.percent_by_order):
        return None
    ends = []
    for end in ("low", "high"):
        orders = tuple(
            (order, exact(each, getattr(each, end))) if each.low is not None else (order, each)
            for order, each in given.percent_by_order
        )
        ends.append(Spectrum(orders))
    return OpenFact(path, "half-known", 1, ("the low ends", "the high ends"), tuple(ends))


def _unknown(job: Job, path: str, regime: Regime) -> OpenFact | None:
    """Return what a fact written as unknown may plausibly be; without values where that cannot be said."""
    name = path.rpartition(".")[2]
    if path.endswith("duty.on"):
        name = "duty.on"
    given = plausible(name, regime)
    if name == "system":
        return None
    key = key_of(path)
    if key is None:
        return None
    values = tuple(read_value(key, text, path) for text in given)
    return OpenFact(path, "unknown", direction(job, path), given, values, name not in _UNBOUNDED)


_UNBOUNDED = {"quantity"}
_PLAUSIBLE: dict[str, tuple[str, ...]] = {
    "power_factor": ("0.7", "0.85", "1.0"),
    "efficiency": ("0.75", "0.85", "0.95"),
    "demand_factor": ("0.5", "0.75", "1.0"),
    "duty.on": ("10 %", "50 %", "100 %"),
    "quantity": ("1", "2", "3"),
    "ambient_average": ("30 degC", "40 degC"),
    "ambient_peak": ("40 degC", "50 degC"),
    "altitude": ("1000 m", "2000 m", "3000 m"),
    "start": ("across the line", "soft starter"),
    "neutral": ("no", "yes"),
    "shaft": ("no", "yes"),
    "place": ("indoor", "outdoor", "ceiling"),
}


def plausible(name: str, regime: Regime) -> tuple[str, ...]:
    """Return what a fact of this name usually turns out to be, ascending; empty where nobody can say."""
    if name == "growth":
        low, high = (regime.practice.row(key=f"growth_{end}_pct").number("value") for end in ("low", "high"))
        return ("0 %", f"{low:g} %", f"{high:g} %")
    return _PLAUSIBLE.get(name, ())


def direction(job: Job, path: str) -> int:
    """Return 1 where more of a fact never asks for a smaller size, -1 where never for a larger, 0 otherwise."""
    name = path.rpartition(".")[2]
    key = key_of(path)
    if name == "power_factor" and _falls_with_power_factor(job, path):
        return -1
    if name in _RISING:
        return 1
    if key is None or name in _SWEPT:
        return 0
    return {"high": 1, "low": -1, "": 0}[key.cautious]


def _falls_with_power_factor(job: Job, path: str) -> bool:
    limited = any(load.regulation_limit is not None for load in job.load)
    load = job.load[int(path[5 : path.index("]")])]
    return load.kw is not None and not limited


def _absent(job: Job, case: Case, regime: Regime) -> Iterator[OpenFact]:
    """Yield what nobody said and what stands in for it without being the safe side, in the order of the trade."""
    assumed = {fact.key for fact in case.assumptions}
    paths = [f"load[{index}].power_factor" for index in _without_power_factor(job)]
    paths += [f"load[{index}].start" for index in _largest_motor(job)]
    paths += ["choices.growth", "site.ambient_average", "site.altitude"]
    for path in paths:
        if path not in assumed and not path.endswith(".start"):
            continue
        found = _unknown(job, path, regime)
        if found is not None:
            yield found._replace(how="absent")


MOST_POWER_FACTORS = 2


def _without_power_factor(job: Job) -> list[int]:
    """Return the largest loads that are stated in kW without a power factor."""
    sizes = {
        index: (load.kw.high or 0.0) * (load.quantity.high or 1.0 if load.quantity is not None else 1.0)
        for index, load in enumerate(job.load)
        if load.kw is not None and load.power_factor is None
    }
    return sorted(sizes, key=lambda index: -sizes[index])[:MOST_POWER_FACTORS]


def _largest_motor(job: Job) -> list[int]:
    """Return the largest motor of which nobody said how it starts, where a dip is limited."""
    if not any(load.start_dip_limit is not None for load in job.load):
        return []
    sizes = {
        index: load.hp.high or 0.0
        for index, load in enumerate(job.load)
        if load.hp is not None and load.start is None
    }
    return sorted(sizes, key=lambda index: -sizes[index])[:1]
