"""Half-known jobs from people: requests in words, load lists, guided intake, the job file that is written.

Names are loaded when they are first asked for: a request in words does not pay for reading lists.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from turnwright.ask.from_request import RequestJob, job_from_request
    from turnwright.ask.job_text import Line, job_text
    from turnwright.ask.load_list.list_job import LoadList, job_of_sheet, load_list_job

__all__ = [
    "Line",
    "LoadList",
    "RequestJob",
    "job_from_request",
    "job_of_sheet",
    "job_text",
    "load_list_job",
]

_HOMES = {
    "Line": "job_text",
    "LoadList": "load_list.list_job",
    "RequestJob": "from_request",
    "job_from_request": "from_request",
    "job_of_sheet": "load_list.list_job",
    "job_text": "job_text",
    "load_list_job": "load_list.list_job",
}


def __getattr__(name: str) -> Any:
    """Load a name of the package when it is first asked for."""
    home = _HOMES.get(name)
    if home is None:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{home}"), name)
