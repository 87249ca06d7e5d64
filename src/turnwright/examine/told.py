"""What a question is told beside the job, read from texts.

==========  ==================================================
code        what is wrong
==========  ==================================================
``EXM-12``  a text that cannot be read as what is asked for
==========  ==================================================
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Any

from turnwright.errors import InputError
from turnwright.examine.course_file import read_course
from turnwright.examine.inrush_against import points_of
from turnwright.examine.registry import Asked
from turnwright.examine.taken import Taken, taken_by
from turnwright.intake import read_unit
from turnwright.quantities import KindName, Quantity, parse_quantity
from turnwright.vetting import read_stock

_UNIT_TABLE = re.compile(r"^\s*(\[\[?\s*unit\s*\]|unit\s*[.=])", re.MULTILINE)
_YES_NO = {"true": True, "yes": True, "false": False, "no": False}


def read_taken(one: Taken, text: str, units: tuple[str, ...] = ()) -> Any:
    """Return what a text says; None where it says nothing.

    one    what may be told
    text   as it was typed, or the text of a file
    units  name of the unit, to find its rows in a load of several

    Raises:
        InputError: EXM-12, or that of the kind.

    Example:
        >>> from turnwright.examine.taken import TAKEN
        >>> read_taken(TAKEN[0], " 1.05 "), read_taken(TAKEN[5], "yes"), read_taken(TAKEN[0], "")
        (1.05, True, None)
    """
    given, where = text.strip(), one.name
    if not given:
        return None
    if one.kind in ("number", "count"):
        return _number(one, given)
    if one.kind == "yes/no" and given.casefold() in _YES_NO:
        return _YES_NO[given.casefold()]
    if one.kind == "word" and given in one.words:
        return given
    if one.kind == "energy price" or one.kind == "money":
        return price(given, one.kind, where)
    if one.kind == "points":
        return points_of(given)
    if one.kind == "load":
        return read_course(text, where, units[0] if units else None)
    if one.kind == "units":
        return read_unit(text, where) if _UNIT_TABLE.search(text) else read_stock(text, where)
    fix = f"Write {' or '.join(one.words or ('yes', 'no'))}."
    raise InputError("EXM-12", where, f"'{given[:40]}' cannot be used.", fix)


def _number(one: Taken, given: str) -> float | int:
    try:
        found = float(given.rstrip("% "))
    except ValueError:
        found = math.nan
    whole = one.kind == "number" or found == math.floor(found) if math.isfinite(found) else False
    if not whole:
        kind = "number" if one.kind == "number" else "whole number"
        raise InputError("EXM-12", one.name, f"'{given[:40]}' is no {kind}.", f"Write {one.sample}.")
    return int(found) if one.kind == "count" else found


def read_all_taken(asked: Asked, texts: Mapping[str, str]) -> dict[str, Any]:
    """Return what texts say, by name, as `Options` takes it.

    Raises:
        InputError: EXM-04, told to a question that does not take it; otherwise as `read_taken`.
    """
    known = {one.name: one for one in taken_by(asked)}
    for name in texts:
        if name not in known:
            fix = f"It takes {', '.join(known) or 'nothing'}."
            raise InputError("EXM-04", name[:60], f"does not go with the question {asked.name}.", fix)
    found = {name: read_taken(known[name], text) for name, text in texts.items()}
    return {name: value for name, value in found.items() if value is not None}


def price(text: str | None, kind: KindName, where: str) -> Quantity | None:
    """Return a price as it was written; None where none was.

    Raises:
        InputError: it cannot be read, or is below 0.

    Example:
        >>> price("0.12 USD", "energy price", "--price-kwh").value
        0.12
    """
    if text is None:
        return None
    found = parse_quantity(text, kind, where=where)
    if found.low is not None and found.low < 0:
        raise InputError("CLI-02", where, f"'{text}' is below 0.", "Write a price of 0 or more.")
    return found
