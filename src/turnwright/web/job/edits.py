"""A fact written into the text of a job file; comments and the order of the lines stay.

==========  ==========================================================
code        what is wrong
==========  ==========================================================
``WEB-10``  no size, or one without the unit that says what it is
``WEB-11``  a list or a table that is not written as one
==========  ==========================================================
"""

from __future__ import annotations

import re
import tomllib
from copy import deepcopy
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from turnwright.errors import InputError
from turnwright.intake import key_lines, read_value
from turnwright.model.key import Key
from turnwright.model.keys import SIZE_KEYS, key_of
from turnwright.quantities.spelling import quoted
from turnwright.web.job.paths import SIZE

NEW_JOB = "[supply]\n\n[[load]]\n"
SIZES = 'Write "150 A", "31 kVA", "24 kW" or "15 hp"; "110..140 A", "about 120 A" or "unknown" will do too.'
OTHER_UNIT = frozenset(("QTY-01", "QTY-04"))
"""What is said of a text that is no size at all, or of another kind."""
LISTS = frozenset(("voltage list", "device list", "tap list", "words"))
NUMBERS = frozenset(("number", "per unit", "count"))
_INLINE = frozenset(("duty", "room"))
_STEP = re.compile(r"([A-Za-z0-9_-]+)(?:\[(\d+)\])?")
_NUMBER = re.compile(r"[+-]?\d{1,15}(?:\.\d{1,15})?")
_YES_NO = {"true": True, "yes": True, "false": False, "no": False}


def data_of(text: str) -> dict[str, Any]:
    """Return the tables of a job file that was read before."""
    return tomllib.loads(text)


def value_at(data: Any, path: str) -> Any:
    """Return what the tables of a file hold at a key path; None where they hold nothing.

    Example:
        >>> value_at({"load": [{"duty": {"on": "10 %"}}]}, "load[0].duty.on")
        '10 %'
    """
    node = data
    for name, index in _STEP.findall(path):
        node = node.get(name) if isinstance(node, dict) else None
        if index:
            node = node[int(index)] if isinstance(node, list) and int(index) < len(node) else None
    return node


def written(value: Any) -> str:
    """Return a value of a file as it is typed into a field.

    Example:
        >>> written("150 A"), written(True), written(["478 V", "481 V"]), written({"5": 30, "7": 15}), written(None)
        ('150 A', 'true', '478 V, 481 V', '{ 5 = 30, 7 = 15 }', '')
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return ", ".join(written(each) for each in value)
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{name} = {_literal(each)}" for name, each in value.items()) + " }"
    return str(value)


def _literal(value: Any) -> str:
    return str(tomlkit.item(value).as_string())


def size_written(load: Any) -> str:
    """Return the size of a load as it is typed, with its unit, whichever key has it."""
    for name in SIZE_KEYS:
        value = value_at(load, name)
        if value is not None:
            key = key_of(f"load[0].{name}")
            unit = f" {key.bare}" if key and not isinstance(value, str) else ""
            return f"{written(value)}{unit}"
    return ""


def field_text(data: Any, path: str) -> str:
    """Return what the field of a path shows for the tables of a file."""
    table, _, name = path.rpartition(".")
    return size_written(value_at(data, table)) if name == SIZE else written(value_at(data, path))


def flat(text: str) -> str:
    """Return a typed text without the differences that a field makes: line ends, blanks around it.

    Example:
        >>> flat("  two\\r\\nlines ")
        'two\\nlines'
    """
    return text.replace("\r\n", "\n").replace("\r", "\n").strip()


def meant(path: str, typed: str, data: Any) -> tuple[str, Any]:
    """Return the key path and the value that a typed text stands for; None takes the key out.

    Raises:
        InputError: the text cannot be used there.
    """
    table, _, name = path.rpartition(".")
    if name == SIZE:
        return _size(table, flat(typed), value_at(data, table))
    key = key_of(path)
    if key is None:
        raise InputError("JOB-01", path, "there is no such key.", "Name a key of the job file.")
    value = raw(key, typed, path)
    if value is not None:
        read_value(key, value, path)
    return path, value


def raw(key: Key, typed: str, where: str) -> Any:
    """Return a typed text as the file would hold it.

    Raises:
        InputError: WEB-11.

    Example:
        >>> raw(key_of("supply.measured"), "478 V, 481 V, 476 V", "supply.measured")
        ['478 V', '481 V', '476 V']
        >>> raw(key_of("load[0].shaft"), "yes", ""), raw(key_of("load[0].power_factor"), "0.85", "")
        (True, 0.85)
    """
    text = flat(typed)
    if not text:
        return None
    if key.kind == "yes/no":
        return _YES_NO.get(text.casefold(), text)
    if key.kind in NUMBERS and _NUMBER.fullmatch(text):
        return float(text) if "." in text else int(text)
    if key.kind == "layout":
        return int(text) if text.isdecimal() and len(text) < 9 else text
    if key.kind in LISTS and text.casefold() != "unknown":
        return (
            _toml(key, text, where) if text[0] == "[" else [part.strip() for part in re.split("[,;]", text)]
        )
    if key.kind == "spectrum" and text[0] == "{":
        return _toml(key, text, where)
    return text


def _toml(key: Key, text: str, where: str) -> Any:
    try:
        return tomllib.loads(f"value = {' '.join(text.split())}")["value"]
    except (ValueError, RecursionError):
        fix = f"Write it as {key.name} = {key.sample}."
        raise InputError("WEB-11", where, "this is not written as a list or a table.", fix) from None


def _size(table: str, text: str, load: Any) -> tuple[str, Any]:
    """Find out which of the four sizes a text is: the first that takes its unit."""
    there = next((name for name in SIZE_KEYS if value_at(load, name) is not None), None)
    if not text or text.casefold() == "unknown":
        return f"{table}.{there or SIZE_KEYS[0]}", text or None
    if _NUMBER.fullmatch(text):
        if there is not None:
            return f"{table}.{there}", text
        what = f"{quoted(text)} has no unit, and the unit says what it is."
        raise InputError("WEB-10", f"{table}.{SIZE}", what, SIZES)
    refusals: list[InputError] = []
    for name in SIZE_KEYS:
        path = f"{table}.{name}"
        key = key_of(path)
        assert key is not None
        try:
            read_value(key, text, path)
        except InputError as error:
            refusals.append(error)
        else:
            return path, text
    telling = next((error for error in refusals if error.code not in OTHER_UNIT), None)
    if telling is not None:
        raise telling
    raise InputError("WEB-10", f"{table}.{SIZE}", f"{quoted(text)} is no size of one piece.", SIZES)


def put_text(text: str, path: str, value: Any) -> str:
    """Return the text of a job file with a value at a key path; None takes it out.

    A size takes the place of the other sizes of its load. The file reads as before but for that fact.

    Example:
        >>> put_text('[[load]]\\nkva = 22  # from the plate\\n', "load[0].power_factor", 0.9)
        '[[load]]\\nkva = 22  # from the plate\\npower_factor = 0.9\\n'
    """
    return _changed(text, [(path, value), *_others(path, value)])


def _others(path: str, value: Any) -> list[tuple[str, None]]:
    table, _, name = path.rpartition(".")
    if value is None or name not in SIZE_KEYS or not table.startswith("load["):
        return []
    return [(f"{table}.{other}", None) for other in SIZE_KEYS if other != name]


def _changed(text: str, changes: list[tuple[str, Any]]) -> str:
    """Change the text line by line; where that does not come to the same tables, write them anew."""
    wanted = deepcopy(data_of(text))
    for path, value in changes:
        _set(wanted, path, value, plain=True)
    try:
        document = tomlkit.parse(text)
        for path, value in changes:
            _set(document, path, value, plain=False)
        found = tomlkit.dumps(document)
        if tomllib.loads(found) == wanted:
            return found
    except (TOMLKitError, ValueError, TypeError, KeyError, IndexError, AttributeError):
        pass  # what the writer cannot keep is written anew below
    return tomlkit.dumps(wanted)


def _set(node: Any, path: str, value: Any, *, plain: bool) -> None:
    steps = _STEP.findall(path)
    for name, index in steps[:-1]:
        if name not in node:
            if value is None:
                return
            node[name] = {} if plain else _new_table(name)
        node = node[name][int(index)] if index else node[name]
    name = steps[-1][0]
    if value is None:
        if name in node:
            del node[name]
    else:
        node[name] = value if plain else _item(value)


def _new_table(name: str) -> Any:
    return tomlkit.inline_table() if name in _INLINE else tomlkit.table()


def _item(value: Any) -> Any:
    if isinstance(value, str) and "\n" in value:
        return tomlkit.string(value, multiline=True)
    if isinstance(value, dict):
        table = tomlkit.inline_table()
        table.update(value)
        return table
    return value


def with_load(text: str) -> str:
    """Return the text with one more load behind the others, of which nothing is known yet.

    Example:
        >>> with_load('[[load]]\\nkva = 22\\n[site]\\n')
        '[[load]]\\nkva = 22\\n\\n[[load]]\\n\\n[site]\\n'
    """
    lines = text.splitlines(keepends=True)
    headers = {path: line for path, line in key_lines(text).items() if _is_header(path, lines[line - 1])}
    last = max((line for path, line in headers.items() if path.startswith("load[")), default=0)
    after = min((line for line in headers.values() if line > last), default=0) if last else 0
    at = after - 1 if after else len(lines)
    before, behind = "".join(lines[:at]), "".join(lines[at:])
    grown = f"{before.rstrip()}\n\n[[load]]\n" + (f"\n{behind}" if behind else "")
    there = len(data_of(text).get("load") or ())
    if len(_loads(grown)) == there + 1:
        return grown.lstrip("\n")
    wanted = data_of(text)
    wanted["load"] = [*(wanted.get("load") or []), {}]
    return tomlkit.dumps(wanted)


def _is_header(path: str, line: str) -> bool:
    return line.lstrip().startswith("[") and "=" not in line.partition("]")[0] and bool(path)


def _loads(text: str) -> list[Any]:
    try:
        loads = data_of(text).get("load")
    except ValueError:
        return []
    return loads if isinstance(loads, list) else []


def without_load(text: str, index: int) -> str:
    """Return the text without a load; without its last one there is an empty one.

    Example:
        >>> without_load('[[load]]\\nkva = 22\\n[[load]]\\nkva = 30\\n', 0)
        '[[load]]\\nkva = 30\\n'
    """
    wanted = data_of(text)
    loads = wanted.get("load") or []
    if not isinstance(loads, list) or index >= len(loads):
        return text
    if len(loads) == 1:
        wanted["load"] = [{}]
        return tomlkit.dumps(wanted)
    del loads[index]
    try:
        document = tomlkit.parse(text)
        del document["load"][index]
        found = tomlkit.dumps(document)
        if tomllib.loads(found) == wanted:
            return found
    except (TOMLKitError, ValueError, TypeError, KeyError, IndexError):
        pass
    return tomlkit.dumps(wanted)
