"""The whole of a fleet: profiles and a list of units in, one row for each unit out."""

from __future__ import annotations

import os
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Lock
from typing import get_args

from msgspec.structs import replace

from turnwright.errors import InputError
from turnwright.fleet.cluster import follow_groups
from turnwright.fleet.findings import findings_of
from turnwright.fleet.forms.choosing import choose
from turnwright.fleet.parts import follow_group, group_files
from turnwright.fleet.profile_files import profile_files
from turnwright.fleet.profile_files import rows_of as file_rows
from turnwright.fleet.records import (
    WORST,
    FleetFault,
    FleetOptions,
    FleetProgress,
    FleetReport,
    FleetUnit,
    Form,
    Listener,
)
from turnwright.fleet.results import check_out, rows_of, write_rows
from turnwright.fleet.side_file import SideFile, fingerprint
from turnwright.fleet.sums import Standing, UnitSums
from turnwright.fleet.unit_list import read_units
from turnwright.thermal.derating import Cooling


def run_fleet(
    profiles: str | Path,
    units: str | Path,
    out: str | Path,
    *,
    options: FleetOptions | None = None,
    progress: Listener | None = None,
    cluster: str | None = None,
) -> FleetReport:
    """Follow many units over metered time, write one row for each, and return a report.

    profiles : Parquet or CSV file, or a folder of them: columns unit, time, one of load_pu, current_a (of the
               secondary) and kva, ambient_c, and k_factor where harmonics were metered
    units    : CSV or XLSX file with the keys of a nameplate as columns
    out      : CSV or Parquet file; it is replaced, and appears only when it is complete
    options  : how it is calculated
    progress : called after each block of rows, on a cluster after each group of files
    cluster  : address of a Dask scheduler whose workers see the same files; None: this machine. The parts are
               the same, and so is every byte of the result

    What cannot be used is left out and told in the report, the rest is calculated. What was finished when a
    run breaks off stands in a side file, and the next run of the same input goes on from there.

    Raises:
        InputError: FLT-01 to FLT-16 where nothing can be calculated; what the list of units is refused for.
        MissingExtra: FLT-15 where a compiled form or a cluster is asked for that is not installed.
    """
    how = _checked(options or FleetOptions())
    place, paths = Path(out), profile_files(profiles)
    check_out(place, [Path(profiles), Path(units), *paths])
    listed = read_units(units, how)
    groups, faults = group_files(paths)
    steps, exact = _steps(groups)
    form = choose(how.form, steps)
    side = SideFile(
        place.with_name(f"{place.name}.unfinished"), fingerprint(paths, listed, how, form), how.checkpoint_s
    )
    work = _Work(groups, listed, how, form, side, progress, steps if exact else None)
    try:
        stands = work.all() if cluster is None else work.elsewhere(cluster)
    except BaseException:
        side.flush()  # what is finished is not lost with what broke off
        raise
    done = [(listed[name], each) for name, each in _whole(stands)]
    faults += [fault for standing in stands for fault in (*standing.files, *standing.faults.values())]
    if not done:
        side.remove()
        raise _nothing(faults, paths[0].name)
    rows = rows_of(done, how.price_kwh)
    write_rows(place, rows)
    side.remove()
    return FleetReport(
        units=len(rows),
        out=str(out),
        steps=sum(each.steps for _, each in done),
        form=form,
        worst=rows[:WORST],
        findings=findings_of(listed, done, faults, how, form),
        faults=tuple(faults),
    )


class _Work:
    """The groups of one run, followed one after another or side by side."""

    def __init__(
        self,
        groups: Sequence[tuple[Path, ...]],
        units: dict[str, FleetUnit],
        how: FleetOptions,
        form: Form,
        side: SideFile,
        listener: Listener | None,
        total: int | None,
    ) -> None:
        self.groups, self.units, self.how, self.form = groups, units, how, form
        self.side, self.listener = side, listener
        self.steps, self.total = 0, total
        self.lock = Lock()

    def all(self) -> list[Standing]:
        """Return what stands after all groups, in their order."""
        threads = self.how.threads or 1
        if threads < 2 or len(self.groups) < threads:
            return [self.one(number, threads) for number in range(len(self.groups))]
        with ThreadPoolExecutor(threads) as pool:
            return list(pool.map(lambda number: self.one(number, 1), range(len(self.groups))))

    def elsewhere(self, address: str) -> list[Standing]:
        """Return the same from the workers of a cluster."""
        for standing, _ in self.side.found.values():
            self._told(sum(each.steps for each in standing.sums.values()))

        def finished(number: int, stands: Standing, steps: int) -> None:
            self.side.keep(number, stands, (len(self.groups[number]), 0))
            self._told(steps)

        return follow_groups(address, self.groups, self.units, self.form, self.side.found, finished)

    def one(self, number: int, threads: int) -> Standing:
        """Return what stands after a group, going on where an earlier run broke off."""
        standing, begin = self.side.found.get(number, (Standing(), (0, 0)))
        self._told(sum(each.steps for each in standing.sums.values()))

        def checkpoint(stands: Standing, at: tuple[int, int], steps: int) -> None:
            self.side.keep(number, stands, at)
            self._told(steps)

        paths = self.groups[number]
        return follow_group(paths, self.units, self.form, threads, standing, begin, checkpoint)

    def _told(self, steps: int) -> None:
        with self.lock:
            self.steps += steps
            if self.listener is not None and steps:
                self.listener(FleetProgress(self.steps, self.total))


def _checked(options: FleetOptions) -> FleetOptions:
    if options.price_kwh is not None and not 0 <= options.price_kwh < 1e6:
        what = f"{options.price_kwh} is no price of a kWh."
        raise InputError("FLT-14", "price_kwh", what, "Write it 0 or more.")
    if options.cooling not in get_args(Cooling):
        raise InputError("FLT-14", "cooling", f'"{options.cooling}" is no cooling.', "Known: AN, AF.")
    threads = min(os.cpu_count() or 1, 8) if options.threads is None else options.threads
    if not 1 <= threads <= 256:
        raise InputError("FLT-14", "threads", f"{threads} threads cannot be used.", "Write 1 or more.")
    return replace(options, threads=threads)


def _steps(groups: Sequence[tuple[Path, ...]]) -> tuple[int, bool]:
    """Return about how many rows there are, and whether that is exact."""
    total, exact = 0, True
    for path in (path for group in groups for path in group):
        try:
            rows, counted = file_rows(path)
        except InputError:  # told when the file is read
            continue
        total, exact = total + rows, exact and counted
    return total, exact


def _whole(stands: Sequence[Standing]) -> list[tuple[str, UnitSums]]:
    """Return the units whose profile was followed to its end."""
    return [
        (name, sums)
        for standing in stands
        for name, sums in standing.sums.items()
        if name not in standing.faults
    ]


def _nothing(faults: Sequence[FleetFault], name: str) -> InputError:
    """Return the error of a run without a row: the first fault, and how many there are."""
    if not faults:
        return InputError("FLT-05", name, "there are no rows.", "Give at least two rows for each unit.")
    first = faults[0]
    more = f" ({len(faults) - 1} more like this or other faults)" if len(faults) > 1 else ""
    return InputError(first.code, first.where, f"no unit could be calculated: {first.what}{more}", first.fix)
