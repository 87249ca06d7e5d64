"""Every rule: a row with a clause, an example that trips it, one that does not, and a finding fit to read."""

from collections.abc import Callable
from typing import Any

import pytest

from turnwright.regimes.rule import in_edition
from turnwright.regimes.us import EDITIONS, regime
from turnwright.regimes.us.rules import RULES

LONGEST = 340
"""Characters of a finding: four lines of a page and a half."""
IDS = [rule.id for rule in RULES]
BY_ID = dict(zip(IDS, RULES, strict=True))
UNTOLD = {
    "sensitive-power", "small-unit-electrode", "impedance-grounded-supply", "autotransformer-device", "vault",
    "clearance", "public", "nameplate", "large-indoors", "outdoor-distance",
}  # fmt: skip
"""Rules whose words name the limit only, not the value that they judge."""


def test_no_rule_stands_twice() -> None:
    assert len(set(IDS)) == len(IDS)


def test_rules_and_rows_of_the_table_are_the_same() -> None:
    rows = {str(row.text("rule")) for edition in EDITIONS for row in regime(edition).rule_table.rows}
    assert rows == set(IDS)


@pytest.mark.parametrize("edition", EDITIONS)
def test_each_row_has_a_statement_and_says_where_it_is_from(edition: str) -> None:
    for rule, row in in_edition(RULES, regime(edition).rule_table):
        statement = str(row.text("statement"))
        assert statement.endswith(".") and len(statement) <= 160, rule.id
        assert row.source.document and row.source.seen_at
        assert row.source.clause or row.source.known == "common practice", rule.id


@pytest.mark.parametrize("name", IDS)
def test_its_example_trips_it(
    found: Callable[..., list[Any]], in_words: Callable[[Any, str], bool], name: str
) -> None:
    rule = BY_ID[name]
    findings = found(name, rule.trips)
    assert findings
    for finding in findings:
        assert finding.severity in ("stop", "caution", "note")
        assert finding.clause and finding.known
        text = finding.message
        assert text[0].isupper() or text[0].isdigit()
        assert text.endswith((".", "?")) and len(text) <= LONGEST, len(text)
        assert not {"None", "nan", "inf"} & set(text.replace(",", " ").replace(".", " ").split())
        assert finding.limit is None or finding.value is not None
        assert finding.unit is None or finding.value is not None
        assert finding.value is None or in_words(finding, "value") == (name not in UNTOLD)


@pytest.mark.parametrize("name", IDS)
def test_the_other_example_leaves_it_silent(found: Callable[..., list[Any]], name: str) -> None:
    assert found(name, BY_ID[name].clean) == []


@pytest.mark.parametrize("name", [rule.id for rule in RULES if rule.refuses])
def test_what_refuses_leaves_no_pick_or_another_one(answer: Callable[..., Any], name: str) -> None:
    result = answer(BY_ID[name].trips)
    stops = [one for one in result.findings if one.code == name and one.severity == "stop"]
    assert result.verdict == "refused" if stops else result.verdict == "selected"


def test_a_plain_job_has_no_stop_and_little_to_decide(answer: Callable[..., Any]) -> None:
    """A person is not drowned: what somebody has to decide stays a short list."""
    findings = answer({}).findings
    ours = [finding for finding in findings if finding.code in BY_ID]
    assert not [finding for finding in ours if finding.severity == "stop"]
    assert len([finding for finding in ours if finding.severity == "caution"]) <= 1
    assert len([finding for finding in findings if finding.code.endswith("-not-checked")]) <= 2


@pytest.mark.parametrize(("device", "severity"), [("25 A", "stop"), ("30 A", "stop"), ("35 A", "note")])
def test_a_device_behind_a_source_carries_125_pct_of_its_current(found, device, severity):
    """690.8(B): 20 kVA at 480 V are 24.1 A; 30.1 A count."""
    solar = {"name": "solar", "system": "480Y/277", "kva": "20 kVA", "kind": "inverter", "feeds_back": True}
    patch = {
        "supply": {"system": "208Y/120", "panel_rating": None},
        "load": [solar],
        "circuit": {"secondary_devices": [device]},
    }
    (finding,) = found("source-current", patch)
    assert (finding.severity, finding.value) == (severity, pytest.approx(30.07, abs=0.005))


def test_an_autotransformer_between_480_and_600_v_is_for_industry(found):
    """210.9 Exception 2."""
    job = {"supply": {"system": "600 3ph"}, "choices": {"arrangement": "autotransformer"}}
    (finding,) = found("autotransformer-neutral", {**job, "load": [{"system": "480 3ph", "kva": "20 kVA"}]})
    assert "480 V and 600 V" in finding.message and finding.severity == "caution"


def test_a_unit_that_is_too_small_for_the_law_is_told_so(found):
    """10 CFR 431.196: three-phase units from 15 kVA."""
    (finding,) = found("efficiency-outside", {"load": [{"system": "208Y/120", "kva": "5 kVA"}]})
    assert "it is below 15 kVA" in finding.message


def test_one_unit_is_not_added_up_with_itself(found):
    quiet = {"site": {"conditions": ["quiet"], "room": {"length": "4 m", "width": "3 m", "height": "3 m"}}}
    assert all("1 units" not in finding.message for finding in found("sound-together", quiet))
    (two,) = found(
        "sound-together",
        {**quiet, "load": [{"system": "208Y/120", "kva": "60 kVA"}], "choices": {"units": 2}},
    )
    assert "2 units of" in two.message
