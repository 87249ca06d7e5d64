"""Coils on saturable cores with every core on one slope of its curve: the modes of the linear circuit.

M di/dt + R i = u(t),  M = L + Gᵀ D G

i  the independent currents; G i the magnetizing current of each core; D its dq/di on the slope it is on;
L and R what lies in series. With M = C Cᵀ and C⁻¹ R C⁻ᵀ = V Λ Vᵀ the currents are i = P a, P = C⁻ᵀ V, and each
mode a fades on its own: da/dt + λ a = (Pᵀ u).
"""

from __future__ import annotations

from math import hypot, sqrt
from typing import NamedTuple

from turnwright.errors import InputError

Vector = tuple[float, ...]
Rows = tuple[Vector, ...]
SWEEPS = 60
SMALLEST = 1e-30
POSITIVE = 1e-14
"""A pivot below this share of its row leaves a current without inductance."""


class Modes(NamedTuple):
    """rates  λ of each mode, 1/s; shapes  P by rows: currents of one mode each; into  Pᵀ M by rows."""

    rates: Vector
    shapes: Rows
    into: Rows


def modes(inductance_henry: Rows, resistance_ohm: Rows) -> Modes:
    """Return the modes of M di/dt + R i = u.

    inductance_henry    M, symmetric and positive
    resistance_ohm  R, symmetric, not negative

    Raises:
        InputError: CIR-05, a current that meets no inductance.

    Example:
        >>> [round(rate, 9) for rate in modes(((2.0, 0.0), (0.0, 0.5)), ((1.0, 0.0), (0.0, 1.0))).rates]
        [0.5, 2.0]
    """
    count = len(inductance_henry)
    lower = _cholesky(inductance_henry)
    half = [_forward(lower, column) for column in _transposed(resistance_ohm)]
    inner = [list(row) for row in _transposed([_forward(lower, row) for row in _transposed(half)])]
    rates, turns = _jacobi(inner)
    columns = [[turns[at][k] for at in range(count)] for k in range(count)]
    shapes = [_backward(lower, column) for column in columns]
    into = [_times(inductance_henry, shape) for shape in shapes]
    return Modes(tuple(max(rate, 0.0) for rate in rates), tuple(shapes), tuple(into))


def _transposed(rows: list[Vector] | Rows) -> list[Vector]:
    return [tuple(column) for column in zip(*rows, strict=True)]


def _times(rows: Rows, vector: Vector) -> Vector:
    return tuple(sum(a * b for a, b in zip(row, vector, strict=True)) for row in rows)


def _cholesky(matrix: Rows) -> list[list[float]]:
    lower: list[list[float]] = []
    for at, row in enumerate(matrix):
        own: list[float] = []
        for j, left in enumerate(lower):
            own.append((row[j] - sum(a * b for a, b in zip(own, left, strict=False))) / left[j])
        rest = row[at] - sum(a * a for a in own)
        if not rest > POSITIVE * row[at]:
            raise InputError(
                "CIR-05",
                "cores",
                "a current meets no inductance.",
                "Give windings in a closed delta a leakage reactance.",
            )
        lower.append([*own, sqrt(rest)])
    return lower


def _forward(lower: list[list[float]], vector: list[float] | Vector) -> Vector:
    found: list[float] = []
    for row, value in zip(lower, vector, strict=True):
        found.append((value - sum(a * b for a, b in zip(row, found, strict=False))) / row[-1])
    return tuple(found)


def _backward(lower: list[list[float]], vector: list[float]) -> Vector:
    found = list(vector)
    for at in range(len(found) - 1, -1, -1):
        found[at] /= lower[at][at]
        for j in range(at):
            found[j] -= lower[at][j] * found[at]
    return tuple(found)


def _jacobi(matrix: list[list[float]]) -> tuple[list[float], list[list[float]]]:
    """Return eigenvalues of a symmetric matrix and, by columns, its eigenvectors; the matrix is used up."""
    count = len(matrix)
    turns = [[float(i == j) for j in range(count)] for i in range(count)]
    pairs = [(i, j) for i in range(count) for j in range(i + 1, count)]
    for _ in range(SWEEPS):
        rest = sum(abs(matrix[i][j]) for i, j in pairs)
        if rest <= SMALLEST + 1e-17 * sum(abs(matrix[i][i]) for i in range(count)):
            break
        for i, j in pairs:
            if matrix[i][j]:
                _rotate(matrix, turns, i, j)
    return [matrix[i][i] for i in range(count)], turns


def _rotate(matrix: list[list[float]], turns: list[list[float]], i: int, j: int) -> None:
    half = (matrix[j][j] - matrix[i][i]) / (2 * matrix[i][j])
    tangent = (1.0 if half >= 0 else -1.0) / (abs(half) + hypot(half, 1.0))
    cosine = 1 / hypot(tangent, 1.0)
    sine = tangent * cosine
    for row in matrix:
        row[i], row[j] = cosine * row[i] - sine * row[j], sine * row[i] + cosine * row[j]
    first, second = matrix[i], matrix[j]
    matrix[i] = [cosine * a - sine * b for a, b in zip(first, second, strict=True)]
    matrix[j] = [sine * a + cosine * b for a, b in zip(first, second, strict=True)]
    matrix[i][j] = matrix[j][i] = 0.0
    for row in turns:
        row[i], row[j] = cosine * row[i] - sine * row[j], sine * row[i] + cosine * row[j]
