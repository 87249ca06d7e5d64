"""One question in depth: what if it faults, will the motor start, how unbalanced, what do harmonics do.

`examine("fault", job)` finds the unit of the job and studies it; `QUESTIONS` lists what can be asked. Names are
loaded when they are first asked for.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from turnwright.examine.answer import examine
    from turnwright.examine.network import examine_circuits
    from turnwright.examine.of_units import examine_unit
    from turnwright.examine.options import Options, refuse_options
    from turnwright.examine.records import Answer, Assumed, Grid, Series, Study
    from turnwright.examine.registry import QUESTIONS, Asked, find_question
    from turnwright.examine.subject import Subject

__all__ = [
    "QUESTIONS",
    "Answer",
    "Asked",
    "Assumed",
    "Grid",
    "Options",
    "Series",
    "Study",
    "Subject",
    "examine",
    "examine_circuits",
    "examine_unit",
    "find_question",
    "refuse_options",
]

_HOMES = {
    "Options": "options",
    "examine": "answer",
    "refuse_options": "options",
    "examine_circuits": "network",
    "examine_unit": "of_units",
    "Answer": "records",
    "Assumed": "records",
    "Grid": "records",
    "Series": "records",
    "Study": "records",
    "QUESTIONS": "registry",
    "Asked": "registry",
    "find_question": "registry",
    "Subject": "subject",
}


def __getattr__(name: str) -> Any:
    """Load a name of the package when it is first asked for."""
    home = _HOMES.get(name)
    if home is None:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{home}"), name)
