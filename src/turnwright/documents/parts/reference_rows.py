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


def requirement(item: str, edition: str) -> tuple[str, Origin] | None:
    """Return a requirement for transformers by its short name; None where the edition has none."""
    try:
        row = table_at("nec_450_requirements", edition).row(item=item)
    except UnknownKey:
        return None
    return str(row.text("requirement")), origin_of(row)


def nameplate(edition: str) -> Iterator[tuple[str, Origin]]:
    """Yield what a nameplate must show."""
    for row in table_at("nec_450_requirements", edition).rows:
        if str(row.text("item")).startswith(NAMEPLATE):
            yield str(row.text("requirement")), origin_of(row)


def insulation_system_c(rise_k: float) -> tuple[float, Origin] | None:
    """Return the temperature class of the insulation that goes with a rise; None for a rise not listed. [°C]"""
    try:
        row = load("us_rise_classes").newest().row(rise_k=rise_k)
    except UnknownKey:
        return None
    return float(row.number("system_c")), origin_of(row)


def impedance_band_pct(phases: int, kva: float) -> tuple[float, float, Origin] | None:
    """Return the usual band of impedance of a size; None outside the table. [%]"""
    for row in load("us_impedance_bands").newest().where(phases=phases).rows:
        over = row.optional("kva_over")
        if (over is None or kva > over) and kva <= row.number("kva_through"):
            return float(row.number("low_pct")), float(row.number("high_pct")), origin_of(row)
    return None


def colors(system: str, edition: str) -> tuple[str, Origin] | None:
    """Return the usual colors of a system's conductors, and whether they are required."""
    try:
        row = table_at("us_conductor_colors", edition).row(system=system)
    except UnknownKey:
        return None
    named = [
        f"{label} {row.text(column)}"
        for label, column in (("A", "a"), ("B", "b"), ("C", "c"), ("neutral", "neutral"))
        if row.optional_text(column)
    ]
    return f"{', '.join(named)} ({row.text('statement')})", origin_of(row)
