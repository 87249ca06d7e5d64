"""A study as other programs read it."""

from __future__ import annotations

from math import isfinite
from typing import Any

from turnwright.examine.records import Series, Study
from turnwright.model.as_json import SCHEMA, alternative_to_json, plain, working_line


def study_to_json(study: Study) -> dict[str, Any]:
    """Return a study as a dict that any JSON writer takes; same study, same dict.

    A ratio without an end (X/R of a source without resistance) is None.

    Raises:
        ValueError: a number of the answer is not a number.
    """
    solved = {} if study.cases is None else {"cases": plain(study.cases, "cases")}
    return {
        "schema": SCHEMA,
        "question": study.question,
        "verdict": study.verdict,
        **solved,
        "answers": plain(_bounded(study.answers), "answers"),
        "series": [_series(one) for one in study.series],
        "said": list(study.said),
        "findings": plain(study.findings, "findings"),
        "questions": plain(study.questions, "questions"),
        "assumed": plain(study.assumed, "assumed"),
        "instead": [alternative_to_json(other) for other in study.instead],
        "working": [working_line(line) for line in study.working],
        "tool": plain(study.tool),
        "pick": plain(study.pick, "pick"),
        "job": plain(study.job, "job"),
    }


def _series(one: Series) -> dict[str, Any]:
    values: dict[str, Any] = plain(one, f"series {one.name}")
    return values


def _bounded(value: Any) -> Any:
    """Return the same with None for what is infinite."""
    if isinstance(value, float):
        return None if not isfinite(value) and value == value else value
    if isinstance(value, dict):
        return {key: _bounded(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_bounded(inner) for inner in value]
    return value
