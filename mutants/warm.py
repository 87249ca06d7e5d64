"""An interpreter that has imported what the tests need from outside, and runs tests in a child of itself.

python -m mutants.warm, in the folder of a copy: a line of JSON in (tests, folders, seconds), one word out.
"""

from __future__ import annotations

import json
import os
import resource
import signal
import sys
from collections.abc import Sequence
from contextlib import suppress

FROM_OUTSIDE = ("hypothesis", "msgspec", "numpy", "pytest", "scipy.integrate", "scipy.optimize", "yaml")
MEMORY_BYTES = 6 * 2**30
IMPORTED = "ignore::pytest.PytestAssertRewriteWarning"  # plugins of pytest are among what was imported
ALWAYS = ("-x", "-q", "-m", "not system", "-p", "no:cacheprovider", "-W", IMPORTED)


class Only:
    """A plugin of pytest: of what was collected, the named tests in the order of their names."""

    def __init__(self, names: Sequence[str]) -> None:
        self.place = {name: at for at, name in enumerate(names)}

    def pytest_collection_modifyitems(self, items: list[object]) -> None:
        """Keep and sort; a test that can no longer be collected is left out."""
        kept = [one for one in items if one.nodeid in self.place]  # type: ignore[attr-defined]
        items[:] = sorted(kept, key=lambda one: self.place[one.nodeid])  # type: ignore[attr-defined]


def main() -> int:
    """Import once, then answer until nothing more comes in."""
    for name in FROM_OUTSIDE:
        __import__(name)
    for line in sys.stdin:
        asked = json.loads(line)
        print(_in_a_child(asked["arguments"], asked["only"], asked["seconds"]), flush=True)
    return 0


def _in_a_child(arguments: Sequence[str], only: Sequence[str], seconds: float) -> str:
    child = os.fork()
    if child == 0:
        _run(arguments, only, seconds)
    _, status = os.waitpid(child, 0)
    with suppress(ProcessLookupError):
        os.killpg(child, signal.SIGKILL)  # what the tests started and did not end
    return "passed" if os.waitstatus_to_exitcode(status) == 0 else "failed"


def _run(arguments: Sequence[str], only: Sequence[str], seconds: float) -> None:
    """Run tests and end; a child that takes too long is ended by its timer, which counts as a failure."""
    import pytest

    status = 1
    try:
        os.setpgid(0, 0)
        signal.setitimer(signal.ITIMER_PROF, seconds)
        signal.setitimer(signal.ITIMER_REAL, 10 * seconds)  # one that waits for ever
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
        nothing = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(nothing, stream)
        answer = pytest.main([*ALWAYS, *arguments], plugins=[Only(only)] if only else [])
        status = 0 if answer in (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED) else 1
    finally:
        os._exit(status)


if __name__ == "__main__":
    sys.exit(main())
