"""One change, tried: which tests are run, nearest first, and whether they notice."""

from __future__ import annotations

import difflib
import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from mutants.sample import Mutant

TREE = ("src", "tests", "examples", "differential", "docs", "benchmarks", "scripts")
FILES = ("pyproject.toml", "README.md", "CHANGELOG.md", "CONTRIBUTING.md", "LICENSE", "Makefile")
FARTHER = {
    "demand": ("selection", "special", "differential"),
    "regimes": ("selection", "special"),
    "circuit": ("arrangements", "selection", "differential"),
    "thermal": ("examine", "fleet", "selection"),
}
"""Packages whose tests use a package, tried after its own."""
SECONDS = 300


@dataclass(frozen=True)
class Outcome:
    """What became of a change: "killed", "survived", or "nothing" where the code stays what it was."""

    mutant: Mutant
    outcome: str
    difference: str


def copy_of(root: Path, to: Path) -> Path:
    """Copy what the tests need to another folder, where it may be changed."""
    for name in TREE:
        if (root / name).is_dir():
            shutil.copytree(root / name, to / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in FILES:
        if (root / name).is_file():
            shutil.copy(root / name, to / name)
    return to


def tests_of(root: Path, mutant: Mutant) -> list[list[str]]:
    """Return the tests to run one after the other: of the module, of its package, of those that use it."""
    folder, name = root / "tests" / mutant.package, Path(mutant.module).stem
    nearest = [str(path) for path in sorted(folder.rglob(f"test_{name}.py"))]
    farther = [str(root / "tests" / one) for one in FARTHER[mutant.package]]
    module = str(root / "src" / mutant.module)
    return [one for one in (nearest, ["--doctest-modules", module, str(folder)], farther) if one]


def tried(root: Path, mutant: Mutant) -> Outcome:
    """Make a change in a copy, run the tests until one fails, take it back."""
    path = root / "src" / mutant.module
    source = path.read_text(encoding="utf-8")
    changed = mutant.code(source)
    if changed is None:
        return Outcome(mutant, "nothing", "")
    lines = difflib.unified_diff(source.splitlines(), changed.splitlines(), mutant.module, "", "", "", 1, "")
    difference = "\n".join(lines)
    path.write_text(changed, encoding="utf-8")
    try:
        survived = all(_pass(root, tests) for tests in tests_of(root, mutant))
    finally:
        path.write_text(source, encoding="utf-8")
    return Outcome(mutant, "survived" if survived else "killed", difference)


def _pass(root: Path, tests: list[str]) -> bool:
    command = [
        sys.executable,
        "-m",
        "pytest",
        "-x",
        "-q",
        "-m",
        "not system",
        "-p",
        "no:cacheprovider",
        *tests,
    ]
    environment = os.environ | {"PYTHONPATH": str(root / "src"), "PYTHONDONTWRITEBYTECODE": "1"}
    try:
        ran = subprocess.run(
            command, cwd=root, env=environment, timeout=SECONDS, capture_output=True, check=False
        )
    except subprocess.TimeoutExpired:
        return False
    return ran.returncode in (0, 5)  # 5: no tests were found
