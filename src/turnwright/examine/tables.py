"""The tables that only a study asks for, read as every table of `reference` is."""

from __future__ import annotations

from functools import cache
from pkgutil import get_data

from turnwright.reference import EditionTable, Row, load_text


@cache
def study_table(name: str) -> EditionTable:
    """Return a table of this package: `study_numbers` or `device_tests`.

    Raises: UnknownKey TBL-16 when there is no such table.

    Example:
        >>> study_table("device_tests").rows[0].number("test_x_over_r")
        1.73
    """
    described = (_text("sources"), _text("columns"), _text("tables"))
    return load_text(name, _text(name), *described).newest()


def study_row(key: str) -> Row:
    """Return the row of a number of `study_numbers`; `.number("value")` is the number with its source.

    Raises: UnknownKey TBL-10 when there is no such number.

    Example:
        >>> study_row("voltage_thd_max_pct").number("value")
        8.0
    """
    return study_table("study_numbers").row(key=key)


def _text(name: str) -> str:
    try:
        content = get_data("turnwright.examine", f"data/{name}.csv")
    except OSError:
        content = b""
    return (content or b"").decode("utf-8")
