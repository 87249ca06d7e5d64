"""The plain form: the formulas of `thermal` step by step, in Python floats. The others are measured by it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from turnwright.fleet.forms.shapes import Pieces, S
from turnwright.thermal.profile import HeatModel, ThermalState, follow


def follow_plain(pieces: Pieces, models: Sequence[HeatModel], step_h: Sequence[float]) -> NDArray[np.float64]:
    """Return what the pieces leave behind, columns `S`; models and steps one for each piece."""
    out = np.empty((len(pieces.start), len(S)))
    for i, model in enumerate(models):
        steps = slice(int(pieces.start[i]), int(pieces.start[i] + pieces.length[i]))
        factor = [float(each) for each in pieces.factor[steps]] if pieces.factor.size else None
        known = model.losses is not None
        start = ThermalState(float(pieces.rise[i]), energy_kwh=0.0 if known else None)
        load = [float(each) for each in pieces.load[steps]]
        ambient = [float(each) for each in pieces.ambient[steps]]
        state = follow(model, step_h[i], load, ambient, start if pieces.rise[i] >= 0 else None, factor)
        idle = model.losses.no_load_w / 1000.0 * len(load) if model.losses is not None else 0.0
        lost = (state.energy_kwh or 0.0) / step_h[i] - idle
        over = round(state.overload_h / step_h[i])
        out[i] = state.rise_k, state.life_used_h / step_h[i], lost, state.hot_spot_max_c, over
    return out
