"""Files in groups that share no unit, and the work on one group: a function of its files and nothing else.

Groups can be worked on in any order, in threads, in processes or on other machines, and their results put
together. Within a group the files follow each other in time, and each unit takes its state from file to file.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from contextlib import nullcontext
from pathlib import Path

from turnwright.errors import InputError
from turnwright.fleet.blocks import Block
from turnwright.fleet.profile_files import Reader, blocks, units_and_start
from turnwright.fleet.records import FleetFault, FleetUnit, Form
from turnwright.fleet.sums import Standing, add_block

Checkpoint = Callable[[Standing, tuple[int, int], int], None]
"""Called after each block with what stands, the number of the file and of its next block, and steps followed."""


def group_files(paths: Sequence[Path]) -> tuple[list[tuple[Path, ...]], list[FleetFault]]:
    """Return files in groups that share no unit, each in the order of time, and what cannot be read.

    A single file is a group without being looked into.
    """
    if len(paths) == 1:
        return [tuple(paths)], []
    faults, looked = [], []
    for path in paths:
        try:
            looked.append((path, *units_and_start(path)))
        except InputError as error:
            faults.append(fault_of(error))
    home: dict[str, int] = {}
    groups: dict[int, list[tuple[int, Path]]] = {}
    for number, (path, units, start) in enumerate(looked):
        joined = {home[unit] for unit in units if unit in home}
        groups[number] = [(start, path), *(each for old in joined for each in groups.pop(old))]
        if joined:
            home.update({unit: number for unit, old in home.items() if old in joined})
        home.update(dict.fromkeys(units, number))
    return [tuple(path for _, path in sorted(group)) for group in groups.values()], faults


def follow_group(
    paths: Sequence[Path],
    units: dict[str, FleetUnit],
    form: Form,
    threads: int = 1,
    standing: Standing | None = None,
    begin: tuple[int, int] = (0, 0),
    checkpoint: Checkpoint | None = None,
) -> Standing:
    """Return what the files of a group leave behind in their units; what cannot be used is noted, not raised.

    standing, begin : where to go on: what stood, and the number of the file and of the block in it
    checkpoint      : called after each block
    """
    stands = standing or Standing()
    pooled = ThreadPoolExecutor(threads) if threads > 1 else None
    ahead = ThreadPoolExecutor(threads) if threads > 1 else None
    with pooled or nullcontext(), ahead or nullcontext():
        for number in range(begin[0], len(paths)):
            skip = begin[1] if number == begin[0] else 0
            touched: set[str] = set()
            try:
                for block in _read(blocks(paths[number], skip), ahead, threads):
                    touched.update(piece.unit for piece in block.pieces)
                    _same_zone(stands, block)
                    steps = add_block(stands, block, units, form, pooled, threads)
                    skip += 1
                    if checkpoint is not None:
                        checkpoint(stands, (number, skip), steps)
            except InputError as error:
                _give_up(stands, error, touched)
            if checkpoint is not None:
                checkpoint(stands, (number + 1, 0), 0)
    return stands


def fault_of(error: InputError, unit: str | None = None) -> FleetFault:
    """Return an error as something that was left out."""
    return FleetFault(error.code, error.where, error.what, error.fix, unit)


def _read(readers: Iterator[Reader], pool: Executor | None, ahead: int) -> Iterator[Block]:
    """Yield the blocks in order; with a pool some are read ahead."""
    if pool is None:
        for reader in readers:
            yield reader()
        return
    waiting: list[Future[Block]] = []
    try:
        for reader in readers:
            waiting.append(pool.submit(reader))
            if len(waiting) > ahead:
                yield waiting.pop(0).result()
        while waiting:
            yield waiting.pop(0).result()
    finally:
        for each in waiting:
            each.cancel()


def _same_zone(standing: Standing, block: Block) -> None:
    if standing.zone is not None and standing.zone != block.zone:
        what = "its times are with a time zone and those of other files without, or the other way round."
        raise InputError("FLT-06", block.file, what, "Write all times with an offset from UTC, or none.")
    standing.zone = block.zone


def _give_up(standing: Standing, error: InputError, touched: set[str]) -> None:
    """Note a file that cannot be read to its end; no unit seen in it can be told to be complete."""
    standing.files.append(fault_of(error))
    for unit in touched:
        standing.sums.pop(unit, None)
        what = f"{unit}: its profile breaks off, because the file cannot be used to its end."
        standing.faults.setdefault(unit, FleetFault(error.code, error.where, what, error.fix, unit))
