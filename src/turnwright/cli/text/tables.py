"""The pages of `tables`: the list of what is carried, and one table with all its rows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from turnwright.cli.text.layout import PLAIN, SIDES_AT, WIDTH, Ink, columns_of, entry, pad, paragraph, spread
from turnwright.documents.words.figures import clean, short_digest
from turnwright.quantities import figure

Table = Mapping[str, Any]
"""A table as `table_rows` gives it."""
BLOCK_AT = 34
"""Column at which the value of a row starts where rows stand one below the other."""
_ABOUT = ("source", "known", "seen_at")


def list_page(tables: Sequence[Table], digest: str) -> str:
    """Return the list of tables: name, title, document with editions, how its least sure value is known."""
    lines = [*spread("Reference tables", f"tables {short_digest(digest)}"), ""]
    for table in tables:
        lines += entry(table["name"], table["title"], at=SIDES_AT + 4)
        source = f"{table['document']} {' '.join(table['editions'])}".strip()
        lines += entry("", source, table["known"], at=SIDES_AT + 4)
    return "\n".join([*lines, "", "  All rows of one: turnwright tables NAME"]) + "\n"


def cell(value: Any) -> str:
    """Return what stands in a cell, with every digit.

    Example:
        >>> cell(0.0451), cell(230.0), cell(None), cell(False), cell("4/0 AWG")
        ('0.0451', '230', '', 'no', '4/0 AWG')
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return figure(value, digits=None) if isinstance(value, float) else clean(value)


def table_page(table: Table, ink: Ink = PLAIN) -> str:
    """Return one table: what it is, what its columns mean, its rows, where they were read."""
    edition = table["edition"]
    lines = spread(table["title"], f"{table['document']} {edition}" if edition else table["document"])
    lines = [ink.strong(lines[0]), *lines[1:], *paragraph(table["summary"]), ""]
    for column in table["columns"]:
        unit = column["unit"] or ""
        measure = f" [{unit}]" if unit and not unit.startswith("@") else ""
        lines += entry(f"{column['name']}{measure}", column["description"], at=BLOCK_AT)
    lines += ["", *_rows(table), ""]
    for number, (source, known, seen_at) in enumerate(_sources(table), start=1):
        lines += entry(f"({number})", f"{source}: {known}; {seen_at}", at=7)
    others = [one for one in table["editions"] if one != edition]
    lines += entry("", f"Other editions: {', '.join(others)} (--edition).", at=2) if others else []
    return "\n".join(lines) + "\n"


def _sources(table: Table) -> list[tuple[str, ...]]:
    return list(dict.fromkeys(tuple(row[key] for key in _ABOUT) for row in table["rows"]))


def _rows(table: Table) -> list[str]:
    """Return the rows side by side, or one below the other where a line is too short for them."""
    sources = _sources(table)
    names = [column["name"] for column in table["columns"]]
    rows = [
        [*(cell(row[name]) for name in names), f"({sources.index(tuple(row[key] for key in _ABOUT)) + 1})"]
        for row in table["rows"]
    ]
    heads = [*names, ""]
    widths = [max(columns_of(text) for text in column) for column in zip(heads, *rows, strict=True)]
    if 2 + sum(widths) + 2 * (len(widths) - 1) <= WIDTH:
        return ["  " + _grid_row(texts, widths, table) for texts in (heads, *rows)]
    return [line for texts in rows for line in _block(heads, texts)]


def _grid_row(texts: Sequence[str], widths: Sequence[int], table: Table) -> str:
    first = table["rows"][0]
    numeric = [isinstance(first[column["name"]], float) for column in table["columns"]]
    cells = [
        " " * (width - columns_of(text)) + text if right else pad(text, width)
        for text, width, right in zip(texts, widths, [*numeric, False], strict=True)
    ]
    return "  ".join(cells).rstrip()


def _block(heads: Sequence[str], texts: Sequence[str]) -> list[str]:
    """Return one row as lines of column and value; empty cells are left out."""
    *values, mark = texts
    filled = [(head, text) for head, text in zip(heads, values, strict=False) if text]
    lines: list[str] = []
    for number, (head, text) in enumerate(filled):
        lines += entry(head, text, mark if number == 0 else "", at=BLOCK_AT)
    return [*lines, ""]
