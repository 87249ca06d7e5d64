"""Schedules as CSV, one file for each sheet: for other programs, and where no workbook can be made."""

from __future__ import annotations

import csv
import io

from turnwright.documents.brief import Brief
from turnwright.documents.report import Report
from turnwright.documents.sheets import Entry, Sheet, shown

STEERING = ("=", "+", "-", "@", "\t", "\r")
"""Beginnings of a text that a spreadsheet would run as a formula."""


def write(report: Report, brief: Brief, name: str) -> dict[str, bytes]:
    """Return a CSV file for each sheet, in UTF-8 with a byte order mark, so that spreadsheets read it right."""
    from turnwright.documents.papers.schedule import sheets

    return {
        f"{name}-{sheet.name}.csv": csv_of(sheet).encode("utf-8-sig", "replace") for sheet in sheets(brief)
    }


def csv_of(sheet: Sheet) -> str:
    """Return a sheet as CSV: the names of the columns, the rows, the rows of sums with their values."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([name for name, _ in sheet.columns])
    for row in (*sheet.rows, *sheet.foot):
        writer.writerow([plain(entry) for entry in row])
    return text.getvalue()


def plain(entry: Entry) -> str:
    """Return an entry as CSV has it; a text that would be run as a formula is quoted.

    Example:
        >>> from turnwright.documents.sheets import Num
        >>> plain("=1+1"), plain(Num(-2.5))
        ("'=1+1", '-2.5')
    """
    text = shown(entry)
    if isinstance(entry, str) and text.startswith(STEERING):
        return f"'{text}"
    return text
