"""What is kept of a job, and what a save answers."""

from __future__ import annotations

from msgspec import Struct


class Head(Struct, frozen=True, kw_only=True):
    """One save of a job without its texts: who, when, with which tool and tables, and what came out.

    number    counts from 1 within the job
    based_on  revision its author had before them; None for the first, or where they did not say
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


class Revision(Head, frozen=True, kw_only=True):
    """One save of a job, whole.

    job_text  the job file as it was
    result    the answer as JSON text
    """

    job_text: str
    result: str


class Saved(Struct, frozen=True, kw_only=True):
    """What a save answers: the revision, and those that others saved since the one it is based on.

    revision  None: it was to be kept only where nobody saved meanwhile, and somebody did
    """

    revision: Head | None
    meanwhile: tuple[Head, ...]


class KeptJob(Struct, frozen=True, kw_only=True):
    """A job in the list: its newest revision and how many there are."""

    newest: Head
    revisions: int


class JobList(Struct, frozen=True, kw_only=True):
    """A part of the jobs that fit what was asked, and how many fit in all."""

    jobs: tuple[KeptJob, ...]
    total: int


class Recheck(Struct, frozen=True, kw_only=True):
    """A kept job computed again: path of the answer -> (then, now); empty where it stands. `error` where it cannot."""

    revision: Head
    changed: dict[str, tuple[object, object]]
    gone: tuple[str, ...]
    new: tuple[str, ...]
    error: str | None = None

    @property
    def stands(self) -> bool:
        """Whether it answers as it did."""
        return not (self.changed or self.gone or self.new or self.error)
