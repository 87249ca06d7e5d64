"""The page of `fleet`: how many units, the worst of them by rank, what was left out, and by which rules."""

from __future__ import annotations

from collections.abc import Sequence

from turnwright.cli.text.answer import findings_lines
from turnwright.cli.text.examine import grid_lines
from turnwright.cli.text.layout import PLAIN, Ink, entry, paragraph
from turnwright.documents.words import fleet as words
from turnwright.examine.records import Grid
from turnwright.fleet.records import FleetFault, FleetReport, FleetRow

FAULTS_SHOWN = 5


def fleet_page(report: FleetReport, currency: str = "", show_all: bool = False, ink: Ink = PLAIN) -> str:
    """Return the page of a fleet.

    Args:
        report: what came out.
        currency: of the price of energy.
        show_all: everything that was left out, and every finding.
        ink: emphasis on a terminal.
    """
    rest = [finding for finding in report.findings if finding.code != words.LEFT_OUT]
    parts = [
        _said(report, ink),
        grid_lines(_table(report.worst, currency)),
        _left_out(report.faults, show_all, ink),
        findings_lines(rest, show_all, ink) if rest else [],
    ]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def _said(report: FleetReport, ink: Ink) -> list[str]:
    first, second = words.answer(report)
    stands = f"{second}; a row for each stands in {report.out}."
    return [*(ink.strong(line) for line in paragraph(first)), *paragraph(stands)]


def _table(rows: Sequence[FleetRow], currency: str) -> Grid:
    found = words.columns(rows, currency)
    cells = tuple((f"{row.rank} {row.unit}", *(one.text(row) for one in found)) for row in rows)
    heads = ("", *(one.head for one in found))
    return Grid("The worst by life used, then by hottest spot", heads, cells)


def _left_out(faults: Sequence[FleetFault], show_all: bool, ink: Ink) -> list[str]:
    shown = faults if show_all else faults[:FAULTS_SHOWN]
    lines = []
    for number, fault in enumerate(shown):
        lines += entry(
            "" if number else "left out", f"{fault.where}: {fault.what} {fault.fix}", fault.code, ink
        )
    hidden = len(faults) - len(shown)
    return [*lines, f"{'':11}… {hidden} more: --all"] if hidden else lines
