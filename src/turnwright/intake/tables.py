"""The tables of a file read into their records, driven by the list of keys.

``JOB-01``  a key or table that does not exist, or not here.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from msgspec import Struct

from turnwright.errors import InputError, UnknownKey, nearest
from turnwright.intake.kinds import read_value
from turnwright.intake.places import Places
from turnwright.intake.refusals import wrong_type
from turnwright.intake.toml_lines import join
from turnwright.model.key import Key
from turnwright.quantities.spelling import quoted


class Layout(Struct, frozen=True):
    """The tables of one kind of file.

    title    how the file is called
    keys     name of a table ("", "load", "load.duty") -> its keys by name
    records  name of a table -> the record it becomes
    several  tables of which a file may hold several
    """

    title: str
    keys: Mapping[str, Mapping[str, Key]]
    records: Mapping[str, type[Struct]]
    several: frozenset[str]


def layout(
    title: str,
    tables: Mapping[str, tuple[Key, ...]],
    records: Mapping[str, type[Struct]],
    several: tuple[str, ...],
) -> Layout:
    """Return the tables of a kind of file, ready to look up."""
    keys = {name: {key.name: key for key in listed} for name, listed in tables.items()}
    return Layout(title, keys, records, frozenset(several))


def read_table(
    of: Layout, table: str, data: Mapping[Any, object], path: str, places: Places
) -> dict[str, Any]:
    """Return the values of one table by key, tables inside it as their records; None: no such key.

    Raises:
        InputError: the first value that cannot be used.
    """
    keys = of.keys[table]
    values: dict[str, Any] = {}
    for name, given in data.items():
        if given is None:
            continue
        if not isinstance(name, str):
            raise InputError("JOB-02", places.at(path), "a key here is no text.", "Names of keys are texts.")
        inner = f"{table}.{name}" if table else name
        at = join(path, name)
        if inner in of.records:
            values[name] = _inner(of, inner, given, at, places)
        elif name in keys:
            values[name] = read_value(keys[name], given, places.at(at))
        else:
            raise _unknown(of, table, name, places.at(at))
    return values


def read_record(of: Layout, table: str, given: object, path: str, places: Places) -> Any:
    """Return one table as its record."""
    if not isinstance(given, Mapping):
        outer, _, name = table.rpartition(".")
        key = of.keys.get(outer, {}).get(name)
        fix = f"Write {_called(of, table)} on a line of its own, its keys below it."
        if key is not None:
            fix = f"Write {key.name} = {key.sample}."
        raise wrong_type(given, places.at(path), "a table", fix)
    return of.records[table](**read_table(of, table, given, path, places))


def _inner(of: Layout, table: str, given: object, path: str, places: Places) -> Any:
    if table not in of.several:
        if isinstance(given, list | tuple) and given and "." not in table:
            what = f"[[{table}]] stands where there is only one {table}."
            raise InputError("JOB-02", places.at(path), what, f"Write [{table}], once.")
        return read_record(of, table, given, path, places)
    if isinstance(given, Mapping):
        what = f"[{table}] stands where each {table} has a table of its own."
        raise InputError(
            "JOB-02", places.at(path), what, f"Write [[{table}]], with two brackets, before each."
        )
    if not isinstance(given, list | tuple):
        fix = f"Write [[{table}]] on a line of its own before each, its keys below it."
        raise wrong_type(given, places.at(path), "a list of tables", fix)
    return tuple(
        read_record(of, table, each, f"{path}[{number}]", places) for number, each in enumerate(given)
    )


def _called(of: Layout, table: str) -> str:
    """Return how a table is written."""
    if not table:
        return of.title
    if table in of.several:
        return f"[[{table}]]"
    return table.rpartition(".")[2] if "." in table else f"[{table}]"


def _unknown(of: Layout, table: str, name: str, where: str) -> UnknownKey:
    known = [*of.keys[table], *(each for each in of.records if each and "." not in each and not table)]
    noun = "key" if table else "key or table"
    what = f"{quoted(name)} is not a {noun} of {_called(of, table)}."
    homes = [_called(of, each) for each, keys in of.keys.items() if name in keys]
    near = nearest(name, known)
    if 1 <= len(homes) <= 2:
        hint = f"It belongs to {' or '.join(homes)}. "
    else:
        hint = f'Did you mean "{near}"? ' if near else ""
    return UnknownKey("JOB-01", where, what, f"{hint}Known here: {', '.join(known)}.")
