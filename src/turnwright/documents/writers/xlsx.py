"""Schedules as a workbook with real formulas; same job, same bytes."""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any, TypeAlias

from turnwright.documents.brief import Brief
from turnwright.documents.report import Report
from turnwright.documents.sheets import HEAD_ROWS, Entry, Formula, Num, Sheet, formula_text
from turnwright.documents.writers.record import record

Workbook: TypeAlias = Any
Worksheet: TypeAlias = Any
Format: TypeAlias = Any
"""Of xlsxwriter, which has no types of its own."""
NO_DATE = datetime(2000, 1, 1, tzinfo=UTC)
"""Stands in the properties of a workbook that was given no date: never the clock."""
LONGEST_TEXT = 32_000
LINE_HEIGHT = 13.5
APART = "_)_)"
"""Room of two brackets behind a number: one set of 6 AWG must not be read as 16 AWG."""
TEXT_INDENT = 1
"""Keeps a text apart from the number in the column before it."""
HEAD_LINES, MOST_LINES = 2, 25
BASIS_WIDTHS = (14, 62, 36, 24, 26)
WIDE = 18
"""A sheet with more columns is printed two pages wide."""
BASIS = ("What rules and checks say", "Open questions", "Assumed")
"""Sections of the report that are repeated on the last sheet."""
PAPERS = {"Letter": 1, "A4": 9}


class _Formats:
    """The formats of a workbook, made once each."""

    def __init__(self, book: Workbook) -> None:
        self._book = book
        self._made: dict[tuple[Any, ...], Format] = {}

    def get(self, **properties: Any) -> Format:
        """Return the format of these properties."""
        key = tuple(sorted(properties.items()))
        if key not in self._made:
            self._made[key] = self._book.add_format({"valign": "top", "font_size": 10, **properties})
        return self._made[key]


def write(report: Report, brief: Brief, name: str) -> dict[str, bytes]:
    """Return the workbook of a schedule."""
    from turnwright.documents.papers.schedule import sheets

    return {f"{name}.xlsx": workbook(report, sheets(brief))}


def workbook(report: Report, sheets: tuple[Sheet, ...]) -> bytes:
    """Return a workbook: a sheet for each schedule, one for findings, one for what was assumed."""
    import xlsxwriter  # type: ignore[import-untyped]

    made = io.BytesIO()
    book = xlsxwriter.Workbook(
        made, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    )
    created = datetime.fromisoformat(f"{report.date}T00:00:00+00:00") if report.date else NO_DATE
    book.set_properties(
        {"title": f"{report.kind}: {report.title}"[:250], "created": created.replace(tzinfo=None)}
    )
    formats = _Formats(book)
    for sheet in sheets:
        _sheet(book.add_worksheet(sheet.name), sheet, report, formats)
    _basis(book.add_worksheet("basis"), report, formats)
    book.close()
    return made.getvalue()


def _sheet(page: Worksheet, sheet: Sheet, report: Report, formats: _Formats) -> None:
    _head(page, sheet.title, report, formats)
    page.fit_to_pages(2 if len(sheet.columns) > WIDE else 1, 0)
    page.repeat_columns(0)
    page.repeat_rows(HEAD_ROWS - 1)
    for at, (name, width) in enumerate(sheet.columns):
        page.set_column(at, at, width)
        look = {"align": "right"} if _numeric(sheet, at) else {"indent": TEXT_INDENT}
        page.write_string(HEAD_ROWS - 1, at, name, formats.get(bold=True, bottom=1, text_wrap=True, **look))
    page.set_row(HEAD_ROWS - 1, LINE_HEIGHT * HEAD_LINES)
    page.freeze_panes(HEAD_ROWS, 1)
    row = HEAD_ROWS
    for entries in (*sheet.rows, *sheet.foot):
        in_foot = row >= HEAD_ROWS + len(sheet.rows)
        top = {"top": 1} if row == HEAD_ROWS + len(sheet.rows) else {}
        page.set_row(row, _height(entries, [width for _, width in sheet.columns]))
        for at, entry in enumerate(entries):
            _entry(page, row, at, entry, len(sheet.rows), formats, {"bold": in_foot, **top})
        row += 1
    for note in sheet.notes:
        row += 1
        page.write_string(row, 0, note, formats.get(italic=True))


def _numeric(sheet: Sheet, at: int) -> bool:
    return any(isinstance(row[at], Num | Formula) for row in sheet.rows)


def _head(page: Worksheet, title: str, report: Report, formats: _Formats) -> None:
    page.write_string(0, 0, title, formats.get(bold=True, font_size=13))
    stamp = [f"{name}: {value}" for name, value in report.stamp if value]
    page.write_string(1, 0, _short(" · ".join([report.title, *report.marks, *stamp])), formats.get())
    page.set_landscape()
    page.set_paper(PAPERS[report.page])
    page.fit_to_pages(1, 0)
    page.set_footer("&L&A&RPage &P of &N")


def _entry(
    page: Worksheet, row: int, at: int, entry: Entry, rows: int, formats: _Formats, more: dict[str, Any]
) -> None:
    if isinstance(entry, str):
        page.write_string(row, at, _short(entry), formats.get(text_wrap=True, indent=TEXT_INDENT, **more))
    elif isinstance(entry, Num | Formula):
        places = "0" if entry.decimals == 0 else "0." + "0" * entry.decimals
        look = formats.get(num_format=f"{places}{APART}", **more)
        if isinstance(entry, Num):
            page.write_number(row, at, entry.value, look)
        else:
            page.write_formula(row, at, formula_text(entry, row + 1, rows), look, entry.value)
    elif more.get("top"):
        page.write_blank(row, at, None, formats.get(**more))


def _height(entries: Sequence[Entry], widths: Sequence[int]) -> float:
    """Return the height of a row in which no text is hidden, by the columns its texts need. [pt]"""
    pairs = zip(entries, widths, strict=False)
    lines = [-(-len(entry) // max(width - 1, 1)) for entry, width in pairs if isinstance(entry, str)]
    return LINE_HEIGHT * min(max(lines, default=1) or 1, MOST_LINES)


def _short(text: str) -> str:
    """Return a text as a cell can hold it."""
    return text[:LONGEST_TEXT]


def _basis(page: Worksheet, report: Report, formats: _Formats) -> None:
    """Write findings, questions, assumptions and the caution: what the sheets rest on."""
    _head(page, "What the sheets rest on", report, formats)
    for at, width in enumerate(BASIS_WIDTHS):
        page.set_column(at, at, width)
    row, wanted = HEAD_ROWS, False
    for kind, *texts in record(report):
        if kind == "section":
            wanted = texts[0] in BASIS
            if wanted:
                row += 1
                page.write_string(row, 0, texts[0], formats.get(bold=True))
                row += 1
        elif (wanted and kind in ("finding", "question", "row", "columns")) or kind == "cautions":
            page.set_row(row, _height(texts, BASIS_WIDTHS) if kind != "cautions" else LINE_HEIGHT)
            for at, text in enumerate(texts):
                page.write_string(row, at, _short(text), formats.get(text_wrap=kind != "cautions"))
            row += 1
