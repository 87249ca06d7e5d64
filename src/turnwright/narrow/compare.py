"""What changed between two jobs, and what each change moves: one at a time, and all together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from turnwright.model.as_json import BLOCKS, plain, result_to_json
from turnwright.model.job import Job
from turnwright.model.result import Result
from turnwright.narrow.put import at, put, put_value
from turnwright.narrow.select import select
from turnwright.regimes import DEFAULT

TABLES = ("supply", "site", "circuit", "choices")
WHOLE_JOB = ("regime", "edition")
UNTOLD = ("note", "title", "schema", "origin", "lines")


class FactChange(Struct, frozen=True):
    """A fact that differs: its key path and the two values as people read them; None where a job does not have it."""

    key: str
    from_: str | None
    to: str | None


class Move(Struct, frozen=True):
    """What one changed fact moves by itself: path of the result -> (before, after); findings gone and new."""

    fact: str
    result: dict[str, tuple[Any, Any]]
    gone: tuple[str, ...]
    new: tuple[str, ...]


class Comparison(Struct, frozen=True):
    """Two jobs side by side."""

    facts: tuple[FactChange, ...]
    moves: tuple[Move, ...]
    together: Move
    before: Result
    after: Result


def compare(before: Job, after: Job) -> Comparison:
    """Return which facts changed from one job to another, and what each moved alone and all together.

    Raises InputError for jobs that cannot be used.

    Example:
        >>> from turnwright.intake import read_job
        >>> job = 'supply.system = "480Y/277"\\n[[load]]\\nsystem = "208Y/120"\\nkva = "40 kVA"\\n'
        >>> found = compare(read_job(job), read_job(job + '[choices]\\ngrowth = "20 %"'))
        >>> found.facts[0].key, found.together.result["pick.kva"]
        ('choices.growth', (45.0, 75.0))
    """
    first = select(before, ledger_open=False, ask=False)
    last = select(after, ledger_open=False, ask=False)
    changed = tuple(_changed(before, after))
    moves = []
    for key in changed:
        if key == "edition" and "regime" in changed:
            continue  # an edition of one regime means nothing in another: it goes along with that
        alone = select(_taken(before, after, key), ledger_open=False, ask=False)
        moves.append(_move(key, first, alone))
    return Comparison(
        facts=tuple(FactChange(key, _words(at(before, key)), _words(at(after, key))) for key in changed),
        moves=tuple(moves),
        together=_move("all together", first, last),
        before=first,
        after=last,
    )


def under(
    job: Job, *, regime: str | None = None, edition: str | None = None, manufactured: str | None = None
) -> Job:
    """Return the same job under another regime or edition, or with a unit made at another date."""
    asked = {"regime": regime, "edition": edition}
    changes: dict[str, str | None] = {name: value for name, value in asked.items() if value is not None}
    if "regime" in changes and edition is None:
        changes["edition"] = None  # an edition of one regime means nothing in another
    if manufactured is not None:
        job = put(job, "choices.manufactured", manufactured)
    return replace(job, **changes)


def under_all(job: Job, regimes: Sequence[str]) -> tuple[Result, ...]:
    """Return the answers to one job under several sets of rules, in their order, each in its newest edition.

    The rules that the job names itself are taken in the edition it names.

    Raises:
        InputError: REG-01, rules that are not carried.

    Example:
        >>> from turnwright.intake import read_job
        >>> job = read_job('supply.system = "480Y/277"\\n[[load]]\\nsystem = "208Y/120"\\nkva = "40 kVA"\\n')
        >>> [result.pick.kva for result in under_all(job, ("us", "iec"))]
        [45.0, 40.0]
    """
    own = str(job.regime or DEFAULT)
    return tuple(
        select(job if name == own else under(job, regime=name), ledger_open=False, ask=False)
        for name in regimes
    )


def _changed(before: Job, after: Job) -> Iterator[str]:
    """Key paths that differ, in the order of the job file. Loads and offers are matched by their place in the list."""
    for name in WHOLE_JOB:
        if getattr(before, name) != getattr(after, name):
            yield name
    for table in ("supply",):
        yield from _changed_in(table, before, after)
    yield from _changed_of("load", before, after)
    for table in TABLES[1:]:
        yield from _changed_in(table, before, after)
    yield from _changed_of("offer", before, after)


def _changed_of(table: str, before: Job, after: Job) -> Iterator[str]:
    old, new = len(getattr(before, table)), len(getattr(after, table))
    for index in range(max(old, new)):
        if index >= min(old, new):
            yield f"{table}[{index}]"
        else:
            yield from _changed_in(f"{table}[{index}]", before, after)


def _changed_in(path: str, before: Job, after: Job) -> Iterator[str]:
    old, new = at(before, path), at(after, path)
    for name in old.__struct_fields__:
        if name not in UNTOLD and getattr(old, name) != getattr(new, name):
            yield f"{path}.{name}"


def _taken(before: Job, after: Job, key: str) -> Job:
    """The first job with one fact of the other. A size brings the other sizes of its load along: there is one size."""
    if key == "regime":
        return replace(before, regime=after.regime, edition=after.edition)
    if key in WHOLE_JOB:
        return replace(before, **{key: getattr(after, key)})
    table, _, index = key.partition("[")
    if key.endswith("]"):
        return replace(
            before, **{table: _items(getattr(before, table), getattr(after, table), int(index[:-1]))}
        )
    value = at(after, key)
    if value is None and _is_only_size(before, key):
        return before
    return put_value(before, key, value)


def _items(before: tuple[Any, ...], after: tuple[Any, ...], index: int) -> tuple[Any, ...]:
    if index < len(after):
        return (*before, after[index])
    return before[:index] + before[index + 1 :]


def _is_only_size(job: Job, key: str) -> bool:
    from turnwright.model.keys import SIZE_KEYS

    return key.startswith("load[") and key.rpartition(".")[2] in SIZE_KEYS and at(job, key) is not None


def moved(fact: str, first: dict[str, Any], last: dict[str, Any]) -> Move:
    """Return what differs between two answers, given as their JSON."""
    old, new = _numbers(first), _numbers(last)
    codes = [dict.fromkeys(finding["code"] for finding in whole["findings"]) for whole in (first, last)]
    return Move(
        fact=fact,
        result={
            path: (old.get(path), new.get(path)) for path in {**old, **new} if old.get(path) != new.get(path)
        },
        gone=tuple(code for code in codes[0] if code not in codes[1]),
        new=tuple(code for code in codes[1] if code not in codes[0]),
    )


def _move(fact: str, first: Result, last: Result) -> Move:
    return moved(fact, result_to_json(first), result_to_json(last))


def _numbers(whole: dict[str, Any]) -> dict[str, Any]:
    """The answer as path -> value, without its words."""
    flat: dict[str, Any] = {"verdict": whole["verdict"]}
    for name in ("pick", *BLOCKS):
        _flatten(name, whole[name], flat)
    return flat


def _flatten(path: str, node: Any, into: dict[str, Any]) -> None:
    if isinstance(node, dict):
        for key, inner in node.items():
            _flatten(f"{path}.{key}", inner, into)
    elif isinstance(node, float):
        into[path] = float(f"{node:.9g}")  # the last digits of a float are no change
    else:
        into[path] = node


def _words(value: Any) -> str | None:
    if value is None or value == ():
        return None
    if isinstance(value, tuple):
        return ", ".join(str(_words(item)) for item in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    text = getattr(value, "text", None)
    if text is not None:
        return str(text)
    return str(plain(value)) if isinstance(value, Struct) else str(getattr(value, "value", value))
