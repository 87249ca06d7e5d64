"""The same calculation under the clause of a regime."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar

from turnwright.working import Known, formula_of

F = TypeVar("F", bound=Callable[..., Any])


def under(source: str, calculation: F, known: Known = "computed") -> F:
    """Return a calculation that cites another clause, equal in all else.

    source      : document and clause, as they are printed
    calculation : a function marked with `formula`
    known       : how the clause is known; a computed value is known as "computed"

    Example:
        >>> from turnwright.working import formula
        >>> @formula("a · b", "A")
        ... def product_a(a: float, b: float) -> float:
        ...     return a * b
        >>> formula_of(under("CEC 26-254", product_a)).source, product_a(2.0, 3.0)
        ('CEC 26-254', 6.0)
    """

    @wraps(calculation)
    def same(*args: Any, **inputs: Any) -> Any:
        return calculation(*args, **inputs)

    same.__dict__["formula"] = formula_of(calculation)._replace(source=source, known=known)
    return same  # type: ignore[return-value]
