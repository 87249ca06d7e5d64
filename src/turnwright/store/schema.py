"""The tables of the store, and the steps from each older form to the next."""

from __future__ import annotations

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
    inspect,
    select,
    text,
)

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
FINDING = Table(
    "finding",
    META,
    Column("revision_id", Integer, ForeignKey("revision.id"), nullable=False),
    Column("code", String(100), nullable=False),
    Column("severity", String(20), nullable=False),
    Column("message", Text, nullable=False),
    Index("finding_by_code", "code"),
    Index("finding_by_revision", "revision_id"),
)

Step = Callable[[Connection], None]


def _first(connection: Connection) -> None:
    """Version 1: revisions alone."""
    REVISION.create(connection)


def _findings(connection: Connection) -> None:
    """Version 2: the findings of each revision, to be searched by."""
    FINDING.create(connection)


STEPS: tuple[Step, ...] = (_first, _findings)


def version_of(connection: Connection) -> int:
    """Return the version of the tables that are there; 0 where there are none."""
    if not inspect(connection).has_table(VERSION.name):
        return 0
    return connection.execute(select(VERSION.c.version)).scalar() or 0


def upgrade(connection: Connection, to: int = len(STEPS)) -> int:
    """Bring the tables to a version, step by step, and return the version they had."""
    had = version_of(connection)
    if had == 0:
        VERSION.create(connection, checkfirst=True)
    for number in range(had, to):
        STEPS[number](connection)
    if had < to:
        connection.execute(text("DELETE FROM schema_version"))
        connection.execute(VERSION.insert().values(version=to))
    return had
