"""Many variants of one network at once: `sweep(network, {"load1.r_ohm": values})`.

Needs the extra "arrays"; with "fleet" the compiled form is there too.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from turnwright.circuit.sweep.run import Sweep, sweep

__all__ = ["Sweep", "sweep"]


def __getattr__(name: str) -> Any:
    """Load `sweep` and `Sweep` when they are first asked for.

    Raises:
        MissingExtra: CIR-14, numpy is not installed.
    """
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from turnwright.errors import MissingExtra

    try:
        import_module("numpy")
    except ImportError as missing:
        raise MissingExtra(
            "CIR-14",
            "sweep",
            "many variants need numpy, which is not installed.",
            "pip install 'turnwright[arrays]'",
        ) from missing
    return getattr(import_module(f"{__name__}.run"), name)
