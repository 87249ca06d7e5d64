"""The constants of a unit as the quick forms are given them."""

from __future__ import annotations

import math

from turnwright.fleet.forms.shapes import P
from turnwright.thermal.ageing import ZERO_K
from turnwright.thermal.profile import HeatModel


def constants_of(model: HeatModel) -> tuple[float, ...]:
    """Return the constants of a unit, columns `P`; the share of a step is filled in where steps are known. [any]"""
    losses = model.losses
    p = [0.0] * len(P)
    p[P.RISE], p[P.HALF_EXPONENT] = model.hot_spot_rise_k, model.exponent / 2.0
    if losses is not None:
        parts = (losses.ohmic_w, losses.eddy_w, losses.other_w)
        p[P.OHMIC], p[P.EDDY], p[P.OTHER] = (each / 1000.0 for each in parts)
        p[P.ZERO], p[P.PER_RESISTANCE] = losses.zero_c, 1.0 / (losses.zero_c + losses.reference_c)
    else:  # any resistance above 0: the loss is not used
        p[P.ZERO], p[P.PER_RESISTANCE] = ZERO_K, 1.0 / ZERO_K
    p[P.AVERAGE] = model.average_rise_k / model.hot_spot_rise_k
    p[P.RATED] = model.law.rated_hot_spot_c
    p[P.SLOPE] = model.law.b_k / ((ZERO_K + model.law.rated_hot_spot_c) * math.log(2.0))
    p[P.RATIO_0] = 1.0 / (1.0 + model.k_rating * model.eddy_pu)
    p[P.RATIO_1] = model.eddy_pu * p[P.RATIO_0]
    return tuple(float(each) for each in p)
