"""One input to one reader: read, refused, or a defect, which has a name so that each is kept once."""

from __future__ import annotations

import signal
import sys
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from fuzz.readers import Reader, tried

MOST_SECONDS = 20
"""A small file that keeps the processor busy for longer hangs its reader."""


class Hangs(BaseException):
    """A reader has not come to an end; no reader may take this for damage of the file."""


@contextmanager
def within(seconds: float) -> Iterator[None]:
    """Raise Hangs when what is done inside keeps the processor busy for longer; waiting for a turn does not count."""

    def stop(*_: Any) -> None:
        raise Hangs

    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def defect_of(reader: Reader, data: bytes, seconds: float = MOST_SECONDS) -> str | None:
    """Return the name of the defect that an input shows, or None where it was read or refused."""
    try:
        with within(seconds):
            tried(reader, data)
    except (Exception, Hangs) as error:
        return _named(error)
    return None


def _named(error: BaseException) -> str:
    """Return the kind of an error and the last line of the package that it came through."""
    frames = traceback.extract_tb((error.__cause__ or error).__traceback__)
    ours = [frame for frame in frames if "turnwright" in Path(frame.filename).parts] or frames
    return f"{type(error).__name__}-{Path(ours[-1].filename).stem}-{ours[-1].lineno}"


class Kept:
    """Defects that were found, each with the first input that showed it, as files of a folder."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.tried = 0

    def take(self, reader: Reader, data: bytes) -> None:
        """Try an input; keep it where it shows a defect that no other has shown."""
        self.tried += 1
        defect = defect_of(reader, data)
        if defect is None or (self.folder / defect).exists():
            return
        self.folder.mkdir(parents=True, exist_ok=True)
        (self.folder / defect).write_bytes(data)
        print(f"{self.folder.name}: {defect}", file=sys.stderr, flush=True)
