"""The questions in depth for programs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import msgspec

from turnwright.errors import InputError
from turnwright.examine import Study, find_question
from turnwright.examine.told import read_all_taken
from turnwright.intake import job_from_mapping, unit_from_mapping
from turnwright.web.api import ORIGIN, UNIT, data_of_body
from turnwright.web.job.edits import written
from turnwright.web.reply import Reply, as_json
from turnwright.web.study import ask

OPTIONS = "options"


def api_examine(kind: str, body: bytes, question: str) -> Reply:
    """Return a question in depth answered: the job, `[unit]` in its place, or `circuits`; `options` beside it.

    Raises:
        UnknownKey: EXM-01.
        InputError: what cannot be used.
    """
    asked, data = find_question(question), data_of_body(kind, body)
    if asked.takes == ask.CIRCUITS:
        return as_json(_circuits(data).to_json())
    options = data.pop(OPTIONS, {})
    if not isinstance(options, Mapping):
        raise InputError("API-03", OPTIONS, "this is no table.", "Write what the question is told by name.")
    told = read_all_taken(asked, {str(name): written(value) for name, value in options.items()})
    unit = data.get(UNIT)
    if asked.units and isinstance(unit, Mapping) and len(data) == 1:
        return as_json(ask.of_unit(asked, (unit_from_mapping(unit, UNIT),), told).to_json())
    return as_json(ask.of_job(asked, job_from_mapping(data, ORIGIN), told).to_json())


def _circuits(data: Mapping[str, Any]) -> Study:
    circuits, vary, case = (data.get(name) for name in (ask.CIRCUITS, "vary", "case"))
    if circuits is None:
        fix = 'Send {"circuits": …, "vary": […], "case": "…"}; only circuits is needed.'
        raise InputError("API-03", ORIGIN, "there are no circuits in it.", fix)
    spoken = [vary] if isinstance(vary, str) else vary or []
    if not isinstance(spoken, Sequence) or not all(isinstance(each, str) for each in spoken):
        raise InputError(
            "API-03", "vary", "this is no list of texts.", 'Write ["load1.r_ohm=0.5..2.0:1000"].'
        )
    text = circuits if isinstance(circuits, str) else msgspec.json.encode(circuits).decode()
    return ask.of_circuits(text, spoken, None if case is None else str(case))
