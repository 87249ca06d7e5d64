"""The answer in a sentence, the table of two sides, the drawing."""

from __future__ import annotations

from turnwright.documents.brief import Brief, PaperUnit
from turnwright.documents.drawing.unit_drawing import unit_drawing
from turnwright.documents.parts.origins import Origins
from turnwright.documents.report import Cell, Column, Figure, Paragraph, Table, cells, table
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import bare
from turnwright.documents.words.sides import facts_below, side_rows, supply_of
from turnwright.model.result import Blocks, Result

_PATHS = {
    "system": ("", "supply.system"),
    "largest fault": ("fault.primary_a", "supply.fault_current"),
}
"""Row of the table of sides -> the value of the result on its supply side, and the fact behind it."""

NOT_ENOUGH = "Not enough is known yet to pick a transformer."
REFUSED = "No transformer does this job as it is given."


def answer(result: Result) -> list[Paragraph]:
    """Return the answer: the unit in a sentence, what it carries, the sizes that are still possible."""
    if result.blocks is not None:
        first, *rest = phrases.answer_sentences(result.blocks)
        return [Paragraph(first, "lead"), Paragraph(" ".join([*rest, *_range(result)]))]
    lead = REFUSED if result.verdict == "refused" else NOT_ENOUGH
    return [Paragraph(lead, "lead"), *(Paragraph(text) for text in _range(result))]


def _range(result: Result) -> list[str]:
    if result.range_kva is None or result.range_kva[0] == result.range_kva[1]:
        return []
    low, high = (bare(end) for end in result.range_kva)
    return [f"What is known leaves {low} to {high} kVA possible."]


def sides_table(blocks: Blocks, brief: Brief, caption: str) -> Table | None:
    """Return the table of both sides of a unit."""
    job, origins = brief.result.job, Origins(brief.result)
    rows = []
    for row in side_rows(blocks, supply_of(job), brief.regime):
        if row.supply or row.load:
            mark = origins.of(*_PATHS[row.name]).mark if row.name in _PATHS and row.supply else ""
            rows.append(cells(row.name, Cell(row.supply, mark), row.load))
    columns = (Column("", share=22), Column("supply side", share=39), Column("load side", share=39))
    return table(caption, columns, tuple(rows))


def below_table(blocks: Blocks, brief: Brief, caption: str) -> Table | None:
    """Return what belongs to neither side: bonding, the unit, its volts, the efficiency law."""
    rows = tuple(cells(name, text) for name, text in facts_below(blocks, brief.regime) if text)
    return table(caption, (Column("", share=22), Column("", share=78)), rows)


def drawing(unit: PaperUnit, brief: Brief) -> Figure | None:
    """Return the drawing of a unit."""
    job = brief.result.job
    return unit_drawing(unit.blocks, unit.mark, supply_of(job), brief.regime)
