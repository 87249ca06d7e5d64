"""The job that a word of the command line names: a file, or standard input."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from turnwright.errors import InputError

if TYPE_CHECKING:
    from turnwright.model.job import Job

STANDARD_INPUT = "-"
NAME = "standard input"
MOST_BYTES = 50_000_000


def _standard_input() -> str:
    if sys.stdin is None:
        raise InputError("FILE-05", NAME, "cannot be read, it is closed.", "Name a job file instead of '-'.")
    data = sys.stdin.buffer.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise InputError("FILE-04", NAME, "holds more than 50 MB.", "Give one job file.")
    if not data.strip():
        raise InputError("FILE-06", NAME, "is empty.", "Give a job file in TOML, or its name instead of '-'.")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise InputError(
            "FILE-03", f"{NAME}, line {line}", "is not UTF-8 text.", "Save it as UTF-8."
        ) from None


def text_of(word: str) -> tuple[str, str]:
    """Return the text of a job file, or of standard input for "-", and the name it goes by.

    Raises:
        InputError: it cannot be read.
    """
    if word == STANDARD_INPUT:
        return _standard_input(), NAME
    from turnwright.intake.text_file import file_name, read_text

    return read_text(word, "job file"), file_name(word)


def job_of(word: str) -> Job:
    """Return the job of a file, or of standard input for "-".

    Raises:
        InputError: it cannot be read, or what it says cannot be used.
    """
    from turnwright.intake import read_job

    return read_job(*text_of(word))


def typed(word: str) -> str:
    """Return a job's name as it is typed in a shell.

    Example:
        >>> typed("job.toml"), typed("my job.toml"), typed("-")
        ('job.toml', "'my job.toml'", 'JOB')
    """
    from shlex import quote

    return "JOB" if word == STANDARD_INPUT else quote(word)
