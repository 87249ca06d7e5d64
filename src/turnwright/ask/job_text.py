"""A job file written from facts: tables in their order, a remark behind each line, always the same bytes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from turnwright.model.key import Key
from turnwright.model.keys import JOB_TABLES, SIZE_KEYS
from turnwright.model.unit_keys import UNIT_TABLES

_PLAIN_KINDS = frozenset(("per unit", "number", "count"))
_TABLES = ("supply", "load", "site", "circuit", "choices", "offer")
_LEAST = {"load": 1, "offer": 0}
"""Tables of which there may be several, and how many there are at least."""
_INLINE = {"load": ("duty",), "site": ("room",)}
_REMARK_AT = 31
_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\r": "\\r", "\t": "\\t"}
_UNPRINTABLE = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]"
)


class Line(NamedTuple):
    """One fact of a job file and the remark behind it.

    path   key path, `load[0].current`
    value  as the job file takes it
    """

    path: str
    value: Any
    remark: str = ""


def quoted_text(text: str) -> str:
    """Return a text as TOML has it in quotes, on one line.

    Example:
        >>> quoted_text('a "b"')
        '"a \\\\"b\\\\""'
    """
    clean = _UNPRINTABLE.sub(" ", text)
    return f'"{"".join(_ESCAPES.get(letter, letter) for letter in clean)}"'


def toml_value(value: Any, kind: str = "text") -> str:
    """Return a value as TOML has it; plain numbers of kinds without a unit stand bare.

    Example:
        >>> toml_value("22 kVA"), toml_value("0.85", "per unit"), toml_value(True), toml_value({5: "30 %"}, "spectrum")
        ('"22 kVA"', '0.85', 'true', '{ 5 = 30 }')
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value).removesuffix(".0")
    if isinstance(value, Mapping):
        inside = ", ".join(f"{key} = {_inner(each, kind)}" for key, each in value.items())
        return f"{{ {inside} }}" if inside else "{}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(toml_value(each) for each in value)}]"
    text = str(value)
    if kind in _PLAIN_KINDS and re.fullmatch(r"[0-9]+(\.[0-9]+)?", text):
        return text
    return quoted_text(text)


def _inner(value: Any, kind: str) -> str:
    text = str(value).removesuffix("%").strip()
    if kind == "spectrum" and re.fullmatch(r"[0-9]+(\.[0-9]+)?", text):
        return text
    return toml_value(value)


def job_text(
    lines: Iterable[Line], *, head: Iterable[str] = (), foot: Iterable[str] = (), tables: str = "job"
) -> str:
    """Return the text of a job file, or of a unit's.

    lines : facts; a path that is no key of the file is left out
    head  : remarks before everything; foot: remarks at the end
    tables : "job" or "unit"

    Example:
        >>> facts = [Line("supply.system", "480Y/277", "as the label says"), Line("load[0].kva", "22 kVA")]
        >>> print(job_text(facts), end="")
        schema = 1
        <BLANKLINE>
        [supply]
        system = "480Y/277"            # as the label says
        <BLANKLINE>
        [[load]]
        kva = "22 kVA"
    """
    given = list(lines)
    parts = [[*_remarks(head), "schema = 1", *_table(given, "", JOB_TABLES[""])]]
    if tables == "unit":
        parts.append(["[unit]", *_table(given, "unit.", UNIT_TABLES["unit"])])
        return _joined(parts, foot)
    for name in _TABLES:
        if name in _LEAST:
            parts += _several(name, given)
            continue
        rows = _table(given, f"{name}.", JOB_TABLES[name], name)
        if rows:
            parts.append([f"[{name}]", *rows])
    return _joined(parts, foot)


def _joined(parts: list[list[str]], foot: Iterable[str]) -> str:
    remarks = _remarks(foot)
    if remarks:
        parts.append(remarks)
    return "\n\n".join("\n".join(part) for part in parts) + "\n"


def _several(table: str, given: list[Line]) -> list[list[str]]:
    """A job has at least one load, even one of which nothing is known yet."""
    numbers = [int(found[1]) for line in given if (found := re.match(rf"{table}\[(\d+)\]", line.path))]
    return [
        [f"[[{table}]]", *_table(given, f"{table}[{index}].", JOB_TABLES[table], table)]
        for index in range(max(numbers, default=_LEAST[table] - 1) + 1)
    ]


def _table(given: list[Line], prefix: str, keys: tuple[Key, ...], table: str = "") -> list[str]:
    rows: list[str] = []
    by_path = {line.path: line for line in given}
    for key in keys:
        line = by_path.get(prefix + key.name)
        if key.kind == "table":
            line = _inline(given, prefix + key.name, JOB_TABLES.get(f"{table}.{key.name}", ()))
        if line is not None and key.name != "schema":
            rows.append(_row(f"{key.name} = {toml_value(line.value, key.kind)}", line.remark))
    return rows


def _inline(given: list[Line], path: str, keys: tuple[Key, ...]) -> Line | None:
    """Gather the keys of a small table on one line: duty, room."""
    inside = {line.path: line for line in given if line.path.startswith(f"{path}.")}
    found = {key.name: inside[f"{path}.{key.name}"] for key in keys if f"{path}.{key.name}" in inside}
    if not found:
        return None
    remarks = dict.fromkeys(line.remark for line in found.values() if line.remark)
    return Line(path, {name: line.value for name, line in found.items()}, "; ".join(remarks))


def _row(text: str, remark: str) -> str:
    if not remark:
        return text
    said = " ".join(_UNPRINTABLE.sub(" ", remark).split())
    return f"{text:<{_REMARK_AT - 1}} # {said}"


def _remarks(texts: Iterable[str]) -> list[str]:
    return [f"# {' '.join(_UNPRINTABLE.sub(' ', text).split())}".rstrip() for text in texts]


def one_size(lines: Iterable[Line], path: str) -> list[Line]:
    """Return the lines without the other sizes of a load, where one of them is set.

    Example:
        >>> one_size([Line("load[0].kva", "9 kVA"), Line("load[0].name", "oven")], "load[0].kw")
        [Line(path='load[0].name', value='oven', remark='')]
    """
    table, _, name = path.rpartition(".")
    others = {f"{table}.{size}" for size in SIZE_KEYS} if name in SIZE_KEYS else set()
    return [line for line in lines if line.path not in others | {path}]
