"""The papers and the job file, to be taken away."""

from __future__ import annotations

import io
import re
import zipfile
from datetime import date

from turnwright.documents.brief import Brief, usual_measure
from turnwright.documents.make import Sheet, make
from turnwright.errors import InputError
from turnwright.narrow import select
from turnwright.web.job.form import Form, Pairs, read_form
from turnwright.web.job.merge import ORIGIN, TEXT, Draft, merge
from turnwright.web.job.page import job_page
from turnwright.web.reply import KINDS, OTHER_KIND, TOML, Reply

ALL = "all"
LONGEST_NAME = 60
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")
_OLDEST = (1980, 1, 1, 0, 0, 0)  # the date inside an archive: same job, same bytes


def paper_file(pairs: Pairs, paper: str, form: str) -> Reply:
    """Return a paper of the job in a form, as a file; the page itself where the job cannot be used.

    Raises:
        InputError: DOC-01, DOC-02, DOC-04.
        MissingExtra: DOC-03.
    """
    pairs = list(pairs)
    sent = read_form(pairs)
    draft = merge(sent)
    if TEXT in draft.problems:
        return job_page(pairs)
    everything = paper == ALL
    made = make(_brief(sent, draft), [] if everything else [paper], [] if everything else [form])
    if not made.sheets:
        why = "; ".join(left.why for left in made.left_out) or "nothing was made"
        raise InputError("DOC-01", paper, f"{why}.", "The memo is made all the same.")
    name = file_name(draft.job.title)
    if everything or len(made.sheets) > 1:
        return Reply(200, KINDS["zip"], _packed(made.sheets), f"{name}-{paper}.zip")
    sheet = made.sheets[0]
    return Reply(200, KINDS.get(sheet.form, OTHER_KIND), sheet.content, f"{name}-{sheet.name}")


def job_file(pairs: Pairs) -> Reply:
    """Return the job file; the page itself where it cannot be used."""
    pairs = list(pairs)
    draft = merge(read_form(pairs))
    if TEXT in draft.problems:
        return job_page(pairs)
    return Reply(200, TOML, draft.text.encode(), f"{file_name(draft.job.title)}.toml")


def _brief(sent: Form, draft: Draft) -> Brief:
    result = select(draft.job, ledger_open=True)
    return Brief(
        job=draft.job,
        text=draft.text,
        origin=ORIGIN,
        result=result,
        measure=usual_measure(str(result.job.get("regime") or "")),
        date=_checked(sent.stamp.get("date", "")),
        by=_printable(sent.stamp.get("by", "")),
        revision=_printable(sent.stamp.get("revision", "")),
    )


def _checked(text: str) -> str:
    """Return a date; it goes on paper as it is written.

    Raises:
        InputError: DOC-04.
    """
    if not text:
        return ""
    try:
        if not _DATE.fullmatch(text):
            raise ValueError(text)
        date.fromisoformat(text)
    except ValueError:
        fix = "Write year, month and day, as 2027-05-01."
        raise InputError("DOC-04", "date", f"'{_printable(text)}' is no date.", fix) from None
    return text


def _printable(text: str) -> str:
    return "".join(letter if letter.isprintable() else " " for letter in text).strip()


def file_name(title: str | None) -> str:
    """Return a title as a part of a name of a file, without anything that a path or a header gives a meaning to.

    Example:
        >>> file_name("Tile works, small jobs"), file_name("../../etc/passwd\\r\\nX: y"), file_name(None)
        ('tile-works-small-jobs', 'etc-passwd-x-y', 'job')
    """
    words = re.sub(r"[^a-z0-9]+", "-", (title or "").lower()).strip("-")
    return words[:LONGEST_NAME].strip("-") or "job"


def _packed(sheets: tuple[Sheet, ...]) -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        for sheet in sheets:
            archive.writestr(zipfile.ZipInfo(sheet.name, _OLDEST), sheet.content, zipfile.ZIP_DEFLATED)
    return held.getvalue()
