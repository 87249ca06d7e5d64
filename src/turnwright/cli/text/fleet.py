"""The page of `fleet`: how many units, the worst of them by rank, what was left out, and by which rules."""

from __future__ import annotations

from collections.abc import Sequence

from turnwright.cli.text.answer import findings_lines
from turnwright.cli.text.examine import grid_lines
from turnwright.cli.text.layout import PLAIN, Ink, entry, paragraph
from turnwright.examine.records import Grid
from turnwright.fleet.records import FleetFault, FleetReport, FleetRow
from turnwright.quantities import figure

FAULTS_SHOWN = 5
LEFT_OUT = "left-out"
NOTHING = "–"


def fleet_page(report: FleetReport, currency: str = "", show_all: bool = False, ink: Ink = PLAIN) -> str:
    """Return the page of a fleet.

    Args:
        report: what came out.
        currency: of the price of energy.
        show_all: everything that was left out, and every finding.
        ink: emphasis on a terminal.
    """
    rest = [finding for finding in report.findings if finding.code != LEFT_OUT]
    parts = [
        _said(report, ink),
        grid_lines(_table(report.worst, currency)),
        _left_out(report.faults, show_all, ink),
        findings_lines(rest, show_all, ink) if rest else [],
    ]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def _said(report: FleetReport, ink: Ink) -> list[str]:
    worst = report.worst[0]
    first = (
        f"{worst.unit} aged most: {figure(worst.life_used_pct, rounding='up')} % of its normal life in "
        f"{figure(worst.hours, digits=4)} h, hottest spot {figure(worst.hot_spot_max_c, rounding='up')} °C."
    )
    number = "1 unit" if report.units == 1 else f"{report.units:,} units"
    second = f"{number} followed over {report.steps:,} steps; a row for each stands in {report.out}."
    return [*(ink.strong(line) for line in paragraph(first)), *paragraph(second)]


def _table(rows: Sequence[FleetRow], currency: str) -> Grid:
    heads = ["", "life used", "hottest spot", "highest load", "overload", "lost", currency]
    cells = [
        [
            f"{row.rank} {row.unit}",
            f"{figure(row.life_used_pct, rounding='up')} %",
            f"{figure(row.hot_spot_max_c, rounding='up')} °C",
            figure(row.peak_pu, rounding="up"),
            f"{figure(row.overload_h, digits=4, rounding='up')} h",
            NOTHING if row.energy_loss_kwh is None else f"{row.energy_loss_kwh:,.0f} kWh",
            NOTHING if row.cost_loss is None else f"{row.cost_loss:,.0f}",
        ]
        for row in rows
    ]
    keep = [i for i in range(len(heads)) if i < 5 or any(row[i] != NOTHING for row in cells)]
    title = "The worst by life used, then by hottest spot"
    return Grid(title, tuple(heads[i] for i in keep), tuple(tuple(row[i] for i in keep) for row in cells))


def _left_out(faults: Sequence[FleetFault], show_all: bool, ink: Ink) -> list[str]:
    shown = faults if show_all else faults[:FAULTS_SHOWN]
    lines = []
    for number, fault in enumerate(shown):
        lines += entry(
            "" if number else "left out", f"{fault.where}: {fault.what} {fault.fix}", fault.code, ink
        )
    hidden = len(faults) - len(shown)
    return [*lines, f"{'':11}… {hidden} more: --all"] if hidden else lines
