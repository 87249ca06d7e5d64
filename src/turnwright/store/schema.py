"""The tables of the store, and the steps from each older form to the next."""

from __future__ import annotations

import json
from collections.abc import Callable

from sqlalchemy import (
    Column,
    Connection,
    Float,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
    func,
    inspect,
    select,
    text,
)

from turnwright.store import index

META = MetaData()

VERSION = Table("schema_version", META, Column("version", Integer, primary_key=True))
REVISION = Table(
    "revision",
    META,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("key", String(200), nullable=False),
    Column("number", Integer, nullable=False),
    Column("based_on", Integer),
    Column("author", String(200), nullable=False),
    Column("saved_at", String(40), nullable=False),
    Column("title", Text, nullable=False),
    Column("place", Text, nullable=False),
    Column("verdict", String(20), nullable=False),
    Column("kva", Float),
    Column("load_kva", Float),
    Column("tool", String(40), nullable=False),
    Column("tables", String(100), nullable=False),
    Column("job_text", Text, nullable=False),
    Column("result", Text, nullable=False),
    UniqueConstraint("key", "number", name="one_revision_a_number"),
)
JOB = Table(
    "job",
    META,
    Column("key", String(200), primary_key=True),
    Column("revision_id", Integer, ForeignKey("revision.id"), nullable=False, unique=True),
    Column("number", Integer, nullable=False),
    Column("kva", Float),
    Column("load_kva", Float),
    Column("words", Text, nullable=False),
    Column("place_words", Text, nullable=False),
)
"""The newest revision of each job and what it is found by; all of it follows from the revisions."""
SAYING = Table(
    "saying",
    META,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("mark", String(64), nullable=False, unique=True),
    Column("code", String(100), nullable=False),
    Column("words", Text, nullable=False),
    Index("saying_by_code", "code"),
)
"""What a finding says without figures and names, once for all jobs that are told so."""
SAID = Table(
    "said",
    META,
    Column("saying_id", Integer, ForeignKey("saying.id"), primary_key=True),
    Column("revision_id", Integer, ForeignKey("revision.id"), primary_key=True),
    Index("said_by_revision", "revision_id"),
)
"""What the newest revision of each job is told."""

_OLD = MetaData()
OLD_FINDING = Table(
    "finding",
    _OLD,
    Column("revision_id", Integer, nullable=False),
    Column("code", String(100), nullable=False),
    Column("severity", String(20), nullable=False),
    Column("message", Text, nullable=False),
    Index("finding_by_code", "code"),
    Index("finding_by_revision", "revision_id"),
)
"""Of version 2 alone."""

Step = Callable[[Connection], None]


def _first(connection: Connection) -> None:
    """Version 1: revisions alone."""
    REVISION.create(connection)


def _findings(connection: Connection) -> None:
    """Version 2: the findings of each revision, to be searched by."""
    OLD_FINDING.create(connection)


def _found_by(connection: Connection) -> None:
    """Version 3: the newest revision of each job, and what it is found by, in tables of their own."""
    for table in (JOB, SAYING, SAID):
        table.create(connection)
    newest = select(func.max(REVISION.c.id)).group_by(REVISION.c.key)
    ids = connection.execute(newest).scalars().all()
    for one in ids:
        row = connection.execute(select(REVISION).where(REVISION.c.id == one)).mappings().one()
        findings = json.loads(row["result"]).get("findings", [])
        keep(connection, one, dict(row), index.names_of(row["key"], row["job_text"]), findings)
    OLD_FINDING.drop(connection)


STEPS: tuple[Step, ...] = (_first, _findings, _found_by)


def keep(
    connection: Connection,
    revision_id: int,
    row: dict[str, object],
    names: list[str],
    findings: list[dict[str, str]],
) -> None:
    """Make a revision the newest of its job, to be found by its words, place, sizes and findings.

    names : its title and those of its loads
    """
    key = row["key"]
    values = {
        "revision_id": revision_id,
        "number": row["number"],
        "kva": row["kva"],
        "load_kva": row["load_kva"],
        "words": index.folded(" ".join([str(key), *names])),
        "place_words": index.folded(str(row["place"])),
    }
    before = connection.execute(select(JOB.c.revision_id).where(JOB.c.key == key)).scalar()
    if before is None:
        connection.execute(JOB.insert().values(key=key, **values))
    else:
        connection.execute(SAID.delete().where(SAID.c.revision_id == before))
        connection.execute(JOB.update().where(JOB.c.key == key).values(**values))
    told = _saying_ids(connection, index.sayings(findings, names))
    if told:
        connection.execute(SAID.insert(), [{"revision_id": revision_id, "saying_id": one} for one in told])


def _saying_ids(connection: Connection, sayings: dict[str, dict[str, str]]) -> list[int]:
    """Return the numbers of what is said; what nobody was told before gets one."""
    if not sayings:
        return []
    known = select(SAYING.c.mark, SAYING.c.id).where(SAYING.c.mark.in_(list(sayings)))
    there = {row.mark: row.id for row in connection.execute(known)}
    new = [{"mark": mark, **said} for mark, said in sayings.items() if mark not in there]
    if new:
        connection.execute(SAYING.insert(), new)
        there = {row.mark: row.id for row in connection.execute(known)}
    return list(there.values())


def version_of(connection: Connection) -> int:
    """Return the version of the tables that are there; 0 where there are none, -1 where they are of something else."""
    tables = inspect(connection).get_table_names()
    if VERSION.name not in tables:
        return -1 if tables else 0
    return connection.execute(select(VERSION.c.version)).scalar() or 0


def upgrade(connection: Connection, to: int = len(STEPS)) -> int:
    """Bring the tables to a version, step by step, and return the version they had."""
    had = version_of(connection)
    if had <= 0:
        VERSION.create(connection, checkfirst=True)
    for number in range(max(had, 0), to):
        STEPS[number](connection)
    if had < to:
        connection.execute(text("DELETE FROM schema_version"))
        connection.execute(VERSION.insert().values(version=to))
    return had
