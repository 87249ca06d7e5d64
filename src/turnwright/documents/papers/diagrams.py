"""The diagrams: one line, windings with their terminals, what is joined to what."""

from __future__ import annotations

from turnwright.arrangements.zigzag import NAME as ZIGZAG
from turnwright.documents.brief import Brief, PaperUnit, units_of
from turnwright.documents.drawing.connection_of import Joined, connection_of
from turnwright.documents.drawing.one_line import one_line
from turnwright.documents.parts.answer import drawing
from turnwright.documents.parts.facts import assumed_table
from turnwright.documents.parts.findings import finding_list
from turnwright.documents.parts.frame import report
from turnwright.documents.parts.questions import question_list
from turnwright.documents.report import Column, Report, Section, Table, cells, on_new_page, section, table
from turnwright.documents.words.figures import bare
from turnwright.documents.words.sides import bond_words
from turnwright.quantities import fixed
from turnwright.reference import load
from turnwright.regimes import Words

KIND = "Diagrams"


def diagrams(brief: Brief) -> Report:
    """Return the one-line and the winding diagram of each unit."""
    return report(
        KIND,
        brief,
        *(one for unit in units_of(brief.result) for one in _unit(unit, brief)),
        *on_new_page(
            section("What rules and checks say", finding_list(brief.result.findings)),
            section("Open questions", question_list(brief.result.questions)),
            section("Assumed", assumed_table(brief)),
        ),
    )


def _unit(unit: PaperUnit, brief: Brief) -> tuple[Section, ...]:
    joined = connection_of(unit.blocks.pick, brief.regime)
    what = f"{unit.mark} {unit.what}".strip()
    return (
        section(f"{what}: one line", one_line(unit, brief)),
        section(f"{what}: windings", drawing(unit, brief)),
        section(
            f"{what}: terminals",
            *(_terminals(joined, unit, brief.traits.words), _links(unit), _windings(joined))
            if joined
            else (),
        ),
    )


def _terminals(joined: Joined, unit: PaperUnit, words: Words) -> Table | None:
    bond = bond_words(unit.blocks.grounding, words)
    rows = [
        cells(name, "supply side", f"line {at} of the supply")
        for at, name in enumerate(joined.supply, start=1)
    ]
    if joined.supply_neutral:
        made = unit.blocks.pick.arrangement == ZIGZAG
        to = "the neutral it makes, which the loads use" if made else "neutral of the supply"
        rows.append(cells(joined.supply_neutral, "supply side", to))
    rows += [
        cells(name, "load side", f"line {at} of the loads") for at, name in enumerate(joined.load, start=1)
    ]
    if joined.load_neutral:
        to = f"neutral of the loads; to the {words.ground_bar}: {bond}" if bond else "neutral of the loads"
        rows.append(cells(joined.load_neutral, "load side", to))
    columns = (Column("terminal", share=20), Column("side", share=25), Column("joined to", share=55))
    return table("Terminals", columns, tuple(rows))


def _links(unit: PaperUnit) -> Table | None:
    """Return how the coils of a buck-boost unit are linked, where its windings are those of a usual unit."""
    if unit.blocks.pick.buck_boost is None:
        return None
    high_v, low_v = unit.blocks.pick.buck_boost.winding_v
    rows = []
    for name, volts, series, parallel, marks in (
        ("input coils", high_v, "primary_series_v", "primary_parallel_v", ("H1", "H2", "H3", "H4")),
        ("output coils", low_v, "secondary_series_v", "secondary_parallel_v", ("X1", "X2", "X3", "X4")),
    ):
        first, second, third, last = marks
        if volts in load("us_buck_boost").newest().column(series):
            rows.append(
                cells(name, f"{bare(volts)} V", f"in series: {second} to {third}; ends {first} and {last}")
            )
        elif volts in load("us_buck_boost").newest().column(parallel):
            pairs = f"{first} to {third}, {second} to {last}"
            rows.append(cells(name, f"{bare(volts)} V", f"in parallel: {pairs}; ends {first} and {last}"))
    columns = (
        Column("coils", share=20),
        Column("winding", share=20),
        Column("links of a usual unit with four leads a side", share=60),
    )
    return table("Links; follow the nameplate where it differs", columns, tuple(rows))


def _windings(joined: Joined) -> Table | None:
    cores = {
        core: number
        for number, core in enumerate(dict.fromkeys(p.core for p in joined.connection.places), start=1)
    }
    rows = tuple(
        cells(
            f"core {cores[place.core]}",
            _end(place.dot),
            _end(place.other),
            f"{fixed(place.rated_v, 1).removesuffix('.0')} V",
        )
        for place in joined.connection.places
    )
    columns = (
        Column("winding on", share=25),
        Column("dotted end", share=25),
        Column("other end", share=25),
        Column("volts", "right", share=25),
    )
    return table("Windings, volts on the middle tap", columns, rows)


def _end(node: str) -> str:
    return "a joint inside" if "." in node else node
