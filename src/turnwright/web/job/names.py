"""Names of steps and inputs in plain words: a page shows no code names."""

from __future__ import annotations

import re
from typing import Any

from turnwright.documents.parts.working import short
from turnwright.documents.words.phrases import key_words
from turnwright.model.keys import key_of
from turnwright.reference import describe, table_names

UNITS = {
    "a": "A", "kva": "kVA", "kw": "kW", "hp": "hp", "v": "V", "w": "W", "hz": "Hz", "k": "K", "c": "°C", "deg": "°",
    "pct": "%", "ohm": "Ω", "m": "m", "ft": "ft", "s": "s", "h": "h", "db": "dB", "kg": "kg", "va": "VA",
}  # fmt: skip
"""Last part of a name -> the unit of the number behind it."""
_CELL = re.compile(r"([a-z0-9_]+)\[(.+)\]\.([a-z0-9_]+)( as .+)?")
_PLAIN_COLUMN = "value"
"""Name of the column of a table whose rows are single numbers: the row says what it is."""
_INSTEAD = re.compile(r"^((?:instead|also)\[\d+\]\.)+")
_PARTS = re.compile(r"\.(?![^\[]*\])")


def cell_of(name: str) -> tuple[str, str, str] | None:
    """Return table, row and column of a step that is a cell of a reference table; None for any other.

    Example:
        >>> cell_of("nec_450_3b[P1].max_pct"), cell_of("load[0].kva")
        (('nec_450_3b', 'P1', 'max_pct'), None)
    """
    found = _CELL.fullmatch(name)
    return (found[1], found[2], found[3]) if found and found[1] in table_names() else None


def step_words(name: str) -> str:
    """Return the name of a step in plain words.

    Example:
        >>> step_words("currents.primary_rated_a"), step_words("demand.at[ABC, in line].code_kva")
        ('currents: primary rated', 'demand: at ABC, in line, code')
        >>> step_words("nec_250_122[200].cu"), step_words("load[0].current")
        ('copper equipment grounding conductor (200)', 'load 1 current')
    """
    cell = cell_of(name)
    if cell is not None:
        return _cell_words(*cell)
    if key_of(name) is not None:
        return key_words(name).replace(" kva", " kVA")
    plain = _INSTEAD.sub("", name)
    head, *rest = (_part_words(part) for part in _PARTS.split(plain))
    return ": ".join([head, ", ".join(rest)]) if rest else head


def _cell_words(table: str, row: str, column: str) -> str:
    about = next((each for each in describe(table).columns if each.name == column), None)
    if column == _PLAIN_COLUMN:
        return _without_unit(row)
    said = about.description.partition(";")[0] if about and about.description else column.replace("_", " ")
    return f"{said} ({row})"


def _part_words(part: str) -> str:
    words, bracket, inside = part.partition("[")
    counted = words == "load" and inside.rstrip("]").isdigit()
    inner = f" {int(inside.rstrip(']')) + 1}" if counted else f" {inside.rstrip(']')}" if bracket else ""
    return f"{_without_unit(words)}{inner}"


def _without_unit(name: str) -> str:
    words = name.split("_")
    if len(words) > 1 and words[-1] in UNITS:
        words.pop()
    return " ".join("kVA" if word == "kva" else word for word in words)


def input_words(name: str, value: Any) -> tuple[str, str]:
    """Return an input in words: its name, and its value with the unit its name ends in.

    Example:
        >>> input_words("rated_a", 90.211), input_words("kva", 75.0), input_words("ratings_a", [15.0, 20.0])
        (('rated', '90.211 A'), ('kVA', '75'), ('ratings', '15, 20 A'))
    """
    last = name.rpartition("_")[2]
    unit = UNITS.get(last, "") if "_" in name else ""
    number = isinstance(value, list | tuple | float | int) and not isinstance(value, bool)
    shown = short(value)
    return _without_unit(name), f"{shown} {unit}" if unit and number else shown
