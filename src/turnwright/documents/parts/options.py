"""Other sizes and ways with what speaks for or against them; what would work instead of a refused job."""

from __future__ import annotations

from turnwright.documents.brief import Brief
from turnwright.documents.parts.answer import below_table, sides_table
from turnwright.documents.report import Column, Paragraph, Part, Table, cells, table
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import bare, clean
from turnwright.model.result import Alternative, Result
from turnwright.quantities import fixed


def options_table(result: Result) -> Table | None:
    """Return every size and way that was looked at, with its status and why."""
    rows = tuple(
        cells(
            option.arrangement,
            phrases.build_name(option)
            if option.is_other_build
            else ""
            if option.kva is None
            else f"{bare(option.kva)} kVA",
            "" if option.loading_pct is None else f"{fixed(option.loading_pct, 0, 'up')} %",
            option.status,
            clean(option.why),
        )
        for option in result.options
    )
    columns = (
        Column("way", share=15),
        Column("size", share=16),
        Column("loading", "right", share=10),
        Column("status", share=14),
        Column("why", share=45),
    )
    return table("Sizes and ways that were looked at", columns, rows)


def in_short(others: tuple[Alternative, ...]) -> list[Part]:
    """Return what would work instead, each in a sentence or two."""
    parts: list[Part] = []
    for other in others:
        parts.append(Paragraph(f"{clean(other.what)} {clean(other.why)}".strip()))
        if other.blocks is not None:
            parts.append(Paragraph(" ".join(phrases.answer_sentences(other.blocks))))
    return parts


def alternatives(others: tuple[Alternative, ...], brief: Brief) -> list[Part]:
    """Return what would work instead, or a second transformer, each complete where it has a pick."""
    parts: list[Part] = []
    for other in others:
        parts.append(Paragraph(f"{clean(other.what)} {clean(other.why)}".strip()))
        if other.blocks is not None:
            parts.append(Paragraph(" ".join(phrases.answer_sentences(other.blocks))))
            sides = sides_table(other.blocks, brief, clean(other.what))
            below = below_table(other.blocks, brief, f"{clean(other.what)} Bonding, unit, volts")
            parts += [part for part in (sides, below) if part is not None]
        parts += alternatives(other.also, brief)
    return parts
