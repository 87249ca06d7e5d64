"""The loads of a list added to a job that exists: what the job says counts before the list."""

from __future__ import annotations

import re

from turnwright.ask.job_text import Line, job_text
from turnwright.ask.load_list.list_job import LoadList
from turnwright.ask.resume import lines_of_text
from turnwright.model.keys import SIZE_KEYS

_LOAD = re.compile(r"load\[(\d+)\](.*)")


def into_job(text: str, found: LoadList) -> str:
    """Return a job file with the loads of a list behind those it has; a load of which no size is known gives way.

    text  : a job file
    found : the list as it was read

    Raises InputError when the text is no job file.
    """
    given = lines_of_text(text, "job")
    kept = _sized(given)
    loads = [line for line in given if (match := _LOAD.match(line.path)) and int(match[1]) in kept]
    lines = [line for line in given if not _LOAD.match(line.path)]
    said = {line.path for line in lines}
    lines += [_numbered(line, kept.index(int(_index(line)))) for line in loads]
    for line in found.lines:
        if _LOAD.match(line.path):
            lines.append(_numbered(line, len(kept) + int(_index(line))))
        elif line.path not in said:
            lines.append(line)
    foot = [f"assumed: {one}" for one in found.assumed] + [f"not read: {one}" for one in found.unread]
    return job_text(lines, foot=foot)


def _sized(lines: tuple[Line, ...]) -> list[int]:
    """Return the numbers of the loads that have a size."""
    sizes = {f".{name}" for name in SIZE_KEYS}
    return sorted(
        {int(match[1]) for line in lines if (match := _LOAD.match(line.path)) and match[2] in sizes}
    )


def _index(line: Line) -> str:
    match = _LOAD.match(line.path)
    assert match is not None
    return match[1]


def _numbered(line: Line, number: int) -> Line:
    return line._replace(path=_LOAD.sub(rf"load[{number}]\2", line.path))
