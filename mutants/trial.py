"""One change, tried: which tests are run, nearest first, and whether they notice."""

from __future__ import annotations

import compileall
import difflib
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from py_compile import PycInvalidationMode

from mutants.reach import Reach
from mutants.sample import PACKAGES, Mutant

TREE = ("src", "tests", "examples", "differential", "docs", "benchmarks", "scripts", "fuzz", "mutants")
FILES = (
    "pyproject.toml",
    ".importlinter",
    "README.md",
    "CHANGELOG.md",
    "CONTRIBUTING.md",
    "LICENSE",
    "Makefile",
)
FIRST = 30
"""So many tests are collected and run first; most changes are noticed by them."""
SECONDS = 120
"""A part of a trial that takes longer of a processor counts as noticed; without a change none takes half of it."""
NEAR_S, FAR_S = 6.0, 60.0
"""How long the tests that run the changed lines may take together, by their traced time without a change: at first,
and for what survives that."""
ENVIRONMENT = {
    "CI": "true",
    "OPENBLAS_NUM_THREADS": "1",
    "PYTHONDONTWRITEBYTECODE": "1",
}


@dataclass(frozen=True)
class Outcome:
    """What became of a change: "killed", "survived", or "nothing" where the code stays what it was.

    seconds : of tests it was given at most
    """

    mutant: Mutant
    outcome: str
    difference: str
    seconds: float


def copy_of(root: Path, to: Path) -> Path:
    """Copy what the tests need to another folder, where it may be changed."""
    for name in TREE:
        if (root / name).is_dir():
            shutil.copytree(root / name, to / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in FILES:
        if (root / name).is_file():
            shutil.copy(root / name, to / name)
    compileall.compile_dir(to / "src", quiet=1, invalidation_mode=PycInvalidationMode.CHECKED_HASH)
    return to


def environment(root: Path) -> dict[str, str]:
    """Return the environment in which the tests of a copy run."""
    return os.environ | ENVIRONMENT | {"PYTHONPATH": f"{root / 'src'}{os.pathsep}{root}"}


def reach_of(root: Path, out: Path) -> Reach:
    """Return which tests of a copy run which lines; takes some minutes."""
    subprocess.run(
        [sys.executable, "-m", "mutants.reach", str(out)], cwd=root, env=environment(root), check=True
    )
    return Reach.read(out)


class Bench:
    """A copy in which changes are tried, and the interpreter that runs its tests."""

    def __init__(self, root: Path, reach: Reach) -> None:
        self.root = root
        self.reach = reach
        self.warm = subprocess.Popen(
            [sys.executable, "-m", "mutants.warm"],
            cwd=root,
            env=environment(root),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def check(self) -> None:
        """Make sure that the tests pass here without a change: else every change would count as noticed.

        Raises RuntimeError where they do not.
        """
        for package in PACKAGES:
            if not self._pass([f"tests/{package}"], []):
                raise RuntimeError(f"The tests of {package} fail without a change.")

    def close(self) -> None:
        """End the interpreter."""
        self.warm.communicate()

    def tried(self, mutant: Mutant, seconds: float) -> Outcome:
        """Make a change, run so many seconds of tests until one fails, take it back."""
        path = self.root / "src" / mutant.module
        source = path.read_text(encoding="utf-8")
        changed = mutant.code(source)
        if changed is None:
            return Outcome(mutant, "nothing", "", seconds)
        path.write_text(changed, encoding="utf-8")
        try:
            survived = all(
                self._pass(arguments, only)
                for arguments, only in self._stages(mutant, source, changed, seconds)
            )
        finally:
            path.write_text(source, encoding="utf-8")
        outcome = "survived" if survived else "killed"
        return Outcome(mutant, outcome, _difference(mutant, source, changed), seconds)

    def _stages(
        self, mutant: Mutant, source: str, changed: str, seconds: float
    ) -> Iterator[tuple[list[str], list[str]]]:
        """Yield what to run one after the other: what runs the changed lines, then the examples of the module."""
        reaching = self.reach.tests(mutant.module, source, _lines(source, changed))
        tests = list(self._for_some_seconds(reaching, seconds))
        for some in (tests[:FIRST], tests[FIRST:]):
            if some:
                yield sorted({one.partition("::")[0] for one in some}), some
        yield ["--doctest-modules", f"src/{mutant.module}"], []

    def _for_some_seconds(self, tests: Sequence[str], seconds: float) -> Iterator[str]:
        left = seconds
        for test in tests:
            left -= self.reach.seconds[test]
            if left > 0:
                yield test

    def _pass(self, arguments: Sequence[str], only: Sequence[str]) -> bool:
        assert self.warm.stdin is not None
        assert self.warm.stdout is not None
        asked = {"arguments": arguments, "only": only, "seconds": SECONDS}
        print(json.dumps(asked), file=self.warm.stdin, flush=True)
        return self.warm.stdout.readline().strip() == "passed"


def _lines(source: str, changed: str) -> list[int]:
    """Return the lines of the source that a change touches."""
    matcher = difflib.SequenceMatcher(None, source.splitlines(), changed.splitlines(), autojunk=False)
    touched = (
        range(start, max(end, start + 1)) for tag, start, end, _, _ in matcher.get_opcodes() if tag != "equal"
    )
    return [line + 1 for lines in touched for line in lines]


def _difference(mutant: Mutant, source: str, changed: str) -> str:
    lines = difflib.unified_diff(source.splitlines(), changed.splitlines(), mutant.module, "", "", "", 1, "")
    return "\n".join(lines)
