"""The page that says whether a paper still stands, and the job that a paper carries."""

from __future__ import annotations

from typing import Any, NamedTuple

from turnwright.documents.read_back import read_content
from turnwright.documents.verify import Verified, verified
from turnwright.documents.words.figures import clean, short_digest
from turnwright.documents.words.phrases import shown
from turnwright.errors import InputError
from turnwright.web.forms import text_of
from turnwright.web.job.merge import problem_of
from turnwright.web.job.page import opened_page
from turnwright.web.render import page
from turnwright.web.reply import Reply, as_json, html

PDF = b"%PDF-"
PLACE = "file"
MOST_CHANGES = 200


class ChangeView(NamedTuple):
    """What is another today: its name, what stands on paper, what it is now, why."""

    path: str
    paper: str
    now: str
    why: str


def empty_paper_page() -> Reply:
    """Return the page before a paper is given."""
    return html(page("paper", {"found": None, "problem": None}))


def paper_page(data: bytes) -> Reply:
    """Return whether the paper of these bytes still stands.

    Raises:
        MissingExtra: VERIFY-06.
    """
    try:
        found = verified(read_content(data, PLACE), PLACE)
    except InputError as error:
        return html(page("paper", {"found": None, "problem": problem_of(error)}), 400)
    return html(page("paper", {"found": found, "problem": None, **_view(found)}))


def _view(found: Verified) -> dict[str, Any]:
    changed = [
        ChangeView(one.path, shown(one.paper), shown(one.now), clean(one.why))
        for one in found.changed[:MOST_CHANGES]
    ]
    about = ", ".join(text for text in (found.paper, found.date) if text)
    made = f"turnwright {found.made_with.version} · tables {short_digest(found.made_with.tables)}"
    return {
        "changed": changed,
        "about": about,
        "made": made,
        "notes": [clean(one.message) for one in found.findings],
    }


def api_verify(kind: str, body: bytes) -> Reply:
    """Return whether a paper still stands, for programs.

    Raises:
        InputError: VERIFY-01 to VERIFY-05.
        MissingExtra: VERIFY-06.
    """
    return as_json(verified(read_content(body, "body"), "body").to_json())


def opened_file(data: bytes) -> Reply:
    """Return the page of a job that somebody brought: a job file, or a paper that carries its job.

    Raises:
        InputError: it is neither.
        MissingExtra: VERIFY-06.
    """
    if data.lstrip()[: len(PDF)] == PDF:
        return opened_page(read_content(data, PLACE).job_text)
    return opened_page(text_of(data, PLACE))
