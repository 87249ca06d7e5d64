"""The one place that asks a question in depth, for the pages and for programs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from turnwright.examine import Asked, Options, Study, examine, examine_circuits, examine_unit
from turnwright.intake import read_unit
from turnwright.model.job import Job, Nameplate

CIRCUITS = "circuits"
MOST_VARIED = 4


def of_job(asked: Asked, job: Job, told: Mapping[str, Any]) -> Study:
    """Return a question of a job answered.

    Raises:
        InputError: facts, options or units that cannot be used.
    """
    return examine(asked.name, job, Options(**told))


def of_unit(asked: Asked, units: Sequence[Nameplate], told: Mapping[str, Any]) -> Study:
    """Return a question of a unit that exists answered.

    Raises:
        InputError: a unit or options that cannot be used.
    """
    return examine_unit(asked.name, units, Options(**told))


def unit_of(text: str) -> tuple[Nameplate, ...]:
    """Return the unit of a text.

    Raises:
        InputError: it cannot be read.
    """
    return read_unit(text, "unit")


def of_circuits(text: str, vary: Sequence[str] = (), case: str | None = None) -> Study:
    """Return circuits solved, or one of them with numbers that vary.

    Raises:
        InputError: CIR-01 to CIR-16.
        MissingExtra: CIR-14.
    """
    if not vary:
        return examine_circuits(text, CIRCUITS)
    from turnwright.examine.network_sweep import examine_variants

    return examine_variants(text, CIRCUITS, vary[:MOST_VARIED], case)
