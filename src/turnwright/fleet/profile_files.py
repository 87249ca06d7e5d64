"""Profiles in files: which there are, what columns they have, and their rows block by block.

Parquet files are read by row groups, several small ones together and a large one in parts; CSV files by parts.
No more than a few blocks are in memory at once, however long the file is.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from turnwright.errors import InputError, nearest
from turnwright.fleet.blocks import Block, Columns, block_of
from turnwright.quantities.spelling import named, quoted

ROWS_A_BLOCK = 1_000_000
ROWS_AT_MOST = 4_000_000
CSV_BYTES_A_BLOCK = 16_000_000
CSV_BYTES_A_ROW = 32
TIME_UNITS = ("s", "ms", "us", "ns")
"""Each a thousandth of the one before."""
LOADS = ("load_pu", "current_a", "kva")
KNOWN = ("unit", "time", *LOADS, "ambient_c", "k_factor")
SUFFIXES = (".parquet", ".csv")
Reader = Callable[[], Block]


class Layout(NamedTuple):
    """What the columns of a file are.

    load   the one load column
    zone   whether times are in a time zone
    tick   nanoseconds of the unit of time
    """

    load: str
    zone: bool
    tick: int
    has_factor: bool

    @property
    def names(self) -> list[str]:
        """The columns to read."""
        return ["unit", "time", self.load, "ambient_c", *(["k_factor"] if self.has_factor else [])]


def profile_files(path: str | Path) -> tuple[Path, ...]:
    """Return the files of a profile: itself, or those of a folder in the order of their names.

    Raises:
        InputError: FLT-01 when there is nothing to read.
    """
    place = Path(path)
    fix = "Name a Parquet or CSV file, or a folder of them."
    if place.is_dir():
        with _told(place):
            inside = sorted(each for each in place.iterdir() if each.is_file())
        found = [each for each in inside if each.suffix.lower() in SUFFIXES]
        if not found:
            raise InputError("FLT-01", str(path), "there is no Parquet or CSV file in this folder.", fix)
        return tuple(found)
    if not place.is_file():
        raise InputError("FLT-01", str(path), "there is no such file or folder.", fix)
    if place.suffix.lower() not in SUFFIXES:
        raise InputError("FLT-01", str(path), f'a profile in "{place.suffix}" cannot be read.', fix)
    return (place,)


def rows_of(path: Path) -> tuple[int, bool]:
    """Return how many rows a file has, and whether that is exact: of a CSV file it is guessed by its size.

    Raises:
        InputError: FLT-02.
    """
    with _told(path):
        if path.suffix.lower() != ".parquet":
            return path.stat().st_size // CSV_BYTES_A_ROW, False
        return int(_parquet().read_metadata(path).num_rows), True


def units_and_start(path: Path) -> tuple[frozenset[str], int]:
    """Return the units of a file and the time of its first row [ns].

    Raises:
        InputError: FLT-02 to FLT-05.
    """
    units: set[str] = set()
    first = 0
    for number, (layout, table) in enumerate(_tables(path, ("unit", "time"))):
        column = _one_array(table.column("unit"))
        units.update(str(each) for each in column.unique().to_pylist())
        if number == 0:
            first = int(_one_array(table.column("time")).view("int64")[0].as_py() or 0) * layout.tick
    return frozenset(units), first


def rows_of_unit(path: str | Path, unit: str) -> tuple[dict[str, list[Any]], int]:
    """Return the columns of one unit over all files in the order of time, and the number of its first row.

    Nothing is returned where the files hold no row of it; files that cannot be read are left out, as in a fleet.

    Raises:
        InputError: FLT-01 to FLT-06.
    """
    found: list[Any] = []
    loads: set[str] = set()
    broken: InputError | None = None
    for file in profile_files(path):
        try:
            for load, table in _of_unit(file, unit):
                found.append(table)
                loads.add(load)
        except InputError as error:
            broken = broken or error
    if not found and broken is not None:
        raise broken
    if not found:
        return {}, 1
    if len(loads) > 1 or len({"tz=" in str(each.schema.field("time").type) for each in found}) > 1:
        what = f"the files of {unit} do not have the same columns, or times with and without a time zone."
        raise InputError("FLT-06", unit, what, "Write all of them alike.")
    with _told(Path(path)):
        whole = _arrow().concat_tables(found, promote_options="permissive").sort_by("time")
        return {name: whole.column(name).to_pylist() for name in whole.column_names}, 1


def _of_unit(path: Path, unit: str) -> Iterator[tuple[str, Any]]:
    """Yield the name of the load and the rows of one unit, part by part."""
    compute: Any = import_module("pyarrow.compute")
    for layout, table in _tables(path, None):
        mine = table.filter(compute.equal(table.column("unit").cast(_arrow().string()), unit))
        if mine.num_rows:
            yield layout.load, mine.select([name for name in layout.names if name != "unit"])


def blocks(path: Path, skip: int = 0) -> Iterator[Reader]:
    """Yield a reader of each block but the first `skip`; readers may run in other threads, in any order.

    Raises:
        InputError: FLT-02 to FLT-05, here or when a reader runs.
    """
    if path.suffix.lower() == ".parquet":
        yield from _parquet_blocks(path, skip)
        return
    row = 0
    for number, (layout, table) in enumerate(_tables(path, None)):
        if number >= skip:
            yield _reader(path, row, layout, table)
        row += table.num_rows


def _reader(path: Path, row: int, layout: Layout, table: Any) -> Reader:
    return lambda: block_of(_columns(path.name, row, layout, table))


def _parquet_blocks(path: Path, skip: int) -> Iterator[Reader]:
    with _told(path):
        file = _parquet().ParquetFile(path, memory_map=True)
        layout, meta = _layout(file.schema_arrow, path.name), file.metadata
    if not meta.num_rows:
        raise _no_rows(path)
    row = number = 0
    for groups, rows in _groups([meta.row_group(i).num_rows for i in range(meta.num_row_groups)]):
        if rows <= ROWS_AT_MOST:
            if number >= skip:
                yield _group_reader(path, meta, groups, row, layout)
            number, row = number + 1, row + rows
            continue
        for table in _parts(path, meta, groups, layout):
            if number >= skip:
                yield _reader(path, row, layout, table)
            number, row = number + 1, row + table.num_rows


def _groups(rows: list[int]) -> Iterator[tuple[list[int], int]]:
    """Yield row groups that are read together, and how many rows they have."""
    together: list[int] = []
    total = 0
    for index, count in enumerate(rows):
        if together and total + count > ROWS_AT_MOST:
            yield together, total
            together, total = [], 0
        together.append(index)
        total += count
        if total >= ROWS_A_BLOCK:
            yield together, total
            together, total = [], 0
    if together:
        yield together, total


def _group_reader(path: Path, meta: Any, groups: list[int], row: int, layout: Layout) -> Reader:
    def read() -> Block:
        with _told(path):
            file = _parquet().ParquetFile(path, metadata=meta, memory_map=True, read_dictionary=["unit"])
            table = file.read_row_groups(groups, columns=layout.names, use_threads=False)
        return block_of(_columns(path.name, row, layout, table))

    return read


def _parts(path: Path, meta: Any, groups: list[int], layout: Layout) -> Iterator[Any]:
    with _told(path):
        file = _parquet().ParquetFile(path, metadata=meta, read_dictionary=["unit"])
        batches = file.iter_batches(ROWS_A_BLOCK, row_groups=groups, columns=layout.names)
    while True:
        with _told(path):
            batch = next(batches, None)
        if batch is None:
            return
        yield _arrow().Table.from_batches([batch])


def _tables(path: Path, only: tuple[str, ...] | None) -> Iterator[tuple[Layout, Any]]:
    """Yield layout and rows of a file part by part, of a CSV file or of a few columns of either."""
    rows = 0
    for layout, table in (
        _parquet_tables(path, only) if path.suffix.lower() == ".parquet" else _csv_tables(path)
    ):
        rows += table.num_rows
        if table.num_rows:
            yield layout, table
    if not rows:
        raise _no_rows(path)


def _parquet_tables(path: Path, only: tuple[str, ...] | None) -> Iterator[tuple[Layout, Any]]:
    with _told(path):
        file = _parquet().ParquetFile(path, memory_map=True, read_dictionary=["unit"])
        layout = _layout(file.schema_arrow, path.name)
        count = file.num_row_groups
    for group in range(count):
        with _told(path):
            table = file.read_row_group(group, columns=list(only or layout.names))
        yield layout, table


def _csv_tables(path: Path) -> Iterator[tuple[Layout, Any]]:
    csv: Any = import_module("pyarrow.csv")
    arrow = _arrow()
    numbers = {name: arrow.float64() for name in (*LOADS, "ambient_c", "k_factor")}
    with _told(path):
        with path.open("r", encoding="utf-8-sig", newline="") as file:
            head, line = file.readline(), file.readline()
        if not head.strip():
            raise _no_rows(path)
        delimiter = max(",;\t", key=head.count)
        comma = delimiter != "," and re.search(r"\d,\d", line) is not None
        reader = csv.open_csv(
            path,
            csv.ReadOptions(block_size=CSV_BYTES_A_BLOCK),
            csv.ParseOptions(delimiter=delimiter),
            csv.ConvertOptions(
                column_types={"unit": arrow.string(), **numbers},
                strings_can_be_null=True,
                decimal_point="," if comma else ".",
            ),
        )
        layout = _layout(reader.schema, path.name)
    while True:
        with _told(path):
            batch = next(reader, None)
        if batch is None:
            return
        yield layout, arrow.Table.from_batches([batch]).select(layout.names)


def _layout(schema: Any, file: str) -> Layout:
    """Return what the columns are, or refuse them."""
    types: Any = _arrow().types
    names = list(schema.names)
    for name in names:
        if names.count(name) > 1:
            raise InputError("FLT-03", file, f"the column {quoted(name)} stands twice.", "Keep one.")
    for name in ("unit", "time", "ambient_c"):
        if name not in names:
            close = nearest(name, [each for each in names if each not in KNOWN])
            fix = f"Rename {quoted(close)}." if close else f"The columns are {named(names)}."
            raise InputError("FLT-03", file, f"there is no column {name}.", fix)
    loads = [name for name in LOADS if name in names]
    if len(loads) != 1:
        found = f"there are {' and '.join(loads)}" if loads else "there is no load"
        raise InputError(
            "FLT-03", file, f"{found}; one column is wanted.", f"Keep one of {', '.join(LOADS)}."
        )
    time, unit = schema.field("time").type, schema.field("unit").type
    if types.is_null(time):
        raise InputError("FLT-05", file, "there are no rows with a time.", "Fill the column time.")
    if not types.is_timestamp(time):
        fix = "Write times as 2025-03-30 01:45, all with or all without an offset from UTC."
        raise InputError("FLT-04", file, f"the column time is {time}, not a time with a date.", fix)
    kind = unit.value_type if types.is_dictionary(unit) else unit
    if not (types.is_string(kind) or types.is_large_string(kind) or types.is_integer(kind)):
        raise InputError(
            "FLT-04", file, f"the column unit is {unit}.", "Name units by texts or whole numbers."
        )
    factor = "k_factor" in names
    for name in (loads[0], "ambient_c", *(["k_factor"] if factor else [])):
        given = schema.field(name).type
        if not (types.is_floating(given) or types.is_integer(given) or types.is_decimal(given)):
            raise InputError(
                "FLT-04", file, f"the column {name} is {given}, not a number.", "Write plain numbers."
            )
    return Layout(loads[0], time.tz is not None, 1000 ** (3 - TIME_UNITS.index(time.unit)), factor)


def _columns(file: str, row: int, layout: Layout, table: Any) -> Columns:
    """Return the columns of a table as arrays."""
    for name in ("unit", "time"):
        empty = table.column(name).null_count
        if empty:
            where = f"{file}, rows {row + 1} to {row + table.num_rows}"
            raise InputError("FLT-04", where, f"{name} is empty in {empty} rows.", "Fill it in each row.")
    codes, names = _codes(table.column("unit"))
    time = _one_array(table.column("time")).view("int64").to_numpy(zero_copy_only=False)
    factor = _numbers(table.column("k_factor")) if layout.has_factor else np.empty(0, np.float32)
    load, ambient = _numbers(table.column(layout.load)), _numbers(table.column("ambient_c"))
    return Columns(
        file, row, codes, names, time, layout.tick, layout.zone, load, layout.load, ambient, factor
    )


def _codes(column: Any) -> tuple[NDArray[Any], list[str] | None]:
    types: Any = _arrow().types
    if types.is_integer(column.type):
        return _one_array(column).to_numpy(zero_copy_only=False), None
    if not types.is_dictionary(column.type):
        column = column.dictionary_encode()
    array = _one_array(column.unify_dictionaries())
    names = [str(each) for each in array.dictionary.to_pylist()]
    return array.indices.to_numpy(zero_copy_only=False), names


def _numbers(column: Any) -> NDArray[np.float32]:
    arrow = _arrow()
    if column.type != arrow.float32():
        column = column.cast(arrow.float64()) if arrow.types.is_decimal(column.type) else column
        column = column.cast(arrow.float32(), safe=False)
    values: NDArray[np.float32] = _one_array(column).to_numpy(zero_copy_only=False)
    return values if values.dtype == np.float32 else values.astype(np.float32)


def _one_array(column: Any) -> Any:
    return column.chunk(0) if column.num_chunks == 1 else column.combine_chunks()


def _no_rows(path: Path) -> InputError:
    return InputError("FLT-05", path.name, "there are no rows.", "Leave the file out.")


@contextmanager
def _told(path: Path) -> Iterator[None]:
    """Tell what a broken file makes its reader raise as an error of the user."""
    try:
        yield
    except InputError:
        raise
    except (OSError, ValueError, KeyError, NotImplementedError) as error:
        told = " ".join(str(error).split())[:200].rstrip(".")
        fix = "Write the file anew, or leave it out."
        raise InputError("FLT-02", path.name, f"it cannot be read: {told}.", fix) from None


def _arrow() -> Any:
    return import_module("pyarrow")


def _parquet() -> Any:
    return import_module("pyarrow.parquet")
