"""The facts of a job file that exists, with the remarks behind its lines, so that an intake can go on with it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from turnwright.ask.job_text import Line
from turnwright.intake import key_lines, read_job, read_text
from turnwright.intake.toml_text import parse_toml

if TYPE_CHECKING:
    from pathlib import Path

_REMARK = re.compile(r'^(?:[^"\'#]|"(?:[^"\\]|\\.)*"|\'[^\']*\')*#\s*(.*)$')


def lines_of(path: Path) -> tuple[Line, ...]:
    """Return the facts of a job file.

    Raises InputError when it cannot be read or is no job file.
    """
    return lines_of_text(read_text(path), path.name)


def lines_of_text(text: str, name: str) -> tuple[Line, ...]:
    """Return the facts of the text of a job file; `name` stands in messages.

    Raises InputError when it is no job file.
    """
    read_job(text, name)
    rows = text.splitlines()
    places = key_lines(text)
    found = []
    for key, value in _flat(parse_toml(text, name)):
        number = places.get(key)
        remark = _REMARK.match(rows[number - 1]) if number is not None and number <= len(rows) else None
        found.append(Line(key, value, remark[1] if remark else ""))
    return tuple(found)


def _flat(table: Mapping[str, Any], path: str = "") -> Iterator[tuple[str, Any]]:
    """Yield every fact by its path; harmonics stay together."""
    for name, value in table.items():
        key = f"{path}.{name}" if path else name
        if isinstance(value, Mapping) and name != "harmonics":
            yield from _flat(value, key)
        elif isinstance(value, list) and value and isinstance(value[0], Mapping):
            for index, one in enumerate(value):
                yield from _flat(one, f"{key}[{index}]")
        elif key != "schema":
            yield key, value
