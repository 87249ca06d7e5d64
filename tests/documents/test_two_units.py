"""A job that takes two units, and one under the IEC rules: loads at their unit, the earthed point named."""

import re

import pytest

from turnwright.documents.brief import Brief, units_of
from turnwright.documents.drawing.one_line import one_line
from turnwright.documents.papers.checklist import checklist
from turnwright.documents.papers.diagrams import diagrams
from turnwright.documents.papers.labels import labels
from turnwright.documents.papers.memo import memo
from turnwright.documents.papers.schedule import sheets
from turnwright.documents.papers.specification import specification
from turnwright.documents.report import Paragraph
from turnwright.documents.sheets import Formula, Num
from turnwright.documents.writers.record import texts
from turnwright.reference import load


def test_each_one_line_ends_in_the_loads_of_its_own_unit(smokehouse: Brief) -> None:
    first, second = (one_line(unit, smokehouse).alt for unit in units_of(smokehouse.result))
    assert "kiln fans" in first and "packing hall" not in first
    assert "kiln fans" not in second and "packing hall" in second and "smoke generators" in second


def test_whoever_reads_page_one_alone_orders_both_units(smokehouse: Brief) -> None:
    answer = next(one for one in memo(smokehouse).sections if one.title == "The answer")
    said = [part.text for part in answer.parts if isinstance(part, Paragraph)]
    assert said[0].startswith("One three-phase 45 kVA unit, 480 V delta to 240 V delta")
    assert any(text.startswith("And T2: 45 kVA, 480 delta to 208Y/120") for text in said)


def test_the_load_list_sums_each_unit_by_itself(smokehouse: Brief) -> None:
    by_phase = next(sheet for sheet in sheets(smokehouse) if sheet.name == "loads")
    at = [name for name, _ in by_phase.columns].index("unit")
    assert [row[at] for row in by_phase.rows] == ["T1", "T2", "T2"]
    sums = {str(row[0]): row[4] for row in by_phase.foot}
    # 18 kVA and 4 × 12 A at 120 V
    total = sums["T2: sum, added in line"]
    assert isinstance(total, Formula) and total.value == pytest.approx(18.0 + 4 * 12 * 0.120)
    assert total.text == '=SUMIF(M{first}:M{last},"T2",E{first}:E{last})'
    grown, asked = sums["T2: with growth"], sums["T2: growth, %"]
    assert asked == Num(20.0, 0) and isinstance(grown, Formula)
    assert grown.value == pytest.approx(total.value * 1.2)


def test_a_panel_whose_load_nobody_named_has_no_room_to_spare(smokehouse: Brief) -> None:
    said = next(one.message for one in smokehouse.result.findings if one.code == "supply-total")
    assert "rated 400 A, and what it carries already is not known" in said and "to spare" not in said


def test_the_earthed_star_point_is_on_every_paper_under_the_iec_rules(ropewalk: Brief) -> None:
    blocks = ropewalk.result.blocks
    assert blocks is not None and blocks.grounding.system_bonding_jumper is None
    earthed = "neutral point earthed once"
    units = next(sheet for sheet in sheets(ropewalk) if sheet.name == "transformers")
    assert earthed in units.rows[0]
    for paper in (diagrams, specification, checklist):
        assert earthed in texts(paper(ropewalk)), paper.__name__
    assert "Earthed system" in texts(labels(ropewalk))


def test_under_the_iec_rules_the_plate_is_that_of_its_standard(ropewalk: Brief) -> None:
    checks, asked = texts(checklist(ropewalk)), texts(specification(ropewalk))
    assert re.search(r"690 V 1U–1V : 230.9 V 2U–2N", checks)
    for row in load("iec_requirements").newest().rows:
        assert str(row.text("requirement")) in asked
    assert "155 °C" in asked  # IEC 60076-11 Table 2: 100 K is class F
