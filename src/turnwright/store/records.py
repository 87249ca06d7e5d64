"""What is kept of a job, and what a save answers."""

from __future__ import annotations

from msgspec import Struct


class Revision(Struct, frozen=True, kw_only=True):
    """One save of a job.

    number     counts from 1 within the job
    based_on   revision its author had before them; None for the first, or where they did not say
    job_text   the job file as it was
    result     the answer as JSON text
    """

    key: str
    number: int
    based_on: int | None
    author: str
    saved_at: str
    title: str
    place: str
    verdict: str
    kva: float | None
    load_kva: float | None
    tool: str
    tables: str
    job_text: str
    result: str


class Saved(Struct, frozen=True, kw_only=True):
    """What a save answers: the revision, and those that others saved since the one it is based on."""

    revision: Revision
    meanwhile: tuple[Revision, ...]


class KeptJob(Struct, frozen=True, kw_only=True):
    """A job in the list: its newest revision and how many there are."""

    newest: Revision
    revisions: int


class Recheck(Struct, frozen=True, kw_only=True):
    """A kept job computed again: path of the answer -> (then, now); empty where it stands. `error` where it cannot."""

    revision: Revision
    changed: dict[str, tuple[object, object]]
    gone: tuple[str, ...]
    new: tuple[str, ...]
    error: str | None = None
