"""Many units over metered time: hot spot, life used, energy lost, and who comes first.

Needs the extra `fleet`. Names are loaded when they are first asked for; where a part is missing, the error says
how to install it.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from turnwright.errors import MissingExtra

if TYPE_CHECKING:
    from turnwright.fleet.progress import terminal_progress
    from turnwright.fleet.records import (
        FleetFault,
        FleetOptions,
        FleetProgress,
        FleetReport,
        FleetRow,
        FleetUnit,
    )
    from turnwright.fleet.run import run_fleet

__all__ = [
    "FleetFault",
    "FleetOptions",
    "FleetProgress",
    "FleetReport",
    "FleetRow",
    "FleetUnit",
    "run_fleet",
    "terminal_progress",
]

_HOMES = {"run_fleet": "run", "terminal_progress": "progress"}


def __getattr__(name: str) -> Any:
    """Load a name of the package when it is first asked for."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    try:
        home = import_module(f"{__name__}.{_HOMES.get(name, 'records')}")
        if name == "run_fleet":
            import_module("pyarrow")
    except ModuleNotFoundError as error:
        what = f"long profiles need {error.name}, which is not installed."
        raise MissingExtra("FLT-15", "fleet", what, 'Install it: pip install "turnwright[fleet]"') from None
    return getattr(home, name)
