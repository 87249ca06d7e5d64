"""Reading the tables of `data`: nothing without provenance, nothing twice, nothing but what its column says.

Each row names its source by id; `sources.csv` tells for each id and each range of editions the document, the
clause, where it was read and how it is known. A file that breaks a rule is refused with the line and the way
to mend it.
"""

from __future__ import annotations

import csv
import os
from collections.abc import Callable
from functools import cache
from importlib import import_module
from math import isfinite
from typing import Any

from turnwright.errors import TableError
from turnwright.reference.folder import EVERY_TABLE, Folder, did_you_mean, numbered, overlap
from turnwright.reference.records import Description
from turnwright.reference.row import Cell, Layout, Line
from turnwright.reference.table import Table

META = ("tables", "columns", "sources")


@cache
def load(name: str) -> Table:
    """Return a table by its name, as `nec_310_16`.

    Raises: UnknownKey TBL-16 when there is no such table.

    Example:
        >>> load("nec_310_16").editions
        ('2017', '2020', '2023')
    """
    return _table(_folder().described(name), _text(name), _folder())


def load_text(name: str, text: str, sources: str, columns: str, tables: str) -> Table:
    """Return a table from the text of its file and of the three files that describe it.

    Raises: TableError with the file and line of what is wrong.
    """
    folder = Folder(tables, columns, sources)
    return _table(folder.described(name), text, folder)


def table_names() -> tuple[str, ...]:
    """Return the names of all tables, in alphabetical order."""
    return tuple(sorted(_folder().tables))


def describe(name: str) -> Description:
    """Return title, document, editions and columns of a table.

    Raises: UnknownKey TBL-16 when there is no such table.

    Example:
        >>> describe("nec_250_122").title
        'Equipment grounding conductor'
    """
    return _folder().described(name)


@cache
def digest() -> str:
    """Return one checksum over all files, so that a paper can tell which tables it was made with.

    Example:
        >>> digest()[:7]
        'sha256:'
    """
    total = _sha256()()
    for name in (*META, *table_names()):
        content = _bytes(name)
        total.update(f"{name}.csv {len(content)}\n".encode())
        total.update(content)
    return f"sha256:{total.hexdigest()}"


def _sha256() -> Callable[[], Any]:
    """Return the checksum without what hashlib loads beside it, which takes longer than all the sums."""
    for name in ("_sha2", "_sha256"):
        try:
            found: Callable[[], Any] = import_module(name).sha256
        except ImportError:
            continue
        return found
    from hashlib import sha256

    return sha256


class _Reader:
    """Turns the lines of one file into checked rows."""

    def __init__(self, description: Description, header: list[str], folder: Folder) -> None:
        self.file = f"{description.name}.csv"
        self.folder = folder
        self.editions = description.editions or ("",)
        self.header = header
        self._check_header(description)
        self.layout = Layout(description, header)
        places = self.layout.places
        self.numbers = [place for name, place in places.items() if self.layout.columns[name].kind == "number"]
        self.choices = [place for name, place in places.items() if self.layout.columns[name].kind == "yes/no"]
        self.source, self.first, self.last = (
            places["source"],
            places.get("from_edition"),
            places.get("to_edition"),
        )
        self._checked: set[tuple[str, str, str]] = set()
        self._keys: dict[str, list[Line]] = {}

    def row(self, where: str, number: int, cells: list[str]) -> Line:
        """Return one line, checked."""
        source = cells[self.source]
        if not source:
            fix = "Name its source; a value without one is never used."
            raise TableError("TBL-01", where, f"row '{cells[0]}' has no source.", fix)
        if source not in self.folder.sources:
            fix = did_you_mean(source, self.folder.sources) or "Add it there."
            raise TableError("TBL-02", where, f"source '{source}' is not in sources.csv.", fix)
        key, values = self._key(where, cells), self._values(where, cells)
        first = cells[self.first] if self.first is not None else ""
        last = cells[self.last] if self.last is not None else ""
        line = Line(number, tuple(cells), tuple(values), key, source, first, last)
        self._check_key(where, line)
        self._check_editions(where, line)
        return line

    def _check_header(self, description: Description) -> None:
        where = f"{self.file}, line 1"
        described = [column.name for column in description.columns]
        for name in self.header:
            if name not in described:
                fix = (
                    f"Add it to columns.csv under {description.name}. {did_you_mean(name, described)}".strip()
                )
                raise TableError("TBL-05", where, f"column '{name}' is not described.", fix)
            if self.header.count(name) > 1:
                raise TableError("TBL-05", where, f"column '{name}' stands twice.", "Keep one.")
        optional = [
            column.name for column in self.folder.columns.get(EVERY_TABLE, ()) if column.name != "source"
        ]
        missing = [
            name for name in (*described, "source") if name not in self.header and name not in optional
        ]
        if missing:
            what = f"column '{missing[0]}' is missing."
            raise TableError("TBL-05", where, what, "Make the header and columns.csv agree.")
        if not any(column.key for column in description.columns):
            raise TableError(
                "TBL-15", where, "the table has no key column.", "Mark one with key = yes in columns.csv."
            )
        for column in description.columns:
            if column.unit.startswith("@") and column.unit[1:] not in self.header:
                what = f"the unit of '{column.name}' should stand in '{column.unit[1:]}', which is no column."
                raise TableError("TBL-05", where, what, "Mend the unit in columns.csv.")

    def _values(self, where: str, cells: list[str]) -> list[Cell]:
        values: list[Cell] = list(cells)
        for place in self.numbers:
            if cells[place]:
                values[place] = self._number(where, place, cells[place])
        for place in self.choices:
            if cells[place] not in ("yes", "no", ""):
                what = f"'{cells[place]}' in {self.header[place]} is neither yes nor no."
                raise TableError("TBL-11", where, what, "Write yes, no, or leave it empty.")
        return values

    def _number(self, where: str, place: int, text: str) -> float:
        try:
            value = float(text)
        except ValueError:
            value = float("nan")
        if not isfinite(value) or "_" in text:
            fix = "Write digits with a point, the unit in columns.csv, and nothing where there is no value."
            raise TableError("TBL-03", where, f"'{text}' in {self.header[place]} is not a number.", fix)
        return value

    def _key(self, where: str, cells: list[str]) -> str:
        parts = [cells[place] for place in self.layout.key_places]
        if not all(parts):
            raise TableError("TBL-15", where, "a key cell is empty.", "Fill it; a row is found by its key.")
        return ", ".join(parts)

    def _check_key(self, where: str, line: Line) -> None:
        twins = self._keys.setdefault(line.key, [])
        for twin in twins:
            if overlap(line.first, line.last, twin.first, twin.last):
                what = f"'{line.key}' stands in line {twin.number} already."
                raise TableError(
                    "TBL-04", where, what, "Keep one, or split them by from_edition and to_edition."
                )
        twins.append(line)

    def _check_editions(self, where: str, line: Line) -> None:
        alike = (line.source, line.first, line.last)
        if alike in self._checked:
            return
        held = [edition for edition in self.editions if line.holds(edition)]
        if not held:
            what = f"'{line.key}' holds in none of the editions carried ({', '.join(self.editions)})."
            raise TableError("TBL-07", where, what, "Mend from_edition and to_edition.")
        for edition in held:
            if self.folder.provenance(line.source, edition) is None:
                what = f"source '{line.source}' of '{line.key}' says nothing of edition {edition or 'any'}."
                fix = "Add a line to sources.csv, or end the row before that edition."
                raise TableError("TBL-07", where, what, fix)
        self._checked.add(alike)


def _table(description: Description, text: str, folder: Folder) -> Table:
    lines = csv.reader(text.splitlines())
    header = next(lines, [])
    reader = _Reader(description, header, folder)
    rows = [
        reader.row(where, number, cells) for where, number, cells in numbered(reader.file, lines, len(header))
    ]
    if not rows:
        raise TableError(
            "TBL-14", reader.file, "the table has no rows.", "Fill it or take it out of tables.csv."
        )
    return Table(reader.layout, rows, description, folder)


@cache
def _folder() -> Folder:
    return Folder(*(_text(name) for name in META))


def _text(name: str) -> str:
    return _bytes(name).decode("utf-8")


def _bytes(name: str) -> bytes:
    # the loader of this module reads from a folder or an archive alike; pkgutil does the same, and loads slowly
    place = os.path.join(os.path.dirname(__file__), "data", f"{name}.csv")  # noqa: PTH118, PTH120
    try:
        content: bytes = globals()["__loader__"].get_data(place)
    except OSError:
        what = "the file cannot be read."
        raise TableError("TBL-16", f"{name}.csv", what, "Install the package again.") from None
    return content
