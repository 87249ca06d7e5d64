"""The working on paper: every computed step in order, the table cells read, the tables they stand in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from turnwright.documents.parts.origins import UNSURE
from turnwright.documents.report import Cell, Column, Table, WorkingList, WorkingStep, cells, table
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import short_digest
from turnwright.documents.words.substitution import substitution
from turnwright.model.result import Result, WorkingLine
from turnwright.reference import describe, table_names

LISTED_WHOLE = 8
"""A longer list of values, as a column of a table, is shown by its ends."""


def working_list(result: Result) -> WorkingList | None:
    """Return every step that was computed or picked, numbered in the order it was taken."""
    steps = [line for line in result.working if _is_step(line)]
    numbers = {line.name: number for number, line in enumerate(steps, start=1)}
    rows = tuple(_step(line, numbers) for line in steps)
    return WorkingList(rows) if rows else None


def _is_step(line: WorkingLine) -> bool:
    """Tell a step from a fact or a table cell, which has neither formula nor inputs."""
    return bool(line.formula or line.with_)


def _step(line: WorkingLine, numbers: Mapping[str, int]) -> WorkingStep:
    return WorkingStep(
        number=numbers[line.name],
        name=line.name,
        value=measured(line.value, line.unit),
        formula=line.formula,
        numbers=_numbers(line, numbers),
        source=line.source,
        known="" if line.known == "computed" else line.known,
    )


def _numbers(line: WorkingLine, numbers: Mapping[str, int]) -> str:
    """Return the inputs, each with the step, fact or cell it came from; before them the formula with numbers."""
    with_numbers = substitution(line.formula, line.with_)
    inputs = ", ".join(
        f"{name} {short(value)}{_from(line, name, numbers)}" for name, value in line.with_.items()
    )
    return "; ".join(text for text in (f"= {with_numbers}" if with_numbers else "", inputs) if text)


def _from(line: WorkingLine, name: str, numbers: Mapping[str, int]) -> str:
    origin = line.from_.get(name)
    if origin is None:
        return ""
    return f" [{numbers[origin]}]" if origin in numbers else f" [{origin}]"


def short(value: Any) -> str:
    """Return a value; of a long list its first values and its last.

    Example:
        >>> short(0.85), short([10.0, 15.0, 20.0]), short([float(a) for a in range(10, 60)])
        ('0.85', '10, 15, 20', '10, 11, 12, … 59 (50 values)')
    """
    if isinstance(value, list | tuple) and len(value) > LISTED_WHOLE:
        first, last = phrases.shown(value[:3]), phrases.shown(value[-1])
        return f"{first}, … {last} ({len(value)} values)"
    return phrases.shown(value)


def measured(value: Any, unit: str) -> str:
    """Return a value with its unit."""
    text = phrases.shown(value)
    return f"{text} {unit}" if unit and value is not None else text


def cells_table(result: Result) -> Table | None:
    """Return the table cells and other values that steps start from, each with source and how known."""
    facts = {fact["key"] for fact in result.job.get("facts") or ()}
    rows = tuple(
        cells(line.name, Cell(measured(line.value, line.unit), UNSURE.get(line.known, "")), line.source)
        for line in result.working
        if not _is_step(line) and line.name not in facts
    )
    columns = (Column("cell or value", share=38), Column("value", share=26), Column("source", share=36))
    return table("Values that were looked up", columns, rows)


def tables_table(result: Result) -> Table | None:
    """Return the reference tables that were read, with their documents and what was read in them."""
    carried = set(table_names())
    read: dict[str, list[WorkingLine]] = {}
    for line in result.working:
        name, bracket, _ = line.name.partition("[")
        if bracket and name in carried:
            read.setdefault(name, []).append(line)
    rows = tuple(_table_row(name, lines) for name, lines in sorted(read.items()))
    columns = (
        Column("table", share=40),
        Column("as cited", share=38),
        Column("cells read", "right", share=8),
        Column("how known", share=14),
    )
    return table(f"Reference tables that were read, digest {short_digest(result.tool.tables)}", columns, rows)


def _table_row(name: str, lines: list[WorkingLine]) -> tuple[Cell, ...]:
    cells_read = [line for line in lines if line.source]  # what is computed from a cell names no source
    sources = dict.fromkeys(line.source for line in cells_read)
    known = dict.fromkeys(line.known for line in cells_read)
    return cells(
        f"{describe(name).title} ({name})", "; ".join(sources), str(len(cells_read)), ", ".join(known)
    )
