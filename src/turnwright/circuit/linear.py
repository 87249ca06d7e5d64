"""Small dense complex systems: elimination in plain Python, and the same through numpy for larger ones."""

from __future__ import annotations

from typing import Any, Protocol

from turnwright.errors import MissingExtra

Row = list[complex]
Pairs = list[tuple[int, complex]]
PLAIN_UP_TO = 40
PLAIN_LIMIT = 250
PIVOT_FLOOR = 1e-13
PREFER_DIAGONAL = 0.1


class Singular(ArithmeticError):
    """The matrix has no full rank, as far as rounding lets one see. Never leaves this package."""


class Factors(Protocol):
    """A matrix made ready to be solved."""

    def solve(self, rhs: Row) -> Row:
        """Return x of A x = rhs."""

    def condition(self) -> float:
        """Return an estimate of the condition number in the 1-norm."""


class PlainFactors:
    """LU with partial pivoting on rows scaled to a largest entry of one; zeros are stepped over.

    Example:
        >>> PlainFactors([[2 + 0j, 1 + 0j], [1 + 0j, 4 + 0j]]).solve([4 + 0j, 9 + 0j])
        [(1+0j), (2+0j)]
    """

    def __init__(self, rows: list[Row]) -> None:
        count = len(rows)
        self.scale = [_inverse_of_largest(row) for row in rows]
        lu = [
            [entry * by if entry else entry for entry in row]
            for row, by in zip(rows, self.scale, strict=True)
        ]
        self.norm = max([sum(map(abs, column)) for column in zip(*lu, strict=True)], default=0.0)
        order = list(range(count))
        lower: list[Pairs] = [[] for _ in rows]
        self.upper: list[Pairs] = []
        self.pivots: Row = []
        for step in range(count):
            after = range(step + 1, count)
            below = [at for at in range(step, count) if lu[at][step]]
            sizes = [abs(lu[at][step]) for at in below]
            largest = max(sizes, default=0.0)
            if largest < PIVOT_FLOOR:
                raise Singular
            # the diagonal where it is large enough: it keeps the order that fills in little
            diagonal = abs(lu[step][step]) >= PREFER_DIAGONAL * largest
            row_of_pivot = step if diagonal else below[sizes.index(largest)]
            top = lu[row_of_pivot]
            pivot = top[step]
            if not diagonal:
                lu[step], lu[row_of_pivot] = top, lu[step]
                order[step], order[row_of_pivot] = order[row_of_pivot], order[step]
                lower[step], lower[row_of_pivot] = lower[row_of_pivot], lower[step]
                below = [at for at in range(step, count) if lu[at][step]]
            right = [(j, top[j]) for j in after if top[j]]
            self.upper.append(right)
            self.pivots.append(pivot)
            for at in below:
                if at != step:
                    row = lu[at]
                    factor = row[step] / pivot
                    for j, entry in right:
                        row[j] -= factor * entry
                    lower[at].append((step, factor))
        self.lower, self.order = lower, order

    def solve(self, rhs: Row) -> Row:
        """Return x of A x = rhs."""
        scale = self.scale
        x = [rhs[at] * scale[at] for at in self.order]
        for at, pairs in enumerate(self.lower):
            for j, factor in pairs:
                x[at] -= factor * x[j]
        for at in range(len(x) - 1, -1, -1):
            known = x[at]
            for j, entry in self.upper[at]:
                known -= entry * x[j]
            x[at] = known / self.pivots[at]
        return x

    def _solve_adjoint(self, rhs: Row) -> Row:
        x = rhs[:]
        for at, pairs in enumerate(self.upper):
            x[at] = head = x[at] / self.pivots[at].conjugate()
            for j, entry in pairs:
                x[j] -= entry.conjugate() * head
        for at in range(len(x) - 1, -1, -1):
            for j, factor in self.lower[at]:
                x[j] -= factor.conjugate() * x[at]
        back = [0j] * len(x)
        for at, origin in enumerate(self.order):
            back[origin] = x[at]
        return back

    def condition(self) -> float:
        """Return an estimate of the condition number of the row-scaled matrix (Hager's method, 1-norm)."""
        count = len(self.pivots)
        if not count:
            return 1.0
        x: Row = [1.0 / count + 0j] * count
        estimate = 0.0
        for last in (False, True):
            y = self.solve([value / by for value, by in zip(x, self.scale, strict=True)])
            estimate = max(estimate, sum(map(abs, y)))
            if last:
                break
            z = self._solve_adjoint([value / abs(value) if value else 1 + 0j for value in y])
            sizes = [abs(value) for value in z]
            x = [0j] * count
            x[sizes.index(max(sizes))] = 1 + 0j
        return self.norm * estimate


class ArrayFactors:
    """The same through numpy: a full inverse, corrected once for each right-hand side."""

    def __init__(self, rows: list[Row]) -> None:
        np = numpy_or_raise(len(rows))
        matrix = np.array(rows, dtype=complex)
        largest = np.abs(matrix).max(axis=1)
        if (largest == 0).any():
            raise Singular
        self.scale = 1.0 / largest
        self.matrix = matrix * self.scale[:, None]
        try:
            self.inverse = np.linalg.inv(self.matrix)
        except np.linalg.LinAlgError as broken:
            raise Singular from broken
        if not np.isfinite(self.inverse).all() or self.condition() > 1.0 / PIVOT_FLOOR:
            raise Singular

    def solve(self, rhs: Row) -> Row:
        """Return x of A x = rhs."""
        scaled = self.scale * rhs
        x = self.inverse @ scaled
        x += self.inverse @ (scaled - self.matrix @ x)
        return [complex(value) for value in x]

    def condition(self) -> float:
        """Return the condition number of the row-scaled matrix in the 1-norm."""
        return float(abs(self.matrix).sum(axis=0).max() * abs(self.inverse).sum(axis=0).max())


def factorize(rows: list[Row]) -> Factors:
    """Return the matrix made ready to be solved; plain up to `PLAIN_UP_TO` unknowns.

    Raises:
        Singular: the matrix has no full rank.
    """
    if len(rows) <= PLAIN_UP_TO:
        return PlainFactors(rows)
    try:
        return ArrayFactors(rows)
    except MissingExtra:
        if len(rows) > PLAIN_LIMIT:
            raise
        return PlainFactors(rows)


def refined(factors: Factors, rows: list[Row], rhs: Row) -> Row:
    """Return the solution after one step of iterative refinement."""
    x = factors.solve(rhs)
    correction = factors.solve([b - _dot(row, x) for row, b in zip(rows, rhs, strict=True)])
    return [a + b for a, b in zip(x, correction, strict=True)]


def inverse(rows: list[Row]) -> list[Row]:
    """Return the inverse of a small matrix.

    Example:
        >>> inverse([[2 + 0j, 0j], [0j, 4 + 0j]])
        [[(0.5+0j), 0j], [0j, (0.25+0j)]]
    """
    factors = PlainFactors(rows)
    count = len(rows)
    columns = [factors.solve([1 + 0j if i == j else 0j for i in range(count)]) for j in range(count)]
    return [list(row) for row in zip(*columns, strict=True)]


def numpy_or_raise(unknowns: int) -> Any:
    """Return numpy, imported only now.

    Raises:
        MissingExtra: it is not installed.
    """
    try:
        import numpy
    except ImportError as missing:
        raise MissingExtra(
            "CIR-06",
            "network",
            f"{unknowns} unknowns are too many for the built-in elimination, and numpy is not installed.",
            "Install the extra 'arrays', or describe the network with fewer nodes.",
        ) from missing
    return numpy


def _dot(row: Row, x: Row) -> complex:
    return sum([a * b for a, b in zip(row, x, strict=True) if a], 0j)


def _inverse_of_largest(row: Row) -> float:
    largest = max(map(abs, row))
    if largest == 0.0:
        raise Singular
    return 1.0 / largest
