"""Which form a fleet is calculated in, and the work shared out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from itertools import pairwise
from typing import get_args

import numpy as np
from numpy.typing import NDArray

from turnwright.errors import InputError, MissingExtra, nearest
from turnwright.fleet.forms import compiled
from turnwright.fleet.forms.arrays import follow_arrays
from turnwright.fleet.forms.compiled import is_available
from turnwright.fleet.forms.plain import follow_plain
from turnwright.fleet.forms.shapes import Pieces
from turnwright.fleet.records import Form
from turnwright.thermal.profile import HeatModel
from turnwright.thermal.rise import lag_share

COMPILED_FROM_STEPS = 15_000_000
"""From about this many steps on the compiled form has paid back its start of half a second."""

SHARES_A_THREAD = 4
"""A thread that another program holds up leaves the rest of its shares to the others."""

Follow = Callable[[Pieces], NDArray[np.float64]]


def choose(form: Form, steps: int) -> Form:
    """Return the form to use: the one asked for, or the quickest for about so many steps.

    Raises:
        InputError: FLT-14 for a form that does not exist.
        MissingExtra: FLT-15 where a compiled form is asked for without the compiler.

    Example:
        >>> choose("auto", 35_040 * 3)
        'arrays'
    """
    if form not in get_args(Form):
        close = nearest(str(form), get_args(Form))
        fix = f"Known: {', '.join(get_args(Form))}." + (f' Did you mean "{close}"?' if close else "")
        raise InputError("FLT-14", "form", f'"{form}" is no form of the calculation.', fix)
    if form in ("float32", "float64") and not is_available():
        fix = 'Leave the form out, or: pip install "turnwright[fleet]"'
        raise MissingExtra("FLT-15", "form", f"{form} is compiled, and numba is not installed.", fix)
    if form != "auto":
        return form
    return "float32" if steps >= COMPILED_FROM_STEPS and is_available() else "arrays"


def share_of(model: HeatModel, step_h: float) -> float:
    """Return the share of the way to the ultimate rise that a step covers. [-]"""
    return lag_share(step_h, model.time_constant_h)


def follow_pieces(
    form: Form,
    pieces: Pieces,
    models: Sequence[HeatModel],
    step_h: Sequence[float],
    pool: Executor | None,
    ways: int,
) -> NDArray[np.float64]:
    """Return what the pieces leave behind, columns `S`, shared out among the threads of a pool."""
    if form == "plain":
        return follow_plain(pieces, models, step_h)
    follow = _form(form)
    if pool is None or ways < 2 or len(pieces.start) < 2:
        return follow(pieces)
    ends = np.cumsum(pieces.length)
    count = ways * SHARES_A_THREAD
    cuts = np.unique(np.searchsorted(ends, ends[-1] * np.arange(1, count) / count) + 1)
    bounds = [0, *(int(cut) for cut in cuts if cut < len(ends)), len(ends)]
    shares = [pieces.part(first, last) for first, last in pairwise(bounds)]
    return np.concatenate(list(pool.map(follow, shares)))


def _form(form: Form) -> Follow:
    if form == "arrays":
        return follow_arrays
    from turnwright.fleet.forms.lanes import follow_float32, follow_float64  # loads the compiler

    return follow_float32 if form == "float32" else follow_float64


def is_kept(form: Form) -> bool:
    """Tell whether the code of a form, once it has run, needs no compiling in the next process."""
    if form not in ("float32", "float64"):
        return True
    from turnwright.fleet.forms import lanes

    return compiled.is_kept(lanes.run_pieces)
