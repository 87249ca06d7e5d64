"""Random jobs of known facts: size, loads, windings, faults, currents, volts as an independent slow path finds them.

Checked against: brute force over sizes and over the ways of spreading the loads, each circuit solved by the OpenDSS
engine (dss-python), see `differential/slow_path.py`.
"""

import random
from dataclasses import replace

import pytest
from differential.compare import compared, pairs_of
from differential.random_jobs import OUTPUTS, job_of, random_facts
from differential.slow_path import answer

from turnwright import job_from_mapping, select

JOBS = 8


@pytest.mark.parametrize("seed", [3, 5, 7, 11, 13])
def test_select_and_the_slow_path_agree(seed: int) -> None:
    draw = random.Random(seed)
    pairs = [pair for _ in range(JOBS) for pair in compared(random_facts(draw))]
    assert len(pairs) > JOBS
    assert [pair for pair in pairs if not pair.agrees] == []


def test_every_output_is_drawn_and_every_number_compared() -> None:
    draw = random.Random(1)
    facts = [random_facts(draw) for _ in range(200)]
    assert {one.output.name for one in facts} == {output.name for output in OUTPUTS}
    whole = next(one for one in facts if one.fixed and one.output.name == "480 to 208Y/120")
    assert {pair.what for pair in compared(whole)} == {
        "size, kVA",
        "load with growth, kVA",
        "worst winding, kVA",
        "fault between lines, A",
        "fault to ground, A",
        "neutral current, A",
        "supply line current, A",
        "volts at the load, V",
    }


def test_another_job_is_told_apart() -> None:
    draw = random.Random(2)
    facts = random_facts(draw)
    result = select(job_from_mapping(job_of(facts)))
    first, *rest = facts.loads
    other = replace(facts, loads=(replace(first, kva=first.kva * 1.02), *rest))
    apart = {pair.what for pair in pairs_of(facts, result, answer(other)) if not pair.agrees}
    assert {"load with growth, kVA", "worst winding, kVA"} <= apart
