"""Sheets: the cells of a CSV or XLSX file as text, so that both read alike, before anybody knows what they mean.

===========  =====================================================
code         what is wrong
===========  =====================================================
``FILE-07``  a kind of file that is not read here
``FILE-09``  it is damaged, or no workbook
``FILE-11``  it is larger than what is read here
``FILE-12``  XLSX files cannot be read
===========  =====================================================
"""

from __future__ import annotations

import csv
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from io import BytesIO, StringIO
from pathlib import Path
from typing import IO, Any, NamedTuple
from zipfile import BadZipFile, ZipFile

from turnwright.errors import InputError, MissingExtra
from turnwright.intake.text_file import file_name, read_text

LARGEST_UNPACKED_BYTES = 400_000_000
LARGEST_SMALL_BYTES = 20_000_000
"""A workbook of which merged cells and formulas are asked for is held in memory as a whole."""
MOST_ROWS = 5_000
MOST_COLUMNS = 200
OTHER_SHEETS = (".xls", ".ods", ".xlsm", ".xlsb", ".numbers")
AGAIN = "Open it in a spreadsheet program and save it anew, or as CSV (UTF-8)."
_LINES_LOOKED_AT = 20
_PACKED = b"PK\x03\x04"


class Span(NamedTuple):
    """Cells that are merged: rows and columns from 0, the last ones included."""

    top: int
    left: int
    bottom: int
    right: int


class Sheet(NamedTuple):
    """The cells of one sheet as text.

    name      of the file
    rows      all rows, empty ones too, so that row n of the file is rows[n - 1]
    merged    cells that are one
    unsolved  row and column of formulas whose value was never computed
    hidden    rows that the sheet hides
    others    titles of the sheets that were not read
    """

    name: str
    rows: tuple[tuple[str, ...], ...]
    merged: tuple[Span, ...] = ()
    unsolved: tuple[tuple[int, int], ...] = ()
    hidden: tuple[int, ...] = ()
    others: tuple[str, ...] = ()


def load_sheet(path: str | Path, what: str) -> Sheet:
    """Return the cells of a CSV file, or of the first sheet of an XLSX file that holds any.

    Raises:
        InputError: FILE-01 to FILE-05 for a file that cannot be read, FILE-07 to FILE-11.
        MissingExtra: FILE-12 where XLSX files cannot be read.
    """
    name = file_name(path)
    if is_workbook(path):
        return _sheet_of_book(path, name, what)
    return sheet_of_csv(read_text(path, what), name)


def sheet_of_bytes(data: bytes, name: str, what: str) -> Sheet:
    """Return the cells of a file that came as bytes; what it holds counts, not how it is called.

    Raises:
        InputError: FILE-03 for what is no UTF-8 text, FILE-09, FILE-11.
        MissingExtra: FILE-12 where XLSX files cannot be read.
    """
    if data.startswith(_PACKED):
        return _sheet_of_book(data, name, what)
    try:
        return sheet_of_csv(data.decode("utf-8-sig"), name)
    except UnicodeDecodeError as error:
        where = f"{name}, line {data.count(10, 0, error.start) + 1}"
        raise InputError("FILE-03", where, "this is not a text in UTF-8.", AGAIN) from None


def sheet_of_csv(text: str, name: str) -> Sheet:
    """Return the cells of a CSV text; comma, semicolon and tab are told apart by how often they stand in it.

    Example:
        >>> sheet_of_csv("Panel LP-1\\nload;kVA\\noven;7,5\\n", "loads.csv").rows[2]
        ('oven', '7,5')
    """
    rows: list[tuple[str, ...]] = []
    for row in csv_rows(text, name):
        if len(rows) == MOST_ROWS:
            raise _too_many(name, f"more than {MOST_ROWS} rows")
        rows.append(tuple(cell.strip() for cell in row))
    return Sheet(name, tuple(rows))


def is_workbook(path: str | Path) -> bool:
    """Return whether a file is to be read as XLSX.

    Raises:
        InputError: FILE-07 for other spreadsheets.
    """
    suffix = Path(path).suffix.lower()
    if suffix in OTHER_SHEETS:
        fix = "Save it as XLSX or CSV (UTF-8) and name that file."
        raise InputError("FILE-07", file_name(path), f'lists in "{suffix}" are not read here.', fix)
    return suffix == ".xlsx"


def csv_rows(text: str, name: str, lines: int = _LINES_LOOKED_AT) -> Iterator[list[str]]:
    """Yield the rows of a CSV text; its mark is the one that its first `lines` lines hold most often."""
    head = "\n".join(text.lstrip().split("\n", lines)[:lines])
    mark = max(",;\t", key=head.count)
    try:
        yield from csv.reader(StringIO(text.removeprefix("\ufeff"), newline=""), delimiter=mark)
    except csv.Error as error:
        raise InputError("FILE-09", name, f"this is no CSV that can be read: {error}.", AGAIN) from None


def workbook_rows(path: str | Path, what: str) -> Iterator[list[str]]:
    """Yield the rows of the first sheet, however many, each cell as CSV would have it."""
    with _book(path, file_name(path), what, LARGEST_UNPACKED_BYTES, read_only=True) as book:
        sheet = book.worksheets[0]
        sheet.reset_dimensions()  # what other programs write there need not be true
        for row in sheet.iter_rows(max_col=MOST_COLUMNS + 1):
            yield [cell_text(cell) for cell in row]


def _sheet_of_book(source: str | Path | bytes, name: str, what: str) -> Sheet:
    with _book(source, name, what, LARGEST_SMALL_BYTES) as book:
        filled = [sheet for sheet in book.worksheets if _holds_text(sheet)]
        if not filled:
            return Sheet(name, ())
        sheet = filled[0]
        if sheet.max_row > MOST_ROWS or sheet.max_column > MOST_COLUMNS:
            raise _too_many(name, f"{sheet.max_row} rows and {sheet.max_column} columns")
        rows = tuple(tuple(cell_text(cell).strip() for cell in row) for row in sheet.iter_rows())
        merged = tuple(
            Span(one.min_row - 1, one.min_col - 1, one.max_row - 1, one.max_col - 1)
            for one in sheet.merged_cells.ranges
        )
        hidden = tuple(number for number, row in sheet.row_dimensions.items() if row.hidden)
        title = sheet.title
    unsolved = _unsolved(source, name, what, title, rows)
    others = tuple(one.title for one in filled[1:])
    return Sheet(name, rows, tuple(sorted(merged)), unsolved, hidden, others)


def _holds_text(sheet: Any) -> bool:
    if sheet.max_row > MOST_ROWS or sheet.max_column > MOST_COLUMNS:
        return True
    return any(cell is not None for row in sheet.iter_rows(values_only=True) for cell in row)


def _unsolved(
    source: str | Path | bytes, name: str, what: str, title: str, rows: tuple[tuple[str, ...], ...]
) -> tuple[tuple[int, int], ...]:
    """Return the formulas without a value: what no program has computed reads as empty, and is not."""
    with _book(source, name, what, LARGEST_SMALL_BYTES, data_only=False) as book:
        return tuple(
            (cell.row - 1, cell.column - 1)
            for row in book[title].iter_rows()
            for cell in row
            if cell.data_type == "f" and not rows[cell.row - 1][cell.column - 1]
        )


@contextmanager
def _book(
    source: str | Path | bytes,
    name: str,
    what: str,
    largest: int,
    *,
    read_only: bool = False,
    data_only: bool = True,
) -> Iterator[Any]:
    """Open a workbook; whatever a broken one makes the reader raise is told in one sentence."""
    try:
        openpyxl: Any = import_module("openpyxl")
    except ImportError:
        fix = 'Save the list as CSV, or: pip install "turnwright[sheets]"'
        raise MissingExtra("FILE-12", name, "XLSX files cannot be read here.", fix) from None
    _check_package(source, name, what, largest)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of parts of the book that hold no cells
            with _stream(source) as stream:  # what cannot be read is closed too
                yield openpyxl.load_workbook(stream, read_only=read_only, data_only=data_only)
    except InputError:
        raise
    except Exception as error:
        what_is_wrong = f"this is no XLSX file that can be read ({type(error).__name__})."
        raise InputError("FILE-09", name, what_is_wrong, AGAIN) from None


def _stream(source: str | Path | bytes) -> IO[bytes]:
    return BytesIO(source) if isinstance(source, bytes) else Path(source).open("rb")


def _check_package(source: str | Path | bytes, name: str, what: str, largest: int) -> None:
    try:
        with _stream(source) as stream, ZipFile(stream) as package:
            size = sum(part.file_size for part in package.infolist())
    except BadZipFile:
        raise InputError("FILE-09", name, "this is no XLSX file.", AGAIN) from None
    except (OSError, ValueError):
        if not isinstance(source, bytes):
            read_text(source, what)  # tells what is the matter with the file
        raise InputError("FILE-09", name, "this is no XLSX file.", AGAIN) from None
    if size > largest:
        limit = f"{largest // 1_000_000} MB"
        raise InputError("FILE-11", name, f"this workbook unpacks to more than {limit}.", AGAIN)


def _too_many(name: str, what: str) -> InputError:
    fix = "Delete what stands below and beside the list, empty rows with a format too, and save it."
    return InputError(
        "FILE-11", name, f"this sheet has {what}; {MOST_ROWS} by {MOST_COLUMNS} are the most.", fix
    )


def cell_text(cell: Any) -> str:
    """Return a cell as it is shown: 75.0 as "75", a share shown in percent as "4.2 %", a day as its date."""
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        if "%" in str(getattr(cell, "number_format", "") or ""):
            return f"{value * 100:.10g} %"
        return str(int(value)) if value == int(value) and abs(value) < 1e15 else repr(round(value, 9))
    if hasattr(value, "isoformat"):
        return str(value.isoformat())[:10]
    return str(value)
