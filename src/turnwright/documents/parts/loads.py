"""The load list as it was understood."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from turnwright.documents.report import Cell, Column, Table, table
from turnwright.documents.words import phrases
from turnwright.model.keys import SIZE_KEYS
from turnwright.model.result import Result

_KEY = re.compile(r"load\[(\d+)\]\.(.+)")
_OWN_COLUMNS = ("name", "system", *SIZE_KEYS, "quantity", "power_factor", "continuous")
Facts = Mapping[str, Mapping[str, Any]]


def facts_by_load(result: Result) -> dict[int, dict[str, Mapping[str, Any]]]:
    """Return the facts of each load by the rest of their key."""
    found: dict[int, dict[str, Mapping[str, Any]]] = {}
    for fact in result.job.get("facts") or ():
        match = _KEY.fullmatch(fact["key"])
        if match:
            found.setdefault(int(match[1]), {})[match[2]] = fact
    return found


def label_of(index: int, facts: Facts) -> str:
    """Return a load as people read it: load 1, mixer."""
    name = facts.get("name")
    return phrases.load_label(index, str(name["value"]) if name else None)


def size_of(facts: Facts) -> Cell:
    """Return the size of one piece, as it was given."""
    key = next((key for key in SIZE_KEYS if key in facts), None)
    return Cell() if key is None else cell_of(facts, key)


def cell_of(facts: Facts, key: str) -> Cell:
    """Return the value of a fact, marked where nobody gave it; empty where there is none."""
    fact = facts.get(key)
    if fact is None:
        return Cell()
    return Cell(str(fact["value"]), "assumed" if fact["known"] == "assumed" else "")


def power_factor_of(facts: Facts) -> Cell:
    """Return the power factor of a load; one that is not known adds in line with the others."""
    found = cell_of(facts, "power_factor")
    if found.mark and not found.text[:1].isdigit():
        return Cell("not known", "added in line")
    return found


def loads_table(result: Result) -> Table | None:
    """Return the load list: one row for each kind of piece."""
    rows = tuple(_row(index, facts) for index, facts in sorted(facts_by_load(result).items()))
    columns = (
        Column("load", share=22),
        Column("asks for", share=11),
        Column("size of one", share=11),
        Column("pieces", "right", share=8),
        Column("power factor", share=20),
        Column("continuous", share=11),
        Column("also", share=19),
    )
    return table("Load list", columns, rows)


def _row(index: int, facts: Facts) -> tuple[Cell, ...]:
    others = [
        f"{key.replace('_', ' ').replace('.', ' ')} {fact['value']}"
        for key, fact in facts.items()
        if key not in _OWN_COLUMNS
    ]
    return (
        Cell(label_of(index, facts)),
        cell_of(facts, "system"),
        size_of(facts),
        cell_of(facts, "quantity") if "quantity" in facts else Cell("1"),
        power_factor_of(facts),
        cell_of(facts, "continuous"),
        Cell("; ".join(others)),
    )
