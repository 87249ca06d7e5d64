"""Worker processes: bounded in time and in memory, and a defect in one is a sentence."""

import importlib
import logging
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest

from turnwright.errors import InputError
from turnwright.web.reply import Reply
from turnwright.web.work import Defect, Work


@pytest.fixture
def answers(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    monkeypatch.syspath_prepend(str(Path(__file__).parent))
    return importlib.import_module("work_answers")


@pytest.fixture
def run(in_a_loop: Callable[..., list]) -> Callable[..., list]:
    """Answers one after the other in one worker, each with its bound of time; errors stand in their place."""

    async def all_of_them(*steps: tuple) -> list:
        pool = Work(workers=1)
        found: list = []
        for seconds, answer, *arguments in steps:
            try:
                found.append(await pool.run(answer, *arguments, seconds=seconds))
            except (InputError, Defect) as error:
                found.append(error)
        return found

    return lambda *steps: in_a_loop(all_of_them, *steps)


def test_an_answer_without_end_is_stopped_and_the_next_one_answered(
    answers: ModuleType, run: Callable[..., list]
) -> None:
    stopped, after = run((0.5, answers.endless), (20, answers.fine, "well"))
    assert stopped.code == "WEB-05"
    assert after == Reply(200, "text/html; charset=utf-8", b"well")


@pytest.mark.skipif(sys.platform == "win32", reason="memory of a process is not bounded there")
def test_an_answer_without_measure_is_stopped(answers: ModuleType, run: Callable[..., list]) -> None:
    stopped, after = run((20, answers.greedy), (20, answers.fine, "well"))
    assert stopped.code == "WEB-06"
    assert after.body == b"well"


def test_what_can_be_told_is_told(answers: ModuleType, run: Callable[..., list]) -> None:
    refused, missing = run((20, answers.refusing), (20, answers.without_a_part))
    assert (refused.code, refused.where) == ("JOB-01", "job.toml, line 3")
    assert missing.code == "DOC-03"


def test_a_defect_is_a_sentence_without_what_the_customer_wrote(
    answers: ModuleType, run: Callable[..., list], own_log: pytest.LogCaptureFixture
) -> None:
    with own_log.at_level(logging.ERROR, logger="turnwright.web"):
        broken, dead, after = run((20, answers.broken), (20, answers.dying), (20, answers.fine, "well"))
    assert isinstance(broken, Defect)
    assert isinstance(dead, Defect)
    assert after.body == b"well"
    assert "RuntimeError" in own_log.text
    assert "customer" not in own_log.text + str(broken)
