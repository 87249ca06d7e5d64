"""A metered load in a file: CSV, or Parquet where its reader is installed.

===========  ==============================================================
code         what is wrong
===========  ==============================================================
``YEAR-01``  the file cannot be read as CSV or Parquet
``YEAR-02``  a column is missing, stands twice or is not one of its kind
``YEAR-03``  there are no rows, or one only
``YEAR-04``  a time cannot be read, or some are in a time zone and some not
``YEAR-05``  a value cannot be used
``YEAR-06``  the steps are not even, or rows contradict each other
``YEAR-07``  the file holds several units
``YEAR-08``  something that is needed was not given
``YEAR-09``  a reader is not installed
===========  ==============================================================
"""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from importlib import import_module
from pathlib import Path
from typing import Any, NamedTuple

from turnwright.errors import InputError, MissingExtra, nearest
from turnwright.examine.course import Course, LoadIs, Stretch, look_at_times, moment
from turnwright.intake import read_text
from turnwright.model.result import Finding
from turnwright.quantities.spelling import named, quoted
from turnwright.regimes.said import said

LOADS: tuple[LoadIs, ...] = ("load_pu", "current_a", "kva")
KNOWN = ("unit", "time", *LOADS, "ambient_c", "k_factor")
MOST_TIMES_RATING = 20.0
"""A load above this, over the rating, is in percent or no load at all."""
LIMITS = {
    "load_pu": (0.0, MOST_TIMES_RATING, "Write loads per unit of rated current, 0.8 for 80 %."),
    "current_a": (0.0, math.inf, "Write amperes without a sign."),
    "kva": (0.0, math.inf, "Write kVA without a sign."),
    "ambient_c": (-60.0, 80.0, "Write degrees Celsius, measured where the air enters."),
    "k_factor": (1.0, 200.0, "It is 1 for a sinusoidal current, and never less."),
}
TIMES = "Write times as 2025-03-30 01:45, all with or all without an offset from UTC."
Cells = Sequence[Any]


class Rows(NamedTuple):
    """The columns of a file by name, and the number of the first row in it."""

    columns: Mapping[str, Cells]
    first: int


def load_course(path: str | Path, unit: str | None = None) -> Course:
    """Return the metered load of a file.

    path : CSV or Parquet: columns time, one of load_pu, current_a (of the secondary) and kva, and where they were
           metered ambient_c and k_factor
    unit : name of the unit, where the file has a column of that name and several units in it

    Raises:
        InputError: YEAR-01 to YEAR-07.
        MissingExtra: YEAR-09 where Parquet files cannot be read.
    """
    place = Path(path)
    kind = place.suffix.lower()
    if kind == ".parquet":
        return course_of(_parquet(place), place.name, unit)
    if kind in (".csv", ".txt", ".tsv"):
        return read_course(read_text(path, "file of a load"), place.name, unit)
    what = f'a load in "{place.suffix or place.name}" cannot be read.'
    raise InputError("YEAR-01", str(path), what, "Save it as CSV, or as Parquet.")


def read_course(text: str, name: str = "load", unit: str | None = None) -> Course:
    """Return the metered load of a CSV text.

    Raises:
        InputError: YEAR-02 to YEAR-07.

    Example:
        >>> text = "time,load_pu,ambient_c\\n2025-07-01 00:00,0.8,30\\n2025-07-01 01:00,0.9,31\\n"
        >>> read_course(text).load, read_course(text).step_h
        ((0.8, 0.9), 1.0)
    """
    lines = text.splitlines()
    if not lines or not lines[0].strip():
        raise InputError("YEAR-03", name, "there are no rows.", "Give a head and at least two rows.")
    delimiter = max(",;\t", key=lines[0].count)
    try:
        head, *rows = csv.reader(lines, delimiter=delimiter)
    except csv.Error as error:
        raise InputError("YEAR-01", name, f"this is no CSV: {error}.", "Save it anew as CSV.") from None
    head = [cell.strip() for cell in head]
    for cell in head:
        if cell and head.count(cell) > 1:
            raise InputError("YEAR-02", name, f"the column {cell} stands twice.", "Keep one.")
    while rows and not any(rows[-1]):
        rows.pop()
    if set(map(len, rows)) - {len(head)}:
        number, row = next((i, row) for i, row in enumerate(rows, start=2) if len(row) != len(head))
        what = f"it has {len(row)} cells, the head has {len(head)}."
        raise InputError("YEAR-02", f"{name}, line {number}", what, "Mend the line.")
    comma = delimiter != "," and any(re.search(r"\d,\d", cell) for row in rows[:1] for cell in row)
    columns: dict[str, Cells] = {}
    for cell, values in zip(head, zip(*rows, strict=True) if rows else [()] * len(head), strict=True):
        columns[cell] = [each.replace(",", ".") for each in values] if comma and cell != "time" else values
    return course_of(Rows(columns, 2), name, unit)


def course_of(rows: Rows, name: str, unit: str | None) -> Course:
    """Return the metered load of columns.

    Raises:
        InputError: YEAR-02 to YEAR-07.
    """
    load_is = _checked(rows.columns, name)
    rows, notes = _one_unit(rows, name, unit)
    if not rows.columns["time"]:
        raise InputError("YEAR-03", name, "there are no rows.", "Give a head and at least two rows.")
    times, zone = _times(rows, name)
    names = [each for each in (load_is, "ambient_c", "k_factor") if each in rows.columns]
    values = {each: _numbers(rows, each, times, name) for each in names}

    def same(a: int, b: int) -> bool:
        return all(each[a] == each[b] for each in values.values())

    looked = look_at_times(times, same, name, zone)
    keep, ends = looked.keep, (*looked.begins[1:], len(looked.keep))
    stretches = tuple(
        Stretch(first, end, times[keep[first]]) for first, end in zip(looked.begins, ends, strict=True)
    )
    taken = {each: tuple(map(column.__getitem__, keep)) for each, column in values.items()}
    return Course(
        name=name,
        step_h=looked.step_s / 3600.0,
        zone=zone,
        load_is=load_is,
        load=taken[load_is],
        ambient_c=taken.get("ambient_c"),
        factor=taken.get("k_factor"),
        stretches=stretches,
        findings=(*notes, *looked.findings),
    )


def _checked(columns: Mapping[str, Cells], name: str) -> LoadIs:
    """Return which column is the load, or refuse the columns."""
    names = list(columns)
    if "time" not in names:
        close = nearest("time", [each for each in names if each not in KNOWN])
        fix = f"Rename {quoted(close)}." if close else f"The columns are {named(names)}."
        raise InputError("YEAR-02", name, "there is no column time.", fix)
    loads = [each for each in LOADS if each in names]
    if len(loads) != 1:
        found = f"there are {' and '.join(loads)}" if loads else "there is no load"
        fix = f"Keep one of {', '.join(LOADS)}; the columns are {named(names)}."
        raise InputError("YEAR-02", name, f"{found}; one column is wanted.", fix)
    for each in names:
        close = nearest(each, ("ambient_c", "k_factor")) if each not in KNOWN else None
        if close is not None and close not in names:
            raise InputError(
                "YEAR-02", name, f"the column {quoted(each)} is not known.", f'Rename it "{close}".'
            )
    return loads[0]


def _one_unit(rows: Rows, name: str, unit: str | None) -> tuple[Rows, list[Finding]]:
    """Return the rows of one unit, and what there is to say of the columns."""
    unused = [each for each in rows.columns if each not in KNOWN and each]
    message = f"The columns {', '.join(unused)} of {name} were not used."
    notes = [said("columns-not-used", "note", message, known="given")] if unused else []
    if "unit" not in rows.columns:
        return rows, notes
    names = [str(each).strip() for each in rows.columns["unit"]]
    found = list(dict.fromkeys(names))
    if len(found) < 2:
        return rows, notes
    if unit not in found:
        shown = ", ".join(found[:5]) + (f" and {len(found) - 5} more" if len(found) > 5 else "")
        wanted = "" if unit is None else f"; {unit} is none of them"
        fix = "Keep the rows of one unit, or follow all of them with 'turnwright fleet'."
        raise InputError("YEAR-07", name, f"it holds {len(found)} units: {shown}{wanted}.", fix)
    mine = [i for i, each in enumerate(names) if each == unit]
    mine_only = {key: [column[i] for i in mine] for key, column in rows.columns.items() if key in KNOWN}
    return Rows(mine_only, rows.first), notes


def _times(rows: Rows, name: str) -> tuple[list[float], bool]:
    """Return times in seconds since 1970, and whether they are in UTC."""
    cells, found = rows.columns["time"], []
    try:
        found = [
            each if isinstance(each, datetime) else datetime.fromisoformat(each.strip()) for each in cells
        ]
    except (ValueError, AttributeError, TypeError):
        raise _no_time(rows, name) from None
    zoned = {each.tzinfo is not None for each in found}
    if len(zoned) > 1:
        what = "some times are with an offset from UTC and some without."
        raise InputError("YEAR-04", name, what, TIMES)
    zone = zoned == {True}
    begin = datetime(1970, 1, 1, tzinfo=UTC if zone else None)
    return [(each - begin).total_seconds() for each in found], zone


def _no_time(rows: Rows, name: str) -> InputError:
    for number, cell in enumerate(rows.columns["time"], start=rows.first):
        try:
            datetime.fromisoformat(str(cell).strip())
        except ValueError:
            where = f"{name}, row {number}"
            return InputError("YEAR-04", where, f'"{cell}" is no time that can be read here.', TIMES)
    return InputError("YEAR-04", name, "the column time holds no times.", TIMES)


def _numbers(rows: Rows, column: str, times: list[float], name: str) -> list[float]:
    """Return a column as numbers within its limits."""
    cells = rows.columns[column]
    low, high, fix = LIMITS[column]
    try:
        found = [float(each) for each in cells]
    except (TypeError, ValueError):
        found = []
    if found and all(map(math.isfinite, found)) and low <= min(found) and max(found) <= high:
        return found
    wrong = [i for i, each in enumerate(cells) if not _within(each, low, high)]
    cell = cells[wrong[0]]
    empty = cell is None or not str(cell).strip() or str(cell).strip().lower() == "nan"
    seen = "empty or not a number" if empty else f'"{cell}"'
    number = f"{len(wrong)} such row{'s' if len(wrong) > 1 else ''}"
    what = f"{column} is {seen} at {moment(times[wrong[0]])} ({number})."
    raise InputError("YEAR-05", name, what, fix)


def _within(cell: Any, low: float, high: float) -> bool:
    try:
        return low <= float(cell) <= high and math.isfinite(float(cell))
    except (TypeError, ValueError):
        return False


def _parquet(place: Path) -> Rows:
    try:
        parquet: Any = import_module("pyarrow.parquet")
    except ModuleNotFoundError:
        fix = 'Save it as CSV, or: pip install "turnwright[fleet]"'
        raise MissingExtra("YEAR-09", place.name, "Parquet files cannot be read here.", fix) from None
    if not place.is_file():
        raise InputError("YEAR-01", str(place), "there is no such file.", "Name a CSV or Parquet file.")
    try:
        table = parquet.read_table(place)
        names = list(table.column_names)
        columns = {each: table.column(each).to_pylist() for each in names if each in KNOWN}
    except (OSError, ValueError, KeyError, NotImplementedError) as error:
        told = " ".join(str(error).split())[:200]
        fix = "Write the file anew, or save it as CSV."
        raise InputError("YEAR-01", place.name, f"it cannot be read: {told}", fix) from None
    return Rows({**dict.fromkeys(names, ()), **columns}, 1)
