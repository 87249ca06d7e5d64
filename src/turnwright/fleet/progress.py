"""Progress on a terminal, and nowhere else."""

from __future__ import annotations

import sys
from typing import TextIO

from turnwright.fleet.records import FleetProgress, Listener

CELLS = 30
"""Width of the bar."""


def terminal_progress(stream: TextIO | None = None) -> Listener | None:
    """Return what shows progress on standard error, or None where that is no terminal."""
    out = sys.stderr if stream is None else stream
    if not out.isatty():
        return None

    def show(progress: FleetProgress) -> None:
        done = f"{progress.done / 1e6:.1f} million steps"
        if progress.total:
            share = min(1.0, progress.done / progress.total)
            done = f"{bar_of(share)}  {done}"
        end = "\n" if progress.total and progress.done >= progress.total else ""
        out.write(f"\r{done}{end}")
        out.flush()

    return show


def bar_of(share: float) -> str:
    """Return how far something is, as a bar with its percentage.

    Example:
        >>> bar_of(0.5)
        '[###############...............]  50 %'
    """
    done = "#" * round(CELLS * share)
    return f"[{done:.<{CELLS}}] {round(100 * share):3d} %"
