"""The form with arrays: one unit after another in float64, each operation over all its steps.

The first-order lag, in which each step needs the one before, goes through all groups of steps side by side, as
if each began cold; then the ends of the groups are linked one by one, and what each began with is added.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from turnwright.fleet.forms.shapes import P, Pieces, S

GROUP = 64
KELVIN = 273.0


def follow_arrays(pieces: Pieces) -> NDArray[np.float64]:
    """Return what the pieces leave behind, columns `S`."""
    out = np.empty((len(pieces.start), len(S)))
    for i, (start, length) in enumerate(zip(pieces.start, pieces.length, strict=True)):
        steps = slice(int(start), int(start + length))
        load = pieces.load[steps].astype(np.float64)
        ambient = pieces.ambient[steps].astype(np.float64)
        factor = pieces.factor[steps].astype(np.float64) if pieces.factor.size else None
        out[i] = _one(pieces.constants[i], float(pieces.rise[i]), load, ambient, factor)
    return out


def _one(
    p: NDArray[np.float64],
    rise: float,
    load: NDArray[np.float64],
    ambient: NDArray[np.float64],
    factor: NDArray[np.float64] | None,
) -> tuple[float, float, float, float, int]:
    squares = load * load
    heating, stray = squares, p[P.EDDY] + p[P.OTHER]
    if factor is not None:
        heating = squares * np.maximum(p[P.RATIO_0] + p[P.RATIO_1] * factor, 1.0)
        stray = p[P.EDDY] * factor + p[P.OTHER] * factor**0.4
    ultimate = p[P.RISE] * heating ** p[P.HALF_EXPONENT]
    rises = lagged(ultimate, float(p[P.SHARE]), float(ultimate[0]) if rise < 0 else rise)
    hot_spot = ambient + rises
    ageing = np.exp(p[P.SLOPE] * math.log(2.0) * (hot_spot - p[P.RATED]) / (hot_spot + KELVIN))
    resistance = (ambient + p[P.AVERAGE] * rises + p[P.ZERO]) * p[P.PER_RESISTANCE]
    loss = squares * (p[P.OHMIC] * resistance + stray / resistance)
    over = int(np.count_nonzero(load > 1.0))
    return float(rises[-1]), float(ageing.sum()), float(loss.sum()), float(hot_spot.max()), over


def lagged(ultimate: NDArray[np.float64], share: float, initial: float) -> NDArray[np.float64]:
    """Return the first-order lag of a course, each step exact: the values at the ends of the steps."""
    steps, left = len(ultimate), 1.0 - share
    groups = -(-steps // GROUP)
    padded = np.zeros((groups, GROUP))
    padded.reshape(-1)[:steps] = share * ultimate
    course = np.ascontiguousarray(padded.T)
    for i in range(1, GROUP):
        course[i] += left * course[i - 1]
    starts, value, whole = [], initial, left**GROUP
    for end in course[-1].tolist():
        starts.append(value)
        value = end + whole * value
    course += np.outer(left ** np.arange(1.0, GROUP + 1.0), starts)
    return np.ascontiguousarray(course.T).reshape(-1)[:steps]
