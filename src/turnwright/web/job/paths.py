"""Paths of keys, and of the fields that show them."""

from __future__ import annotations

from turnwright.model.keys import SIZE_KEYS, key_of

SIZE = "size"
"""Name of the field that stands for the four keys of a size: the unit says which one is meant."""


def field_of(path: str) -> str:
    """Return the path of the field in which a key is shown.

    Example:
        >>> field_of("load[0].kva"), field_of("supply.measured[1]"), field_of("load[2].harmonics.5")
        ('load[0].size', 'supply.measured', 'load[2].harmonics')
    """
    while path and (path.endswith("]") or key_of(path) is None) and not path.endswith(f".{SIZE}"):
        path = path[: max(path.rfind("."), path.rfind("["), 0)]
    table, _, name = path.rpartition(".")
    return f"{table}.{SIZE}" if table.startswith("load[") and name in SIZE_KEYS else path
