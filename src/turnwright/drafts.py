"""Files that are whole or not there: written beside their place under another name, then moved there.

A process that is killed leaves at most a draft, which nothing reads; a later one of the same place removes it.
"""

from __future__ import annotations

import glob
import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from threading import get_ident

KILLED_S = 3600.0
"""A draft that was not written to for so long was left by a process that was killed."""


@contextmanager
def draft_of(place: Path, mode: int = 0o666) -> Iterator[Path]:
    """Give an empty file beside a place, to be written and moved there; nothing of it is left behind.

    mode : rights of the file, less what the user's mask takes

    Raises OSError where nothing can be written there.
    """
    draft = place.with_name(f".{place.name}.{os.getpid()}-{get_ident()}.part")
    try:
        os.close(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, mode))
        _forget_killed(place, draft)
        yield draft
    except OSError as error:
        if error.filename == str(draft):
            error.filename = str(place)  # what the user named
        raise
    finally:
        with suppress(OSError):
            draft.unlink(missing_ok=True)


def sync(draft: Path) -> None:
    """Wait until all of a draft is on the disk: what is moved to its place after that is whole. Raises OSError."""
    with draft.open("rb+") as file:
        os.fsync(file.fileno())


def write_whole(place: Path, content: bytes, mode: int = 0o666) -> None:
    """Write a file whole or not at all. Raises OSError.

    Example:
        >>> import tempfile
        >>> with tempfile.TemporaryDirectory() as folder:
        ...     write_whole(Path(folder, "memo.txt"), b"30 kVA")
        ...     [(path.name, path.read_bytes()) for path in Path(folder).iterdir()]
        [('memo.txt', b'30 kVA')]
    """
    with draft_of(place, mode) as draft:
        draft.write_bytes(content)
        sync(draft)
        draft.replace(place)


def _forget_killed(place: Path, draft: Path) -> None:
    """Remove older drafts of a place; their age is told by the new one, for the disk may have a clock of its own."""
    now = draft.stat().st_mtime
    for other in place.parent.glob(f".{glob.escape(place.name)}.*.part"):
        with suppress(OSError):
            if now - other.stat().st_mtime > KILLED_S:
                other.unlink()
