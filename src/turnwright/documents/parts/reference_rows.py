"""Rows of reference tables that papers show: nameplate, checks, colors, insulation system, impedance band."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.documents.parts.origins import Origin
from turnwright.errors import TableError, UnknownKey
from turnwright.reference import EditionTable, Row, load

NAMEPLATE = "nameplate_"


def table_at(name: str, edition: str) -> EditionTable:
    """Return a table in an edition, or in its newest where it does not carry that one."""
    table = load(name)
    try:
        return table.at(edition)
    except TableError:
        return table.newest()


def origin_of(row: Row) -> Origin:
    """Return where a row comes from and how it is known."""
    return Origin(row.source.known, row.source.cite())


def requirement(table: str | None, item: str, edition: str) -> tuple[str, Origin] | None:
    """Return a requirement for transformers by its short name; None where table or edition have none."""
    if table is None:
        return None
    try:
        row = table_at(table, edition).row(item=item)
    except UnknownKey:
        return None
    return str(row.text("requirement")), origin_of(row)


def nameplate(table: str | None, edition: str) -> Iterator[tuple[str, Origin]]:
    """Yield what a nameplate must show; nothing where no table is carried."""
    for row in table_at(table, edition).rows if table is not None else ():
        if str(row.text("item")).startswith(NAMEPLATE):
            yield str(row.text("requirement")), origin_of(row)


def insulation_system_c(table: str, rise_k: float) -> tuple[float, Origin] | None:
    """Return the temperature class of the insulation that goes with a rise; None for a rise not listed. [°C]"""
    try:
        row = load(table).newest().row(rise_k=rise_k)
    except UnknownKey:
        return None
    return float(row.number("system_c")), origin_of(row)


def impedance_band_pct(table: str, phases: int, kva: float) -> tuple[float, float, Origin] | None:
    """Return the usual band of impedance of a size; None outside the table. [%]"""
    for row in load(table).newest().where(phases=phases).rows:
        over = row.optional("kva_over")
        if (over is None or kva > over) and kva <= row.number("kva_through"):
            return float(row.number("low_pct")), float(row.number("high_pct")), origin_of(row)
    return None


def colors(
    table: str | None, system: str, edition: str, lines: tuple[str, str, str]
) -> tuple[str, Origin] | None:
    """Return the colors of a system's conductors, and whether they are required; None where none are listed."""
    if table is None:
        return None
    try:
        row = table_at(table, edition).row(system=system)
    except UnknownKey:
        return None
    named = [
        f"{label} {row.text(column)}"
        for label, column in zip((*lines, "neutral"), ("a", "b", "c", "neutral"), strict=True)
        if row.optional_text(column)
    ]
    return f"{', '.join(named)} ({row.text('statement')})", origin_of(row)
