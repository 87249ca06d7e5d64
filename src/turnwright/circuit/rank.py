"""When the equations have no unique answer: what they leave open, and whether they contradict each other."""

from __future__ import annotations

from typing import NamedTuple

from turnwright.circuit.linear import Row, numpy_or_raise
from turnwright.errors import InputError, MissingExtra

RANK_FLOOR = 1e-12
PLAIN_UP_TO = 60
LIMIT = 300


class Analysis(NamedTuple):
    """The smallest solution, vectors that may be added to it, contradicting rows with their weight."""

    x: Row
    free: list[Row]
    contradictions: dict[int, float]


def analyse(rows: list[Row], rhs: Row) -> Analysis:
    """Return the smallest solution of equations without full rank, and what is free in it.

    Complete pivoting on rows scaled to a largest entry of one; a row without a pivot must have nothing on
    its right side, or it contradicts the rows it was combined from.

    Raises:
        InputError: CIR-06, more than `LIMIT` unknowns.
    """
    if len(rows) > LIMIT:
        raise InputError(
            "CIR-06",
            "network",
            f"it leaves something undetermined, and {len(rows)} unknowns are more than the {LIMIT} searched.",
            "Split the network, earth every part, join impedances in parallel.",
        )
    if len(rows) > PLAIN_UP_TO:
        try:
            return _analyse_array(rows, rhs)
        except MissingExtra:
            pass
    return _analyse_plain(rows, rhs)


def _scaled(rows: list[Row], rhs: Row) -> tuple[list[Row], Row]:
    by = [1.0 / (max(map(abs, row)) or 1.0) for row in rows]
    return [[a * k for a in row] for row, k in zip(rows, by, strict=True)], [
        b * k for b, k in zip(rhs, by, strict=True)
    ]


def _analyse_plain(rows: list[Row], rhs: Row) -> Analysis:
    a, b = _scaled(rows, rhs)
    count = len(a)
    # each row also carries which rows it was combined from, so that a contradiction can be named
    mix = [[1 + 0j if i == j else 0j for j in range(count)] for i in range(count)]
    columns = list(range(count))
    rank = count
    scale = max(map(abs, b), default=0.0) or 1.0
    for step in range(count):
        size, row, column = max(
            (max((abs(a[i][j]), i, j) for j in range(step, count)) for i in range(step, count)),
            default=(0.0, 0, 0),
        )
        if size < RANK_FLOOR:
            rank = step
            break
        a[step], a[row], b[step], b[row] = a[row], a[step], b[row], b[step]
        mix[step], mix[row] = mix[row], mix[step]
        columns[step], columns[column] = columns[column], columns[step]
        for line in a:
            line[step], line[column] = line[column], line[step]
        _eliminate(a, b, mix, step)
    contradictions = {
        k: abs(weight)
        for i in range(rank, count)
        if abs(b[i]) > 1e-9 * scale
        for k, weight in enumerate(mix[i])
    }
    top = max(contradictions.values(), default=0.0)
    free = [_free_vector(a, columns, rank, at) for at in range(rank, count)]
    x = smallest(_back(a, b, columns, rank), free)
    return Analysis(x, free, {k: weight for k, weight in contradictions.items() if weight > 1e-6 * top})


def _eliminate(a: list[Row], b: Row, mix: list[Row], step: int) -> None:
    """Clear the column of a pivot above and below it."""
    top, pivot = a[step], a[step][step]
    for i, line in enumerate(a):
        if i != step and line[step]:
            factor = line[step] / pivot
            a[i] = [p - factor * q for p, q in zip(line, top, strict=True)]
            a[i][step] = 0j
            b[i] -= factor * b[step]
            mix[i] = [p - factor * q for p, q in zip(mix[i], mix[step], strict=True)]


def _back(a: list[Row], b: Row, columns: list[int], rank: int) -> Row:
    x = [0j] * len(a)
    for i in range(rank):
        x[columns[i]] = b[i] / a[i][i]
    return x


def _free_vector(a: list[Row], columns: list[int], rank: int, at: int) -> Row:
    vector = [0j] * len(a)
    vector[columns[at]] = 1 + 0j
    for i in range(rank):
        vector[columns[i]] = -a[i][at] / a[i][i]
    return vector


def smallest(x: Row, free: list[Row]) -> Row:
    """Return x without what lies along the free vectors: the smallest of all solutions."""
    basis: list[Row] = []
    for vector in free:
        for other in basis:
            vector = _without(vector, other)
        size = sum(abs(v) ** 2 for v in vector) ** 0.5
        basis.append([v / size for v in vector])
    for unit in basis:
        x = _without(x, unit)
    return x


def _without(x: Row, unit: Row) -> Row:
    along = sum([u.conjugate() * v for u, v in zip(unit, x, strict=True)], 0j)
    return [v - along * u for u, v in zip(unit, x, strict=True)]


def _analyse_array(rows: list[Row], rhs: Row) -> Analysis:
    np = numpy_or_raise(len(rows))
    scaled, right = _scaled(rows, rhs)
    a, b = np.array(scaled), np.array(right)
    u, s, vh = np.linalg.svd(a)
    rank = int((s > RANK_FLOOR * s[0]).sum())
    x = vh[:rank].conj().T @ ((u[:, :rank].conj().T @ b) / s[:rank])
    left = u[:, rank:]
    clash = np.abs(left.conj().T @ b) > 1e-9 * (np.abs(b).max() or 1.0)
    weights = np.abs(left[:, clash]).max(axis=1) if clash.any() else np.zeros(len(rows))
    contradictions = {k: float(w) for k, w in enumerate(weights) if w > 1e-6 * weights.max()}
    free = [[complex(value) for value in vector] for vector in vh[rank:].conj()]
    return Analysis([complex(value) for value in x], free, contradictions)
