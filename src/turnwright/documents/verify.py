"""Whether a paper still stands: its job is computed again, its pages are made again."""

from __future__ import annotations

from pathlib import Path
from typing import Any, cast

from msgspec import Struct

from turnwright.documents.attachments import digest_of
from turnwright.documents.brief import Brief
from turnwright.documents.changes import Change, changes
from turnwright.documents.make import PAPERS, installed
from turnwright.documents.read_back import PaperBack, page_texts, read_back
from turnwright.errors import InputError
from turnwright.model.as_json import SCHEMA, for_working, plain
from turnwright.model.result import Finding, Result, Tool
from turnwright.regimes.traits import Measure

EDITED = "the files inside the paper were changed after it was made"


class Verified(Struct, frozen=True, kw_only=True):
    """The verdict on a paper.

    paper     which paper it is; `title` and `date` as they stand on it
    changed   what is another today; empty: the paper stands
    findings  what else there is to say: added signatures, pages that were not compared
    """

    paper: str
    title: str
    date: str
    made_with: Tool
    tool: Tool
    changed: tuple[Change, ...]
    findings: tuple[Finding, ...]

    def to_json(self) -> dict[str, Any]:
        """Return the verdict as a dict of plain values, the structure that `verify --format json` prints."""
        changed = [
            {"path": one.path, "paper": for_working(one.paper), "now": for_working(one.now), "why": one.why}
            for one in self.changed
        ]
        return {
            "schema": SCHEMA,
            "stands": self.stands,
            "changed": changed,
            "paper": self.paper,
            "title": self.title,
            "date": self.date,
            "made_with": plain(self.made_with),
            "findings": plain(self.findings),
            "questions": [],
            "working": [],
            "tool": plain(self.tool),
        }

    @property
    def stands(self) -> bool:
        """The same job gives the same answer today, and the pages show it."""
        return not self.changed


def verify(path: str | Path) -> Verified:
    """Read the job back out of a paper, compute it again, and compare.

    Raises:
        InputError: the file cannot be read, is no paper of ours, or is damaged.
        MissingExtra: the part that reads PDF is not installed.
    """
    return verified(read_back(path), str(path))


def verified(back: PaperBack, place: str) -> Verified:
    """Compute again what was read out of a paper, and compare.

    Raises:
        InputError: VERIFY-03, its pages cannot be read.
    """
    edits = _edits(back)
    brief, unreadable = _again(back)
    if brief is None:
        return _verdict(back, (*edits, *unreadable), (), None)
    now = brief.result.to_json()
    changed = (*edits, *changes(back.result, now, edited=bool(edits)))
    if changed:
        return _verdict(back, changed, (), brief.result)
    pages, findings = _pages(back, brief, place)
    return _verdict(back, pages, findings, brief.result)


def _edits(back: PaperBack) -> tuple[Change, ...]:
    """Return the files inside that are not those the paper was made with."""
    found = []
    for name, text, digest in (
        ("job file", back.job_text, back.made.job_sha256),
        ("result", back.result_text, back.made.result_sha256),
    ):
        if digest_of(text) != digest:
            found.append(Change(f"{name} inside the paper", digest, digest_of(text), EDITED))
    return tuple(found)


def _again(back: PaperBack) -> tuple[Brief | None, tuple[Change, ...]]:
    """Return the brief of the job as it is answered today, or why it can no longer be answered."""
    from turnwright.intake import read_job
    from turnwright.narrow import select

    made = back.made
    try:
        job = read_job(back.job_text, made.origin)
        result = select(job, ledger_open=True)
    except InputError as error:
        return None, (Change("job file inside the paper", "read", "refused", str(error)),)
    return (
        Brief(
            job=job,
            text=back.job_text,
            origin=made.origin,
            result=result,
            measure=cast(Measure, made.measure),
            date=made.date,
            by=made.by,
            revision=made.revision,
            hold_off=made.hold_off,
            stock=made.stock,
            discount=made.discount,
            years=made.years,
        ),
        (),
    )


def _pages(back: PaperBack, brief: Brief, place: str) -> tuple[tuple[Change, ...], tuple[Finding, ...]]:
    """Make the paper again and compare its pages, where the same tool and tables can."""
    paper = next((one for one in PAPERS if one.name == back.made.paper and "pdf" in one.forms), None)
    same_tool = (
        back.made.version == brief.result.tool.version and back.made.tables == brief.result.tool.tables
    )
    if paper is None or not same_tool or not installed("pdf"):
        return (), (_note("pages-not-compared", "The values stand; the pages were not compared with them."),)
    from turnwright.documents.writers.pdf import pdf_of

    again = pdf_of(paper.build(brief), brief, paper.name)
    if again == back.content:
        return (), ()
    if back.content.startswith(again):
        said = "Something was added to the file after it was made, as a signature or remarks; what was made is whole."
        return (), (_note("added-to", said),)
    old, new = page_texts(back.content, place), page_texts(again, place)
    if old == new:
        return (), (
            _note("saved-again", "The file was saved again by another program; its pages read the same."),
        )
    changed = [
        Change(
            f"page {at + 1}",
            *_first_difference(_at(old, at), _at(new, at)),
            "the page was changed after it was made",
        )
        for at in range(max(len(old), len(new)))
        if _at(old, at) != _at(new, at)
    ]
    return tuple(changed), ()


def _at(pages: list[str], at: int) -> str:
    return pages[at] if at < len(pages) else ""


def _first_difference(old: str, new: str) -> tuple[str, str]:
    """Return what stands around the first word that differs, on both.

    Example:
        >>> _first_difference("a unit of 75 kVA here", "a unit of 45 kVA here")
        ('a unit of 75 kVA here', 'a unit of 45 kVA here')
    """
    before, after = old.split(), new.split()
    at = next(
        (at for at, pair in enumerate(zip(before, after, strict=False)) if pair[0] != pair[1]),
        min(len(before), len(after)),
    )
    start = max(at - 4, 0)
    return " ".join(before[start : at + 5]), " ".join(after[start : at + 5])


def _note(code: str, message: str) -> Finding:
    return Finding(code=code, severity="note", message=message, known="computed")


def _verdict(
    back: PaperBack, changed: tuple[Change, ...], findings: tuple[Finding, ...], result: Result | None
) -> Verified:
    from turnwright.reference import digest
    from turnwright.version import __version__

    job: Any = back.result.get("job") or {}
    return Verified(
        paper=back.made.paper,
        title=str(job.get("title") or "") if isinstance(job, dict) else "",
        date=back.made.date,
        made_with=Tool(version=back.made.version, tables=back.made.tables),
        tool=result.tool if result is not None else Tool(version=__version__, tables=digest()),
        changed=changed,
        findings=findings,
    )
