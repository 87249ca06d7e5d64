"""Load lists and panel schedules as people keep them: headings mapped, rows read, nothing left out in silence."""

from __future__ import annotations

LISTS = (".csv", ".tsv", ".xlsx", ".xlsm", ".xls", ".xlsb", ".ods", ".numbers")
"""How the names of lists end; of those that cannot be read it is said how to keep them."""


def is_list(name: str) -> bool:
    """Return whether a name is that of a list.

    Example:
        >>> is_list("Loads.XLSX"), is_list("request.txt")
        (True, False)
    """
    return name.strip().strip("\"'").casefold().endswith(LISTS)


def column_said(word: str) -> tuple[str, str] | None:
    """Return a heading and what its column holds, from "Load=kw"; None where nothing is said of a column.

    Example:
        >>> column_said("Load (W)=kw in W"), column_said("Load")
        (('Load (W)', 'kw in W'), None)
    """
    heading, mark, what = word.rpartition("=")
    return (heading.strip(), what.strip()) if mark else None
