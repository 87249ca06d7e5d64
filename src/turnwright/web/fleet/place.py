"""The folder of a server's fleets: held as long as the server lives; what a killed one left behind is removed."""

from __future__ import annotations

import os
import shutil
import tempfile
from contextlib import suppress
from pathlib import Path

try:
    import fcntl
except ImportError:  # where files are not locked this way nothing is removed
    fcntl = None  # type: ignore[assignment]

PREFIX = "turnwright-fleet-"
HELD = "held"
_DRAFT = "held.draft"


class Place:
    """A new folder that other servers see to be in use: the system lets its lock go when the process ends, however."""

    def __init__(self) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix=PREFIX))
        draft = self.folder / _DRAFT
        self._lock = os.open(draft, os.O_CREAT | os.O_RDWR, 0o600)
        if fcntl is not None:
            fcntl.flock(self._lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        draft.rename(self.folder / HELD)  # by this name it is locked from the first moment on

    def close(self) -> None:
        """Remove the folder with all that is in it."""
        shutil.rmtree(self.folder, ignore_errors=True)
        os.close(self._lock)


def remove_left_behind() -> tuple[Path, ...]:
    """Remove the folders of servers of the same user that are gone, and return them.

    A folder that a server holds, one of somebody else, a link, and one without a lock are left alone.
    """
    if fcntl is None:
        return ()
    return tuple(
        folder
        for folder in Path(tempfile.gettempdir()).glob(f"{PREFIX}*")
        if _is_mine(folder) and _take(folder)
    )


def _is_mine(folder: Path) -> bool:
    try:
        return folder.is_dir() and not folder.is_symlink() and folder.lstat().st_uid == os.getuid()
    except OSError:
        return False


def _take(folder: Path) -> bool:
    """Remove a folder whose lock nobody holds; tell whether it was so."""
    try:
        lock = os.open(folder / HELD, os.O_RDWR | os.O_NOFOLLOW)
    except OSError:
        return False
    try:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        shutil.rmtree(folder, ignore_errors=True)
    except OSError:
        return False
    finally:
        with suppress(OSError):
            os.close(lock)
    return True
