"""From what a person wrote to a case: files read and checked, half-known and missing facts made concrete.

Names are loaded when they are first asked for, so that a quick answer pays only for what it uses.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from turnwright.intake.checks import check_job
    from turnwright.intake.describe import job_as_understood
    from turnwright.intake.job_file import job_from_mapping, load_job, read_job
    from turnwright.intake.kinds import read_value
    from turnwright.intake.text_file import read_text
    from turnwright.intake.to_case import case_of
    from turnwright.intake.toml_lines import key_lines
    from turnwright.intake.unit_file import load_unit, read_unit, unit_from_mapping

__all__ = [
    "case_of",
    "check_job",
    "job_as_understood",
    "job_from_mapping",
    "key_lines",
    "load_job",
    "load_unit",
    "read_job",
    "read_text",
    "read_unit",
    "read_value",
    "unit_from_mapping",
]

_HOMES = {
    "case_of": "to_case",
    "check_job": "checks",
    "job_as_understood": "describe",
    "job_from_mapping": "job_file",
    "key_lines": "toml_lines",
    "load_job": "job_file",
    "load_unit": "unit_file",
    "read_job": "job_file",
    "read_text": "text_file",
    "read_unit": "unit_file",
    "read_value": "kinds",
    "unit_from_mapping": "unit_file",
}


def __getattr__(name: str) -> Any:
    """Load a name of the package when it is first asked for."""
    home = _HOMES.get(name)
    if home is None:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{home}"), name)
