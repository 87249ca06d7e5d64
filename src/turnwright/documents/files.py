"""Files written all or none: as drafts first, then moved to their places.

A file that is there already with the same bytes is left alone: a run that was killed is run once more.

===========  =====================================================
code         what is wrong
===========  =====================================================
``OUT-01``   the folder cannot be made or written to
``OUT-02``   a file of that name is there already
``OUT-03``   the disk is full, or a file cannot be written
===========  =====================================================
"""

from __future__ import annotations

import errno
from collections.abc import Mapping
from contextlib import ExitStack, suppress
from pathlib import Path

from turnwright.drafts import draft_of, sync
from turnwright.errors import InputError

_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)


def write_all(folder: str | Path, files: Mapping[str, bytes], *, force: bool = False) -> None:
    """Write files into a folder, which is made where it is missing.

    Args:
        folder: where they go.
        files: name -> content.
        force: replace files that are there already.

    Raises:
        InputError: OUT-01 to OUT-03; then none of the files is there, and files of before are as they were.
    """
    place = Path(folder)
    made = _make(place)
    try:
        new = {name: content for name, content in files.items() if not _is_same(place / name, content)}
        _refuse_existing(place, new, force)
        _write(place, new)
    except InputError:
        for one in reversed(made):
            with suppress(OSError):
                one.rmdir()
        raise


def _make(place: Path) -> list[Path]:
    """Make the folder and those above it; return the new ones."""
    new = []
    try:
        for one in (*reversed(place.parents), place):
            if not one.exists():
                one.mkdir()
                new.append(one)
        if not place.is_dir():
            raise InputError(
                "OUT-01", str(place), "this is a file, not a folder.", "Name a folder with --out."
            )
    except (OSError, ValueError) as error:
        if isinstance(error, InputError):
            raise
        raise _refusal("OUT-01", place, error, "this folder cannot be made") from None
    return new


def _is_same(path: Path, content: bytes) -> bool:
    """Return whether a file is there with these bytes."""
    try:
        same = not path.is_symlink() and path.is_file() and path.stat().st_size == len(content)
        return same and path.read_bytes() == content
    except OSError:
        return False


def _refuse_existing(place: Path, files: Mapping[str, bytes], force: bool) -> None:
    there = [name for name in files if (place / name).exists() or (place / name).is_symlink()]
    if there and not force:
        what = f"{', '.join(there)} {'is' if len(there) == 1 else 'are'} there already."
        raise InputError("OUT-02", str(place), what, "Write --force to replace, or name another folder.")


def _write(place: Path, files: Mapping[str, bytes]) -> None:
    try:
        with ExitStack() as drafts:
            written = {name: drafts.enter_context(draft_of(place / name)) for name in files}
            for name, content in files.items():
                written[name].write_bytes(content)
                sync(written[name])
            for name in files:
                written[name].replace(place / name)
    except (OSError, ValueError) as error:
        raise _refusal("OUT-03", place, error, "the papers cannot be written") from None


def _refusal(code: str, place: Path, error: Exception, what: str) -> InputError:
    if isinstance(error, OSError) and error.errno in _FULL:
        return InputError("OUT-03", str(place), "the disk is full.", "Make room, or name a folder elsewhere.")
    reason = (getattr(error, "strerror", None) or str(error) or type(error).__name__).lower()
    return InputError(code, str(place), f"{what} ({reason}).", "Name a folder you may write to.")
