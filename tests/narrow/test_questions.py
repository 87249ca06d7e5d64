"""What is asked next: what moves the size most, with its answers; nothing where all that is possible agrees."""

from collections.abc import Callable
from typing import Any

import pytest

from turnwright.model.job import Job
from turnwright.narrow import select
from turnwright.narrow.put import put


def answer(job: Job) -> Any:
    return select(job, ledger_open=False)


def moving(result: Any) -> list[Any]:
    return [one for one in result.questions if len(set(one.moves.get("kva", ()))) > 1]


def test_each_answer_leads_where_the_engine_says(job_of: Callable[..., Job]) -> None:
    job = job_of(load=[{"system": "208Y/120", "kva": "26 kVA"}])
    first = answer(job).questions[0]
    assert first.key == "choices.growth"
    for one in first.moves["answers"]:
        assert answer(put(job, first.key, one["answer"])).pick.kva == one["kva"]


def test_the_turn_of_the_next_question_is_found(job_of: Callable[..., Job]) -> None:
    """26 kVA grows out of 30 kVA at 15.38 %."""
    first = answer(job_of(load=[{"system": "208Y/120", "kva": "26 kVA"}])).questions[0]
    assert first.moves["turn"]["kva"] == [30.0, 45.0]
    assert 15.2 <= float(first.moves["turn"]["at"].removesuffix(" %")) <= 15.3847


def test_the_question_that_narrows_most_comes_first(job_of: Callable[..., Job]) -> None:
    """One load is known to a tenth, the other to a factor of six: ask for the second."""
    job = job_of(
        load=[{"system": "208Y/120", "kva": "about 20 kVA"}, {"system": "208Y/120", "kva": "10..60 kVA"}],
        choices={"growth": "0 %"},
    )
    assert answer(job).questions[0].key == "load[1].kva"


def test_written_as_unknown_is_asked_first(job_of: Callable[..., Job]) -> None:
    job = job_of(
        load=[{"system": "208Y/120", "kva": "10..60 kVA"}],
        supply={"system": "480Y/277", "fault_current": "unknown"},
    )
    assert answer(job).questions[0].key == "supply.fault_current"
    unknown = job_of(load=[{"system": "208Y/120", "kva": "10..60 kVA"}], choices={"growth": "unknown"})
    assert answer(unknown).questions[0].key == "choices.growth"


def test_where_all_that_is_possible_agrees_nothing_moves(job_of: Callable[..., Job]) -> None:
    result = answer(job_of(load=[{"system": "208Y/120", "kva": "16..17 kVA"}]))
    assert moving(result) == [] and result.range_kva == (30.0, 30.0)


def test_the_power_factor_of_a_load_in_kw_is_open(job_of: Callable[..., Job]) -> None:
    result = answer(job_of(load=[{"system": "208Y/120", "kw": "40 kW"}]))
    question = next(one for one in moving(result) if one.key == "load[0].power_factor")
    assert question.assumed == "0.85" and result.range_kva == (45.0, 75.0)


@pytest.mark.parametrize("key", ["supply.panel_rating", "supply.fault_current", "site.place", "edition"])
def test_what_decides_other_things_is_asked_after_that(key: str, job_of: Callable[..., Job]) -> None:
    questions = [one.key for one in answer(job_of()).questions]
    assert key in questions and questions.index("choices.growth") < questions.index(key)


def test_the_panel_question_says_what_is_too_little(job_of: Callable[..., Job]) -> None:
    """26 kVA on 480 V three-phase draw 31.3 A."""
    asked = next(one for one in answer(job_of()).questions if one.key == "supply.panel_rating")
    assert "Under 31.3 A to spare, 30 kVA falls." in asked.ask


def test_a_usual_job_takes_few_runs(job_of: Callable[..., Job], monkeypatch: pytest.MonkeyPatch) -> None:
    from turnwright.narrow import select as module_select
    from turnwright.narrow.outcome import Engine

    engines: list[Engine] = []
    begin = Engine.__init__

    def counted(self: Engine, *args: Any) -> None:
        begin(self, *args)
        engines.append(self)

    monkeypatch.setattr(Engine, "__init__", counted)
    module_select(job_of(load=[{"system": "208Y/120", "current": "about 60 A"}]), ledger_open=False)
    assert sum(engine.runs for engine in engines) <= 30


def test_six_unknown_facts_take_fewer_runs_than_three_hundred(
    job_of: Callable[..., Job], monkeypatch: pytest.MonkeyPatch
) -> None:
    from turnwright.narrow.outcome import Engine

    engines: list[Engine] = []
    begin = Engine.__init__
    monkeypatch.setattr(Engine, "__init__", lambda self, *args: (begin(self, *args), engines.append(self))[0])
    load = {"system": "208Y/120", "kw": "20..40 kW", "power_factor": "unknown", "demand_factor": "unknown"}
    job = job_of(
        load=[load, {"system": "208 3ph", "current": "30..60 A", "quantity": "1..3"}],
        choices={"growth": "unknown"},
        site={"altitude": "unknown"},
    )
    select(job, ledger_open=False)
    assert 0 < sum(engine.runs for engine in engines) < 300
