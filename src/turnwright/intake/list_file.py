"""Lists with one thing a row: a CSV or XLSX file, each cell as text, so that both read alike.

===========  =====================================================
code         what is wrong
===========  =====================================================
``FILE-07``  a kind of file that is not read here
``FILE-09``  it is damaged, or no workbook
``FILE-10``  its head cannot be used
``FILE-11``  more rows or columns than a list has
===========  =====================================================
"""

from __future__ import annotations

import csv
import warnings
from collections.abc import Iterable, Iterator
from importlib import import_module
from io import StringIO
from pathlib import Path
from typing import Any, NamedTuple
from zipfile import BadZipFile, ZipFile

from turnwright.errors import InputError, MissingExtra
from turnwright.intake.text_file import file_name, read_text

MOST_ROWS = 200_000
MOST_COLUMNS = 200
LARGEST_UNPACKED_BYTES = 400_000_000
OTHER_SHEETS = (".xls", ".ods", ".xlsm", ".xlsb", ".numbers")
_AGAIN = "Open it in a spreadsheet program and save it anew, or as CSV (UTF-8)."


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
    suffix = Path(path).suffix.lower()
    if suffix in OTHER_SHEETS:
        fix = "Save it as XLSX or CSV (UTF-8) and name that file."
        raise InputError("FILE-07", file_name(path), f'lists in "{suffix}" are not read here.', fix)
    if suffix == ".xlsx":
        return _as_list(_workbook(path, what), file_name(path))
    return list_of(read_text(path, what), file_name(path))


def list_of(text: str, name: str) -> ListFile:
    """Return the rows of a CSV text; comma, semicolon and tab are told apart by its head.

    Example:
        >>> list_of("unit;kva\\nT-1;75\\n", "yard.csv").rows[0].cells
        {'unit': 'T-1', 'kva': '75'}
    """
    head = text.lstrip().partition("\n")[0]
    mark = max(",;\t", key=head.count)
    try:
        return _as_list(csv.reader(StringIO(text.removeprefix("\ufeff"), newline=""), delimiter=mark), name)
    except csv.Error as error:
        raise InputError("FILE-09", name, f"this is no CSV that can be read: {error}.", _AGAIN) from None


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
            "FILE-11", name, f"this list has {len(columns)} columns; {MOST_COLUMNS} are the most.", _AGAIN
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


def _workbook(path: str | Path, what: str) -> Iterator[list[str]]:
    """Yield the rows of the first sheet, each cell as CSV would have it."""
    name = file_name(path)
    try:
        openpyxl: Any = import_module("openpyxl")
    except ImportError:
        fix = 'Save the list as CSV, or: pip install "turnwright[sheets]"'
        raise MissingExtra("FILE-12", name, "XLSX files cannot be read here.", fix) from None
    _check_package(path, name, what)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of parts of the book that hold no cells
            book = openpyxl.load_workbook(path, read_only=True, data_only=True)
            try:
                sheet = book.worksheets[0]
                sheet.reset_dimensions()  # what other programs write there need not be true
                for row in sheet.iter_rows(max_col=MOST_COLUMNS + 1):
                    yield [_cell_text(cell) for cell in row]
            finally:
                book.close()
    except InputError:
        raise
    except Exception as error:  # whatever a broken file makes the reader raise
        what_is_wrong = f"this is no XLSX file that can be read ({type(error).__name__})."
        raise InputError("FILE-09", name, what_is_wrong, _AGAIN) from None


def _check_package(path: str | Path, name: str, what: str) -> None:
    try:
        with ZipFile(path) as package:
            size = sum(part.file_size for part in package.infolist())
    except BadZipFile:
        raise InputError("FILE-09", name, "this is no XLSX file.", _AGAIN) from None
    except (OSError, ValueError):
        read_text(path, what)  # tells what is the matter with the file
        raise InputError("FILE-09", name, "this is no XLSX file.", _AGAIN) from None
    if size > LARGEST_UNPACKED_BYTES:
        limit = f"{LARGEST_UNPACKED_BYTES // 1_000_000} MB"
        raise InputError("FILE-11", name, f"this workbook unpacks to more than {limit}.", _AGAIN)


def _cell_text(cell: Any) -> str:
    """Return a cell as it is shown: 75.0 as "75", a share shown in percent as "4.2 %", a day as its date."""
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        if "%" in str(getattr(cell, "number_format", "") or ""):
            return f"{value * 100:.10g} %"
        return str(int(value)) if value == int(value) and abs(value) < 1e15 else repr(value)
    if hasattr(value, "isoformat"):
        return str(value.isoformat())[:10]
    return str(value)
