"""A required fact is not known: the sizes it could come to, and the question first that decides most."""

from typing import Any

import pytest

from turnwright.intake import job_from_mapping
from turnwright.narrow import select
from turnwright.narrow.put import put

LOAD = {"system": "208Y/120", "kva": "22 kVA"}


def answer(**tables: Any) -> Any:
    return select(job_from_mapping(tables), ledger_open=False)


def test_volts_without_phases_are_tried_as_every_system_they_may_mean() -> None:
    result = answer(supply={"system": "480"}, load=[LOAD])
    assert result.verdict == "needs-input" and result.range_kva == (30.0, 30.0)
    (asked,) = result.questions
    assert asked.key == "supply.system"
    leads = {one["answer"]: one["kva"] for one in asked.moves["answers"]}
    assert leads["480Y/277"] == leads["480 3ph"] == 30.0 and leads["480 1ph"] is None


def test_each_answer_leads_where_the_engine_says() -> None:
    job = job_from_mapping({"supply": {"system": "480Y/277"}, "load": [{"current": "120 A"}]})
    (asked,) = select(job, ledger_open=False).questions
    assert len(asked.moves["answers"]) > 5
    for one in asked.moves["answers"]:
        pick = select(put(job, asked.key, one["answer"]), ledger_open=False, ask=False).pick
        assert (None if pick is None else pick.kva) == one["kva"], one


def test_amperes_without_volts_span_what_the_trade_says() -> None:
    """120 A is 25 kVA at 208 V single-phase and 100 kVA at 480 V three-phase: the next sizes up are in the range."""
    ends = answer(supply={"system": "480Y/277"}, load=[{"current": "120 A"}]).range_kva
    assert ends is not None and ends[0] <= 25.0 and ends[1] >= 112.5


@pytest.mark.parametrize("supply", [{}, {"system": "unknown"}])
def test_a_supply_of_which_nothing_is_known(supply: dict[str, str]) -> None:
    result = answer(supply=supply, load=[LOAD])
    assert result.verdict == "needs-input" and result.range_kva is not None
    assert result.range_kva[0] <= 30.0 <= result.range_kva[1]


def test_a_size_that_is_not_known_cannot_be_counted() -> None:
    result = answer(supply={"system": "480Y/277"}, load=[{"system": "208Y/120"}])
    assert result.range_kva is None and [one.key for one in result.questions] == ["load[0].current"]


def test_the_plate_is_asked_for_before_the_supply_where_nothing_is_known() -> None:
    keys = [one.key for one in answer(load=[{}]).questions]
    assert keys == ["load[0].system", "load[0].current", "supply.system"]


def test_the_question_that_leaves_fewest_sizes_comes_first() -> None:
    result = answer(load=[{"system": "480", "kva": "22 kVA"}])
    assert result.questions[0].key == "load[0].system"


def test_half_known_sizes_widen_what_is_possible() -> None:
    result = answer(supply={"system": "480"}, load=[{"system": "208Y/120", "kva": "20..40 kVA"}])
    assert result.range_kva == (30.0, 45.0)
    assert result.questions[0].moves["answers"][0]["kva"] == [30.0, 45.0]
