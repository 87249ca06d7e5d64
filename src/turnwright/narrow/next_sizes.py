"""What would have to change for the next size up or down: solved for one fact after another, all else as it stands."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import sqrt
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from turnwright.demand.motors import motor_row
from turnwright.intake import case_of, read_value
from turnwright.model.case import Case, CaseLoad, NeedsInput
from turnwright.model.job import Job, Load
from turnwright.model.keys import SIZE_KEYS, key_of
from turnwright.narrow.asking import load_words
from turnwright.narrow.outcome import Engine, Outcome
from turnwright.narrow.put import at, exact, in_written_unit, put_value
from turnwright.quantities import Quantity, figure, parse_quantity
from turnwright.regimes import Regime

MOST_LOADS = 6
"""Loads looked at by themselves, the largest first."""
FINE = 2e-4
"""How closely a change is found, of its own value; of a fiftieth of what is searched where that is more."""
ALL_LOADS = "load"
"""Key of a change of all loads together."""
_FARTHEST = 4.0
"""A load is searched from a quarter to four times of what it is."""
_MOST_FACTOR = 2.0
"""The largest demand factor a load may have."""
_SITE = (
    ("site.ambient_average", "the ambient, averaged over a day", (-20.0, 70.0)),
    ("site.altitude", "the altitude", (0.0, 6000.0)),
    ("choices.growth", "the growth allowed for", (0.0, 300.0)),
)
_LIMITS = (
    ("start_dip_limit", "the dip that {load} accepts"),
    ("regulation_limit", "the drop that {load} accepts"),
)


class SizeChange(Struct, frozen=True, kw_only=True):
    """A change of one fact that leads to another size.

    key  path of the fact; `load` for all loads together
    of   the fact in words
    now  as it stands
    at   the value from which the other size is picked, rounded towards it
    more whether it is that value or more, else that value or less
    kva  what is picked then, None where no transformer does it
    """

    key: str
    of: str
    now: str
    at: str
    more: bool
    kva: float | None


class NextSizes(Struct, frozen=True, kw_only=True):
    """What would lead to a larger and to a smaller pick, each fact by itself, the smallest change of loads first."""

    kva: float
    larger: tuple[SizeChange, ...]
    smaller: tuple[SizeChange, ...]

    def to_json(self) -> dict[str, Any]:
        """Return both lists as plain values."""
        return {
            "kva": self.kva,
            "larger": [_plain(one) for one in self.larger],
            "smaller": [_plain(one) for one in self.smaller],
        }


def _plain(one: SizeChange) -> dict[str, Any]:
    return {"key": one.key, "of": one.of, "now": one.now, "at": one.at, "more": one.more, "kva": one.kva}


class _Way(Struct, frozen=True, kw_only=True):
    """One fact that is moved: where it stands, between which ends, and the job with another value of it."""

    key: str
    of: str
    now: float
    low: float
    high: float
    put: Callable[[float], Job]
    shown: Callable[[float, str], str]


def next_sizes(job: Job, *, single_loads: bool = True) -> NextSizes | None:
    """Return what would have to change for the next size up or down; None where no transformer is picked.

    job          : the facts as given
    single_loads : also each of the largest loads by itself

    Example:
        >>> from turnwright.intake import read_job
        >>> job = read_job('supply.system = "480Y/277"\\n[[load]]\\nsystem = "208Y/120"\\nkva = "26 kVA"')
        >>> found = next_sizes(job)
        >>> found.kva, found.larger[0].at, found.larger[0].kva, found.smaller[0].at, found.smaller[0].kva
        (30.0, '115.4 %', 45.0, '57.68 %', 15.0)
    """
    from turnwright.narrow.select import regime_for

    regime = regime_for(job)
    case = case_of(job, regime.defaults)
    if isinstance(case, NeedsInput):
        return None
    engine = Engine(regime)
    now = engine.decided(job)
    if now.kva is None:
        return None
    engine.trust_screening(case, now)
    larger: list[SizeChange] = []
    smaller: list[SizeChange] = []
    for way in _ways(job, case, regime, MOST_LOADS if single_loads else 0):
        for end in (way.low, way.high):
            found = _change(way, end, now, engine)
            if found is not None:
                below = found.kva is not None and found.kva < now.kva
                (smaller if below else larger).append(found)
    return NextSizes(kva=now.kva, larger=tuple(larger), smaller=tuple(smaller))


def _change(way: _Way, end: float, now: Outcome, engine: Engine) -> SizeChange | None:
    """Return the change nearest to where a fact stands, towards one end of what is searched."""
    if end == way.now:
        return None
    found = _turn(way, end, now, engine)
    if found is None:
        return None
    first = found[1]
    heard = engine.decided(way.put(first))
    if engine.screening and heard.kva != engine.size(way.put(first)).kva:
        engine.screening = False  # a rule speaks here that screening does not hear
        found = _turn(way, end, now, engine)
        if found is None:
            return None
        heard = engine.decided(way.put(found[1]))
    more = end > way.now
    text = way.shown(found[1], "up" if more else "down")
    stands = way.shown(way.now, "nearest")
    return SizeChange(key=way.key, of=way.of, now=stands, at=text, more=more, kva=heard.kva)


def _turn(way: _Way, end: float, now: Outcome, engine: Engine) -> tuple[float, float] | None:
    """Return the values on both sides of the change, by halving; None where the end leads to the same size."""
    same, other = way.now, end
    if engine.size(way.put(other)).kva == now.kva:
        return None
    while abs(other - same) > FINE * max(abs(same), abs(end - way.now) / 50.0):
        middle = (same + other) / 2
        if engine.size(way.put(middle)).kva == now.kva:
            same = middle
        else:
            other = middle
    return same, other


def _ways(job: Job, case: Case, regime: Regime, most: int) -> Iterator[_Way]:
    farthest = min(
        (_MOST_FACTOR / one.demand_factor for one in case.loads if one.size_kind == "hp"), default=_FARTHEST
    )
    yield _Way(
        key=ALL_LOADS,
        of="all loads together",
        now=100.0,
        low=100.0 / _FARTHEST,
        high=100.0 * min(farthest, _FARTHEST),
        put=lambda share: _scaled(job, share / 100.0),
        shown=lambda share, way: f"{_figure(share, way, 4)} %",
    )
    if len(job.load) > 1:
        for index in _largest(job, case)[:most]:
            yield from _of_load(job, case, regime, index)
    for index in range(min(len(job.load), MOST_LOADS)):
        yield from _limits(job, index)
    for key, words, span in _SITE:
        stands = _stands(job, case, key)
        if stands is not None:
            yield _of_quantity(job, key, words, stands, span)


def _largest(job: Job, case: Case) -> list[int]:
    """Return the loads that draw most, the largest first."""
    by_index = {one.index: one for one in case.loads}
    drawn = {index: _drawn(by_index[index]) for index in range(len(job.load)) if index in by_index}
    return sorted(drawn, key=lambda index: -drawn[index])


def _drawn(load: CaseLoad) -> float:
    """Return about what a load draws, to put loads in order. [kVA]"""
    per_a = load.system.line_v * (sqrt(3) if load.system.phases == 3 else 1.0) / 1000.0
    return float(load.size * load.quantity * (per_a if load.size_kind == "current" else 1.0))


def _of_load(job: Job, case: Case, regime: Regime, index: int) -> Iterator[_Way]:
    name = next((one for one in SIZE_KEYS if isinstance(at(job, f"load[{index}].{one}"), Quantity)), None)
    given = at(job, f"load[{index}].{name}") if name else None
    if isinstance(given, Quantity) and given.high:
        key = f"load[{index}].{name}"
        span = (given.high / _FARTHEST, given.high * _FARTHEST)
        way = _of_quantity(job, key, load_words(job, index), (given, given.high), span)
        yield replace(way, shown=_in_steps(case, regime, index, way)) if name == "hp" else way


def _in_steps(case: Case, regime: Regime, index: int, way: _Way) -> Callable[[float, str], str]:
    """Motors come in steps: what is more than one is the next of the table."""
    load = next(one for one in case.loads if one.index == index)

    def shown(hp: float, rounding: str) -> str:
        row = motor_row(regime.demand.motor_columns, load.system.phases or 3, load.nameplate_v, hp)
        return way.shown(float(row.hp) if row is not None and rounding == "up" else hp, rounding)

    return shown


def _limits(job: Job, index: int) -> Iterator[_Way]:
    for name, words in _LIMITS:
        given = at(job, f"load[{index}].{name}")
        if isinstance(given, Quantity) and given.low:
            span = (given.low / _FARTHEST, min(given.low * _FARTHEST, 100.0))
            of = words.format(load=load_words(job, index))
            yield _of_quantity(job, f"load[{index}].{name}", of, (given, given.low), span)


def _stands(job: Job, case: Case, key: str) -> tuple[Quantity, float] | None:
    """Return a fact of the place or a wish as it stands, assumed or given."""
    table, _, name = key.partition(".")
    given = at(job, key)
    held = {"ambient_average": "ambient_average_c", "altitude": "altitude_m", "growth": "growth_pct"}[name]
    value = getattr(getattr(case, table), held, None)
    if value is None:
        return None
    if isinstance(given, Quantity) and given.low is not None:
        return given, float(value)
    known = key_of(key)
    assert known is not None
    return read_value(known, known.sample, key), float(value)


def _of_quantity(
    job: Job, key: str, of: str, stands: tuple[Quantity, float], span: tuple[float, float]
) -> _Way:
    given, now = stands
    unit = given.unit_written or given.text.lstrip("-0123456789.e+ ")

    def shown(value: float, way: str) -> str:
        return f"{_figure(in_written_unit(given, value), way, 3)} {unit}".strip()

    return _Way(
        key=key,
        of=of,
        now=now,
        low=min(span[0], now),
        high=max(span[1], now),
        put=lambda value: put_value(job, key, exact(given, value)),
        shown=shown,
    )


def _figure(value: float, way: str, digits: int) -> str:
    return figure(value, digits=digits, rounding=way)  # type: ignore[arg-type]


def _scaled(job: Job, factor: float) -> Job:
    """Return the job with every size of every load times a factor, of a range its upper end.

    Motors come in steps: of those stated in horsepower it is the share that runs.
    """
    return replace(job, load=tuple(_load_scaled(one, factor) for one in job.load))


def _load_scaled(load: Load, factor: float) -> Load:
    if isinstance(load.hp, Quantity):
        stands = (
            1.0 if load.demand_factor is None or load.demand_factor.high is None else load.demand_factor.high
        )
        share = min(stands * factor, _MOST_FACTOR)
        return replace(load, demand_factor=parse_quantity(share, "per unit", where="demand_factor"))
    names = (*SIZE_KEYS, "momentary")
    sizes = {name: getattr(load, name) for name in names}
    changed = {
        name: exact(size, size.high * factor)
        for name, size in sizes.items()
        if isinstance(size, Quantity) and size.high
    }
    return replace(load, **changed)
