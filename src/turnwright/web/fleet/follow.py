"""The work on a fleet inside a worker process: files of a folder in, result and papers in the same folder out."""

from __future__ import annotations

import time
from pathlib import Path

import msgspec

from turnwright.documents.fleet_paper import FORMS, FleetTold, fleet_files
from turnwright.drafts import write_whole
from turnwright.errors import InputError
from turnwright.examine.records import Study
from turnwright.examine.year_of_fleet import year_of_unit
from turnwright.fleet.records import FleetProgress, FleetReport, FleetRow
from turnwright.web.fleet.asked import Asked
from turnwright.web.papers import file_name
from turnwright.web.reply import KINDS, Reply, html

PROFILES, UNITS = "profiles", "units"
"""Folders of the files as they were sent."""
ROWS, REPORT, PROGRESS = "units.csv", "report.json", "progress.json"
EVERY_S = 0.3


def follow(folder: str, asked: Asked) -> Reply:
    """Follow the units of a folder, and leave rows and report in it.

    Raises:
        InputError: as `run_fleet`.
    """
    from turnwright.fleet import run_fleet  # heavy, and perhaps not installed

    place = Path(folder)
    report = run_fleet(
        profiles_of(place),
        units_of(place),
        place / ROWS,
        options=asked.options(),
        progress=_Told(place / PROGRESS),
    )
    write_whole(place / REPORT, msgspec.json.encode(msgspec.structs.replace(report, out=ROWS)))
    return html("")


class _Told:
    """Leaves progress where the pages look for it, a few times a second."""

    def __init__(self, path: Path) -> None:
        self.path, self.last = path, 0.0

    def __call__(self, progress: FleetProgress) -> None:
        now = time.monotonic()
        if now - self.last < EVERY_S:
            return
        self.last = now
        write_whole(self.path, msgspec.json.encode(progress))


def profiles_of(place: Path) -> Path:
    """Return the file of the profiles, or their folder where there are several."""
    files = sorted((place / PROFILES).iterdir())
    return files[0] if len(files) == 1 else place / PROFILES


def units_of(place: Path) -> Path:
    """Return the list of units."""
    return next((place / UNITS).iterdir())


def progress_of(place: Path) -> FleetProgress:
    """Return how far the work on a folder is."""
    try:
        return msgspec.json.decode((place / PROGRESS).read_bytes(), type=FleetProgress)
    except (OSError, msgspec.MsgspecError):
        return FleetProgress(0, None)


def report_of(place: Path) -> FleetReport:
    """Return the report that was left in a folder."""
    return msgspec.json.decode((place / REPORT).read_bytes(), type=FleetReport)


def rows_of(place: Path) -> tuple[FleetRow, ...]:
    """Return the rows that were left in a folder, by rank."""
    from turnwright.fleet.results import read_rows

    return read_rows(place / ROWS)


def unit_of(place: Path, asked: Asked, rank: str) -> tuple[FleetRow, Study]:
    """Return the row of a rank, and its unit over time.

    Raises:
        InputError: FLT-11 where there is no such rank; as `year_of_unit`.
    """
    rows = rows_of(place)
    number = int(rank) if rank.isascii() and rank.isdigit() and len(rank) < 10 else 0
    if not 1 <= number <= len(rows):
        raise InputError(
            "FLT-11", "address", "there is no unit of that rank.", f"Ranks go up to {len(rows)}."
        )
    row = rows[number - 1]
    found = year_of_unit(profiles_of(place), units_of(place), row.unit, asked.options(), asked.price)
    return row, found


def paper(folder: str, asked: Asked, form: str) -> Reply:
    """Return the report of a fleet in a form, as a file.

    Raises:
        InputError: DOC-02.
        MissingExtra: DOC-03.
    """
    place = Path(folder)
    if form not in FORMS:
        raise InputError(
            "DOC-02", "address", f"there is no form '{form[:20]}'.", f"There are: {', '.join(FORMS)}."
        )
    rows = rows_of(place)
    told = FleetTold(
        report=report_of(place),
        rows=rows,
        currency=asked.currency,
        worst=unit_of(place, asked, "1")[1] if form in ("html", "pdf") else None,
        title=asked.title,
    )
    name, content = next(iter(fleet_files(told, (form,)).items()))
    return Reply(200, KINDS[form], content, f"{file_name(asked.title or 'fleet')}-{name}")
