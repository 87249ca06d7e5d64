"""Texts that a user names: read whole, or refused in one sentence before anything is parsed.

===========  =====================================================
code         what is wrong
===========  =====================================================
``FILE-01``  there is no such file
``FILE-02``  it is a folder
``FILE-03``  it is not text in UTF-8
``FILE-04``  it is too large
``FILE-05``  it cannot be read
===========  =====================================================
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from turnwright.errors import InputError, nearest

if TYPE_CHECKING:
    # Loading pathlib takes longer than reading a job: at run time it is loaded only to word a refusal.
    from pathlib import Path

LARGEST_BYTES = 50_000_000


def read_text(path: str | Path, what: str = "job file") -> str:
    """Return the text of a file in UTF-8, with or without a byte order mark.

    Raises:
        InputError: FILE-01 to FILE-05.
    """
    place = str(path)
    try:
        with open(path, "rb") as file:  # noqa: PTH123
            content = file.read(LARGEST_BYTES + 1)
    except (OSError, ValueError) as error:
        raise _refusal(path, what, error) from None
    if len(content) > LARGEST_BYTES:
        limit = f"{LARGEST_BYTES // 1_000_000} MB"
        fix = f"Name the {what} itself; one is a few kilobytes long."
        raise InputError("FILE-04", place, f"this file is larger than {limit}, too large for a {what}.", fix)
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        what_is_wrong = f"this is not a text in UTF-8 (byte {error.start + 1}, line {line})."
        fix = f"Save the {what} as UTF-8 text; spreadsheets, PDF and pictures cannot be read here."
        raise InputError("FILE-03", place, what_is_wrong, fix) from None


def file_name(path: str | Path) -> str:
    """Return the name of a file without its folders, as messages and papers show it."""
    return os.path.basename(path)  # noqa: PTH119


def _refusal(given: str | Path, what: str, error: Exception) -> InputError:
    from pathlib import Path

    path, place = Path(given), str(given)
    if isinstance(error, IsADirectoryError) or _is_folder(path):
        return InputError("FILE-02", place, f"this is a folder, not a {what}.", f"Name a {what} inside it.")
    if isinstance(error, FileNotFoundError | NotADirectoryError | ValueError):
        near = _neighbour(path)
        hint = f'Did you mean "{near}"?' if near else f"Check the name and the folder of the {what}."
        return InputError("FILE-01", place, "there is no such file.", hint)
    reason = getattr(error, "strerror", None) or type(error).__name__
    fix = "Check that it exists and that you may read it."
    return InputError("FILE-05", place, f"this file cannot be read ({reason.lower()}).", fix)


def _is_folder(path: Path) -> bool:
    try:
        return path.is_dir()
    except (OSError, ValueError):
        return False


def _neighbour(path: Path) -> str | None:
    """Return the name of a file in the same folder that looks like the missing one."""
    try:
        names = [each.name for each in path.parent.iterdir() if each.is_file()]
    except (OSError, ValueError):
        return None
    return nearest(path.name, names)
