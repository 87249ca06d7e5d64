"""Small dense complex systems: elimination in plain Python, and the same through numpy for larger ones."""

from __future__ import annotations

from math import inf
from typing import Any, Protocol

from turnwright.errors import MissingExtra

Row = list[complex]
Pairs = list[tuple[int, complex]]
Matrix = list[dict[int, complex]]
PLAIN_UP_TO = 40
PLAIN_LIMIT = 250
PIVOT_FLOOR = 1e-13
PREFER_DIAGONAL = 0.1
GOOD_PIVOT = 0.1
NO_SMALL_PIVOT = 1e-6


class Singular(ArithmeticError):
    """The matrix has no full rank, as far as rounding lets one see. Never leaves this package."""


class Factors(Protocol):
    """A matrix made ready to be solved."""

    def solve(self, rhs: Row) -> Row:
        """Return x of A x = rhs."""

    def condition(self) -> float:
        """Return an estimate of the condition number in the 1-norm."""


class PlainFactors:
    """LU of sparse rows scaled to a largest entry of one.

    Partial pivoting, but for one thing: the diagonal is kept while it is a tenth of the largest entry or of the scale
    of one, which keeps the order of the unknowns and so fills in little; refinement makes up for it.

    Example:
        >>> PlainFactors([{0: 2 + 0j, 1: 1 + 0j}, {0: 1 + 0j, 1: 4 + 0j}]).solve([4 + 0j, 9 + 0j])
        [(1+0j), (2+0j)]
    """

    def __init__(self, rows: Matrix) -> None:
        self.rows = rows
        self.scale: list[float] = []
        self.norm = 0.0
        lu: Matrix = []
        for row in rows:
            sizes = [abs(entry) for entry in row.values()]
            largest = max(sizes, default=0.0)
            if largest == 0.0:
                raise Singular
            by = 1.0 / largest
            self.norm = max(self.norm, sum(sizes) * by)
            self.scale.append(by)
            lu.append({j: entry * by for j, entry in row.items()})
        self.order = list(range(len(rows)))
        self.lower: list[Pairs] = [[] for _ in rows]
        self.upper: list[Pairs] = []
        self.pivots: Row = []
        self.smallest = inf
        self.swaps = 0
        for step in range(len(rows)):
            self._eliminate(lu, step)

    def _eliminate(self, lu: Matrix, step: int) -> None:
        below = [at for at in range(step + 1, len(lu)) if step in lu[at]]
        size = abs(lu[step].get(step, 0j))
        if size < GOOD_PIVOT:
            sizes = [abs(lu[at][step]) for at in below]
            largest = max(sizes, default=0.0)
            if size < PREFER_DIAGONAL * largest:
                with_pivot = below[sizes.index(largest)]
                for each in (lu, self.order, self.lower):
                    _swap(each, step, with_pivot)
                self.swaps += 1
                size = largest
                below = [at for at in range(step + 1, len(lu)) if step in lu[at]]
        if size < PIVOT_FLOOR:
            raise Singular
        self.smallest = min(self.smallest, size)
        top = lu[step]
        pivot = top.pop(step)
        right = [*top.items()]
        self.upper.append(right)
        self.pivots.append(pivot)
        for at in below:
            row = lu[at]
            factor = row.pop(step) / pivot
            for j, entry in right:
                row[j] = row.get(j, 0j) - factor * entry
            self.lower[at].append((step, factor))

    def turn(self) -> complex:
        """Return the determinant of the matrix over its size, a number on the unit circle. [-]"""
        product = complex((-1) ** self.swaps)
        for pivot in self.pivots:
            product *= pivot / abs(pivot)
        return product

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
        """Return the order of magnitude of the condition number of the row-scaled matrix.

        The norm over the smallest pivot where no pivot is small, otherwise by Hager's method.
        """
        if not self.pivots:
            return 1.0
        return self.norm / self.smallest if self.smallest > NO_SMALL_PIVOT else self.estimate()

    def estimate(self) -> float:
        """Return a lower bound, seldom far off, of the condition number in the 1-norm (Hager's method). [-]"""
        count = len(self.pivots)
        columns = [0.0] * count
        for row, by in zip(self.rows, self.scale, strict=True):
            for j, entry in row.items():
                columns[j] += abs(entry) * by
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
        return max(columns) * estimate


class ArrayFactors:
    """The same through numpy: a full inverse, corrected once for each right-hand side."""

    def __init__(self, rows: Matrix) -> None:
        np = numpy_or_raise(len(rows))
        matrix = np.array(dense(rows), dtype=complex)
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


def sparse(rows: list[Row]) -> Matrix:
    """Return rows without their zeros, as column -> entry."""
    return [{j: entry for j, entry in enumerate(row) if entry} for row in rows]


def dense(rows: Matrix) -> list[Row]:
    """Return rows with their zeros."""
    return [[row.get(j, 0j) for j in range(len(rows))] for row in rows]


def _swap(things: list[Any], first: int, second: int) -> None:
    things[first], things[second] = things[second], things[first]


def factorize(rows: Matrix) -> Factors:
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


def refined(factors: Factors, rows: Matrix, rhs: Row) -> Row:
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
    if len(rows) == 1 and rows[0][0]:
        return [[1.0 / rows[0][0]]]
    factors = PlainFactors(sparse(rows))
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


def _dot(row: dict[int, complex], x: Row) -> complex:
    return sum([entry * x[j] for j, entry in row.items()], 0j)
