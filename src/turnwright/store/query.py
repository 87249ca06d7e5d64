"""What kept jobs are searched by."""

from __future__ import annotations

from typing import Any

from msgspec import Struct

from turnwright.store import index, schema

import sqlalchemy as sa  # isort: skip


class Asked(Struct, frozen=True, kw_only=True):
    """What a job has to have; all that is asked has to hold.

    words           each of them in the name, the title or the name of a load
    place           part of the place
    least_kva, most_kva            of the unit picked [kVA]
    least_load_kva, most_load_kva  of the running load [kVA]
    finding         the code of a finding, or words of it without its figures
    """

    words: str = ""
    place: str = ""
    least_kva: float | None = None
    most_kva: float | None = None
    least_load_kva: float | None = None
    most_load_kva: float | None = None
    finding: str = ""

    @property
    def is_nothing(self) -> bool:
        """Whether every job fits."""
        return self == Asked()


def where_of(asked: Asked, connection: sa.Connection) -> list[sa.ColumnElement[bool]]:
    """Return the conditions on the table of jobs."""
    job = schema.JOB
    found: list[sa.ColumnElement[bool]] = []
    for word in index.folded(asked.words).split():
        found.append(_holds(job.c.words, word))
    if asked.place.strip():
        found.append(_holds(job.c.place_words, index.folded(asked.place)))
    limits = (
        (job.c.kva, asked.least_kva, asked.most_kva),
        (job.c.load_kva, asked.least_load_kva, asked.most_load_kva),
    )
    for column, least, most in limits:
        if least is not None:
            found.append(column >= least)
        if most is not None:
            found.append(column <= most)
    if asked.finding.strip():
        found.append(job.c.revision_id.in_(_told(asked.finding.strip(), connection)))
    return found


def _holds(column: sa.Column[Any], words: str) -> sa.ColumnElement[bool]:
    return column.contains(words, autoescape=True)


def _told(finding: str, connection: sa.Connection) -> sa.Select[Any]:
    """Numbers of the revisions that are told a finding: by its code where it is one, else by words of it."""
    saying, said = schema.SAYING, schema.SAID
    by_code = saying.c.code == finding
    is_code = connection.execute(sa.select(saying.c.id).where(by_code).limit(1)).first() is not None
    fits = by_code if is_code else _holds(saying.c.words, index.without_figures(finding))
    return sa.select(said.c.revision_id).where(said.c.saying_id.in_(sa.select(saying.c.id).where(fits)))
