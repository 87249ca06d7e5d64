"""Compiling with a cache on disk, also where the package may not be written to.

numba keeps compiled code where NUMBA_CACHE_DIR points, else beside the source, else in the cache folder of the
user. Where none of them can be written it refuses; then the code is compiled anew in each process.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from typing import Any, TypeVar, cast

F = TypeVar("F", bound=Callable[..., Any])

SHORT_MATH = frozenset({"contract", "nsz", "nnan"})
"""Freedoms that leave the rounding trick of a range reduction alone: no reassociation."""


@cache
def numba() -> Any:
    """Return the compiler."""
    return import_module("numba")


@cache
def extending() -> Any:
    """Return what extends the compiler."""
    return import_module("numba.extending")


def is_available() -> bool:
    """Tell whether the compiler is installed, without loading it."""
    return find_spec("numba") is not None


def compiled(*, fastmath: bool | frozenset[str] = True) -> Callable[[F], F]:
    """Compile a function that only compiled code calls."""
    how = fastmath if isinstance(fastmath, bool) else set(fastmath)

    def mark(function: F) -> F:
        return cast(F, numba().njit(fastmath=how, error_model="numpy")(function))

    return mark


def entry(function: F) -> F:
    """Compile a function that Python calls: it lets other threads run, and is kept on disk where it can be."""
    how = {"fastmath": True, "error_model": "numpy", "nogil": True}
    try:
        return cast(F, numba().njit(cache=True, **how)(function))
    except RuntimeError:  # no folder that can be written
        return cast(F, numba().njit(**how)(function))


def is_kept(function: Callable[..., Any]) -> bool:
    """Tell whether compiled code of an entry is kept on disk."""
    stats: Any = cast(Any, function).stats
    return stats.cache_path is not None
