"""What is kept of a unit between two pieces of its profile, and how a block is added to it."""

from __future__ import annotations

import math
from concurrent.futures import Executor

import msgspec
import numpy as np

from turnwright.fleet.blocks import HIGHEST_LOAD_PU, Block, Piece
from turnwright.fleet.even_steps import HOUR_NS, SECOND_NS, moment
from turnwright.fleet.forms.choosing import follow_pieces, share_of
from turnwright.fleet.forms.shapes import P, Pieces, S
from turnwright.fleet.records import FleetFault, FleetUnit, Form


class UnitSums(msgspec.Struct, frozen=True):
    """What the profile of a unit has left behind so far; sums are over steps.

    rise_k      hot-spot rise at its end; below 0 before the first step [K]
    steps       steps followed [-]
    ageing      sum of the ageing rate [-]
    load_kw     sum of the load loss [kW]
    hottest_c   highest hot spot [degC]
    peak_pu     highest load [-]
    over        steps above rated load [-]
    last_ns     time of the last step [ns]
    step_ns     length of a step [ns]
    """

    rise_k: float = -1.0
    steps: int = 0
    ageing: float = 0.0
    load_kw: float = 0.0
    hottest_c: float = -math.inf
    peak_pu: float = 0.0
    over: int = 0
    last_ns: int = 0
    step_ns: int = 0


class Standing(msgspec.Struct):
    """Where the work on a group of files stands: sums and faults of its units, faults of its files."""

    sums: dict[str, UnitSums] = {}
    faults: dict[str, FleetFault] = {}
    files: list[FleetFault] = []
    zone: bool | None = None


def add_block(
    standing: Standing,
    block: Block,
    units: dict[str, FleetUnit],
    form: Form,
    pool: Executor | None,
    ways: int,
) -> int:
    """Add a block to the sums of its units, and return how many steps were followed.

    A unit with a fault is left out from there on; the others are not touched by it.
    """
    taken: list[tuple[Piece, FleetUnit, int]] = []
    usual = next((piece.step_ns for piece in block.pieces if piece.step_ns), 0)
    for piece in block.pieces:
        if piece.unit in standing.faults:
            continue
        unit = units.get(piece.unit)
        before = standing.sums.get(piece.unit)
        step = piece.step_ns or (before.step_ns if before is not None else usual)
        fault = _fault(block, piece, unit, before, step)
        if fault is not None or unit is None:
            standing.faults[piece.unit] = fault or _unlisted(block, piece)
            continue
        taken.append((piece, unit, step))
    if not taken:
        return 0
    pieces = _pieces(block, taken, standing)
    models, hours = [unit.model for _, unit, _ in taken], [step / HOUR_NS for _, _, step in taken]
    left = follow_pieces(form, pieces, models, hours, pool, ways)
    for row, (piece, _, step) in zip(left.tolist(), taken, strict=True):
        peak = float(pieces.load[piece.start : piece.start + piece.length].max())
        before = standing.sums.get(piece.unit, UnitSums())
        standing.sums[piece.unit] = _after(before, row, piece, peak, step)
    return int(pieces.length.sum())


def _after(before: UnitSums, row: list[float], piece: Piece, peak_pu: float, step_ns: int) -> UnitSums:
    return UnitSums(
        rise_k=row[S.RISE],
        steps=before.steps + piece.length,
        ageing=before.ageing + row[S.AGEING],
        load_kw=before.load_kw + row[S.LOAD_LOSS],
        hottest_c=max(before.hottest_c, row[S.HOTTEST]),
        peak_pu=max(before.peak_pu, peak_pu),
        over=before.over + round(row[S.OVER]),
        last_ns=piece.last_ns,
        step_ns=step_ns,
    )


def _pieces(block: Block, taken: list[tuple[Piece, FleetUnit, int]], standing: Standing) -> Pieces:
    constants = np.empty((len(taken), len(P)))
    load = block.load
    if block.load_is != "load_pu":
        load = load.copy()
    for i, (piece, unit, step) in enumerate(taken):
        constants[i] = unit.constants
        constants[i, P.SHARE] = share_of(unit.model, step / HOUR_NS)
        if block.load_is != "load_pu":
            base = unit.kva if block.load_is == "kva" else unit.rated_current_a
            load[piece.start : piece.start + piece.length] /= np.float32(base or math.nan)
    return Pieces(
        load=load,
        ambient=block.ambient,
        factor=block.factor,
        start=np.array([piece.start for piece, _, _ in taken], np.int64),
        length=np.array([piece.length for piece, _, _ in taken], np.int64),
        constants=constants,
        rise=np.array([standing.sums.get(piece.unit, UnitSums()).rise_k for piece, _, _ in taken]),
    )


def _fault(
    block: Block, piece: Piece, unit: FleetUnit | None, before: UnitSums | None, step_ns: int
) -> FleetFault | None:
    """Return what keeps a piece from being followed, if anything does."""
    if unit is None:
        return _unlisted(block, piece)
    if piece.fault is not None:
        return piece.fault
    if not step_ns:
        what = f"{piece.unit}: there is one row only, so that its step is not known."
        return FleetFault("FLT-07", block.file, what, "Give the unit at least two rows.", piece.unit)
    if block.load_is == "current_a" and unit.rated_current_a is None:
        what = f"{piece.unit}: its rated current is not known, so that amperes cannot be used."
        fix = "Write its secondary with the number of phases, as 208Y/120, or give load_pu or kva."
        return FleetFault("FLT-08", block.file, what, fix, piece.unit)
    if block.load_is != "load_pu":
        base = unit.kva if block.load_is == "kva" else unit.rated_current_a or math.nan
        most = float(block.load[piece.start : piece.start + piece.length].max())
        if most > HIGHEST_LOAD_PU * base:
            what = f"{piece.unit}: {block.load_is} reaches {most:g}, {most / base:.0f} times the rating of {base:.4g}."
            return FleetFault("FLT-08", block.file, what, "Write it in amperes or kVA.", piece.unit)
    return None if before is None else _break(block, piece, before, step_ns)


def _break(block: Block, piece: Piece, before: UnitSums, step_ns: int) -> FleetFault | None:
    """Return what is wrong between the rows before and a piece, if anything is."""
    if piece.first_ns == before.last_ns + before.step_ns and step_ns == before.step_ns:
        return None
    after, now = moment(before.last_ns), moment(piece.first_ns)
    if step_ns != before.step_ns:
        lengths = f"{before.step_ns / SECOND_NS:g} s before and {step_ns / SECOND_NS:g} s from {now}"
        what = f"{piece.unit}: the step changes: {lengths}."
    elif piece.first_ns <= before.last_ns:
        what = f"{piece.unit}: rows up to {after} stand before rows from {now}: doubled, or not in the order of time."
    else:
        what = f"{piece.unit}: 1 gap, from {after} to {now}."
    fix = "Sort the rows of each unit by time, and mend what is missing or doubled; nothing is put into gaps here."
    return FleetFault("FLT-07", block.file, what, fix, piece.unit)


def _unlisted(block: Block, piece: Piece) -> FleetFault:
    what = f"{piece.unit}: this unit of the profiles is not in the list of units."
    return FleetFault(
        "FLT-11", block.file, what, "Add it to the list, or leave it out of the profiles.", piece.unit
    )
