"""Runs that are killed in the middle: a process that forks one child for each, so that a crash costs little.

Reads lines of JSON (what, arguments, folder, at), writes "killed" or "ended" for each. The child is killed by the
signal that nothing can catch, right before the step number `at` at which it opens, makes, moves or removes
something in the folder.
"""

from __future__ import annotations

import json
import os
import signal
import sys
from collections.abc import Callable

from turnwright.cli.main import main as command

STEPS = ("open", "os.mkdir", "os.rename", "os.remove")


def document(*words: str) -> None:
    command(["document", *words])


def fleet(profiles: str, units: str, out: str) -> None:
    from turnwright.fleet import FleetOptions, profile_files, run_fleet

    profile_files.ROWS_A_BLOCK = 60
    run_fleet(profiles, units, out, options=FleetOptions(form="plain", threads=1, checkpoint_s=0.0))


WHAT: dict[str, Callable[..., None]] = {"document": document, "fleet": fleet}


def kill_at(folder: str, at: int) -> None:
    """Kill this process before so many steps in a folder are done."""
    seen = [0]

    def step(event: str, arguments: tuple[object, ...]) -> None:
        if event in STEPS and str(arguments[0]).startswith(folder):
            seen[0] += 1
            if seen[0] >= at:
                os.kill(os.getpid(), signal.SIGKILL)

    sys.addaudithook(step)


def main() -> None:
    import pyarrow.parquet  # noqa: F401  (imported once, before any fork)

    import turnwright.documents.make
    import turnwright.fleet  # noqa: F401

    print("ready", flush=True)
    for line in sys.stdin:
        asked = json.loads(line)
        child = os.fork()
        if child == 0:
            os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
            kill_at(asked["folder"], asked["at"])
            WHAT[asked["what"]](*asked["arguments"])
            os._exit(0)
        status = os.waitpid(child, 0)[1]
        print("killed" if os.WIFSIGNALED(status) else f"ended {status}", flush=True)


if __name__ == "__main__":
    main()
