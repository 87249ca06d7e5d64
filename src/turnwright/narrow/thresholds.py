"""At what load, growth, ambient does the pick change? Found by halving, each step a run of the engine."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from msgspec import Struct

from turnwright.errors import InputError
from turnwright.model.job import Job
from turnwright.model.key import Key
from turnwright.model.keys import key_of
from turnwright.narrow.outcome import Engine, Outcome
from turnwright.narrow.put import at, exact, in_written_unit, put_value, written
from turnwright.quantities import KINDS, Quantity, figure, parse_quantity

POINTS = 9
"""Values looked at first, evenly spaced; two changes between neighbours that undo each other are not seen."""
FINE = 1e-4
"""How closely a turn is found, of the span that is searched."""
MOST_TURNS = 12
_USUAL_SPAN = {
    "growth": (0.0, 100.0),
    "ambient_average": (20.0, 60.0),
    "ambient_peak": (30.0, 70.0),
    "altitude": (0.0, 4000.0),
    "power_factor": (0.5, 1.0),
    "efficiency": (0.5, 1.0),
    "demand_factor": (0.1, 1.0),
    "on": (1.0, 100.0),
}
"""What is searched where nobody says, in the unit used inside; of a size, half to twice what it is."""


class Turn(Struct, frozen=True, kw_only=True):
    """A value of one fact at which the outcome changes.

    last   the value nearest to the change that still gives `below`, in the unit used inside
    first  the value nearest to the change that gives `above`
    text   `last`, as a person would write it, rounded towards its own side
    """

    key: str
    last: float
    first: float
    text: str
    below: Outcome
    above: Outcome


def thresholds(
    job: Job, key: str, between: tuple[float, float] | None = None, *, engine: Engine | None = None
) -> tuple[Turn, ...]:
    """Return the values of a fact at which the pick, the verdict or a stop changes, ascending.

    job     : the facts as given
    key     : path of a quantity, `load[0].current`, `choices.growth`
    between : what to search, in the unit used inside for the kind; None: half to twice a size, the usual span else
    engine  : whose rules; that of the job where none is given
    Raises InputError NRW-01 for a fact that has no size, NRW-02 where there is nothing to search.

    Example:
        >>> from turnwright.intake import read_job
        >>> job = read_job('supply.system = "480Y/277"\\n[[load]]\\nsystem = "208Y/120"\\nkva = "26 kVA"')
        >>> [(turn.text, turn.below.kva, turn.above.kva) for turn in thresholds(job, "choices.growth", (0.0, 50.0))]
        [('15.3 %', 30.0, 45.0)]
    """
    if engine is None:
        from turnwright.narrow.select import regime_for

        engine = Engine(regime_for(job))
    given = _quantity_at(job, key)
    low, high = between if between is not None else _span(job, key)
    if not low < high:
        raise InputError(
            "NRW-02", key, f"there is nothing between {low:g} and {high:g}.", "Give the lower end first."
        )
    run = _runner(job, key, given, engine)
    points = [low + (high - low) * n / (POINTS - 1) for n in range(POINTS)]
    found = [run(point) for point in points]
    turns: list[Turn] = []
    for n in range(POINTS - 1):
        _halve(
            run, (points[n], found[n]), (points[n + 1], found[n + 1]), (high - low) * FINE, turns, key, given
        )
    return tuple(turns[:MOST_TURNS])


def turn_between(job: Job, key: str, low: float, high: float, fine: float, engine: Engine) -> Turn | None:
    """Return the first change of size between two values, found as closely as `fine`; None where there is none."""
    given = _quantity_at(job, key)

    def run(value: float) -> Outcome:
        return engine.size(put_value(job, key, exact(given, value)))

    turns: list[Turn] = []
    _halve(run, (low, run(low)), (high, run(high)), fine, turns, key, given)
    return turns[0] if turns else None


def _runner(job: Job, key: str, given: Quantity, engine: Engine) -> Callable[[float], Outcome]:
    return lambda value: engine.decided(put_value(job, key, exact(given, value)))


def _halve(
    run: Callable[[float], Outcome],
    low: tuple[float, Outcome],
    high: tuple[float, Outcome],
    fine: float,
    turns: list[Turn],
    key: str,
    given: Quantity,
) -> None:
    """Close in on every change between two values; several sizes may lie between them."""
    if low[1] == high[1] or len(turns) >= MOST_TURNS:
        return
    if high[0] - low[0] <= fine:
        text = _rounded(given, low[0])
        turns.append(Turn(key=key, last=low[0], first=high[0], text=text, below=low[1], above=high[1]))
        return
    middle = (low[0] + high[0]) / 2
    between = (middle, run(middle))
    _halve(run, low, between, fine, turns, key, given)
    _halve(run, between, high, fine, turns, key, given)


def _rounded(given: Quantity, value: float) -> str:
    """Return a size with three figures, rounded down, in the unit the given one was written in."""
    unit = written(given, value).lstrip("-0123456789.e+").strip()
    text = figure(in_written_unit(given, value), digits=3, rounding="down")
    return f"{text} {unit}".strip()


def _quantity_at(job: Job, key: str) -> Quantity:
    """Return the quantity a job holds at a key, or one of its kind to write others by."""
    held = at(job, key)
    if isinstance(held, Quantity) and held.low is not None:
        return held
    known = key_of(key)
    kind = (
        "number" if known is not None and known.kind == "count" else known.kind if known is not None else ""
    )
    if kind not in KINDS:
        raise InputError(
            "NRW-01", key, "this fact has no size to search over.", "Name a quantity, load[0].current."
        )
    return _sample(known, kind)


def _sample(key: Key | None, kind: Any) -> Quantity:
    assert key is not None
    return parse_quantity(key.sample, kind, where=key.name, bare_unit=key.bare or None)


def _span(job: Job, key: str) -> tuple[float, float]:
    usual = _USUAL_SPAN.get(key.rpartition(".")[2])
    if usual is not None:
        return usual
    held = at(job, key)
    if not isinstance(held, Quantity) or held.low is None or held.high is None or held.high <= 0:
        raise InputError(
            "NRW-02",
            key,
            "nothing says where to search.",
            "Give the two ends, in the unit of the key's sample.",
        )
    return held.low / 2, held.high * 2
