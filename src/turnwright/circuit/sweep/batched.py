"""The plain form: the same equations as matrices, many variants in one call of a pivoting solver."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple, cast

import numpy as np
from numpy.typing import NDArray

from turnwright.circuit.assemble import SMALLEST
from turnwright.circuit.layout import Layout
from turnwright.circuit.sweep.elements import ArrayElement, Bounded, Varied
from turnwright.circuit.sweep.pairs import Complexes, numbers

Floats = NDArray[np.float64]
Picked = NDArray[np.int64]
AT_ONCE = 4096
"""Variants whose matrices are held at the same time."""


class Batch(NamedTuple):
    """Voltages by node and currents by bounded branch, V and A, of picked variants, and how far to trust them.

    misses     what is left over, as `left_over`
    condition  estimated condition number of the row-scaled matrix, seldom far too low
    """

    voltages: Complexes
    through: Complexes
    misses: Floats
    condition: Floats


def solve_batched(
    layout: Layout, elements: Sequence[ArrayElement], picked: Picked, refine: bool = False
) -> Batch:
    """Return the solution of picked variants; `refine` corrects it once by what is left over."""
    nodes = len(layout.number) - 1
    bounded = sum(len(one.names) for one in elements if isinstance(one, Bounded))
    count = len(picked)
    voltages, through = np.empty((nodes, count), complex), np.empty((bounded, count), complex)
    misses, condition = np.empty(count), np.empty(count)
    for start in range(0, count, AT_ONCE):
        part = slice(start, start + AT_ONCE)
        x, condition[part] = _solved(layout, elements, picked[part], nodes + bounded, refine)
        voltages[:, part], through[:, part] = x[:nodes], x[nodes:]
        misses[part] = left_over(layout, elements, picked[part], x[:nodes], x[nodes:])
    return Batch(voltages, through, misses, condition)


def _solved(
    layout: Layout, elements: Sequence[ArrayElement], picked: Picked, size: int, refine: bool
) -> tuple[Complexes, Floats]:
    matrix, rhs = equations_of(layout, elements, picked, size)
    scale = np.abs(matrix).max(axis=2)
    scale[scale == 0.0] = 1.0
    matrix /= scale[:, :, None]
    both = np.empty((len(picked), size, 2), complex)
    both[:, :, 0] = rhs / scale
    both[:, :, 1] = _probe(size)
    x = _inverse_times(matrix, both)
    if refine:
        x[:, :, :1] += _inverse_times(matrix, both[:, :, :1] - matrix @ x[:, :, :1])
    return x[:, :, 0].T, np.abs(x[:, :, 1]).max(axis=1) * size


def _probe(size: int) -> Complexes:
    """A right-hand side without pattern: the answer to it is large where the matrix is nearly singular."""
    turns: Floats = np.sqrt(2.0) * np.arange(1, size + 1) ** 2
    return np.cos(2 * np.pi * turns) + 1j * np.sin(2 * np.pi * turns)


def _inverse_times(matrix: Complexes, rhs: Complexes) -> Complexes:
    try:
        return cast(Complexes, np.linalg.solve(matrix, rhs))
    except np.linalg.LinAlgError:
        return np.stack([_alone(m, b) for m, b in zip(matrix, rhs, strict=True)])


def _alone(matrix: Complexes, rhs: Complexes) -> Complexes:
    """One variant of a batch in which some matrix has no inverse."""
    try:
        return cast(Complexes, np.linalg.solve(matrix, rhs))
    except np.linalg.LinAlgError:
        return np.full(rhs.shape, np.nan + 0j)


def equations_of(
    layout: Layout, elements: Sequence[ArrayElement], picked: Picked, size: int
) -> tuple[Complexes, Complexes]:
    """Return matrix and right-hand side of picked variants: nodes first, then currents of bounded branches."""
    own, at = numbers(layout), len(layout.number) - 1
    # the last row and column are earth, dropped when all is summed
    matrix = np.zeros((len(picked), size + 1, size + 1), complex)
    rhs = np.zeros((len(picked), size + 1), complex)
    for element in elements:
        ends = [
            (size if own[a] == len(own) - 1 else own[a], size if own[b] == len(own) - 1 else own[b])
            for a, b in element.ends
        ]
        if isinstance(element, Bounded):
            _put_bounded(element, ends, at, matrix, rhs, picked)
            at += len(ends)
        else:
            _put_varied(element, ends, matrix, rhs, picked)
    for part in layout.floating:
        tied = layout.number[part[0]]
        matrix[:, tied, tied] = 1.0
    return matrix[:, :size, :size].copy(), rhs[:, :size]


def _put_varied(
    element: Varied, ends: Sequence[tuple[int, int]], matrix: Complexes, rhs: Complexes, picked: Picked
) -> None:
    for (start, end), row, given in zip(ends, element.y_siemens, element.given_a, strict=True):
        for (a, b), entry in zip(ends, row, strict=True):
            value = of_picked(entry, picked)
            for into, sign in ((start, 1), (end, -1)):
                matrix[:, into, a] += sign * value
                matrix[:, into, b] -= sign * value
        current = of_picked(given, picked)
        rhs[:, start] -= current
        rhs[:, end] += current


def _put_bounded(
    element: Bounded,
    ends: Sequence[tuple[int, int]],
    at: int,
    matrix: Complexes,
    rhs: Complexes,
    picked: Picked,
) -> None:
    """Write the equations of a bounded element from row `at` on."""
    for k, (start, end) in enumerate(ends):
        matrix[:, start, at + k] += 1
        matrix[:, end, at + k] -= 1
        for (a, b), by in zip(ends, element.a[k], strict=True):
            matrix[:, at + k, a] += of_picked(by, picked)
            matrix[:, at + k, b] -= of_picked(by, picked)
        for m, by in enumerate(element.b[k]):
            matrix[:, at + k, at + m] += of_picked(by, picked)
        rhs[:, at + k] = of_picked(element.c[k], picked)


def of_picked(value: Any, picked: Picked) -> Any:
    """Return a number, or those of an array that belong to the picked variants."""
    return value[picked] if np.ndim(value) else value


def currents(
    elements: Sequence[ArrayElement],
    own: dict[int, int],
    picked: Picked,
    voltages: Complexes,
    through: Complexes,
) -> Iterator[tuple[str, tuple[int, int], float, Any]]:
    """Yield each branch: name, ends, sign of its report, and its current into the first end, by picked variant."""
    nodes = len(voltages)

    def volts(node: int) -> Any:
        return voltages[own[node]] if own[node] < nodes else 0j

    at = 0
    for element in elements:
        if isinstance(element, Bounded):
            for name, ends in zip(element.names, element.ends, strict=True):
                yield name, ends, element.sign, through[at]
                at += 1
            continue
        across = [volts(start) - volts(end) for start, end in element.ends]
        for name, ends, row, given in zip(
            element.names, element.ends, element.y_siemens, element.given_a, strict=True
        ):
            current = of_picked(given, picked) + sum(
                of_picked(y, picked) * v for y, v in zip(row, across, strict=True)
            )
            yield name, ends, element.sign, np.broadcast_to(current, picked.shape)


def left_over(
    layout: Layout, elements: Sequence[ArrayElement], picked: Picked, voltages: Complexes, through: Complexes
) -> Floats:
    """Return the largest sum of currents at a node, or miss of a bounded equation, as shares of the largest."""
    own, nodes = numbers(layout), len(voltages)
    sums = np.zeros((nodes + 1, len(picked)), complex)
    largest = np.full(len(picked), SMALLEST)
    for _, (start, end), _, current in currents(elements, own, picked, voltages, through):
        sums[own[start]] += current
        sums[own[end]] -= current
        np.maximum(largest, np.abs(current), out=largest)
    misses = np.abs(sums[:nodes]).max(axis=0) / largest
    largest_v, at = np.maximum(SMALLEST, np.abs(voltages).max(axis=0)), 0
    for element in elements:
        if isinstance(element, Bounded):
            misses = np.maximum(
                misses, _missed(element, own, at, picked, voltages, through, largest, largest_v)
            )
            at += len(element.names)
    return np.asarray(misses)


def _missed(
    element: Bounded, own: dict[int, int], at: int, picked: Picked,
    voltages: Complexes, through: Complexes, largest_a: Floats, largest_v: Floats,
) -> Floats:  # fmt: skip
    """How far the equations of a bounded element are missed, as a share of the largest volts or amperes."""
    with_earth = np.vstack([voltages, np.zeros(len(picked))])
    across = [with_earth[own[start]] - with_earth[own[end]] for start, end in element.ends]
    worst = np.zeros(len(picked))
    for a, b, c in zip(element.a, element.b, element.c, strict=True):
        by_volts, by_amperes = (_of_all(row, picked) for row in (a, b))
        miss = sum(g * v for g, v in zip(by_volts, across, strict=True)) - of_picked(c, picked)
        miss = miss + sum(g * through[at + k] for k, g in enumerate(by_amperes))
        size = np.abs(by_volts).max(axis=0) * largest_v
        size = np.where(size > 0, size, np.abs(by_amperes).max(axis=0) * largest_a)
        worst = np.maximum(worst, np.abs(miss) / size)
    return worst


def _of_all(row: Sequence[Any], picked: Picked) -> Complexes:
    """Return the factors of an equation by variant."""
    return np.stack([np.broadcast_to(of_picked(by, picked), picked.shape) for by in row])
