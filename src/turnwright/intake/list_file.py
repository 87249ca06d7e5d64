"""Lists with one thing a row: a CSV or XLSX file, each cell as text, so that both read alike.

===========  =====================================================
code         what is wrong
===========  =====================================================
``FILE-10``  its head cannot be used
``FILE-11``  more rows or columns than a list has
===========  =====================================================
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from turnwright.errors import InputError
from turnwright.intake.sheet_file import AGAIN, MOST_COLUMNS, csv_rows, is_workbook, workbook_rows
from turnwright.intake.text_file import file_name, read_text

MOST_ROWS = 200_000


class ListRow(NamedTuple):
    """One row that is not empty: its number in the file, its cells by column, what stands beyond the head."""

    number: int
    cells: dict[str, str]
    beyond: tuple[str, ...]


class ListFile(NamedTuple):
    """A list: its name, its columns in order, its rows."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[ListRow, ...]


def load_list(path: str | Path, what: str = "list") -> ListFile:
    """Return the rows of a CSV or XLSX file.

    Raises:
        InputError: FILE-01 to FILE-05 for a file that cannot be read, FILE-07 to FILE-11.
        MissingExtra: FILE-12 where XLSX files cannot be read.
    """
    if is_workbook(path):
        return _as_list(workbook_rows(path, what), file_name(path))
    return list_of(read_text(path, what), file_name(path))


def list_of(text: str, name: str) -> ListFile:
    """Return the rows of a CSV text; comma, semicolon and tab are told apart by its head.

    Example:
        >>> list_of("unit;kva\\nT-1;75\\n", "yard.csv").rows[0].cells
        {'unit': 'T-1', 'kva': '75'}
    """
    return _as_list(csv_rows(text, name, lines=1), name)


def _as_list(rows: Iterable[list[str]], name: str) -> ListFile:
    each = enumerate(rows, 1)
    columns: tuple[str, ...] = ()
    for _, head in each:  # empty rows above the head do no harm
        columns = tuple(cell.strip() for cell in head)
        if any(columns):
            break
    while columns and not columns[-1]:
        columns = columns[:-1]
    if len(columns) > MOST_COLUMNS:
        raise InputError(
            "FILE-11", name, f"this list has {len(columns)} columns; {MOST_COLUMNS} are the most.", AGAIN
        )
    twice = sorted({column for column in columns if column and columns.count(column) > 1})
    if twice:
        raise InputError("FILE-10", name, f"the column {twice[0]} stands twice.", "Keep one.")
    found: list[ListRow] = []
    for number, row in each:
        cells = [cell.strip() for cell in row]
        if not any(cells):
            continue
        if len(found) == MOST_ROWS:
            fix = "Split it, or leave out what is no unit."
            raise InputError(
                "FILE-11", name, f"this list has more than {MOST_ROWS} rows, the most read here.", fix
            )
        beyond = tuple(cell for cell in cells[len(columns) :] if cell)
        named = {column: cell for column, cell in zip(columns, cells, strict=False) if column}
        found.append(ListRow(number, named, beyond))
    return ListFile(name, columns, tuple(found))
