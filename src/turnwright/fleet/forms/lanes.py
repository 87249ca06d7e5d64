"""The compiled form: neighbouring steps of one unit side by side in the lanes of the vector unit.

Each block of steps goes through simple loops over small buffers: ultimate rise; the first-order lag as a scan
(two filters of four taps, then a recurrence of stride 16); temperature, loss and ageing with their sums in
registers. Sums are carried from block to block in float64.

What keeps the loops in vector registers, each measured: neighbours come in as shifted slices, never as t - 1;
the largest value is found among the bit patterns of positive numbers; counters are floats; the recurrence has
the stride of one register of float32.

exp2 and log2 are bit operations and one polynomial each, without branches: Chebyshev interpolations made when
this module is loaded, exp2 to 2e-7 (float32, degree 5) and 6e-11 (float64, degree 7) relative, log2 to 1e-6
(degree 8) and 1e-11 (degree 12) absolute for arguments from 1e-6 to 10. They stand in this file because the
compiler looks at the date of one file only when it judges what it kept on disk.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from turnwright.fleet.forms.compiled import SHORT_MATH, compiled, entry, extending, numba
from turnwright.fleet.forms.shapes import P, Pieces, S

types = numba().types
_WIDTH = {
    types.float32: types.int32,
    types.float64: types.int64,
    types.int32: types.float32,
    types.int64: types.float64,
}
_ROOT = math.sqrt(0.5)
Function = Callable[[NDArray[np.float64]], NDArray[np.float64]]


def _fit(
    function: Function, low: float, high: float, degree: int, dtype: type[np.floating[Any]]
) -> list[Any]:
    chebyshev = np.polynomial.chebyshev.Chebyshev.interpolate(function, degree, domain=[low, high])
    return [dtype(each) for each in chebyshev.convert(kind=np.polynomial.Polynomial).coef]


def _log2_slope(z: NDArray[np.float64]) -> NDArray[np.float64]:
    safe = np.where(z == 0, 1.0, z)
    return np.where(z == 0, 1 / math.log(2), np.log2(1 + safe) / safe)


E5, E4, E3, E2, E1, E0 = reversed(_fit(np.exp2, -0.5, 0.5, 5, np.float32))
D7, D6, D5, D4, D3, D2, D1, D0 = reversed(_fit(np.exp2, -0.5, 0.5, 7, np.float64))
G8, G7, G6, G5, G4, G3, G2, G1, G0 = reversed(_fit(_log2_slope, _ROOT - 1, 2 * _ROOT - 1, 8, np.float32))
L12, L11, L10, L9, L8, L7, L6, L5, L4, L3, L2, L1, L0 = reversed(
    _fit(_log2_slope, _ROOT - 1, 2 * _ROOT - 1, 12, np.float64)
)
LOW32, LOW64 = np.float32(-126), np.float64(-1022)
MAGIC32, MAGIC64 = np.float32(1.5 * 2.0**23), np.float64(1.5 * 2.0**52)
ONE32, ONE64 = np.float32(1), np.float64(1)
MANTISSA32, MANTISSA64 = np.int32(23), np.int64(52)
ROOT32 = np.int32(np.array([_ROOT], np.float32).view(np.int32)[0])
ROOT64 = np.int64(np.array([_ROOT], np.float64).view(np.int64)[0])


@extending().intrinsic  # type: ignore[untyped-decorator]
def bits(context: Any, x: Any) -> Any:
    """Reinterpret a float as the integer of equal width, or back."""
    out = _WIDTH[x]
    return out(x), lambda ctx, b, sig, args: b.bitcast(args[0], ctx.get_value_type(out))


def exp2(y: Any) -> Any:
    """Return 2 to the power of y, in the width of y; for compiled code."""
    return np.exp2(y)


def log2(x: Any) -> Any:
    """Return the logarithm of x to base 2, x above 0, in the width of x; for compiled code."""
    return np.log2(x)


@extending().overload(exp2, jit_options={"fastmath": set(SHORT_MATH)})  # type: ignore[untyped-decorator]
def _exp2(y: Any) -> Any:
    if y == types.float32:

        def short(y: Any) -> Any:
            y = max(y, LOW32)
            b = y + MAGIC32
            r = y - (b - MAGIC32)
            z = E0 + r * (E1 + r * (E2 + r * (E3 + r * (E4 + r * E5))))
            return bits(np.int32(bits(z) + np.int32(bits(b) << MANTISSA32)))

        return short

    def long(y: Any) -> Any:
        y = max(y, LOW64)
        b = y + MAGIC64
        r = y - (b - MAGIC64)
        z = D0 + r * (D1 + r * (D2 + r * (D3 + r * (D4 + r * (D5 + r * (D6 + r * D7))))))
        return bits(np.int64(bits(z) + np.int64(bits(b) << MANTISSA64)))

    return long


@extending().overload(log2, jit_options={"fastmath": set(SHORT_MATH)})  # type: ignore[untyped-decorator]
def _log2(x: Any) -> Any:
    if x == types.float32:

        def short(x: Any) -> Any:
            d = np.int32(np.int32(bits(x) - ROOT32) >> MANTISSA32)
            z = bits(np.int32(bits(x) - np.int32(d << MANTISSA32))) - ONE32
            s = G0 + z * (G1 + z * (G2 + z * (G3 + z * (G4 + z * (G5 + z * (G6 + z * (G7 + z * G8)))))))
            return np.float32(d) + z * s

        return short

    def long(x: Any) -> Any:
        d = np.int64(np.int64(bits(x) - ROOT64) >> MANTISSA64)
        z = bits(np.int64(bits(x) - np.int64(d << MANTISSA64))) - ONE64
        s = L6 + z * (L7 + z * (L8 + z * (L9 + z * (L10 + z * (L11 + z * L12)))))
        s = L0 + z * (L1 + z * (L2 + z * (L3 + z * (L4 + z * (L5 + z * s)))))
        return np.float64(d) + z * s

    return long


BLOCK = 1920
HISTORY = 32
SMALLEST_SHARE = 0.01
TINY = {np.float32: 1e-12, np.float64: 1e-24}
"""Added to the square of a load: log2 of 0 is no number."""


def follow_float32(pieces: Pieces) -> NDArray[np.float64]:
    """Return what the pieces leave behind, columns `S`, calculated in float32: ageing to 1e-5.

    Where a step covers a small share of the lag, rounding adds up from step to step: such pieces take float64.
    """
    fine = pieces.constants[:, P.SHARE] < SMALLEST_SHARE
    if not fine.any():
        return _follow(pieces, np.float32)
    out = np.empty((len(pieces.start), len(S)))
    out[fine] = follow_float64(_chosen(pieces, fine))
    if not fine.all():
        out[~fine] = _follow(_chosen(pieces, ~fine), np.float32)
    return out


def follow_float64(pieces: Pieces) -> NDArray[np.float64]:
    """Return what the pieces leave behind, columns `S`, calculated in float64."""
    first, last = int(pieces.start.min()), int((pieces.start + pieces.length).max())
    wide = pieces._replace(
        load=pieces.load[first:last].astype(np.float64, copy=False),
        ambient=pieces.ambient[first:last].astype(np.float64, copy=False),
        factor=pieces.factor[first:last].astype(np.float64, copy=False),
        start=pieces.start - first,
    )
    return _follow(wide, np.float64)


def _chosen(pieces: Pieces, which: NDArray[np.bool_]) -> Pieces:
    return pieces._replace(
        start=pieces.start[which],
        length=pieces.length[which],
        constants=pieces.constants[which],
        rise=pieces.rise[which],
    )


def _follow(pieces: Pieces, dtype: type[np.floating[Any]]) -> NDArray[np.float64]:
    out = np.empty((len(pieces.start), len(S)))
    run_pieces(
        pieces.load,
        pieces.ambient,
        pieces.factor,
        pieces.start,
        pieces.length,
        pieces.constants.astype(dtype),
        pieces.rise.astype(dtype),
        np.array([0.0, 1.0, 0.4, 273.0, TINY[dtype]], dtype),
        out,
    )
    return out


@compiled()
def _fill(k: Any, u: Any, rise: Any, half: Any, tiny: Any) -> None:
    for t in range(k.size):
        u[t] = rise * exp2(half * log2(k[t] * k[t] + tiny))


@compiled()
def _fill_harmonic(
    k: Any, f: Any, u: Any, rise: Any, half: Any, r0: Any, r1: Any, one: Any, tiny: Any
) -> None:
    for t in range(k.size):
        u[t] = rise * exp2(half * log2(k[t] * k[t] * max(r0 + r1 * f[t], one) + tiny))


@compiled()
def _four_taps(out: Any, x0: Any, x1: Any, x2: Any, x3: Any, b1: Any) -> None:
    b2 = b1 * b1
    b3 = b2 * b1
    for t in range(out.size):
        out[t] = (x0[t] + b1 * x1[t]) + (b2 * x2[t] + b3 * x3[t])


@compiled()
def _recur(th: Any, y: Any, b16: Any) -> None:
    for t in range(y.size):
        th[t + 16] = y[t] + b16 * th[t]


@compiled()
def _lag(w: Any, v: Any, y: Any, th: Any, b1: Any, n: Any) -> None:
    b2 = b1 * b1
    b4 = b2 * b2
    b8 = b4 * b4
    h = HISTORY
    _four_taps(
        v[h : h + n], w[h : h + n], w[h - 1 : h - 1 + n], w[h - 2 : h - 2 + n], w[h - 3 : h - 3 + n], b1
    )
    _four_taps(
        y[h : h + n], v[h : h + n], v[h - 4 : h - 4 + n], v[h - 8 : h - 8 + n], v[h - 12 : h - 12 + n], b4
    )
    _recur(th[h - 16 : h + n], y[h : h + n], b8 * b8)


@compiled(fastmath=SHORT_MATH)
def _point(k: Any, am: Any, th: Any, ohmic: Any, stray: Any, p: Any, one: Any, kelvin: Any) -> Any:
    d = (am - p[9]) + th  # distance from the rated hot spot, kept apart: no cancellation in float32
    x = (am + th) + kelvin
    c = (am + p[8] * th + p[6]) * p[7]
    r = one / (c * x)  # one division for both quotients
    return x, k * k * (ohmic * c + stray * (x * r)), exp2(p[10] * (d * (c * r)))


@compiled()
def _sums(k: Any, th: Any, am: Any, p: Any, stray: Any, z: Any, top: Any) -> Any:
    zero, one, kelvin, ohmic = z[0], z[1], z[3], p[3]
    loss, ageing, over = zero, zero, zero
    for t in range(k.size):
        x, w, v = _point(k[t], am[t], th[t], ohmic, stray, p, one, kelvin)
        loss += w
        ageing += v
        top = max(top, bits(x))
        over += one if k[t] > one else zero
    return loss, ageing, over, top


@compiled()
def _sums_harmonic(k: Any, f: Any, th: Any, am: Any, p: Any, z: Any, top: Any) -> Any:
    zero, one, concave, kelvin, ohmic, eddy, other = z[0], z[1], z[2], z[3], p[3], p[4], p[5]
    loss, ageing, over = zero, zero, zero
    for t in range(k.size):
        stray = eddy * f[t] + other * exp2(concave * log2(f[t]))
        x, w, v = _point(k[t], am[t], th[t], ohmic, stray, p, one, kelvin)
        loss += w
        ageing += v
        top = max(top, bits(x))
        over += one if k[t] > one else zero
    return loss, ageing, over, top


@entry
def run_pieces(
    load: Any, ambient: Any, factor: Any, start: Any, length: Any, constants: Any, rise: Any, z: Any, out: Any
) -> None:
    """Follow the pieces; `z` holds the numbers 0, 1, 0.4, 273 and the smallest square, in the width to use."""
    size, h = BLOCK + HISTORY, HISTORY
    w, v, y, th = (
        np.empty(size, z.dtype),
        np.empty(size, z.dtype),
        np.empty(size, z.dtype),
        np.empty(size, z.dtype),
    )
    kept = np.empty(h, z.dtype)
    harmonic = factor.size > 0
    for i in range(start.size):
        p, first, last = constants[i], start[i], start[i] + length[i]
        w[:h], v[:h], y[:h], th[:h], kept[:] = z[0], z[0], z[0], z[0], z[0]
        top = bits(z[0])
        loss, ageing, over = 0.0, 0.0, 0.0
        n = 0
        for at in range(first, last, BLOCK):
            n = min(BLOCK, last - at)
            k, am = load[at : at + n], ambient[at : at + n]
            f = factor[at : at + n] if harmonic else k
            if harmonic:
                _fill_harmonic(k, f, w[h : h + n], p[0] * p[2], p[1], p[11], p[12], z[1], z[4])
            else:
                _fill(k, w[h : h + n], p[0] * p[2], p[1], z[4])
            if at == first:
                kept[h - 1] = w[h] / p[2] if rise[i] < z[0] else rise[i]
                v[h - 1], th[h - 1] = kept[h - 1], kept[h - 1]
            w[:h] = kept
            kept[:] = w[n : n + h]
            _lag(w, v, y, th, z[1] - p[2], n)
            if harmonic:
                sums = _sums_harmonic(k, f, th[h : h + n], am, p, z, top)
            else:
                sums = _sums(k, th[h : h + n], am, p, p[4] + p[5], z, top)
            loss += sums[0]
            ageing += sums[1]
            over += sums[2]
            top = sums[3]
            v[:h], y[:h], th[:h] = v[n : n + h], y[n : n + h], th[n : n + h]
        out[i, 0], out[i, 1], out[i, 2], out[i, 3], out[i, 4] = (
            th[h - 1],
            ageing,
            loss,
            bits(top) - z[3],
            over,
        )
