"""What every form of the calculation is given and hands back.

A form follows the pieces of one block of profiles, each the even steps of one unit, and tells what they leave
behind. All forms do the same; `plain` is the one the others are measured by.
"""

from __future__ import annotations

from enum import IntEnum
from typing import Any, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.floating[Any]]


class P(IntEnum):
    """Columns of the constants of a piece."""

    RISE = 0
    """hot-spot rise at rated load [K]"""
    HALF_EXPONENT = 1
    """q / 2 [-]"""
    SHARE = 2
    """1 - exp(-step / time constant) [-]"""
    OHMIC = 3
    """I²R at rated load and reference temperature [kW]"""
    EDDY = 4
    """winding eddy loss there [kW]"""
    OTHER = 5
    """other stray loss there [kW]"""
    ZERO = 6
    """T_k of the winding metal [degC]"""
    PER_RESISTANCE = 7
    """1 / (T_k + reference temperature) [1/K]"""
    AVERAGE = 8
    """average rise over hot-spot rise [-]"""
    RATED = 9
    """rated hot spot [degC]"""
    SLOPE = 10
    """b / ((273 + rated hot spot) ln 2) [-]"""
    RATIO_0 = 11
    """1 / (1 + K_R P_EC) [-]"""
    RATIO_1 = 12
    """P_EC / (1 + K_R P_EC) [-]"""


class S(IntEnum):
    """Columns of what a piece leaves behind; sums are over steps, not hours."""

    RISE = 0
    """hot-spot rise at the end [K]"""
    AGEING = 1
    """sum of the ageing rate [-]"""
    LOAD_LOSS = 2
    """sum of the load loss [kW]"""
    HOTTEST = 3
    """highest hot spot [degC]"""
    OVER = 4
    """steps above rated load [-]"""


class Pieces(NamedTuple):
    """Pieces of a block.

    load, ambient, factor  one value a step, float32; factor has no values where currents are sinusoidal
    start, length          of each piece in them
    constants              one row a piece, columns `P`, float64
    rise                   hot-spot rise at the start of each; below 0: the first load has been carried for long
    """

    load: NDArray[np.float32]
    ambient: NDArray[np.float32]
    factor: NDArray[np.float32]
    start: NDArray[np.int64]
    length: NDArray[np.int64]
    constants: NDArray[np.float64]
    rise: NDArray[np.float64]

    def part(self, first: int, last: int) -> Pieces:
        """Return the pieces from one to another, the last not included."""
        cut = slice(first, last)
        return self._replace(
            start=self.start[cut], length=self.length[cut], constants=self.constants[cut], rise=self.rise[cut]
        )
