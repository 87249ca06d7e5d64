"""The page of a load list: what its columns are taken for and what becomes of its rows, before the loads are taken."""

from __future__ import annotations

from typing import Any

import msgspec

from turnwright.ask import LoadList, job_of_sheet
from turnwright.ask.load_list.headings import NOT_READ, roles
from turnwright.ask.load_list.into_job import into_job
from turnwright.documents.words.figures import clean
from turnwright.errors import InputError
from turnwright.intake.sheet_file import Sheet, sheet_of_bytes
from turnwright.web.job import edits
from turnwright.web.job.form import Pairs, lines
from turnwright.web.job.page import opened_page
from turnwright.web.render import page
from turnwright.web.reply import Reply, html

COLUMN = "c."
TAKE = "take"
MOST_CHARACTERS = 400_000
_FIX = "Read it in the terminal: turnwright read LIST."


def list_page(data: bytes, name: str, base: str) -> Reply:
    """Return the preview of a list that somebody brought, for a job as it stands."""
    return _preview(sheet_of_bytes(data, name or "load list", "load list"), base, {}, {})


def loads_page(pairs: Pairs) -> Reply:
    """Return the preview as somebody changed it, or the job with the loads taken over."""
    given = dict(pairs)
    try:
        sheet = msgspec.json.decode(given.get("sheet", ""), type=Sheet)
    except msgspec.DecodeError:
        raise InputError("FILE-05", "load list", "did not come whole.", "Choose the file again.") from None
    said = {
        name.removeprefix(COLUMN): what for name, what in given.items() if name.startswith(COLUMN) and what
    }
    system = {key: given[key].strip() for key in ("system", "supply") if given.get(key, "").strip()}
    base = lines(given.get("base", ""))
    if TAKE in given:
        return opened_page(into_job(base or edits.NEW_JOB, job_of_sheet(sheet, columns=said, **system)))
    return _preview(sheet, base, said, system)


def _preview(sheet: Sheet, base: str, said: dict[str, str], system: dict[str, str]) -> Reply:
    carried = msgspec.json.encode(sheet).decode()
    if len(carried) > MOST_CHARACTERS:
        raise InputError("FILE-11", sheet.name, "this list is too large for the pages.", _FIX)
    problem, found = None, None
    try:
        found = job_of_sheet(sheet, columns=said, **system)
    except InputError as error:
        if not said and not system:
            raise
        problem = error
        found = job_of_sheet(sheet)
    return html(page("loads", _context(found, carried, base, said, system, problem)))


def _context(
    found: LoadList,
    carried: str,
    base: str,
    said: dict[str, str],
    system: dict[str, str],
    problem: InputError | None,
) -> dict[str, Any]:
    return {
        "address": "/loads",
        "found": found,
        "sheet": carried,
        "base": base,
        "system": system.get("system", ""),
        "supply": system.get("supply", ""),
        "problem": problem,
        "columns": [(one, said.get(one.letter, "")) for one in found.columns],
        "roles": [(name, name.replace("_", " ")) for name in roles()],
        "not_read": NOT_READ,
        "rows": [(row, clean(row.words), clean(row.why)) for row in found.rows],
        "loads": sum(row.fate == "load" for row in found.rows),
        "assumed": [clean(one) for one in found.assumed],
        "unread": [clean(one) for one in found.unread],
    }
