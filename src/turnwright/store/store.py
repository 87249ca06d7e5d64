"""The store itself: one class over SQLite or PostgreSQL, whichever the URL names."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from turnwright.errors import InputError, MissingExtra, UnknownKey, nearest
from turnwright.intake import read_job
from turnwright.model.as_json import result_to_json
from turnwright.narrow.compare import moved
from turnwright.narrow.select import select
from turnwright.store.records import KeptJob, Recheck, Revision, Saved

try:
    import sqlalchemy as sa
    from sqlalchemy.exc import IntegrityError, SQLAlchemyError
except ImportError as missing:
    raise MissingExtra(
        "STO-01",
        "turnwright job",
        "keeping jobs needs a part that is not installed.",
        "Install it with: pip install 'turnwright[store]'.",
    ) from missing

from turnwright.store import schema

TRIES = 20
FIELDS = tuple(name for name in Revision.__struct_fields__)


def default_url() -> str:
    """Return the URL of the store in the user's own data folder; the folder is made."""
    from platformdirs import user_data_path

    folder = user_data_path("turnwright")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(
            "STO-02",
            str(folder),
            f"cannot be made ({error.strerror}).",
            "Name another store with --store URL.",
        ) from None
    return f"sqlite:///{folder / 'jobs.sqlite'}"


class Store:
    """Kept jobs behind a URL, `sqlite:///jobs.sqlite` or `postgresql+psycopg://user@host/name`.

    Example:
        >>> store = Store("sqlite://")
        >>> text = 'supply.system = "480Y/277"\\n[[load]]\\nsystem = "208Y/120"\\nkva = "22 kVA"'
        >>> store.save("hall", text, author="Ines", saved_at="2026-02-03T10:00:00").revision.kva
        30.0
    """

    def __init__(self, url: str) -> None:
        self.url = url
        self.engine = _engine(url)
        with self._told(), self.engine.begin() as connection:
            _lock(connection)
            schema.upgrade(connection)

    def close(self) -> None:
        """Give the connections back."""
        self.engine.dispose()

    def __enter__(self) -> Store:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def save(
        self, key: str, job_text: str, *, author: str, saved_at: str, based_on: int | None = None
    ) -> Saved:
        """Keep a job as the next revision and return it with what others saved since `based_on`.

        Nobody's revision is ever replaced: two people who save at once get two revisions, and are told.
        Raises InputError for a job that cannot be used, or a store that cannot be written.
        """
        values = _values(key, job_text, author, saved_at, based_on)
        findings = values.pop("findings")
        for _ in range(TRIES):
            try:
                with self._told(), self.engine.begin() as connection:
                    _lock(connection)
                    return self._insert(connection, values, findings)
            except IntegrityError:
                continue  # somebody else took the number first
        raise InputError("STO-05", self.url, "is too busy to save now.", "Try again.")

    def _insert(
        self, connection: sa.Connection, values: dict[str, Any], findings: list[dict[str, str]]
    ) -> Saved:
        table = schema.REVISION
        earlier = self._revisions(connection, table.c.key == values["key"])
        number = earlier[-1].number + 1 if earlier else 1
        made = connection.execute(table.insert().values(**values, number=number))
        ids = made.inserted_primary_key
        assert ids is not None
        if findings:
            connection.execute(schema.FINDING.insert(), [{**one, "revision_id": ids[0]} for one in findings])
        since = values["based_on"]
        meanwhile = tuple(r for r in earlier if since is not None and r.number > since)
        return Saved(revision=Revision(**values, number=number), meanwhile=meanwhile)

    def history(self, key: str) -> tuple[Revision, ...]:
        """Return every revision of a job, oldest first. Raises UnknownKey STO-03 for a job that is not kept."""
        with self._told(), self.engine.connect() as connection:
            found = self._revisions(connection, schema.REVISION.c.key == key)
            if found:
                return found
            keys = connection.execute(sa.select(schema.REVISION.c.key).distinct()).scalars().all()
        close = nearest(key, keys)
        raise UnknownKey(
            "STO-03",
            self.url,
            f'no job "{key}" is kept here.',
            f'Did you mean "{close}"?' if close else "See job list.",
        )

    def revision(self, key: str, number: int | None = None) -> Revision:
        """Return one revision of a job, the newest where no number is given."""
        history = self.history(key)
        if number is None:
            return history[-1]
        found = next((revision for revision in history if revision.number == number), None)
        if found is None:
            raise UnknownKey(
                "STO-04",
                self.url,
                f'"{key}" has no revision {number}.',
                f"There are 1 to {history[-1].number}.",
            )
        return found

    def jobs(
        self,
        *,
        words: str | None = None,
        place: str | None = None,
        least_kva: float | None = None,
        most_kva: float | None = None,
        finding: str | None = None,
    ) -> tuple[KeptJob, ...]:
        """Return the newest revision of every job that fits all that is asked.

        words     : part of key or title; place: part of the place
        least_kva : smallest pick, most_kva: largest [kVA]
        finding   : code of a finding, or part of its message
        """
        table = schema.REVISION
        newest = sa.select(
            table.c.key, sa.func.max(table.c.number).label("number"), sa.func.count().label("count")
        )
        grouped = newest.group_by(table.c.key).subquery()
        query = sa.select(table, grouped.c.count).join(
            grouped, (table.c.key == grouped.c.key) & (table.c.number == grouped.c.number)
        )
        if words:
            query = query.where(_holds(table.c.key, words) | _holds(table.c.title, words))
        if place:
            query = query.where(_holds(table.c.place, place))
        if least_kva is not None:
            query = query.where(table.c.kva >= least_kva)
        if most_kva is not None:
            query = query.where(table.c.kva <= most_kva)
        if finding:
            has = sa.select(schema.FINDING.c.revision_id).where(_said(finding))
            query = query.where(table.c.id.in_(has))
        with self._told(), self.engine.connect() as connection:
            rows = connection.execute(query.order_by(table.c.key)).mappings().all()
        return tuple(KeptJob(newest=_revision(row), revisions=int(row["count"])) for row in rows)

    def recheck(self) -> Iterator[Recheck]:
        """Yield the newest revision of every job computed again under today's tool and tables."""
        for kept in self.jobs():
            yield rechecked(kept.newest)

    def _revisions(self, connection: sa.Connection, where: sa.ColumnElement[bool]) -> tuple[Revision, ...]:
        table = schema.REVISION
        rows = connection.execute(sa.select(table).where(where).order_by(table.c.number)).mappings().all()
        return tuple(_revision(row) for row in rows)

    @contextmanager
    def _told(self) -> Iterator[None]:
        """Turn what a database says into one message."""
        try:
            yield
        except IntegrityError:
            raise
        except SQLAlchemyError as error:
            reason = str(getattr(error, "orig", None) or error).strip().splitlines()[0]
            raise InputError(
                "STO-06",
                _without_password(self.url),
                f"the store cannot be used: {reason}.",
                "Check the URL, the rights, the disk.",
            ) from None


def rechecked(revision: Revision) -> Recheck:
    """Return what a revision answers today against what it answered then."""
    then = json.loads(revision.result)
    try:
        now = result_to_json(select(read_job(revision.job_text, revision.key), ledger_open=False, ask=False))
    except InputError as error:
        return Recheck(revision=revision, changed={}, gone=(), new=(), error=str(error))
    move = moved("today", then, now)
    return Recheck(revision=revision, changed=move.result, gone=move.gone, new=move.new)


def _values(key: str, job_text: str, author: str, saved_at: str, based_on: int | None) -> dict[str, Any]:
    if not key.strip() or len(key) > 200:
        raise InputError("STO-07", "key", f'"{key[:40]}" is no name for a job.', "Give up to 200 letters.")
    job = read_job(job_text, key)
    result = result_to_json(select(job, ledger_open=False, ask=False))
    place = "" if job.site.place is None else str(getattr(job.site.place, "value", job.site.place))
    pick, demand = result["pick"] or {}, result["demand"]
    return {
        "key": key,
        "based_on": based_on,
        "author": author,
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
        "findings": [
            {name: one[name] for name in ("code", "severity", "message")} for one in result["findings"]
        ],
    }


def _revision(row: Any) -> Revision:
    return Revision(**{name: row[name] for name in FIELDS})


def _holds(column: sa.Column[Any], words: str) -> sa.ColumnElement[bool]:
    return column.icontains(words, autoescape=True)


def _said(finding: str) -> sa.ColumnElement[bool]:
    """A code where it is one, else words of a message."""
    table = schema.FINDING
    other = table.alias()
    is_code = sa.exists(sa.select(other.c.code).where(other.c.code == finding))
    return (table.c.code == finding) | (~is_code & _holds(table.c.message, finding))


def _engine(url: str) -> sa.Engine:
    try:
        engine = sa.create_engine(url, **_pool(url))
    except (SQLAlchemyError, ImportError, ValueError) as error:
        raise InputError(
            "STO-08",
            _without_password(url),
            f"is no store ({error}).",
            "Write sqlite:///FILE or postgresql+psycopg://…",
        ) from None
    if engine.dialect.name == "sqlite":
        sa.event.listen(engine, "connect", _careful_sqlite)
        sa.event.listen(engine, "begin", _begin_immediate)
    return engine


def _pool(url: str) -> dict[str, Any]:
    """A database in memory lives in its one connection."""
    if url in ("sqlite://", "sqlite:///:memory:"):
        return {"poolclass": sa.pool.StaticPool, "connect_args": {"check_same_thread": False}}
    if url.startswith("sqlite:///"):
        folder = Path(url.removeprefix("sqlite:///")).parent
        if not folder.is_dir():
            raise InputError(
                "STO-02", str(folder), "there is no such folder.", "Make it, or name another store."
            )
    return {"poolclass": sa.pool.NullPool}


def _careful_sqlite(connection: Any, _record: Any) -> None:
    """A write-ahead log that is forced to disk: what was told as saved is there after a crash."""
    connection.isolation_level = None  # transactions are begun below, not by the driver
    cursor = connection.cursor()
    for pragma in ("journal_mode=WAL", "synchronous=FULL", "busy_timeout=20000", "foreign_keys=ON"):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _begin_immediate(connection: sa.Connection) -> None:
    connection.exec_driver_sql("BEGIN IMMEDIATE")


def _lock(connection: sa.Connection) -> None:
    """One writer at a time; SQLite is locked by the beginning of its transaction."""
    if connection.dialect.name == "postgresql":
        connection.execute(sa.text("SELECT pg_advisory_xact_lock(7281)"))


def _without_password(url: str) -> str:
    try:
        return sa.make_url(url).render_as_string(hide_password=True)
    except (SQLAlchemyError, ValueError):
        return "store"
