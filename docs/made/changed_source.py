"""Worked changes of the source, tried on a copy of it: what a page says to add is added, and the tool is run."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

SOURCE = Path("src")
"""The copy, in the folder of the page."""


class NotApplicable(AssertionError):
    """A change does not fit the source."""


def apply_change(name: str, change: str, root: Path) -> None:
    """Make a change to a file of the copy, which is made with the first one.

    name    the file, as it is named from the root of the project
    change  lines marked with a space (there already), a plus (added) or a minus (taken out)
    root    of the project

    Raises:
        NotApplicable: the lines that should be there are not, or stand there several times.
    """
    if not SOURCE.exists():
        shutil.copytree(root / SOURCE, SOURCE)
    path = Path(name)
    lines = change.splitlines()
    before = "".join(f"{line[1:]}\n" for line in lines if line[:1] != "+")
    after = "".join(f"{line[1:]}\n" for line in lines if line[:1] != "-")
    text = path.read_text(encoding="utf-8") if before else ""
    if before and text.count(before) != 1:
        raise NotApplicable(
            f"{name}: these lines stand there {text.count(before)} times, not once:\n{before}"
        )
    if not before and path.exists():
        raise NotApplicable(f"{name} is there already")
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text.replace(before, after) if before else after, encoding="utf-8")


def run_changed(words: list[str]) -> tuple[int, str]:
    """Return exit status and text of a command of the copy."""
    done = subprocess.run(
        [sys.executable, "-m", "turnwright", *words],
        env={**os.environ, "PYTHONPATH": str(SOURCE.resolve()), "PYTHONIOENCODING": "utf-8"},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        check=False,
    )
    return done.returncode, done.stdout
