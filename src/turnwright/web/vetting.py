"""The one place that asks whether a unit that exists does a job."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from turnwright.intake import unit_from_mapping
from turnwright.model.job import Job, Nameplate
from turnwright.vetting import Criterion, Vetting, vet

__all__ = ["Criterion", "Vetting", "judge", "nameplate"]

ORIGIN = "nameplate"


def nameplate(values: Mapping[str, Any]) -> Nameplate:
    """Return a unit from its values by key.

    Raises:
        InputError: the first value that cannot be used.
    """
    return unit_from_mapping(values, ORIGIN)


def judge(job: Job, units: tuple[Nameplate, ...]) -> Vetting:
    """Return whether the units do the job; several run in parallel.

    Raises:
        InputError: facts that cannot be used.
    """
    return vet(job, units, ledger_open=True)
