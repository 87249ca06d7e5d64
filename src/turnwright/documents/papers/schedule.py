"""The schedules: transformers, loads by phase, devices and conductors. A workbook, CSV, and pages to read."""

from __future__ import annotations

from turnwright.documents.brief import Brief
from turnwright.documents.parts.facts import assumed_table
from turnwright.documents.parts.findings import finding_list
from turnwright.documents.parts.frame import report
from turnwright.documents.parts.load_rows import loads
from turnwright.documents.parts.questions import question_list
from turnwright.documents.parts.unit_rows import circuits, transformers
from turnwright.documents.report import Column, Paragraph, Report, Section, Table, cells, section, table
from turnwright.documents.sheets import Entry, Sheet, shown

KIND = "Schedules"
HEADS = ("mark", "side")
"""Columns of a sheet that head the columns of its page."""


def sheets(brief: Brief) -> tuple[Sheet, ...]:
    """Return the sheets of a job."""
    return transformers(brief), loads(brief), circuits(brief)


def schedule(brief: Brief) -> Report:
    """Return the schedules as pages, turned so that each unit is a column where a row would be too wide."""
    units, by_phase, wiring = sheets(brief)
    return report(
        KIND,
        brief,
        _turned(units),
        _across(by_phase),
        _turned(wiring),
        section("What rules and checks say", finding_list(brief.result.findings)),
        section("Open questions", question_list(brief.result.questions)),
        section("Assumed", assumed_table(brief)),
    )


def _turned(sheet: Sheet) -> Section:
    """Return a sheet with its columns as rows: one column of the page for each row of the sheet."""
    if not sheet.rows:
        return section(sheet.title)
    rows = tuple(
        cells(name, *(shown(row[at]) for row in sheet.rows))
        for at, (name, _) in enumerate(sheet.columns)
        if name not in HEADS and any(shown(row[at]) for row in sheet.rows)
    )
    heads = [" ".join(text for text in (shown(row[0]), _side(sheet, row)) if text) for row in sheet.rows]
    columns = (Column("", share=30), *(Column(head, share=70 // len(heads)) for head in heads))
    return section(sheet.title, table(sheet.title, columns, rows), *_notes(sheet))


def _side(sheet: Sheet, row: tuple[Entry, ...]) -> str:
    return shown(row[1]) if sheet.name == "circuits" else ""


def _across(sheet: Sheet) -> Section:
    """Return a sheet as it is, without columns that are empty all through."""
    everything = (*sheet.rows, *sheet.foot)
    used = [at for at in range(len(sheet.columns)) if any(shown(row[at]) for row in everything)]
    rows = tuple(cells(*(shown(row[at]) for at in used)) for row in everything)
    columns = tuple(_column(sheet, at) for at in used)
    found: Table | None = table(sheet.title, columns, rows)
    return section(sheet.title, found, *_notes(sheet))


def _column(sheet: Sheet, at: int) -> Column:
    name, width = sheet.columns[at]
    numbers = any(not isinstance(row[at], str | None) for row in (*sheet.rows, *sheet.foot))
    return Column(name, "right" if numbers else "left", share=width)


def _notes(sheet: Sheet) -> tuple[Paragraph, ...]:
    return tuple(Paragraph(note, "small") for note in sheet.notes)
