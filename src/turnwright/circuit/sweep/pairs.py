"""A network as admittances between pairs of nodes, earth the last of them: what the compiled form solves.

y[i, j] joins nodes i < j, g[i, j] is a current driven from i to j; the sum of y (v_i - v_j) + g at each node is
nothing. A node is taken out by the star-mesh rule, y_ij + y_ki y_kj / Σ y_k, which knows no differences of nearly
equal numbers where a part of the network hangs on earth by almost nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from turnwright.circuit.layout import EARTH_NUMBER, Layout
from turnwright.circuit.sweep.elements import Varied

Complexes = NDArray[np.complex128]
Floats = NDArray[np.float64]


class Pairs(NamedTuple):
    """The pairs of n nodes and earth, row after row: (0, 1) ... (0, n), (1, 2) ...

    kept            the numbers that the nodes have in the layout; those tied to earth are left out
    base_y, base_g  what is the same in every variant
    y               position of a pair that varies -> by how much more, by variant
    g               the same for the driven currents
    """

    kept: tuple[int, ...]
    base_y: Complexes
    base_g: Complexes
    y: dict[int, Complexes]
    g: dict[int, Complexes]

    @property
    def nodes(self) -> int:
        """How many nodes there are beside earth."""
        return len(self.kept)


def position(count: int, first: int, second: int) -> int:
    """Return where a pair of nodes stands, numbers from 0 to `count`, which is earth.

    Example:
        >>> [position(2, 0, 1), position(2, 0, 2), position(2, 2, 1)]
        [0, 1, 2]
    """
    low, high = min(first, second), max(first, second)
    return low * count - low * (low - 1) // 2 + high - low - 1


def pairs_of(layout: Layout, elements: Iterable[Varied]) -> Pairs:
    """Return the pairs of a network whose elements all have an admittance."""
    plain = numbers(layout)
    kept = tuple(sorted(at for at, own in plain.items() if own < len(plain) - 1))
    count = len(kept)
    own = {at: kept.index(at) if at in kept else count for at in plain}
    size = count * (count + 1) // 2
    base_y, base_g = np.zeros(size, complex), np.zeros(size, complex)
    y: dict[int, Any] = {}
    g: dict[int, Any] = {}
    for element in elements:
        ends = [(own[start], own[end]) for start, end in element.ends]
        for (first, second), sign, value in _joined(ends, element.y_siemens):
            _put(position(count, first, second), sign, value, base_y, y)
        for (start, end), current in zip(ends, element.given_a, strict=True):
            if start != end and not (np.ndim(current) == 0 and current == 0):
                sign = 1 if start < end else -1
                _put(position(count, start, end), sign, current, base_g, g)
    return Pairs(kept, base_y, base_g, y, g)


def numbers(layout: Layout) -> dict[int, int]:
    """Return node numbers with earth as the last; a part without earth is tied to it by its first node."""
    count = len(layout.number) - 1
    tied = {layout.number[part[0]] for part in layout.floating}
    return {at: count if at == EARTH_NUMBER or at in tied else at for at in layout.number.values()}


def _joined(
    ends: Sequence[tuple[int, int]], y: Sequence[Sequence[Any]]
) -> Iterator[tuple[tuple[int, int], int, Any]]:
    """Yield each pair that an element joins, first node below second, and with which sign by what."""
    for (start, end), row in zip(ends, y, strict=True):
        for (a, b), entry in zip(ends, row, strict=True):
            for into, sign in ((start, 1), (end, -1)):
                for node, way in ((a, 1), (b, -1)):
                    if into < node:
                        yield (into, node), -sign * way, entry


def _put(at: int, sign: int, value: Any, base: Complexes, varied: dict[int, Any]) -> None:
    if np.ndim(value) == 0:
        base[at] += sign * value
    elif at in varied:
        varied[at] = varied[at] + value if sign > 0 else varied[at] - value
    else:
        varied[at] = value if sign > 0 else -value
