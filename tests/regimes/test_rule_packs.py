"""Every rule of Canada and of the IEC world: a row with a clause, an example that trips it, one that does not."""

import json
import re
from functools import cache
from typing import Any

import pytest

from turnwright.intake import job_from_mapping
from turnwright.model.result import Finding, Result
from turnwright.narrow import select
from turnwright.reference import load
from turnwright.regimes import ca, iec
from turnwright.regimes.ca.rules.example import STANDARD as CANADA
from turnwright.regimes.iec.rules.example import STANDARD as IEC
from turnwright.regimes.us.rules.example import changed

PACKS = {"ca": (ca, CANADA), "iec": (iec, IEC)}
CASES = [
    pytest.param(name, rule, id=f"{name} {rule.id}")
    for name, (module, _) in PACKS.items()
    for rule in module.RULES
]
ALWAYS = {
    ("ca", "certified"),
    ("ca", "conductors-125"),
    ("ca", "clearance"),
    ("ca", "no-falling-water"),
    ("ca", "top-entry"),
    ("ca", "disconnect"),
    ("ca", "working-space"),
    ("iec", "no-percentage"),
    ("iec", "switch-on"),
    ("iec", "product-standard"),
    ("iec", "cable-withstand"),
    ("iec", "ecodesign"),
    ("iec", "classes"),
}
"""What is said of every unit."""
UNTOLD = {("ca", "class-2"), ("ca", "motor-voltage"), ("iec", "product-standard"), ("iec", "medical")}
"""Rules whose words name the limit only, not the value that they judge."""
FOREIGN = re.compile(r"\bNEC\b|ANSI|\bUL \d|10 CFR|AWG and kcmil")
LONGEST = 380


@cache
def _answer(name: str, patch: str) -> Result:
    job = changed(json.loads(patch), PACKS[name][1])
    return select(job_from_mapping(job, "example"), ledger_open=False, ask=False)


def answer(name: str, patch: dict[str, Any]) -> Result:
    return _answer(name, json.dumps(patch))


def found(name: str, rule: str, patch: dict[str, Any]) -> list[Finding]:
    return [finding for finding in answer(name, patch).findings if finding.code == rule]


@pytest.mark.parametrize("name", PACKS)
def test_rules_and_rows_of_the_table_are_the_same(name):
    module = PACKS[name][0]
    ids = [rule.id for rule in module.RULES]
    assert len(set(ids)) == len(ids)
    rows = [set(map(str, module.regime(each).rule_table.words("rule"))) for each in module.EDITIONS]
    assert set.union(*rows) == set(ids)


@pytest.mark.parametrize("name", PACKS)
def test_each_row_has_a_statement_and_says_where_it_is_from(name):
    module = PACKS[name][0]
    for edition in module.EDITIONS:
        for row in module.regime(edition).rule_table.rows:
            statement = str(row.text("statement"))
            assert statement.endswith(".") and len(statement) <= 160
            assert row.source.clause or row.source.known == "common practice"


@pytest.mark.parametrize(("name", "rule"), CASES)
def test_its_example_trips_it(in_words, name, rule):
    findings = found(name, rule.id, rule.trips)
    assert findings
    for finding in findings:
        text = finding.message
        assert finding.clause and finding.known
        assert text[0].isupper() or text[0].isdigit()
        assert text.endswith((".", "?")) and len(text) <= LONGEST, (len(text), text)
        assert not {"None", "nan", "inf"} & set(text.replace(",", " ").replace(".", " ").split())
        assert finding.limit is None or finding.value is not None
        assert finding.unit is None or finding.value is not None
        assert finding.value is None or in_words(finding, "value") == ((name, rule.id) not in UNTOLD)


@pytest.mark.parametrize(
    ("name", "rule"), [case for case in CASES if (case.values[0], case.values[1].id) not in ALWAYS]
)
def test_the_other_example_leaves_it_silent(name, rule):
    assert found(name, rule.id, rule.clean) == []


@pytest.mark.parametrize("name", PACKS)
def test_a_plain_job_has_no_stop_and_little_to_decide(name):
    findings = answer(name, {}).findings
    assert not [finding for finding in findings if finding.severity == "stop"]
    assert len([finding for finding in findings if finding.severity == "caution"]) <= 2
    assert not [finding for finding in findings if finding.code.endswith("-not-checked")]


@pytest.mark.parametrize(("name", "rule"), CASES)
def test_no_rule_speaks_of_another_code(name, rule):
    for finding in found(name, rule.id, rule.trips):
        assert not FOREIGN.search(f"{finding.message} {finding.clause}")


@pytest.mark.parametrize("name", PACKS)
def test_the_tables_of_a_regime_cite_no_other_code(name):
    for table in load(f"{name}_rules"), load(f"{name}_limits"):
        for edition in table.editions or ("",):
            for row in table.at(edition).rows:
                assert not FOREIGN.search(f"{row.text('statement')} {row.source.cite()}")


@pytest.mark.parametrize("name", PACKS)
def test_the_working_of_an_answer_cites_no_other_code(name):
    job = job_from_mapping(PACKS[name][1], "example")
    lines = select(job, ask=False).working
    assert len(lines) > 40
    assert [line.name for line in lines if re.search(r"\bNEC\b", f"{line.source} {line.formula}")] == []


@pytest.mark.parametrize("kva", [8, 12, 17, 21, 24, 26, 28, 29.5])
def test_a_device_is_called_above_125_pct_only_where_it_is(kva):
    """26-256(4) of CSA C22.1, whatever stands after the transformer."""
    patch = {"load": [{"system": "208Y/120", "kva": f"{kva} kVA"}]}
    for device in (None, "30 A", "35 A", "40 A"):
        circuit = {"circuit": {"primary_device": device}} if device else {}
        for finding in found("ca", "above-125", {**patch, **circuit}):
            assert finding.value > finding.limit * 1.0000001


@pytest.mark.parametrize(("system", "within"), [("275 3ph", "0.4 s"), ("480 1ph", "0.1 s")])
def test_a_second_fault_is_timed_by_the_volts_to_earth(system, within):
    """IEC 60364-4-41 Table 41.1: by U_0, 159 V and (of one phase, where a line is earthed) 480 V."""
    patch = {"load": [{"system": system, "kva": "12 kVA"}]}
    (said,) = [finding.message for finding in found("iec", "unearthed-output", patch)]
    assert f"disconnects within {within}" in said


@pytest.mark.parametrize("units", [1, 2])
@pytest.mark.parametrize(("source_kva", "stops"), [(39, True), (41, False)])
def test_a_source_carries_the_load_once_whatever_the_number_of_units(units, source_kva, stops):
    patch = {
        "supply": {"source": "generator", "source_kva": f"{source_kva} kVA", "fault_current": None},
        "load": [{"system": "208Y/120", "kva": "40 kVA"}],
        "choices": {"units": units},
    }
    assert [finding.value for finding in found("ca", "source-carries-load", patch)] == (
        [40.0] if stops else []
    )


def test_motors_of_one_phase_have_the_amperes_of_table_45():
    """CSA C22.1 Table 45: 5 hp at 230 V, 28 A."""
    patch = {"load": [{"name": "saw", "system": "230 1ph", "hp": "5 hp", "kind": "motor"}]}
    assert answer("ca", patch).blocks.currents.secondary_load_a == pytest.approx(28.0)


@pytest.mark.parametrize(("name", "least_m3_h"), [("ca", 239), ("iec", 128)])
def test_a_closed_room_needs_air_for_its_losses(name, least_m3_h):
    """Heat balance of air 15 K warmer, P / (1.2 kg/m³ · 1005 J/(kg·K) · 15 K): 199 m³/h for each kW."""
    room = {"site": {"room": {"ventilated": False, "length": "4 m", "width": "3 m", "height": "3 m"}}}
    (finding,) = found(name, "room-heat", room)
    assert f"{least_m3_h} m³/h" in finding.message
    per_kw_m3_h = least_m3_h / (finding.value / 1000)
    assert per_kw_m3_h == pytest.approx(199.5, abs=1.0)


@pytest.mark.parametrize(("source_kva", "is_short"), [(30, True), (38, True), (39, False), (200, False)])
def test_a_set_is_called_short_below_130_pct_of_the_unit(source_kva, is_short):
    """Trade practice: 1.3 to 2 times the kVA that it switches on; 30 kVA ask for 39 kVA and more."""
    patch = {"supply": {"source": "generator", "source_kva": f"{source_kva} kVA", "fault_current": None}}
    (finding,) = found("ca", "generator-source", patch)
    assert ("short of that" in finding.message) == is_short
