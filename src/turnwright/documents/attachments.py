"""What a PDF carries besides its pages: the job file, the result, and how the paper was made."""

from __future__ import annotations

from hashlib import sha256
from typing import Any

import msgspec
from msgspec import Struct

from turnwright.documents.brief import Brief, Stock
from turnwright.model.as_json import dumps, result_to_json

JOB, RESULT, MADE = "job.toml", "result.json", "turnwright-paper.json"
LAYOUT = 1


class Attachment(Struct, frozen=True):
    """One file inside a PDF."""

    name: str
    text: str
    mime: str
    relationship: str
    description: str


class Made(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """How a paper was made: enough to make it again, and to see whether its attachments are its own."""

    layout: int
    paper: str
    origin: str
    measure: str
    date: str
    by: str
    revision: str
    version: str
    tables: str
    job_sha256: str
    result_sha256: str
    hold_off: tuple[tuple[float, float], ...] = ()
    stock: Stock | None = None
    discount: float | None = None
    years: float | None = None


def attachments_of(brief: Brief, paper: str) -> tuple[Attachment, ...]:
    """Return the files that go into the PDF of a paper."""
    result = dumps(result_to_json(brief.result))
    made = msgspec.json.format(msgspec.json.encode(made_of(brief, paper, result)), indent=2).decode()
    return (
        Attachment(JOB, brief.text, "application/toml", "source", "The job file this paper was made from"),
        Attachment(RESULT, result, "application/json", "data", "The result with its working"),
        Attachment(MADE, f"{made}\n", "application/json", "supplement", "How this paper was made"),
    )


def made_of(brief: Brief, paper: str, result_text: str) -> Made:
    """Return how a paper is made."""
    tool = brief.result.tool
    return Made(
        layout=LAYOUT,
        paper=paper,
        origin=brief.origin,
        measure=brief.measure,
        date=brief.date,
        by=brief.by,
        revision=brief.revision,
        version=tool.version,
        tables=tool.tables,
        job_sha256=digest_of(brief.text),
        result_sha256=digest_of(result_text),
        hold_off=brief.hold_off,
        stock=brief.stock,
        discount=brief.discount,
        years=brief.years,
    )


def digest_of(text: str) -> str:
    """Return the SHA-256 of a text in UTF-8."""
    return sha256(text.encode()).hexdigest()


def made_from(data: Any) -> Made:
    """Return how a paper was made, read back from its attachment.

    Raises:
        msgspec.ValidationError: it is not laid out so.
    """
    return msgspec.convert(data, Made)
