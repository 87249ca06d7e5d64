"""The steps of a ledger as lines of a working, each input with the name of the step it came from."""

from __future__ import annotations

from typing import Any

from turnwright.model.result import WorkingLine
from turnwright.working import Ledger, Step, step_of


def working_lines(work: Ledger) -> tuple[WorkingLine, ...]:
    """Return the steps of a ledger, each input with the name of the step it came from."""
    return tuple(_line(step) for step in work.steps.values())


def _line(step: Step) -> WorkingLine:
    inputs = {name: (value, step_of(value)) for name, value in step.inputs.items()}
    return WorkingLine(
        name=step.name,
        formula=step.formula,
        with_={name: _plain(value) for name, (value, _) in inputs.items()},
        from_={name: origin.name for name, (_, origin) in inputs.items() if origin is not None},
        value=_plain(step.value),
        unit=step.unit,
        source=step.source,
        known=step.known,
    )


def _plain(value: Any) -> Any:
    if isinstance(value, bool) or value is None:
        return value
    if isinstance(value, int | float):
        return float(value)
    if isinstance(value, tuple | list):
        return [_plain(item) for item in value]
    return str(value)
