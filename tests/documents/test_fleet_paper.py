"""The report of a fleet: what it says, in every form, the same for the same result."""

import csv
import io
import json

import pytest

from turnwright.documents.fleet_paper import (
    FAULTS_ON_PAPER,
    ROWS_ON_PAPER,
    FleetTold,
    chosen_forms,
    fleet_files,
    fleet_paper,
    fleet_sheets,
)
from turnwright.documents.words import fleet as words
from turnwright.documents.writers.record import record
from turnwright.errors import InputError, MissingExtra
from turnwright.fleet.records import FleetFault, FleetReport, FleetRow
from turnwright.model.result import Finding


def row(rank: int, **more) -> FleetRow:
    made = {
        "unit": f"T-{rank}",
        "hot_spot_max_c": 250.01 - rank,
        "life_used_h": 9000.0 / rank,
        "life_used_pct": 5.0 / rank,
        "energy_loss_kwh": 1000.0,
        "cost_loss": 120.0,
        "peak_pu": 1.2,
        "overload_h": 12.0 if rank < 3 else 0.0,
        "hours": 8760.0,
        "rank": rank,
    }
    return FleetRow(**{**made, **more})


def told(units: int = 3, faults: int = 1, **more) -> FleetTold:
    rows = tuple(row(rank) for rank in range(1, units + 1))
    report = FleetReport(
        units=units,
        out="out.csv",
        steps=units * 35_040,
        form="float32",
        worst=rows[:10],
        findings=(
            Finding(code="left-out", severity="caution", message="told above", known="given"),
            Finding(code="start", severity="note", message="Altitude up to 1000 m.", known="assumed"),
        ),
        faults=tuple(
            FleetFault("FLT-07", f"f{i}.csv", f"X-{i}: 1 gap.", "Mend it.", f"X-{i}") for i in range(faults)
        ),
    )
    return FleetTold(**{"report": report, "rows": rows, "currency": "USD", "title": "Ferry harbour", **more})


def said(given: FleetTold) -> str:
    return "\n".join(" ".join(map(str, line)) for line in record(fleet_paper(given)))


def test_what_it_says():
    text = said(told())
    for word in (
        "T-1 aged most: 5 % of its normal life in 8760 h, hottest spot 250 °C.",
        "3 units followed over 105,120 steps.",
        "1 of 3",
        "2 of 3",
        "3,000 kWh",
        "360 USD",
        "f0.csv",
        "FLT-07",
        "Altitude up to 1000 m.",
        "licensed electrician",
    ):
        assert word in text, word
    assert "told above" not in text


def test_sums_by_hand_and_what_is_not_known():
    rows = (row(1), row(2, energy_loss_kwh=None, cost_loss=None))
    found = dict(words.together(rows, "USD"))
    assert found["age faster than normal"] == "1 of 2"
    assert found["lost"] == "1,000 kWh, of 1 units; of the others it is not known"
    nothing = tuple(row(rank, energy_loss_kwh=None, cost_loss=None) for rank in (1, 2))
    assert "lost" not in dict(words.together(nothing, ""))
    assert [one.head for one in words.columns(nothing, "")] == [
        "life used",
        "hottest spot",
        "highest load",
        "overload",
    ]


def test_a_long_fleet_stays_short_on_paper_and_whole_in_the_sheets():
    given = told(units=ROWS_ON_PAPER + 40, faults=FAULTS_ON_PAPER + 5)
    text = said(given)
    assert "40 more units stand in the workbook" in text and f"T-{ROWS_ON_PAPER + 1} " not in text
    assert "5 more could not be used" in text
    units, faults = fleet_sheets(given)
    assert (len(units.rows), len(faults.rows)) == (ROWS_ON_PAPER + 40, FAULTS_ON_PAPER + 5)


def test_limits_are_rounded_away_from_the_safe_look():
    """250.01 − 1 = 249.01 °C is shown as 249.1, not 249.0: a hot spot is never shown lower than it was."""
    text = fleet_files(told(), ("csv",))["fleet-report-units.csv"].decode("utf-8-sig")
    first = next(csv.DictReader(io.StringIO(text)))
    assert first["hottest spot, °C"] == "249.1" and first["cost, USD"] == "120.00"


@pytest.mark.parametrize("form", ["html", "csv", "xlsx", "pdf"])
def test_the_same_result_makes_the_same_bytes(form):
    pytest.importorskip({"pdf": "typst", "xlsx": "xlsxwriter"}.get(form, "csv"))
    once, again = fleet_files(told(), (form,)), fleet_files(told(), (form,))
    assert once == again and once


def test_the_pdf_carries_every_row():
    pytest.importorskip("typst")
    pypdf = pytest.importorskip("pypdf")
    content = fleet_files(told(units=90), ("pdf",))["fleet-report.pdf"]
    attached = pypdf.PdfReader(io.BytesIO(content)).attachments
    assert len(json.loads(attached["fleet.json"][0])["rows"]) == 90


def test_names_of_units_are_no_markup_and_no_formula():
    rows = (row(1, unit="<b>=1+1"), row(2, unit="=cmd()"))
    given = told()
    given = FleetTold(report=given.report, rows=rows, title="<script>")
    files = fleet_files(given, ("html", "csv"))
    page = files["fleet-report.html"].decode()
    assert "<b>=1" not in page and "<script>" not in page and "&lt;b&gt;" in page
    assert "'=cmd()" in files["fleet-report-units.csv"].decode("utf-8-sig")


def test_forms_that_are_not():
    with pytest.raises(InputError) as caught:
        chosen_forms(("doc",))
    assert caught.value.code == "DOC-02"
    assert "html" in chosen_forms()


def test_a_form_that_needs_more(monkeypatch):
    monkeypatch.setattr("turnwright.documents.fleet_paper.installed", lambda form: form == "html")
    assert chosen_forms() == ("html",)
    with pytest.raises(MissingExtra):
        chosen_forms(("pdf",))
