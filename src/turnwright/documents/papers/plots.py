"""The plots: sizes, phases and currents; time over current; regulation; the curves of studies."""

from __future__ import annotations

from turnwright.documents.brief import Brief, PaperUnit, units_of
from turnwright.documents.drawing.bars import Bar, bars
from turnwright.documents.parts.facts import assumed_table
from turnwright.documents.parts.findings import finding_list
from turnwright.documents.parts.frame import report
from turnwright.documents.parts.questions import question_list
from turnwright.documents.parts.study_plots import (
    STUDIES,
    regulation,
    size_over_growth,
    size_over_ranges,
    study_figures,
    study_of,
)
from turnwright.documents.parts.time_current import time_current
from turnwright.documents.report import Figure, Report, on_new_page, section
from turnwright.documents.words.figures import amperes, bare
from turnwright.narrow import regime_for
from turnwright.quantities import fixed
from turnwright.quantities.figures import Rounding

KIND = "Plots"
FULL_PCT = 100.0
PHASE = "demand.phase["


def plots(brief: Brief) -> Report:
    """Return the plots of a job."""
    units, regime = units_of(brief.result), regime_for(brief.job)
    studies = {question: study_of(question, brief) for question, _ in STUDIES}
    first = units[0] if units else None
    return report(
        KIND,
        brief,
        section("Sizes and how loaded they would be", _sizes(brief)),
        section("Size over growth", size_over_growth(brief)),
        section("Size over what is half known", *size_over_ranges(brief, regime)),
        section("What each phase carries", _phases(brief)),
        *(section(f"{unit.mark}: currents of the load side", _currents(unit)) for unit in units),
        *(
            section(
                f"{unit.mark}: time over current",
                time_current(unit, brief, regime, studies["inrush"] if unit is first else None),
            )
            for unit in units
        ),
        section("Regulation", regulation(brief, regime)),
        *(section(heading, *study_figures(studies[question])) for question, heading in STUDIES),
        *on_new_page(
            section("What rules and checks say", finding_list(brief.result.findings)),
            section("Open questions", question_list(brief.result.questions)),
            section("Assumed", assumed_table(brief)),
        ),
    )


def _sizes(brief: Brief) -> Figure | None:
    pick = brief.result.pick
    rows = [
        Bar(
            f"{option.arrangement} {bare(option.kva)} kVA",
            option.loading_pct,
            f"{fixed(option.loading_pct, 0, 'up')} %, {option.status}"
            + (
                ", the pick"
                if pick and (option.arrangement, option.kva) == (pick.arrangement, pick.kva)
                else ""
            ),
        )
        for option in brief.result.options
        if option.kva is not None and option.loading_pct is not None and not option.is_other_build
    ]
    return bars(rows, ((FULL_PCT, "100 %"),), "Load with growth in percent of each size")


def _phases(brief: Brief) -> Figure | None:
    unit = next(iter(units_of(brief.result)), None)
    rows = [
        Bar(f"phase {line.name[len(PHASE)]}", float(line.value), f"{fixed(line.value, 1, 'up')} kVA")
        for line in brief.result.working
        if line.name.startswith(PHASE) and line.name.endswith("].kva")
    ]
    if unit is None or not rows:
        return None
    third = unit.blocks.pick.kva / (3 if unit.blocks.pick.phases == 3 else 1)
    limit = f"{bare(third)} kVA, {'a third' if unit.blocks.pick.phases == 3 else 'all'} of the unit"
    return bars(rows, ((third, limit),), "Load of each phase with growth, kVA")


def _currents(unit: PaperUnit) -> Figure | None:
    currents, devices, runs = unit.blocks.currents, unit.blocks.protection, unit.blocks.conductors
    values: tuple[tuple[str, float | None, Rounding], ...] = (
        ("load with growth", currents.secondary_load_a, "up"),
        ("rated", currents.secondary_rated_a, "down"),
        ("device", devices.secondary_a, "nearest"),
        ("conductors", runs.secondary.ampacity_a if runs.secondary else None, "down"),
        ("largest device", devices.secondary_max_a, "down"),
    )
    rows = [Bar(name, value, amperes((value,), way)[0]) for name, value, way in values if value is not None]
    return bars(rows, (), "Currents of the load side, A")
