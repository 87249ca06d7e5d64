"""The compiled form: 32 variants side by side, nodes taken out by the star-mesh rule, without pivoting.

Real and imaginary parts lie in arrays of their own, the same pair of 32 variants next to each other, so that every
inner loop is 32 numbers wide; indices are unsigned and slices contiguous, or it is no longer compiled to vectors.
How far the currents at a node are from summing to nothing is measured in the same pass, as a share of the largest
current between two nodes.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar, cast

import numba
import numpy as np
from numpy.typing import NDArray

from turnwright.circuit.sweep.pairs import Complexes, Pairs

F = TypeVar("F", bound=Callable[..., Any])
Floats = NDArray[np.float64]
Places = NDArray[np.uint64]
Count = np.uint64
LANES = 32
FREE = {"contract", "nsz", "reassoc", "arcp"}
"""Liberties of the compiler; what is not finite must stay so."""
W, ONE, ZERO = np.uint64(LANES), np.uint64(1), np.uint64(0)


def _inner(function: F) -> F:
    """Compile a function that only compiled code calls."""
    return cast(F, numba.njit(fastmath=FREE, error_model="numpy", nogil=True)(function))


def _entry(function: F) -> F:
    """Compile a function that Python calls; it is kept on disk where a folder can be written."""
    how: Any = {"fastmath": FREE, "error_model": "numpy", "nogil": True}
    try:
        return cast(F, numba.njit(cache=True, **how)(function))
    except RuntimeError:  # no folder that can be written
        return cast(F, numba.njit(**how)(function))


@_inner
def _fill(
    n: Count, re: Floats, im: Floats, base: Complexes, at: Places, more_re: Floats, more_im: Floats
) -> None:
    """Write the pairs of 32 variants: what is the same in all, and what varies."""
    for e in range(n):
        o, real, imaginary = e * W, base[e].real, base[e].imag
        for lane in range(W):
            re[o + lane] = real
            im[o + lane] = imaginary
    for k in range(np.uint64(len(at))):
        o, p = at[k] * W, k * W
        for lane in range(W):
            re[o + lane] += more_re[p + lane]
            im[o + lane] += more_im[p + lane]


@_inner
def _drive(ends: Places, g_re: Floats, g_im: Floats, b_re: Floats, b_im: Floats) -> None:
    """Sum what is driven into each node."""
    b_re[:] = 0.0
    b_im[:] = 0.0
    for k in range(np.uint64(len(ends))):
        o, i, j = k * W, ends[k, 0] * W, ends[k, 1] * W
        for lane in range(W):
            b_re[i + lane] -= g_re[o + lane]
            b_im[i + lane] -= g_im[o + lane]
        for lane in range(W):
            b_re[j + lane] += g_re[o + lane]
            b_im[j + lane] += g_im[o + lane]


@_inner
def _eliminate(
    n: Count, re: Floats, im: Floats, b_re: Floats, b_im: Floats, p_re: Floats, p_im: Floats
) -> None:
    """Take out node after node: what it joined is joined directly; 1 / Σ y of each is kept."""
    f, g = np.empty(LANES), np.empty(LANES)
    row = ZERO
    for k in range(n):
        width, own = n - k, k * W
        _pivot(width, row, own, re, im, p_re, p_im)
        into = row + width * W
        for i in range(width - ONE):
            o, at = row + i * W, (k + ONE + i) * W
            for lane in range(W):
                a, c, p, q = re[o + lane], im[o + lane], p_re[own + lane], p_im[own + lane]
                f[lane] = a * p - c * q
                g[lane] = a * q + c * p
            for lane in range(W):
                a, c = b_re[own + lane], b_im[own + lane]
                b_re[at + lane] += f[lane] * a - g[lane] * c
                b_im[at + lane] += f[lane] * c + g[lane] * a
            for j in range(i + ONE, width):
                o = row + j * W
                for lane in range(W):
                    a, c = re[o + lane], im[o + lane]
                    re[into + lane] += f[lane] * a - g[lane] * c
                    im[into + lane] += f[lane] * c + g[lane] * a
                into += W
        row += width * W


@_inner
def _pivot(width: Count, row: Count, own: Count, re: Floats, im: Floats, p_re: Floats, p_im: Floats) -> None:
    """Write 1 / Σ y of a node."""
    for lane in range(W):
        p_re[own + lane] = re[row + lane]
        p_im[own + lane] = im[row + lane]
    for j in range(ONE, width):
        o = row + j * W
        for lane in range(W):
            p_re[own + lane] += re[o + lane]
            p_im[own + lane] += im[o + lane]
    for lane in range(W):
        a, c = p_re[own + lane], p_im[own + lane]
        size = 1.0 / (a * a + c * c)
        p_re[own + lane] = a * size
        p_im[own + lane] = -c * size


@_inner
def _back(n: Count, re: Floats, im: Floats, b_re: Floats, b_im: Floats, p_re: Floats, p_im: Floats) -> None:
    """Turn what is driven into each node into its voltage, the last node first; earth is at 0."""
    row = np.uint64(len(re))
    for back in range(n):
        k = n - ONE - back
        row -= (n - k) * W
        own = k * W
        for j in range(k + ONE, n):
            o, at = row + (j - k - ONE) * W, j * W
            for lane in range(W):
                a, c, v, w = re[o + lane], im[o + lane], b_re[at + lane], b_im[at + lane]
                b_re[own + lane] += a * v - c * w
                b_im[own + lane] += a * w + c * v
        for lane in range(W):
            a, c, p, q = b_re[own + lane], b_im[own + lane], p_re[own + lane], p_im[own + lane]
            b_re[own + lane] = a * p - c * q
            b_im[own + lane] = a * q + c * p
    b_re[n * W :] = 0.0
    b_im[n * W :] = 0.0


@_inner
def _flow(
    n: Count, driven: Places, re: Floats, im: Floats, g_re: Floats, g_im: Floats,
    v_re: Floats, v_im: Floats, r_re: Floats, r_im: Floats, sums: Floats, top: Floats,
) -> None:  # fmt: skip
    """Sum the currents at each node, with the largest between two of them, and the sizes of the admittances there.

    driven  1 + place in g of a pair between which a current is driven, else 0
    """
    x, y, size = np.empty(LANES), np.empty(LANES), np.empty(LANES)
    r_re[:] = 0.0
    r_im[:] = 0.0
    sums[:] = 0.0
    top[:] = 0.0
    e = ZERO
    for i in range(n):
        at = i * W
        for j in range(i + ONE, n + ONE):
            o, other = e * W, j * W
            for lane in range(W):
                a, c = re[o + lane], im[o + lane]
                v, w = v_re[at + lane] - v_re[other + lane], v_im[at + lane] - v_im[other + lane]
                x[lane] = a * v - c * w
                y[lane] = a * w + c * v
                size[lane] = abs(a) + abs(c)
            if driven[e]:
                own = (driven[e] - ONE) * W
                for lane in range(W):
                    x[lane] += g_re[own + lane]
                    y[lane] += g_im[own + lane]
            for lane in range(W):
                r_re[at + lane] += x[lane]
                r_im[at + lane] += y[lane]
                sums[at + lane] += size[lane]
                top[lane] = max(top[lane], abs(x[lane]) + abs(y[lane]))
            if j < n:
                for lane in range(W):
                    r_re[other + lane] -= x[lane]
                    r_im[other + lane] -= y[lane]
                    sums[other + lane] += size[lane]
            e += ONE


@_inner
def _worst(
    n: Count, r_re: Floats, r_im: Floats, top: Floats, sums: Floats, p_re: Floats, p_im: Floats,
    miss: Floats, lost: Floats,
) -> None:  # fmt: skip
    """Write the largest sum of currents at a node as a share of the largest current; NaN stays NaN.

    lost  how much larger the admittances at a node were than what was left of them when it was taken out
    """
    for lane in range(W):
        worst, most = 0.0, 0.0
        for i in range(n):
            at = i * W + lane
            size = abs(r_re[at]) + abs(r_im[at])
            if not size <= worst:
                worst = size
            ratio = sums[at] * (abs(p_re[at]) + abs(p_im[at]))
            if not ratio <= most:
                most = ratio
        miss[lane] = worst / top[lane] if top[lane] > 0.0 else worst
        lost[lane] = most


@_entry
def _solve(
    n: Count, base_y: Complexes, y_at: Places, y_re: Floats, y_im: Floats,
    base_g: Complexes, ends: Places, driven: Places, all_g: Places, g_re: Floats, g_im: Floats,
    out: Floats, misses: Floats, losses: Floats,
) -> None:  # fmt: skip
    """Solve block after block of 32 variants; everything by variant is laid out in such blocks."""
    size, wide = len(base_y) * LANES, (n + ONE) * W
    a, c, first_a, first_c = np.empty(size), np.empty(size), np.empty(size), np.empty(size)
    g, h = np.empty(len(base_g) * LANES), np.empty(len(base_g) * LANES)
    v, w, r, s = np.empty(wide), np.empty(wide), np.empty(wide), np.empty(wide)
    p, q, sums, top = np.empty(wide), np.empty(wide), np.empty(wide), np.empty(LANES)
    for block in range(misses.shape[0]):
        _fill(np.uint64(len(base_y)), first_a, first_c, base_y, y_at, y_re[block], y_im[block])
        _fill(np.uint64(len(base_g)), g, h, base_g, all_g, g_re[block], g_im[block])
        a[:] = first_a
        c[:] = first_c
        _drive(ends, g, h, v, w)
        _eliminate(n, a, c, v, w, p, q)
        _back(n, a, c, v, w, p, q)
        _flow(n, driven, first_a, first_c, g, h, v, w, r, s, sums, top)
        _worst(n, r, s, top, sums, p, q, misses[block], losses[block])
        start = block * LANES
        for k in range(out.shape[0]):
            for lane in range(LANES):
                out[k, start + lane, 0] = v[k * LANES + lane]
                out[k, start + lane, 1] = w[k * LANES + lane]


def solve_lanes(pairs: Pairs, variants: int) -> tuple[Complexes, Floats, Floats]:
    """Return node voltages by node and variant, V, and how far to trust each variant.

    That is what is left over at its worst node, and by how much admittances cancelled when a node was taken out.
    """
    nodes, blocks = pairs.nodes, -(-variants // LANES)
    places = sorted({*np.flatnonzero(pairs.base_g).tolist(), *pairs.g})
    ends = [(i, j) for i in range(nodes) for j in range(i + 1, nodes + 1)]
    driven = np.zeros(len(ends), np.uint64)
    driven[places] = np.arange(1, len(places) + 1, dtype=np.uint64)
    voltages = np.empty((nodes, blocks * LANES), complex)
    misses, losses = np.empty((blocks, LANES)), np.empty((blocks, LANES))
    _solve(
        np.uint64(nodes),
        pairs.base_y,
        np.array(list(pairs.y), dtype=np.uint64),
        *_in_blocks(pairs.y, blocks, variants),
        pairs.base_g[places],
        np.array([ends[at] for at in places], dtype=np.uint64).reshape(-1, 2),
        driven,
        np.array([places.index(at) for at in pairs.g], dtype=np.uint64),
        *_in_blocks(pairs.g, blocks, variants),
        voltages.view(np.float64).reshape(nodes, -1, 2),
        misses,
        losses,
    )
    return voltages[:, :variants], misses.reshape(-1)[:variants], losses.reshape(-1)[:variants]


def _in_blocks(values: dict[int, Complexes], blocks: int, variants: int) -> tuple[Floats, Floats]:
    """Return real and imaginary parts by block; the last one is filled up with the last variant."""
    re, im = (np.empty((blocks, len(values), LANES)) for _ in range(2))
    whole = variants // LANES
    for at, of_pair in enumerate(values.values()):
        for laid, part in ((re, of_pair.real), (im, of_pair.imag)):
            laid[:whole, at] = part[: whole * LANES].reshape(whole, LANES)
            if whole < blocks:
                laid[whole, at] = part[-1]
                laid[whole, at, : variants - whole * LANES] = part[whole * LANES :]
    return re.reshape(blocks, -1), im.reshape(blocks, -1)
