"""A job with one fact changed: the only move behind ranges, questions and thresholds."""

from __future__ import annotations

import re
from typing import Any

from msgspec.structs import replace

from turnwright.errors import UnknownKey
from turnwright.intake import read_value
from turnwright.model.job import Choices, Circuit, Duty, Job, Load, Room, Site, Supply
from turnwright.model.keys import SIZE_KEYS, key_of
from turnwright.quantities import Quantity, convert, format_quantity, unit_of

_PART = re.compile(r"([a-z_]+)(?:\[(\d+)\])?")
_TABLES = {
    "supply": Supply(),
    "site": Site(),
    "room": Room(),
    "circuit": Circuit(),
    "choices": Choices(),
    "duty": Duty(),
    "load": Load(),
}


def at(job: Job, path: str) -> Any:
    """Return what a job holds at a key path; None where it has no such fact.

    Example:
        >>> from turnwright.intake import read_job
        >>> at(read_job('supply.system = "480"\\n[[load]]\\nkva = 22'), "load[0].kva").low
        22.0
    """
    node: Any = job
    for name, index in _PART.findall(path):
        node = getattr(node, name, None)
        if index:
            node = node[int(index)] if node is not None and int(index) < len(node) else None
        if node is None:
            return None
    return node


def put(job: Job, path: str, given: object) -> Job:
    """Return the job with a fact as a person would write it.

    job   : any job
    path  : key path, `load[0].current`
    given : text, number, yes/no, as the job file takes it
    Raises InputError when the value cannot be used there, UnknownKey for a path that is no key.

    Example:
        >>> from turnwright.intake import read_job
        >>> job = read_job('supply.system = "480"\\n[[load]]\\nkva = 22')
        >>> put(job, "choices.growth", "15 %").choices.growth.low
        15.0
    """
    key = key_of(path)
    if key is None:
        raise UnknownKey("JOB-01", path, "there is no such key.", "Name a key of the job file.")
    return put_value(job, path, read_value(key, given, path))


def put_value(job: Job, path: str, value: Any) -> Job:
    """Return the job with a fact as its record holds it; a size takes the place of the other sizes of a load."""
    parts = [(name, int(index) if index else None) for name, index in _PART.findall(path)]
    changed = _put(job, parts, value)
    assert isinstance(changed, Job)
    return changed


def _put(node: Any, parts: list[tuple[str, int | None]], value: Any) -> Any:
    (name, index), rest = parts[0], parts[1:]
    inner = getattr(node, name)
    if index is not None:
        items = list(inner)
        items[index] = _put(items[index], rest, value) if rest else value
        return replace(node, **{name: tuple(items)})
    if rest:
        return replace(node, **{name: _put(_TABLES[name] if inner is None else inner, rest, value)})
    others = {}
    if isinstance(node, Load) and name in SIZE_KEYS:
        others = dict.fromkeys(SIZE_KEYS)
    return replace(node, **{**others, name: value})


def exact(given: Quantity, value: float) -> Quantity:
    """Return a quantity of exactly this size, in the unit the given one was written in.

    given : a half-known quantity
    value : in the unit used inside

    Example:
        >>> from turnwright.quantities import parse_quantity
        >>> exact(parse_quantity("110..140 A", "current", where=""), 110.0).text
        '110 A'
    """
    return Quantity(written(given, value), given.kind, "exact", value, value, given.unit_written)


def written(given: Quantity, value: float, digits: int | None = 6) -> str:
    """Return a size as text in the unit a quantity was written in."""
    unit = given.unit_written or None
    if unit is not None and unit_of(unit, given.kind) is None:
        unit = None
    return format_quantity(value, given.kind, digits=digits, unit=unit)


def in_written_unit(given: Quantity, value: float) -> float:
    """Return a size of the unit used inside in the unit a quantity was written in. [any]"""
    unit = given.unit_written
    if not unit or unit_of(unit, given.kind) is None:
        return value
    return convert(value, given.kind, to=unit)
