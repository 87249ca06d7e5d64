"""The store itself: one class over SQLite or PostgreSQL, whichever the URL names."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from turnwright.errors import InputError, UnknownKey, nearest
from turnwright.intake import read_job
from turnwright.model.as_json import result_to_json
from turnwright.narrow.select import select
from turnwright.store import index
from turnwright.store.engine import PATIENCE_S, WRITES, engine_of, keep_a_log, lock, shown, told
from turnwright.store.query import Asked, where_of
from turnwright.store.recheck import rechecked
from turnwright.store.records import Head, JobList, KeptJob, Recheck, Revision, Saved

import sqlalchemy as sa  # isort: skip  (after the message where it is not installed)
from sqlalchemy.exc import IntegrityError  # isort: skip

from turnwright.store import schema  # isort: skip

TRIES = 20
MOST_LISTED = 100
"""So many jobs are listed at once unless another number is asked for."""
AT_ONCE = 50
"""So many revisions are read at once where all of them are."""
HEAD = tuple(schema.REVISION.c[name] for name in Head.__struct_fields__)
WHOLE = tuple(schema.REVISION.c[name] for name in Revision.__struct_fields__)


class Store:
    """Kept jobs behind a URL, `sqlite:///jobs.sqlite` or `postgresql+psycopg://user@host/name`.

    Example:
        >>> store = Store("sqlite://")
        >>> text = 'supply.system = "480Y/277"\\n[[load]]\\nsystem = "208Y/120"\\nkva = "22 kVA"'
        >>> store.save("hall", text, author="Ines", saved_at="2026-02-03T10:00:00").revision.kva
        30.0
    """

    def __init__(self, url: str, *, patience_s: float = PATIENCE_S) -> None:
        self.url = url
        self.engine = engine_of(url, patience_s)
        self._writer = self.engine.execution_options(**{WRITES: True})
        with told(url):
            self._make_ready()

    def _make_ready(self) -> None:
        """Make the tables, or bring older ones up; what is newer, or of something else, is left as it is."""
        with self.engine.connect() as connection:
            version = schema.version_of(connection)
        newest = len(schema.STEPS)
        if version > newest:
            what = f"the store has form {version}, made by a newer version; this one knows {newest} at most."
            raise InputError("STO-09", shown(self.url), what, "Use the newer version; nothing was changed.")
        if version < 0:
            what = "the database holds tables of something else."
            raise InputError("STO-10", shown(self.url), what, "Name another one; this one is left as it is.")
        if version < newest:
            keep_a_log(self.engine)
            with self._writer.begin() as connection:
                lock(connection)
                schema.upgrade(connection)

    def close(self) -> None:
        """Give the connections back."""
        self.engine.dispose()

    def __enter__(self) -> Store:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def save(
        self,
        key: str,
        job_text: str,
        *,
        author: str,
        saved_at: str,
        based_on: int | None = None,
        if_newest: bool = False,
    ) -> Saved:
        """Keep a job as the next revision and return it with what others saved since `based_on`.

        Nobody's revision is ever replaced: two people who save at once get two revisions, and are told.

        if_newest : keep it only where nobody saved since `based_on`; else nothing is kept, and `revision` is None
        Raises InputError for a job that cannot be used, or a store that cannot be written.
        """
        values, findings = _values(key, job_text, author, saved_at, based_on)
        for _ in range(TRIES):
            try:
                with told(self.url), self._writer.begin() as connection:
                    lock(connection)
                    return self._insert(connection, values, findings, if_newest)
            except IntegrityError:
                continue  # somebody else took the number first
        raise InputError("STO-05", shown(self.url), "is too busy to save now.", "Try again.")

    def _insert(
        self,
        connection: sa.Connection,
        values: dict[str, Any],
        findings: list[dict[str, str]],
        if_newest: bool,
    ) -> Saved:
        table, job = schema.REVISION, schema.JOB
        newest = connection.execute(sa.select(job.c.number).where(job.c.key == values["key"])).scalar() or 0
        based_on = 0 if if_newest and values["based_on"] is None else values["based_on"]
        meanwhile: tuple[Head, ...] = ()
        if based_on is not None and based_on < newest:
            since = (table.c.key == values["key"]) & (table.c.number > based_on)
            meanwhile = _heads(connection.execute(sa.select(*HEAD).where(since).order_by(table.c.number)))
        if meanwhile and if_newest:
            return Saved(revision=None, meanwhile=meanwhile)
        row = {**values, "number": newest + 1}
        made = connection.execute(table.insert().values(**row)).inserted_primary_key
        assert made is not None
        schema.keep(connection, made[0], row, index.names_of(row["key"], row["job_text"]), findings)
        head = Head(**{name: row[name] for name in Head.__struct_fields__})
        return Saved(revision=head, meanwhile=meanwhile)

    def history(self, key: str) -> tuple[Head, ...]:
        """Return every revision of a job, oldest first. Raises UnknownKey STO-03 for a job that is not kept."""
        table = schema.REVISION
        query = sa.select(*HEAD).where(table.c.key == key).order_by(table.c.number)
        with told(self.url), self.engine.connect() as connection:
            found = _heads(connection.execute(query))
        if not found:
            raise self._unknown(key)
        return found

    def revision(self, key: str, number: int | None = None) -> Revision:
        """Return one revision of a job, the newest where no number is given.

        Raises UnknownKey STO-03 for a job that is not kept, STO-04 for a revision that it does not have.
        """
        table, job = schema.REVISION, schema.JOB
        query = sa.select(*WHOLE).where(table.c.key == key)
        if number is None:
            query = query.join(job, job.c.revision_id == table.c.id)
        elif abs(number) < 2**31:
            query = query.where(table.c.number == number)
        else:
            query = query.where(sa.false())
        with told(self.url), self.engine.connect() as connection:
            row = connection.execute(query).mappings().first()
        if row is not None:
            return Revision(**row)
        newest = self.history(key)[-1].number
        raise UnknownKey(
            "STO-04",
            shown(self.url),
            f'"{key}" has no revision {number}.',
            f"There are 1 to {newest}.",
        )

    def jobs(self, asked: Asked | None = None, *, most: int = MOST_LISTED, skip: int = 0) -> JobList:
        """Return the newest revisions of the jobs that fit all that is asked, the one saved last first.

        most, skip : how many of them, and how many before these are left out
        """
        table, job = schema.REVISION, schema.JOB
        with told(self.url), self.engine.connect() as connection:
            where = where_of(asked or Asked(), connection)
            fitting = sa.select(job.c.revision_id).where(*where)
            fitting = fitting.order_by(job.c.revision_id.desc()).limit(most).offset(skip)
            counted = sa.select(sa.func.count()).select_from(job).where(*where)
            ids = (
                connection.execute(fitting).scalars().all()
            )  # of the narrow table alone: sorting wide rows is slow
            heads = sa.select(*HEAD).where(table.c.id.in_(ids)).order_by(table.c.id.desc())
            found = _heads(connection.execute(heads))
            whole = not skip and len(found) < most
            total = len(found) if whole else connection.execute(counted).scalar() or 0
        jobs = tuple(KeptJob(newest=head, revisions=head.number) for head in found)
        return JobList(jobs=jobs, total=total)

    def recheck(self, asked: Asked | None = None, *, after: str = "") -> Iterator[Recheck]:
        """Yield the newest revision of every job computed again under today's tool and tables, by name.

        after : the name behind which to go on
        """
        while newest := self._newest(asked or Asked(), after):
            for revision in newest:
                yield rechecked(revision)
            after = newest[-1].key

    def _newest(self, asked: Asked, after: str) -> tuple[Revision, ...]:
        table, job = schema.REVISION, schema.JOB
        query = sa.select(*WHOLE).join(job, job.c.revision_id == table.c.id)
        query = query.where(job.c.key > after).order_by(job.c.key).limit(AT_ONCE)
        with told(self.url), self.engine.connect() as connection:
            query = query.where(*where_of(asked, connection))
            return tuple(Revision(**row) for row in connection.execute(query).mappings())

    def _unknown(self, key: str) -> UnknownKey:
        with told(self.url), self.engine.connect() as connection:
            keys = connection.execute(sa.select(schema.JOB.c.key)).scalars().all()
        close = nearest(key, keys)
        return UnknownKey(
            "STO-03",
            shown(self.url),
            f'no job "{key}" is kept here.',
            f'Did you mean "{close}"?' if close else "See job list.",
        )


def _heads(rows: Any) -> tuple[Head, ...]:
    return tuple(Head(**row) for row in rows.mappings())


def _values(
    key: str, job_text: str, author: str, saved_at: str, based_on: int | None
) -> tuple[dict[str, Any], list[dict[str, str]]]:
    """Return the row of a revision and what its findings say."""
    if not key.strip() or len(key) > 200 or not key.isprintable():
        raise InputError(
            "STO-07", "key", f"{key[:40]!r} is no name for a job.", "Give up to 200 letters on one line."
        )
    job = read_job(job_text, key)
    result = result_to_json(select(job, ledger_open=False, ask=False))
    place = "" if job.site.place is None else str(getattr(job.site.place, "value", job.site.place))
    pick, demand = result["pick"] or {}, result["demand"]
    row = {
        "key": key,
        "based_on": based_on,
        "author": author[:200],
        "saved_at": saved_at,
        "title": job.title or "",
        "place": place,
        "verdict": result["verdict"],
        "kva": pick.get("kva"),
        "load_kva": demand["kva"],
        "tool": result["tool"]["version"],
        "tables": result["tool"]["tables"],
        "job_text": job_text,
        "result": json.dumps(result, ensure_ascii=False),
    }
    return row, result["findings"]
