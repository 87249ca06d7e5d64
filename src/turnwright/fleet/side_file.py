"""What is finished is put aside beside the result, so that work that broke off goes on where it was.

The side file has one JSON line for its header, which tells the input it belongs to, and one for each group of
files and moment; of the lines of a group the last one counts, and sums of units are as they last stood.
"""

from __future__ import annotations

import hashlib
import os
import time
from collections.abc import Sequence
from pathlib import Path
from threading import Lock

import msgspec

from turnwright.errors import InputError
from turnwright.fleet.records import FleetFault, FleetOptions, FleetUnit
from turnwright.fleet.sums import Standing, UnitSums
from turnwright.version import __version__


class _Line(msgspec.Struct, frozen=True):
    group: int
    at: tuple[int, int]
    zone: bool | None
    sums: dict[str, UnitSums]
    faults: dict[str, FleetFault]
    files: list[FleetFault]


class _Header(msgspec.Struct, frozen=True):
    of: str


class SideFile:
    """Finished work of one run; `found` is what an earlier run of the same input left: group -> work, place."""

    def __init__(self, path: Path, of: str, every_s: float) -> None:
        self.path = path
        self.found: dict[int, tuple[Standing, tuple[int, int]]] = {}
        self._of, self._every_s = of, every_s
        self._lock = Lock()
        self._written: dict[int, dict[str, UnitSums]] = {}
        self._waiting: dict[int, _Line] = {}
        self._last = time.monotonic()
        self._read()

    def keep(self, group: int, standing: Standing, at: tuple[int, int]) -> None:
        """Put the work on a group aside; all that waits is written when it is time to."""
        with self._lock:
            written = self._written.setdefault(group, {})
            news = {unit: sums for unit, sums in standing.sums.items() if written.get(unit) is not sums}
            faults, files = dict(standing.faults), list(standing.files)
            self._waiting[group] = _Line(group, at, standing.zone, news, faults, files)
            if time.monotonic() - self._last >= self._every_s:
                self._write()

    def flush(self) -> None:
        """Write all that waits."""
        with self._lock:
            self._write()

    def remove(self) -> None:
        """Remove the side file: the result is complete."""
        self.path.unlink(missing_ok=True)

    def _write(self) -> None:
        for line in self._waiting.values():
            self._append(line)
            self._written[line.group].update(line.sums)
        self._waiting.clear()
        self._last = time.monotonic()

    def _append(self, line: _Line) -> None:
        new = not self.path.exists()
        try:
            with self.path.open("ab") as file:
                if new:
                    file.write(msgspec.json.encode(_Header(self._of)) + b"\n")
                file.write(msgspec.json.encode(line) + b"\n")
        except OSError as error:
            raise unwritable(self.path, error) from None

    def _read(self) -> None:
        try:
            lines = self.path.read_bytes().splitlines()
        except OSError:
            return
        try:
            ours = bool(lines) and msgspec.json.decode(lines[0], type=_Header).of == self._of
            for each in lines[1:] if ours else ():
                line = msgspec.json.decode(each, type=_Line)
                standing, _ = self.found.get(line.group, (Standing(), (0, 0)))
                standing.sums.update(line.sums)
                standing.faults, standing.files, standing.zone = line.faults, line.files, line.zone
                for unit in line.faults:
                    standing.sums.pop(unit, None)
                self.found[line.group] = (standing, line.at)
        except msgspec.MsgspecError:  # broken off in the middle of a line: what stands before it counts
            ours = bool(self.found)
        if not ours:
            self.found.clear()
            self.path.unlink(missing_ok=True)
            return
        self._rewrite()

    def _rewrite(self) -> None:
        """Write what counts anew, so that a broken last line is gone."""
        self.path.unlink(missing_ok=True)
        for group, (standing, at) in self.found.items():
            self._append(_Line(group, at, standing.zone, standing.sums, standing.faults, standing.files))
            self._written[group] = dict(standing.sums)


def fingerprint(paths: Sequence[Path], units: dict[str, FleetUnit], options: FleetOptions, form: str) -> str:
    """Return what tells one input from another: files by size and date, units, options, version."""
    total = hashlib.sha256(
        f"{__version__} {form} {options.standard} {options.ageing} {options.cooling}".encode()
    )
    for path in paths:
        try:
            seen = path.stat()
        except OSError:  # told when the file is read
            continue
        total.update(f"{path.resolve()} {seen.st_size} {seen.st_mtime_ns}\n".encode())
    for unit in units.values():
        size = (unit.kva, unit.rated_current_a, float(unit.model.time_constant_h), *unit.constants)
        total.update(f"{unit.name} {size}\n".encode())
    return total.hexdigest()


def unwritable(path: Path, error: OSError) -> InputError:
    """Return the error of a file that cannot be written."""
    told = os.strerror(error.errno) if error.errno else str(error)
    fix = "Choose a folder that exists, can be written and has room."
    return InputError("FLT-13", str(path), f"it cannot be written: {told}.", fix)
