"""The job as it was understood: what was given and where, what was assumed and why."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, cast

from turnwright.documents.brief import Brief
from turnwright.documents.report import Cell, Column, Table, cells, table
from turnwright.documents.words import phrases
from turnwright.errors import InputError
from turnwright.model.keys import key_of
from turnwright.quantities import KindName, format_quantity, parse_quantity
from turnwright.regimes.traits import Measure

_IN_METRIC = {"ft": "m", "in": "mm", "lb": "kg", "degF": "degC"}
"""Unit a fact was written in -> unit that is shown beside it on a metric paper; on others the other way."""
_IN_FEET = {metric: feet for feet, metric in _IN_METRIC.items()}
_LOAD = re.compile(r"load\[(\d+)\]\.(.+)")
_CONVERTED = ("length", "mass", "temperature")


def given_table(brief: Brief) -> Table | None:
    """Return what was given of everything but the loads, each with its line of the job file."""
    facts = [
        fact for fact in _facts(brief) if fact["known"] != "assumed" and not fact["key"].startswith("load")
    ]
    rows = tuple(
        cells(
            phrases.key_words(fact["key"]),
            in_measure(fact["key"], fact["value"], brief.measure),
            _where(fact, brief.origin),
        )
        for fact in facts
    )
    columns = (Column("fact", share=32), Column("value", share=38), Column(f"in {brief.origin}", share=30))
    return table("What was given", columns, rows)


def assumed_table(brief: Brief) -> Table | None:
    """Return what nobody gave, with the value that stands in and the reason; equal ones of loads in one row."""
    groups: dict[tuple[str, str, str], list[str]] = {}
    for fact in _facts(brief):
        if fact["known"] == "assumed":
            of_load = _LOAD.fullmatch(fact["key"])
            rest = of_load[2] if of_load else fact["key"]
            value = in_measure(fact["key"], fact["value"], brief.measure)
            found = groups.setdefault((rest, value, fact["reason"]), [])
            found.append(of_load[1] if of_load else "")
    rows = tuple(
        cells(_of_loads(loads, rest), Cell(value, "assumed"), reason)
        for (rest, value, reason), loads in groups.items()
    )
    columns = (Column("fact", share=30), Column("stands in", share=35), Column("because", share=35))
    return table("What nobody gave, and what stands in for it", columns, rows)


def _of_loads(loads: list[str], rest: str) -> str:
    """Return the name of a fact, of one load or of several, which people count from 1.

    Example:
        >>> _of_loads(["0", "1", "2", "4"], "power_factor"), _of_loads([""], "site.place")
        ('loads 1–3, 5 power factor', 'place')
    """
    if loads == [""]:
        return phrases.key_words(rest)
    numbers = [int(load) + 1 for load in loads]
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    said = ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}–{run[-1]}" for run in runs)
    words = rest.replace("_", " ").replace(".", " ")
    return f"{'load' if len(numbers) == 1 else 'loads'} {said} {words}"


def _facts(brief: Brief) -> list[Mapping[str, Any]]:
    return list(brief.result.job.get("facts") or ())


def _where(fact: Mapping[str, Any], origin: str) -> str:
    where = str(fact["where"]).removeprefix(f"{origin}, ")
    worked_out = "worked out" if fact["known"] == "computed" else ""
    return ", ".join(text for text in (where, worked_out, fact["reason"]) if text)


def in_measure(key: str, value: str, measure: Measure) -> str:
    """Return a fact as it was written, with the measure of the paper beside it where that differs.

    Example:
        >>> in_measure("circuit.primary_length", "60 ft", "metric")
        '60 ft (18.3 m)'
        >>> in_measure("circuit.primary_length", "60 ft", "us"), in_measure("site.place", "roof", "us")
        ('60 ft', 'roof')
    """
    known = key_of(key)
    if known is None or known.kind not in _CONVERTED:
        return value
    kind = cast(KindName, known.kind)
    try:
        size = parse_quantity(value, kind, where=key, bare_unit=known.bare)
    except InputError:  # words that stand in, as "not counted"
        return value
    if size.value is None:
        return value
    written = value.replace("degC", "°C").replace("degF", "°F")
    units = _IN_METRIC if measure == "metric" else _IN_FEET
    other = units.get(size.unit_written)
    return f"{written} ({format_quantity(size.value, kind, unit=other)})" if other else written
