"""One value of a file, read by the kind of its key.

==========  ==========================================================================
code        what is wrong
==========  ==========================================================================
``JOB-02``  a value of the wrong type
``JOB-03``  a word that is not allowed here
``JOB-08``  a size outside what is possible
``JOB-10``  a file of another layout
``JOB-13``  a text that no paper can carry
``JOB-14``  a count that is no whole number
``JOB-15``  something that is no date
==========  ==========================================================================
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from turnwright.errors import InputError, nearest
from turnwright.intake.refusals import listed, outside, wrong_type
from turnwright.intake.spectrum import read_spectrum
from turnwright.model.key import Key
from turnwright.quantities import (
    UNKNOWN,
    KindName,
    Quantity,
    Unknown,
    is_unknown,
    parse_frequencies,
    parse_quantity,
    parse_system,
)
from turnwright.quantities.spelling import quoted

LAYOUT = 1
LONGEST_TEXT = 10_000
LONGEST_LIST = 100
_LARGEST_WHOLE = 10**18

_UNPRINTABLE = "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]"
_DATE = re.compile(r"(\d{4})(?:-(\d{2})(?:-(\d{2}))?)?")
_YES_NO = {"yes": True, "true": True, "no": False, "false": False}


def read_value(key: Key, given: object, where: str) -> Any:
    """Return one value as the record of its table holds it.

    Args:
        key: the key, with its kind and limits.
        given: what TOML or JSON holds there.
        where: file, line and key path, for the message.

    Raises:
        InputError: the value cannot be used; the codes of this module, of quantities and of systems.

    Example:
        >>> from turnwright.model.keys import key_of
        >>> read_value(key_of("load[0].current"), "150 A", "load[0].current").value
        150.0
        >>> read_value(key_of("site.place"), "Roof", "site.place")
        'roof'
    """
    if _has_endless_number(given):
        raise InputError("JOB-08", where, "this number has more digits than anything here.", "Check it.")
    reader = _READERS.get(key.kind)
    return _quantity(key, given, where) if reader is None else reader(key, given, where)


def _has_endless_number(given: object) -> bool:
    """Python may hand over whole numbers too long to be written out in a message."""
    if isinstance(given, int):
        return abs(given) > _LARGEST_WHOLE
    if isinstance(given, list | tuple):
        return any(isinstance(each, int) and abs(each) > _LARGEST_WHOLE for each in given)
    return isinstance(given, Mapping) and any(
        isinstance(each, int) and abs(each) > _LARGEST_WHOLE for pair in given.items() for each in pair
    )


def _quantity(key: Key, given: object, where: str) -> Quantity:
    kind: KindName = key.kind  # type: ignore[assignment]
    quantity = parse_quantity(given, kind, where=where, bare_unit=key.bare or None, zero=key.zero)
    return _within(key, quantity, where)


def _within(key: Key, quantity: Quantity, where: str) -> Quantity:
    low, high = quantity.low, quantity.high
    if low is None or high is None:
        return quantity
    if quantity.form == "about" and key.most is not None and low <= key.most < high:
        return Quantity(quantity.text, quantity.kind, "about", low, key.most, quantity.unit_written)
    if (key.least is not None and low < key.least) or (key.most is not None and high > key.most):
        raise outside(key, quantity, where)
    return quantity


def _count(key: Key, given: object, where: str) -> Quantity:
    quantity = _within(key, parse_quantity(given, "number", where=where, zero=key.zero), where)
    ends = (quantity.low, quantity.high) if quantity.form in ("exact", "range") else ()
    if any(end is not None and end != int(end) for end in ends):
        what = f"{quoted(given)} is no whole number, and {key.name} counts pieces."
        raise InputError(
            "JOB-14", where, what, f'Write {key.name} = {key.sample}, "3..5", "about 10" or "unknown".'
        )
    return quantity


def _frequencies(key: Key, given: object, where: str) -> tuple[Quantity, ...]:
    return tuple(_within(key, each, where) for each in parse_frequencies(given, where=where))


def _start_current(key: Key, given: object, where: str) -> Quantity:
    kinds: tuple[KindName, ...] = ("multiple", "current")
    quantity = parse_quantity(given, kinds, where=where, bare_unit=key.bare or None, zero=key.zero)
    return _within(key, quantity, where) if quantity.kind == "multiple" else quantity


def _system(key: Key, given: object, where: str) -> Any:
    return parse_system(given, where=where, direct=key.direct)


def _yes_no(key: Key, given: object, where: str) -> bool | Unknown:
    if isinstance(given, bool):
        return given
    if is_unknown(given):
        return UNKNOWN
    found = _YES_NO.get(given.strip().casefold()) if isinstance(given, str) else None
    if found is None:
        fix = f'Write {key.name} = true, {key.name} = false or {key.name} = "unknown".'
        raise wrong_type(given, where, "yes or no", fix)
    return found


def _word(key: Key, given: object, where: str) -> str | Unknown:
    if not isinstance(given, str):
        raise wrong_type(given, where, "a word", f"Write one of {listed(key)}.")
    if given in key.words:
        return given
    folded = " ".join(given.split()).casefold()
    if folded == "unknown":
        return UNKNOWN
    found = next((word for word in key.words if word.casefold() == folded), None)
    if found is None:
        near = nearest(folded, [word.casefold() for word in key.words])
        known = next((word for word in key.words if word.casefold() == near), None)
        hint = f'Did you mean "{known}"? ' if known else ""
        what = f"{quoted(given)} is not a word for {key.name} ({key.says})."
        raise InputError("JOB-03", where, what, f"{hint}Allowed: {listed(key)}.")
    return found


def _lines(key: Key, given: object, where: str) -> str | Unknown:
    """Two lines are the same pair in either order: AC is CA."""
    letters = given.strip().upper() if isinstance(given, str) else ""
    same = next((word for word in key.words if len(word) == 2 and word[::-1] == letters), None)
    return _word(key, given if same is None else same, where)


def _words(key: Key, given: object, where: str) -> tuple[str, ...] | Unknown:
    if is_unknown(given):
        return UNKNOWN
    found: list[str] = []
    for number, each in enumerate(_items(key, given, where)):
        word = _word(key, each, f"{where}[{number}]")
        if word is UNKNOWN:
            fix = f'Write {key.name} = "unknown", or leave it out of the list.'
            raise InputError("JOB-03", where, '"unknown" stands inside a list.', fix)
        if word not in found:
            found.append(str(word))
    return tuple(found)


def _items(key: Key, given: object, where: str) -> list[object]:
    """Return the items of a list; a text may hold them between semicolons, as the cells of a list do."""
    if isinstance(given, str):
        return [part.strip() for part in given.split(";")] if ";" in given else [given]
    if isinstance(given, Mapping):
        raise wrong_type(given, where, "a list", f"Write {key.name} = {key.sample}.")
    items = list(given) if isinstance(given, list | tuple) else [given]
    if len(items) > LONGEST_LIST:
        what = f"this list has {len(items)} entries; more than {LONGEST_LIST} are a slip."
        raise InputError("JOB-02", where, what, f"Write {key.name} = {key.sample}.")
    return items


def _quantities(kind: KindName) -> Callable[[Key, object, str], tuple[Quantity, ...]]:
    def read(key: Key, given: object, where: str) -> tuple[Quantity, ...]:
        found: list[Quantity] = []
        for number, each in enumerate(_items(key, given, where)):
            at = f"{where}[{number}]"
            size = parse_quantity(each, kind, where=at, bare_unit=key.bare, zero=key.zero)
            found.append(_within(key, size, at))
        return tuple(found)

    return read


def _text(key: Key, given: object, where: str) -> str:
    if not isinstance(given, str):
        raise wrong_type(given, where, "a text", f'Write {key.name} = "{key.sample}", in quotes.')
    if len(given) > LONGEST_TEXT:
        what = f"this text has {len(given)} characters, and {LONGEST_TEXT} are the most."
        raise InputError("JOB-13", where, what, "Keep what matters here and the rest in a file of its own.")
    odd = None if given.isprintable() else re.search(_UNPRINTABLE, given)
    if odd:
        what = f"character {odd.start() + 1} (U+{ord(odd.group()):04X}) cannot be printed."
        raise InputError("JOB-13", where, what, "Take it out; line breaks and tabs may stay.")
    return given


def _edition(key: Key, given: object, where: str) -> str | Unknown:
    if isinstance(given, int) and not isinstance(given, bool) and 1900 <= given <= 2200:
        return str(given)
    text = _text(key, given, where).strip()
    return UNKNOWN if is_unknown(text) else text


def _date(key: Key, given: object, where: str) -> str | Unknown:
    """A year, a month or a day; TOML has a type of its own for days, of which the text is the same."""
    if is_unknown(given):
        return UNKNOWN
    text = str(given).strip() if isinstance(given, str | int) or hasattr(given, "isoformat") else ""
    found = _DATE.fullmatch(text[:10]) if not isinstance(given, bool) else None
    if found and len(text) <= 10 and _is_day(*(int(part or 1) for part in found.groups())):
        return text
    shown = quoted(given) if isinstance(given, str | int | float) else "this"
    what = f"{shown} is not a date."
    raise InputError("JOB-15", where, what, f'Write "2027", "2027-05" or "2027-05-31": {key.says}.')


def _is_day(year: int, month: int, day: int) -> bool:
    leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    days = (31, 29 if leap else 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
    return 1850 <= year <= 2200 and 1 <= month <= 12 and 1 <= day <= days[month - 1]


def _layout(key: Key, given: object, where: str) -> int:
    if type(given) is not int or given != LAYOUT:
        shown = quoted(given) if isinstance(given, str | int | float) else "this"
        what = f"{shown} is not a layout that this version reads."
        raise InputError("JOB-10", where, what, f"Write schema = {LAYOUT}, a number, or leave it out.")
    return LAYOUT


def _table(key: Key, given: object, where: str) -> Any:
    raise wrong_type(given, where, "a table", f"Write {key.name} = {key.sample}.")


_READERS: dict[str, Callable[[Key, object, str], Any]] = {
    "count": _count,
    "date": _date,
    "device list": _quantities("current"),
    "edition": _edition,
    "frequencies": _frequencies,
    "layout": _layout,
    "lines": _lines,
    "spectrum": read_spectrum,
    "start current": _start_current,
    "system": _system,
    "table": _table,
    "tap list": _quantities("tap"),
    "text": _text,
    "voltage list": _quantities("voltage"),
    "word": _word,
    "words": _words,
    "yes/no": _yes_no,
}
