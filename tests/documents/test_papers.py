"""What every paper has: findings, assumptions, questions, the caution once, versions; and what each adds."""

from collections.abc import Callable

import pytest
from msgspec.structs import replace

from turnwright.documents.brief import Brief, units_of
from turnwright.documents.make import PAPERS, Paper
from turnwright.documents.papers.checklist import checklist
from turnwright.documents.papers.labels import labels
from turnwright.documents.papers.specification import specification
from turnwright.documents.report import Report
from turnwright.documents.words.phrases import CAUTION
from turnwright.documents.writers.record import Line, record, texts
from turnwright.intake import read_job
from turnwright.model.result import Alternative
from turnwright.narrow import select
from turnwright.reference import load


def rows_of(report: Report) -> dict[str, Line]:
    """Return the rows of all tables by their first cell; the first of a name counts."""
    return {line[1]: line for line in reversed(record(report)) if line[0] == "row"}


PAPER = pytest.mark.parametrize("paper", PAPERS, ids=[paper.name for paper in PAPERS])


@PAPER
def test_findings_assumptions_and_questions_are_on_every_paper(paper: Paper, pump_house: Brief) -> None:
    said = texts(paper.build(pump_house))
    for finding in pump_house.result.findings:
        assert " ".join(finding.message.split()) in said
    for question in pump_house.result.questions:
        assert question.ask in said
    for fact in pump_house.result.job["facts"]:
        if fact["known"] == "assumed":
            assert fact["reason"] in said


@PAPER
def test_the_caution_stands_on_every_paper_once(paper: Paper, gatehouse: Brief) -> None:
    assert texts(paper.build(gatehouse)).count(CAUTION) == 1


@PAPER
def test_every_paper_says_what_it_was_made_with(paper: Paper, gatehouse: Brief) -> None:
    tool = gatehouse.result.tool
    digest = tool.tables.removeprefix("sha256:")[:6]
    assert paper.build(gatehouse).marks == ("NEC 2023", f"tables {digest}", f"turnwright {tool.version}")


@PAPER
def test_date_author_and_revision_stand_as_given_or_as_lines_to_fill_in(
    paper: Paper, gatehouse: Brief
) -> None:
    assert paper.build(gatehouse).stamp == (("Date", ""), ("By", ""), ("Revision", ""))
    dated = replace(gatehouse, date="2026-11-30", by="M. Orr", revision="B")
    assert paper.build(dated).stamp == (("Date", "2026-11-30"), ("By", "M. Orr"), ("Revision", "B"))


@PAPER
def test_a_second_unit_of_the_job_is_on_every_paper(
    paper: Paper, made_by_hand: Callable[..., Brief], gatehouse: Brief
) -> None:
    blocks = gatehouse.result.blocks
    other = Alternative(what="A small unit for the controls.", why="They keep 120 V.", blocks=blocks)
    said = texts(paper.build(made_by_hand(also=(other,))))
    assert "T2" in said or "A small unit for the controls." in said
    assert "208.1" in said or "208.2" in said or "75 kVA" in said  # the first unit has 832.7 A and 300 kVA


def test_units_are_marked_in_order(made_by_hand: Callable[..., Brief]) -> None:
    blocks = made_by_hand().result.blocks
    third = Alternative(what="third", why="", blocks=blocks)
    second = Alternative(what="second", why="", blocks=blocks, also=(third,))
    without = Alternative(what="a service", why="")
    units = units_of(made_by_hand(also=(without, second)).result)
    assert [(unit.mark, unit.what, unit.path) for unit in units] == [
        ("T1", "", ""),
        ("T2", "second", "also[1]."),
        ("T3", "third", "also[1].also[0]."),
    ]


def test_the_specification_has_a_line_for_what_a_buyer_asks(made_by_hand: Callable[..., Brief]) -> None:
    rows = rows_of(specification(made_by_hand()))
    assert rows["rated power"][2] == "300 kVA"
    assert rows["primary"][2] == "480 V delta"
    assert rows["secondary"][2] == "208Y/120 V 4-wire"
    assert rows["taps on the primary"][2] == "+5 %, +2.5 %, 0 %, -2.5 %, -5 %"
    assert rows["impedance"][2] == "5 %"
    assert rows["average winding rise"][2] == "150 K"
    assert rows["sound level"][2] == "at most 55 dB"
    assert (
        rows["losses by law"][2] == "at most 1039 W at the load of the law's test"
    )  # 1039.9: never above it
    assert rows["frequency"][2:] == ("60 Hz (assumed)", "", "assumed, usual in this regime")
    assert rows["rated power"][3] == ""  # to be filled in by whoever offers


def test_the_insulation_system_of_a_rise_is_read_from_its_table(made_by_hand: Callable[..., Brief]) -> None:
    rows = rows_of(specification(made_by_hand()))
    row = load("us_rise_classes").newest().row(rise_k=150)
    assert rows["insulation system"][2] == f"{row.number('system_c'):g} °C"
    assert row.source.cite() in rows["insulation system"][4]


def test_an_impedance_that_is_free_is_asked_for_with_its_band(pump_house: Brief) -> None:
    rows = rows_of(specification(pump_house))
    assert pump_house.result.pick is not None and pump_house.result.pick.impedance_pct is None
    assert rows["impedance"][2].startswith("within 3 to 6 %")


def test_the_checklist_has_every_check_with_its_limit(gatehouse: Brief) -> None:
    rows = rows_of(checklist(gatehouse))
    for row in load("us_commissioning_checks").newest().rows:
        shown = rows[str(row.text("check"))]
        assert shown[2] == str(row.text("method"))
        assert shown[3].startswith(str(row.optional_text("limit") or ""))


def test_the_checklist_expects_the_values_of_this_job(made_by_hand: Callable[..., Brief]) -> None:
    rows = rows_of(checklist(made_by_hand()))
    assert rows["turns ratio, all tap positions"][4] == "480 V H1–H3 : 120.1 V X1–X0 and alike"
    assert rows["primary device"][2] == "450 A (≤ 800)"
    assert rows["system bonding jumper"][2] == "3/0 AWG"
    assert rows["interrupting rating, supply side"][2] == "at least 30.0 kA"
    assert rows["interrupting rating, load side"][2] == "at least 16.8 kA"


def test_labels_give_volts_fault_current_and_how_the_system_is_grounded(
    made_by_hand: Callable[..., Brief],
) -> None:
    lines = record(labels(replace(made_by_hand(), date="2026-11-30")))
    assert any(line[:2] == ("label", "Available fault current") for line in lines)
    assert ("line", "fault current", "15.8 kA") in lines
    assert ("line", "computed on", "2026-11-30") in lines
    assert ("line", "fed from", "") in lines  # filled in on site
    assert any(line[:2] == ("label", "Grounded system") for line in lines)


@pytest.mark.parametrize(
    ("secondary", "heading"),
    [
        ("240/120 delta", "Caution: high leg"),
        ("240 delta corner", "One phase is grounded"),
        ("240 delta", "Caution: ungrounded system"),
    ],
)
def test_labels_of_other_systems(made_by_hand: Callable[..., Brief], secondary: str, heading: str) -> None:
    brief = made_by_hand()
    assert brief.result.blocks is not None
    pick = replace(brief.result.blocks.pick, secondary=secondary)
    wires = replace(brief.result.blocks.grounding, system_bonding_jumper=None, electrode_conductor=None)
    result = replace(brief.result, blocks=replace(brief.result.blocks, pick=pick, grounding=wires))
    found = [line[1] for line in record(labels(replace(brief, result=result))) if line[0] == "label"]
    assert heading in found


def test_a_load_that_feeds_back_gets_a_label(made_by_hand: Callable[..., Brief]) -> None:
    brief = made_by_hand()
    facts = [*brief.result.job["facts"]]
    facts += [
        {
            "key": "load[0].name",
            "value": "roof solar",
            "known": "given",
            "reason": "",
            "where": "job.toml, line 8",
        },
        {
            "key": "load[0].feeds_back",
            "value": "yes",
            "known": "given",
            "reason": "",
            "where": "job.toml, line 9",
        },
    ]
    result = replace(brief.result, job={**brief.result.job, "facts": facts})
    lines = record(labels(replace(brief, result=result)))
    assert ("line", "second source", "load 1, roof solar") in lines


def test_a_unit_under_the_sky_is_ordered_in_a_case_for_it(pump_house: Brief) -> None:
    """NEC 450.22: dry types outdoors in a weatherproof enclosure; who orders a ventilated one gets an indoor case."""
    asked = {}
    for place in ("indoor", "outdoor", "roof"):
        job = read_job(f'{pump_house.text}\n[site]\nplace = "{place}"', "job.toml")
        brief = replace(pump_house, job=job, result=select(job))
        asked[place] = rows_of(specification(brief))["enclosure"][2]
    weather = "ventilated, weatherproof, type 3R or better"
    assert asked == {"indoor": "ventilated", "outdoor": weather, "roof": weather}
