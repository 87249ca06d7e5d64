"""The records of a job, a case, a unit and a result, and the list of keys they are read by.

Names are loaded when they are first asked for, so that a quick answer pays only for what it uses.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from turnwright.model.case import Case, CaseLoad, Defaults, Fact, Missing, NeedsInput
    from turnwright.model.job import Job, Load, Nameplate
    from turnwright.model.key import Key
    from turnwright.model.keys import JOB_TABLES, UNIT_TABLES, key_of
    from turnwright.model.result import Finding, Question, Result
    from turnwright.model.unit import Unit

__all__ = [
    "JOB_TABLES",
    "UNIT_TABLES",
    "Case",
    "CaseLoad",
    "Defaults",
    "Fact",
    "Finding",
    "Job",
    "Key",
    "Load",
    "Missing",
    "Nameplate",
    "NeedsInput",
    "Question",
    "Result",
    "Unit",
    "key_of",
]

_HOMES = {
    "JOB_TABLES": "keys",
    "UNIT_TABLES": "keys",
    "Case": "case",
    "CaseLoad": "case",
    "Defaults": "case",
    "Fact": "case",
    "Finding": "result",
    "Job": "job",
    "Key": "key",
    "Load": "job",
    "Missing": "case",
    "Nameplate": "job",
    "NeedsInput": "case",
    "Question": "result",
    "Result": "result",
    "Unit": "unit",
    "key_of": "keys",
}


def __getattr__(name: str) -> Any:
    """Load a name of the package when it is first asked for."""
    home = _HOMES.get(name)
    if home is None:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{home}"), name)
