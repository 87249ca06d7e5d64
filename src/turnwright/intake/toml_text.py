"""A TOML text read into plain values, and what to say when it is no TOML."""

from __future__ import annotations

import re
import tomllib
from typing import Any

from turnwright.errors import InputError
from turnwright.quantities.spelling import quoted

_AT = re.compile(
    r"(?P<reason>.*) \(at (?:line (?P<line>\d+), column (?P<column>\d+)|end of document)\)", re.DOTALL
)
_BARE_VALUE = re.compile(r"\s*(?P<key>[A-Za-z0-9_.-]+)\s*=\s*(?P<value>[^\"'\[{\s#][^#]*?)\s*(?:#.*)?")
_TRUE_FALSE = {"true": "true", "yes": "true", "false": "false", "no": "false"}
_TWICE = ("cannot overwrite", "twice", "duplicate", "immutable", "cannot mutate")


def parse_toml(text: str, origin: str) -> dict[str, Any]:
    """Return the tables of a TOML text.

    Raises:
        InputError: FILE-03 for what no file can hold, JOB-11 for what is not TOML, with its line.
    """
    try:
        text.encode()
    except UnicodeEncodeError as error:
        what = f"character {error.start + 1} is no character of any text."
        raise InputError("FILE-03", origin, what, "Save the file as UTF-8 text.") from None
    try:
        return tomllib.loads(text)
    except RecursionError:
        fix = "Close each bracket; a job needs no more than one inside another."
        raise InputError("JOB-11", origin, "brackets stand too deep inside each other.", fix) from None
    except ValueError as error:
        raise _not_toml(text, origin, str(error)) from None


def _not_toml(text: str, origin: str, message: str) -> InputError:
    found = _AT.fullmatch(message)
    reason = " ".join((found["reason"] if found else message).split())
    rows = text.split("\n")
    number = int(found["line"]) if found and found["line"] else len(rows)
    row = rows[number - 1].strip() if number <= len(rows) else ""
    place = f"{origin}, line {number}"
    shown = f"{quoted(row)} is not TOML" if row else "this is not TOML"
    detail = f" ({reason[:1].lower()}{reason[1:80]})"
    return InputError("JOB-11", place, f"{shown}{detail}.", _hint(row, reason))


def _hint(row: str, reason: str) -> str:
    if any(word in reason.lower() for word in _TWICE):
        return "A key or table may stand once; several loads each begin with [[load]]."
    bare = _BARE_VALUE.fullmatch(row[:200])
    if bare:
        key, value = bare["key"], bare["value"]
        truth = _TRUE_FALSE.get(value.lower())
        if truth:
            return f"Write {key} = {truth}."
        return f'Texts and sizes with a unit stand in quotes: {key} = "{value[:40]}".'
    return (
        'Each line is a key, "=" and a value, or a [table]; texts stand in quotes, as in current = "150 A".'
    )
