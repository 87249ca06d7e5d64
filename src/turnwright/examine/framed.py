"""A study as it is given out: the answer of a question with its question, working, subject and tool."""

from __future__ import annotations

from typing import Any

from turnwright.examine.records import Answer, Study
from turnwright.examine.registry import Asked
from turnwright.model.lines import working_lines
from turnwright.model.result import Pick, Tool
from turnwright.working import Ledger


def framed(
    asked: Asked, answer: Answer, work: Ledger, job: dict[str, Any], tool: Tool, pick: Pick | None = None
) -> Study:
    """Return the study of an answer; `pick` is the unit of a job that was examined."""
    return Study(
        question=asked.name,
        verdict=answer.verdict,
        said=answer.said,
        answers=answer.answers,
        grids=answer.grids,
        series=answer.series,
        findings=answer.findings,
        questions=answer.questions,
        assumed=answer.assumed,
        working=working_lines(work),
        pick=pick,
        job=job,
        tool=tool,
    )
