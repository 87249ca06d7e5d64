"""The report of a fleet: the ranked units, the worst of them over time, what was left out, what it rests on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal

from msgspec import Struct

from turnwright.documents.attachments import Attachment
from turnwright.documents.drawing.bars import Bar, bars
from turnwright.documents.drawing.series import figures_of
from turnwright.documents.make import installed, missing
from turnwright.documents.parts.findings import finding_list
from turnwright.documents.parts.frame import closed, tool_marks
from turnwright.documents.report import (
    Cell,
    Column,
    Figure,
    KeyFigures,
    Paragraph,
    Report,
    Section,
    Table,
    cells,
    section,
    table,
)
from turnwright.documents.sheets import Entry, Num, Sheet, above
from turnwright.documents.words import fleet as words
from turnwright.errors import InputError
from turnwright.examine.records import Study
from turnwright.fleet.records import FleetReport, FleetRow
from turnwright.model.as_json import dumps, plain
from turnwright.model.result import Tool
from turnwright.reference import digest
from turnwright.regimes.traits import Measure
from turnwright.version import __version__

FleetForm = Literal["html", "pdf", "xlsx", "csv"]
FORMS: tuple[FleetForm, ...] = ("html", "pdf", "xlsx", "csv")
NAME = "fleet-report"
KIND = "Fleet report"
UNTITLED = "Units over metered time"
ROWS_ON_PAPER, BARS, FAULTS_ON_PAPER = 60, 20, 60


class FleetTold(Struct, frozen=True, kw_only=True):
    """Everything the report of a fleet may use.

    rows      all units by rank
    currency  of the price of energy; "" where none was given
    worst     the unit of rank 1 over its time; None: left out
    """

    report: FleetReport
    rows: tuple[FleetRow, ...]
    currency: str = ""
    worst: Study | None = None
    title: str = ""
    date: str = ""
    by: str = ""
    measure: Measure = "metric"


def fleet_paper(told: FleetTold) -> Report:
    """Return the report of a fleet; same result, same report."""
    lead, second = words.answer(told.report)
    findings = [one for one in told.report.findings if one.code != words.LEFT_OUT]
    together = tuple((name, Cell(value)) for name, value in words.together(told.rows, told.currency))
    return Report(
        kind=KIND,
        title=told.title or UNTITLED,
        marks=tool_marks(Tool(version=__version__, tables=digest())),
        stamp=(("Date", told.date), ("By", told.by)),
        sections=closed(
            (
                section("Answer", Paragraph(lead, "lead"), Paragraph(f"{second}.")),
                section("All units together", KeyFigures(together, "All units together")),
                section("By rank", _ranked(told), _rest(told), _life(told.rows)),
                *_over_time(told.worst),
                section("Left out", _left_out(told.report), _more_left_out(told.report)),
                section("What rules and checks say", finding_list(findings)),
            )
        ),
        page="A4" if told.measure == "metric" else "Letter",
        date=told.date,
    )


def _ranked(told: FleetTold) -> Table | None:
    shown = told.rows[:ROWS_ON_PAPER]
    found = words.columns(told.rows, told.currency)
    rows = tuple(cells(f"{row.rank}", row.unit, *(one.text(row) for one in found)) for row in shown)
    heads = (
        Column("", "right", 5),
        Column("unit", share=20),
        *(Column(one.head, "right", 15) for one in found),
    )
    return table("Units by life used, then by hottest spot", heads, rows)


def _rest(told: FleetTold) -> Paragraph | None:
    more = len(told.rows) - ROWS_ON_PAPER
    if more <= 0:
        return None
    return Paragraph(f"{more:,} more units stand in the workbook and in the CSV file.", "small")


def _life(rows: Sequence[FleetRow]) -> Figure | None:
    worst = [
        Bar(row.unit, row.life_used_pct, f"{words.columns((row,), '')[0].text(row)}") for row in rows[:BARS]
    ]
    return bars(worst, (), "Life used, percent of the normal life")


def _over_time(study: Study | None) -> tuple[Section, ...]:
    if study is None:
        return ()
    title = f"{study.job.get('title') or 'The worst unit'} over time"
    said = [Paragraph(sentence) for sentence in study.said]
    return (Section(title, (*said, *figures_of(study.series)), True),)


def _left_out(report: FleetReport) -> Table | None:
    rows = tuple(
        cells(fault.where, f"{fault.what} {fault.fix}", fault.code)
        for fault in report.faults[:FAULTS_ON_PAPER]
    )
    columns = (
        Column("where", share=22),
        Column("what, and how to mend it", share=68),
        Column("code", share=10),
    )
    return table("What could not be used", columns, rows)


def _more_left_out(report: FleetReport) -> Paragraph | None:
    more = len(report.faults) - FAULTS_ON_PAPER
    return (
        Paragraph(f"{more:,} more could not be used; the workbook lists them all.", "small")
        if more > 0
        else None
    )


def fleet_sheets(told: FleetTold) -> tuple[Sheet, ...]:
    """Return the sheets of a fleet: all units by rank, and what was left out."""
    units = Sheet(
        name="units",
        title="Units by life used, then by hottest spot",
        columns=(
            ("rank", 7),
            ("unit", 22),
            ("hottest spot, °C", 11),
            ("life used, h", 12),
            ("life used, %", 11),
            ("lost, kWh", 12),
            (f"cost, {told.currency}" if told.currency else "cost", 12),
            ("highest load, per unit", 12),
            ("overload, h", 11),
            ("followed, h", 11),
        ),
        rows=tuple(_entries(row) for row in told.rows),
    )
    faults = Sheet(
        name="left out",
        title="What could not be used",
        columns=(("where", 30), ("unit", 18), ("what", 60), ("how to mend it", 50), ("code", 9)),
        rows=tuple((one.where, one.unit, one.what, one.fix, one.code) for one in told.report.faults),
    )
    return (units, faults) if faults.rows else (units,)


def _entries(row: FleetRow) -> tuple[Entry, ...]:
    return (
        Num(row.rank, 0),
        row.unit,
        above(row.hot_spot_max_c, 1),
        above(row.life_used_h, 1),
        above(row.life_used_pct, 4),
        None if row.energy_loss_kwh is None else Num(row.energy_loss_kwh, 0),
        None if row.cost_loss is None else Num(row.cost_loss, 2),
        above(row.peak_pu, 3),
        above(row.overload_h, 2),
        Num(row.hours, 2),
    )


def _html(told: FleetTold) -> dict[str, bytes]:
    from turnwright.documents.writers.html import html_of

    return {f"{NAME}.html": html_of(fleet_paper(told)).encode("utf-8", "replace")}


def _pdf(told: FleetTold) -> dict[str, bytes]:
    from turnwright.documents.writers.pdf import compiled

    text = dumps({**plain(told.report, "report"), "rows": plain(told.rows, "rows")})
    kept = Attachment("fleet.json", text, "application/json", "data", "The result of the fleet, every unit")
    return {f"{NAME}.pdf": compiled(fleet_paper(told), (kept,))}


def _xlsx(told: FleetTold) -> dict[str, bytes]:
    from turnwright.documents.writers.xlsx import workbook

    return {f"{NAME}.xlsx": workbook(fleet_paper(told), fleet_sheets(told))}


def _csv(told: FleetTold) -> dict[str, bytes]:
    from turnwright.documents.writers.csv import csv_of

    return {
        f"{NAME}-{sheet.name.replace(' ', '-')}.csv": csv_of(sheet).encode("utf-8-sig", "replace")
        for sheet in fleet_sheets(told)
    }


_WRITERS: dict[str, Callable[[FleetTold], dict[str, bytes]]] = {
    "html": _html,
    "pdf": _pdf,
    "xlsx": _xlsx,
    "csv": _csv,
}


def chosen_forms(forms: Sequence[str] = ()) -> tuple[str, ...]:
    """Return the forms to make; for none, all that what is installed can make.

    Raises:
        InputError: DOC-02.
        MissingExtra: DOC-03, for a form that is asked for.
    """
    for form in forms:
        if form not in FORMS:
            what = f"there is no form '{form}' of the report of a fleet."
            raise InputError("DOC-02", "--as", what, f"There are: {', '.join(FORMS)}.")
        if not installed(form):
            raise missing(form)
    return tuple(form for form in FORMS if (form in forms if forms else installed(form)))


def fleet_files(told: FleetTold, forms: Sequence[str] = ()) -> dict[str, bytes]:
    """Return the report of a fleet in its forms: name of a file -> content; same result, same bytes.

    Raises:
        InputError: DOC-02.
        MissingExtra: DOC-03.
    """
    files: dict[str, bytes] = {}
    for form in chosen_forms(forms):
        files |= _WRITERS[form](told)
    return files
