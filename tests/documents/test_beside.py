"""One job under several sets of rules side by side: each column is the answer that those rules give alone."""

import pytest

from turnwright.cli.text.compare import beside_page, beside_to_json
from turnwright.documents.words.beside import beside, only_here
from turnwright.errors import InputError
from turnwright.intake import job_from_mapping
from turnwright.model.result import Result
from turnwright.narrow import select
from turnwright.narrow.compare import under_all

FACTS = {
    "supply": {"system": "480Y/277", "frequency": "60 Hz", "fault_current": "20 kA"},
    "load": [{"name": "board", "system": "208Y/120", "kva": "60 kVA", "power_factor": 0.9}],
}
NAMES = ("us", "ca", "iec")


def answers() -> tuple[Result, ...]:
    return under_all(job_from_mapping(FACTS, "job"), NAMES)


def test_each_answer_is_the_one_of_its_rules_alone() -> None:
    for name, result in zip(NAMES, answers(), strict=True):
        alone = select(job_from_mapping({**FACTS, "regime": name}, "job"), ledger_open=False, ask=False)
        assert result.blocks == alone.blocks and result.findings == alone.findings


def test_rows_have_a_cell_for_each_and_the_words_of_each() -> None:
    rows = dict(beside(answers()))
    assert {len(cells) for cells in rows.values()} == {3}
    assert rows[""] == ("NEC 2023", "CSA C22.1 2024", "IEC 60364 2017")
    assert rows["unit"] == ("75 kVA Dyn1", "75 kVA Dyn1", "63 kVA Dyn11")
    assert rows["device before"] == ("110 A (≤ 225)", "110 A (≤ 250)", "100 A")
    assert rows["wires after"][2].endswith("mm² Cu") and rows["wires after"][0].endswith("kcmil Cu")
    assert "earthed once" in rows["new neutral"][2] and "jumper" in rows["new neutral"][0]
    assert rows["efficiency"][2] == "no level"


def test_what_one_alone_asks_is_named() -> None:
    found = dict(only_here(answers()))
    assert "overload" in found["IEC 60364 2017"] and "overload" not in found["NEC 2023"]


def test_the_page_keeps_to_its_width_and_json_has_the_answers() -> None:
    results = answers()
    assert all(len(line) <= 80 for line in beside_page(results).splitlines())
    whole = beside_to_json(NAMES, results)
    assert [one["regime"] for one in whole["side_by_side"]] == list(NAMES)
    assert whole["side_by_side"][2]["answer"]["pick"]["kva"] == 63


def test_a_refusal_stands_beside_an_answer() -> None:
    facts = {**FACTS, "load": [{"system": "208Y/120", "kva": "60 kVA", "frequency": "50 Hz"}]}
    results = under_all(job_from_mapping(facts, "job"), ("us", "iec"))
    assert dict(beside(results))["verdict"] == ("refused", "refused")
    assert "unit" not in dict(beside(results))


def test_rules_that_are_not_carried_are_refused() -> None:
    with pytest.raises(InputError) as told:
        under_all(job_from_mapping(FACTS, "job"), ("us", "mars"))
    assert told.value.code == "REG-01"
