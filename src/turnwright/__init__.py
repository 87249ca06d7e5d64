"""Which low-voltage dry-type transformer belongs between a supply and its loads, and why.

    import turnwright as tw

    job = tw.load_job("job.toml")
    result = tw.select(job)
    result.pick.kva, result.findings, result.to_json()

Each name is imported when it is first used, so that `import turnwright` costs nothing.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from turnwright.version import __version__

if TYPE_CHECKING:
    from turnwright.ask import LoadList, RequestJob, job_from_request, load_list_job
    from turnwright.documents.offer import vet_offer
    from turnwright.errors import InputError, MissingExtra, TableError, TurnwrightError, UnknownKey
    from turnwright.intake import (
        job_from_mapping,
        load_job,
        load_unit,
        read_job,
        read_unit,
        unit_from_mapping,
    )
    from turnwright.model.job import Job, Nameplate
    from turnwright.model.result import Finding, Question, Result
    from turnwright.narrow import select
    from turnwright.vetting import Vetting, load_stock, load_stock_list, vet, vet_stock

__all__ = [
    "Finding",
    "InputError",
    "Job",
    "LoadList",
    "MissingExtra",
    "Nameplate",
    "Question",
    "RequestJob",
    "Result",
    "TableError",
    "TurnwrightError",
    "UnknownKey",
    "Vetting",
    "__version__",
    "job_from_mapping",
    "job_from_request",
    "load_job",
    "load_list_job",
    "load_stock",
    "load_stock_list",
    "load_unit",
    "read_job",
    "read_unit",
    "select",
    "unit_from_mapping",
    "vet",
    "vet_offer",
    "vet_stock",
]

_HOMES = {
    "turnwright.ask": ("LoadList", "RequestJob", "job_from_request", "load_list_job"),
    "turnwright.documents.offer": ("vet_offer",),
    "turnwright.errors": ("InputError", "MissingExtra", "TableError", "TurnwrightError", "UnknownKey"),
    "turnwright.intake": (
        "job_from_mapping",
        "load_job",
        "load_unit",
        "read_job",
        "read_unit",
        "unit_from_mapping",
    ),
    "turnwright.model.job": ("Job", "Nameplate"),
    "turnwright.model.result": ("Finding", "Question", "Result"),
    "turnwright.narrow": ("select",),
    "turnwright.vetting": ("Vetting", "load_stock", "load_stock_list", "vet", "vet_stock"),
}
_HOME_OF = {name: home for home, names in _HOMES.items() for name in names}


def __getattr__(name: str) -> Any:
    """Import a public name from where it lives."""
    home = _HOME_OF.get(name)
    if home is None:
        raise AttributeError(f"module 'turnwright' has no attribute '{name}'")
    value = getattr(import_module(home), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
