"""A block: so many rows of a profile, divided into the pieces of its units and looked through."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from turnwright.fleet.even_steps import Looked, look_at_times, moment
from turnwright.fleet.records import FleetFault

HIGHEST_LOAD_PU = 20.0
"""A load above this is in percent, or no load at all."""
AMBIENT_C = (-60.0, 80.0)
HIGHEST_K_FACTOR = 200.0
UNEVEN_FIX = "Mend the times, or leave the unit out: nothing is put into gaps here. Times in UTC have no clock changes."

Ints = NDArray[np.int64]


class Columns(NamedTuple):
    """The columns of a block as they were read.

    file     name of the file, for messages
    row      number of the first row in it
    codes    unit of each row, as a number
    names    text of each unit by its code; None: the code is the name
    time     time of each row since 1970, in ticks
    tick_ns  length of a tick [ns]
    zone     whether the times are in a time zone
    load     load of each row, in the unit `load_is` says, not a number where it is empty
    """

    file: str
    row: int
    codes: NDArray[Any]
    names: list[str] | None
    time: Ints
    tick_ns: int
    zone: bool
    load: NDArray[np.float32]
    load_is: str
    ambient: NDArray[np.float32]
    factor: NDArray[np.float32]


class Piece(NamedTuple):
    """Rows of one unit in a block: where they stand, from when to when, their step (0: one row), what is wrong."""

    unit: str
    start: int
    length: int
    first_ns: int
    last_ns: int
    step_ns: int
    fault: FleetFault | None


class Block(NamedTuple):
    """Columns with the rows of each unit together, and their pieces."""

    file: str
    zone: bool
    load: NDArray[np.float32]
    load_is: str
    ambient: NDArray[np.float32]
    factor: NDArray[np.float32]
    pieces: tuple[Piece, ...]


def block_of(columns: Columns) -> Block:
    """Return a block in pieces, one for each unit, its rows in the order of time."""
    starts, columns = _together(columns)
    lengths = np.diff(starts, append=len(columns.codes))
    pieces = []
    for start, length in zip(starts.tolist(), lengths.tolist(), strict=True):
        looked = look_at_times(columns.time[start : start + length], columns.tick_ns)
        if looked.order is not None:
            columns = _writable(columns)
            _put_in_order(columns, slice(start, start + length), looked.order)
        pieces.append(_piece(columns, start, length, looked))
    return Block(
        columns.file,
        columns.zone,
        columns.load,
        columns.load_is,
        columns.ambient,
        columns.factor,
        tuple(pieces),
    )


def _together(columns: Columns) -> tuple[Ints, Columns]:
    """Return where each unit starts, and the columns with its rows together, in the order they came."""
    codes = columns.codes
    starts = np.flatnonzero(codes[1:] != codes[:-1]) + 1
    starts = np.concatenate([np.zeros(1, starts.dtype), starts])
    if len(np.unique(codes[starts])) == len(starts):
        return starts, columns
    if columns.names is not None and len(columns.names) < 1 << 16:
        codes = codes.astype(np.uint16)  # sorted in linear time
    order = np.argsort(codes, kind="stable")
    columns = columns._replace(
        codes=columns.codes[order],
        time=columns.time[order],
        load=columns.load[order],
        ambient=columns.ambient[order],
        factor=columns.factor[order] if columns.factor.size else columns.factor,
    )
    return _together(columns)


def _piece(columns: Columns, start: int, length: int, looked: Looked) -> Piece:
    rows = slice(start, start + length)
    code = columns.codes[start]
    unit = str(code) if columns.names is None else columns.names[int(code)]
    first, last = (int(columns.time[row]) * columns.tick_ns for row in (start, start + length - 1))
    fault = _value_fault(columns, rows, unit)
    if looked.what:
        fault = FleetFault("FLT-07", columns.file, f"{unit}: {looked.what}", UNEVEN_FIX, unit)
    return Piece(unit, start, length, first, last, looked.step_ns, fault)


def _writable(columns: Columns) -> Columns:
    """Return the columns where rows can be moved: those of a file may be mapped into memory as they are."""
    if columns.time.flags.writeable and columns.load.flags.writeable:
        return columns
    moved = {name: getattr(columns, name).copy() for name in ("time", "load", "ambient", "factor")}
    return columns._replace(**moved)


def _put_in_order(columns: Columns, rows: slice, order: Ints) -> None:
    for column in (columns.time, columns.load, columns.ambient, columns.factor):
        if column.size:
            column[rows] = column[rows][order]


def _value_fault(columns: Columns, rows: slice, unit: str) -> FleetFault | None:
    """Return what is wrong with the values of a piece, if anything is."""
    load, ambient, factor = columns.load[rows], columns.ambient[rows], columns.factor[rows]
    if columns.load_is == "load_pu":
        most, hint = HIGHEST_LOAD_PU, "Write loads per unit of rated current, 0.8 for 80 %."
    else:
        most, hint = np.inf, "Write amperes or kVA without a sign."
    checks = (
        ("FLT-08", columns.load_is, load, 0.0, most, hint),
        ("FLT-09", "ambient_c", ambient, *AMBIENT_C, "Write degrees Celsius, measured where the air enters."),
        (
            "FLT-10",
            "k_factor",
            factor,
            1.0,
            HIGHEST_K_FACTOR,
            "It is 1 for a sinusoidal current, and never less.",
        ),
    )
    for code, name, values, low, high, fix in checks:
        if not values.size:
            continue
        smallest, largest = float(values.min()), float(values.max())
        if low <= smallest and largest <= high and np.isfinite(largest):
            continue
        wrong = ~((values >= low) & (values <= high) & np.isfinite(values))
        at = int(np.argmax(wrong))
        seen = "empty or not a number" if np.isnan(values[at]) else f"{float(values[at]):g}"
        when = moment(int(columns.time[rows][at]) * columns.tick_ns)
        what = f"{unit}: {name} is {seen} at {when} ({int(wrong.sum())} such rows)."
        return FleetFault(code, columns.file, what, fix, unit)
    return None
