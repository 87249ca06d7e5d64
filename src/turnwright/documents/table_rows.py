"""A reference table as plain values, each row with where it comes from and how it is known."""

from __future__ import annotations

from typing import Any

from turnwright.errors import TableError
from turnwright.reference import Column, Row, load

ABOUT_ROWS = frozenset(("source", "from_edition", "to_edition"))
"""Columns that say where a row comes from; the row's own source says it better."""
SURENESS = ("seen", "computed", "common practice", "memory", "assumed")
"""Words for how a value is known, the surest first."""


def _cell(row: Row, column: Column) -> Any:
    """Return a number, a text, a yes/no, or None for an empty cell."""
    if column.kind == "number":
        number = row.optional(column.name)
        return None if number is None else float(number)
    if column.kind == "text":
        text = row.optional_text(column.name)
        return None if text is None else str(text)
    try:
        return row.yes(column.name)
    except TableError:
        return None


def table_rows(name: str, edition: str | None = None) -> dict[str, Any]:
    """Return a table in one edition: what it is, its columns, its rows.

    Args:
        name: the table, as `nec_310_16`.
        edition: one it carries, or a date of manufacture; None is the newest.

    Raises:
        UnknownKey: TBL-16, no table of that name.
        TableError: TBL-08, the edition is not carried.

    Example:
        >>> table_rows("nec_250_122", "2023")["rows"][0]["cu"]
        '14 AWG'
    """
    table = load(name)
    of_edition = table.newest() if edition is None else table.at(edition)
    about = table.description
    columns = [column for column in about.columns if column.name not in ABOUT_ROWS]
    sources = dict.fromkeys(row.source for row in of_edition.rows)
    return {
        "name": name,
        "title": about.title,
        "summary": about.summary,
        "document": about.document,
        "edition": of_edition.edition or None,
        "editions": list(about.editions),
        "clause": "; ".join(dict.fromkeys(source.clause for source in sources if source.clause)) or None,
        "known": max((source.known for source in sources), key=SURENESS.index),
        "columns": [
            {"name": column.name, "unit": column.unit or None, "description": column.description}
            for column in columns
        ],
        "rows": [_row(row, columns) for row in of_edition.rows],
    }


def _row(row: Row, columns: list[Column]) -> dict[str, Any]:
    values = {column.name: _cell(row, column) for column in columns}
    source = row.source
    return {**values, "source": source.cite(), "known": source.known, "seen_at": source.seen_at}
