"""What stands on the pages of a fleet: the form, how far it is, the ranked units, one unit in depth."""

from __future__ import annotations

from pathlib import Path
from typing import Any, NamedTuple

from turnwright.documents.drawing.series import figures_of
from turnwright.documents.fleet_paper import FORMS
from turnwright.documents.make import installed
from turnwright.documents.words import fleet as words
from turnwright.errors import TurnwrightError
from turnwright.fleet.records import FleetProgress
from turnwright.web.fleet.asked import Asked, lines_of
from turnwright.web.fleet.follow import ROWS, report_of, rows_of, unit_of
from turnwright.web.job import answer
from turnwright.web.job.merge import Problem, problem_of
from turnwright.web.papers import file_name
from turnwright.web.render import page
from turnwright.web.reply import KINDS, Reply, html

__all__ = [
    "FILES",
    "Known",
    "done_page",
    "form_page",
    "problem_of",
    "rows_file",
    "under_way_page",
    "unit_page",
]

FILES = "files"
"""Where a problem with the files stands among the problems of the fields."""
ROWS_A_PAGE = 50
STATES = {
    "waiting": "waits for the one before it",
    "running": "is being followed",
    "done": "done",
    "stopped": "stopped",
    "failed": "could not be followed",
}


class Known(NamedTuple):
    """A fleet that was sent: by what name it is asked for, what was asked, how it stands."""

    name: str
    asked: Asked
    state: str


def form_page(asked: Asked, problems: dict[str, Problem], known: list[Known]) -> Reply:
    """Return the form of the files and what goes with them."""
    found = {
        "lines": lines_of(asked, problems),
        "problems": problems,
        "files_problem": problems.get(FILES),
        "known": [(one.name, title_of(one.asked), STATES[one.state]) for one in known],
        "missing": not installed_here(),
    }
    return html(page("fleet", found))


def installed_here() -> bool:
    """Tell whether long profiles can be read here."""
    from importlib.util import find_spec

    return find_spec("pyarrow") is not None


def title_of(asked: Asked) -> str:
    """Return the title of a fleet, or the names of its files."""
    if asked.title:
        return asked.title
    more = len(asked.profiles) - 1
    return f"{asked.profiles[0]}{f' and {more} more' if more > 0 else ''}" if asked.profiles else "Fleet"


def under_way_page(
    name: str, asked: Asked, state: str, progress: FleetProgress, error: TurnwrightError | None
) -> Reply:
    """Return how far a fleet is; the page asks again by itself until it is over."""
    total = progress.total
    share = None if not total else min(1.0, progress.done / total)
    found = {
        "name": name,
        "title": title_of(asked),
        "state": state,
        "says": STATES[state],
        "goes_on": state in ("waiting", "running"),
        "share": share,
        "percent": None if share is None else int(100 * share),
        "done": f"{progress.done / 1e6:.1f}",
        "total": None if total is None else f"{total / 1e6:.1f}",
        "error": error,
    }
    return html(page("fleet_under_way", found))


def done_page(name: str, folder: str, asked: Asked, first: str) -> Reply:
    """Return the ranked units from a rank on, with what was left out and what it rests on."""
    place = Path(folder)
    report, rows = report_of(place), rows_of(place)
    start = (
        max(1, min(int(first), len(rows))) if first.isascii() and first.isdigit() and len(first) < 10 else 1
    )
    shown = rows[start - 1 : start - 1 + ROWS_A_PAGE]
    columns = words.columns(rows, asked.currency)
    lead, second = words.answer(report)
    rest = [one for one in report.findings if one.code != words.LEFT_OUT]
    found = {
        "name": name,
        "title": title_of(asked),
        "lead": lead,
        "second": f"{second}.",
        "together": words.together(rows, asked.currency),
        "heads": [one.head for one in columns],
        "rows": [(row.rank, row.unit, [one.text(row) for one in columns]) for row in shown],
        "range": (start, start + len(shown) - 1, len(rows)),
        "before": max(1, start - ROWS_A_PAGE) if start > 1 else None,
        "after": start + ROWS_A_PAGE if start + ROWS_A_PAGE <= len(rows) else None,
        "faults": report.faults,
        "findings": answer.findings(rest, frozenset(), ()),
        "forms": [form for form in FORMS if installed(form)],
        "rows_name": ROWS,
    }
    return html(page("fleet_done", found))


def unit_page(name: str, folder: str, asked: Asked, rank: str) -> Reply:
    """Return one unit over its time.

    Raises:
        InputError: FLT-11 where there is no such rank; as `year_of_unit`.
    """
    row, study = unit_of(Path(folder), asked, rank)
    found: dict[str, Any] = {
        "name": name,
        "title": title_of(asked),
        "unit": row.unit,
        "rank": row.rank,
        "said": study.said,
        "figures": figures_of(study.series),
        "grids": study.grids,
        "findings": answer.findings(study.findings, frozenset(), ()),
        "assumed": study.assumed,
    }
    return html(page("fleet_unit", found))


def rows_file(folder: str, asked: Asked) -> Reply:
    """Return the rows of all units as a file."""
    name = f"{file_name(asked.title or 'fleet')}-{ROWS}"
    return Reply(200, KINDS["csv"], (Path(folder) / ROWS).read_bytes(), name)
