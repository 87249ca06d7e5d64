"""The range of sizes: every concrete job inside a half-known one lies inside it."""

from collections.abc import Callable
from itertools import product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.model.job import Job
from turnwright.narrow import select
from turnwright.narrow.open_facts import open_facts
from turnwright.narrow.outcome import Engine
from turnwright.narrow.put import at, put
from turnwright.narrow.select import regime_for


def answer(job: Job) -> Any:
    return select(job, ledger_open=False)


def kva(job: Job) -> float | None:
    pick = select(job, ledger_open=False, ask=False).pick
    return None if pick is None else pick.kva


@given(data=st.data())
def test_every_concrete_job_lies_inside_the_range(data: st.DataObject, half_known_jobs: Any) -> None:
    drawn = data.draw(half_known_jobs)
    ends, concrete = answer(drawn.job).range_kva, kva(drawn.concrete)
    assert concrete is None or (ends is not None and ends[0] <= concrete <= ends[1])


@given(data=st.data())
def test_the_range_is_what_trying_all_ends_gives(data: st.DataObject, half_known_jobs: Any) -> None:
    """Against brute force over every combination of the ends, on jobs of one load."""
    job = data.draw(half_known_jobs).job
    case = Engine(regime_for(job)).case(job)
    facts = [one for one in open_facts(job, None, regime_for(job)) if one.values]
    if len(job.load) > 1 or len(facts) > 6:
        return
    assert case is not None
    found = set()
    for ends in product((0, -1), repeat=len(facts)):
        tried = job
        for one, end in zip(facts, ends, strict=True):
            tried = put(tried, one.key, one.texts[end])
        found.add(kva(tried))
    sizes = sorted(one for one in found if one is not None)
    assert answer(job).range_kva == ((sizes[0], sizes[-1]) if sizes else None)


@pytest.mark.parametrize("size", ["20 kVA", "31 kVA", "74.9 kVA"])
def test_half_known_equals_exact_when_both_ends_are_one(size: str, job_of: Callable[..., Job]) -> None:
    number = size.removesuffix(" kVA")
    exact = job_of(load=[{"system": "208Y/120", "kva": size}])
    vague = job_of(load=[{"system": "208Y/120", "kva": f"{number}..{number} kVA"}])
    one, other = answer(exact), answer(vague)
    assert one.range_kva == other.range_kva == (one.pick.kva, one.pick.kva)
    assert one.blocks == other.blocks
    assert [q.key for q in one.questions] == [q.key for q in other.questions]


def test_a_job_without_open_facts_runs_no_further_case(
    job_of: Callable[..., Job], monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise AssertionError("another case was run")

    monkeypatch.setattr(Engine, "size", refuse)
    monkeypatch.setattr(Engine, "decided", refuse)
    monkeypatch.setattr(Engine, "trust_screening", refuse)
    stated = job_of(
        choices={"growth": "10 %"},
        site={"ambient_average": "25 degC", "altitude": "100 m", "place": "indoor"},
    )
    assert answer(stated).range_kva == (30.0, 30.0)


def test_about_is_ten_percent_to_either_side(job_of: Callable[..., Job]) -> None:
    job = job_of(load=[{"system": "208Y/120", "kva": "about 29 kVA"}])
    assert answer(job).range_kva == (
        kva(put(job, "load[0].kva", "26.1 kVA")),
        kva(put(job, "load[0].kva", "31.9 kVA")),
    )


def test_the_pick_is_the_cautious_case(job_of: Callable[..., Job]) -> None:
    result = answer(job_of(load=[{"system": "208Y/120", "kva": "20..60 kVA"}]))
    assert result.pick.kva == result.range_kva[1] == 75.0


def test_pieces_are_tried_one_by_one(job_of: Callable[..., Job]) -> None:
    job = job_of(load=[{"system": "120 1ph", "kva": "9 kVA", "quantity": "1..4"}])
    ends = answer(job).range_kva
    tried = [kva(put(job, "load[0].quantity", n)) for n in range(1, 5)]
    assert ends == (min(tried), max(tried))


def test_a_limit_on_the_size_is_heard(job_of: Callable[..., Job]) -> None:
    """Above a ceiling 50 kVA is the most: the larger end of the load has no transformer there."""
    job = job_of(load=[{"system": "208Y/120", "kva": "20..60 kVA"}], site={"place": "ceiling"})
    result = answer(job)
    assert result.verdict == "refused" and result.range_kva is not None
    assert result.range_kva[1] <= 50.0
    assert kva(put(job, "load[0].kva", "20 kVA")) == result.range_kva[0]


def test_what_nobody_said_of_growth_and_place_does_not_widen_the_range(job_of: Callable[..., Job]) -> None:
    result = answer(job_of())
    assert result.range_kva == (result.pick.kva, result.pick.kva)
    assert any(question.key == "choices.growth" for question in result.questions)


@given(data=st.data())
def test_an_answer_never_widens_the_range(data: st.DataObject, half_known_jobs: Any) -> None:
    job = data.draw(half_known_jobs).job
    result = answer(job)
    asked = next((q for q in result.questions if getattr(at(job, q.key), "form", "") == "range"), None)
    if asked is None or result.range_kva is None:
        return
    text = data.draw(st.sampled_from([one["answer"] for one in asked.moves.get("answers", [])] or [None]))
    narrower = answer(put(job, asked.key, text)).range_kva if text else result.range_kva
    assert narrower is None or (result.range_kva[0] <= narrower[0] and narrower[1] <= result.range_kva[1])
