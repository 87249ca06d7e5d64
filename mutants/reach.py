"""Which tests run which line: one traced run of the tests, `python -m mutants.reach OUT` in a copy."""

from __future__ import annotations

import ast
import json
import sys
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from mutants.sample import PACKAGES

FOLDERS = (
    *PACKAGES,
    "test_formula_laws.py",
    "arrangements",
    "selection",
    "special",
    "examine",
    "fleet",
    "differential",
)
"""Folders, and a file, of tests that run code of the packages."""


@dataclass(frozen=True)
class Reach:
    """The tests that run each line of each module, and how long each test took."""

    lines: Mapping[str, Mapping[int, tuple[str, ...]]]
    seconds: Mapping[str, float]

    @classmethod
    def read(cls, path: Path) -> Reach:
        """Read what a traced run wrote."""
        told = json.loads(path.read_text(encoding="utf-8"))
        names = list(told["seconds"])
        lines = {
            module: {int(line): tuple(names[number] for number in tests) for line, tests in of_line.items()}
            for module, of_line in told["lines"].items()
        }
        return cls(lines, told["seconds"])

    def tests(self, module: str, source: str, changed: Iterable[int]) -> list[str]:
        """Return the tests that run the statements of the changed lines, nearest and quickest first.

        What is run at import, or compiled, is seen by the tests that run any line of the module.
        """
        of_module = self.lines.get(module, {})
        statements = [_statement(ast.parse(source), line) for line in changed]
        wanted = {line for lines in statements if lines for line in lines}
        if not all(statements) or not any(of_module.get(line) for line in wanted):
            wanted |= of_module.keys()
        package = f"tests/{Path(module).parts[1]}/"
        own = f"test_{Path(module).stem}.py"

        def farness(test: str) -> tuple[bool, bool, float]:
            return own not in test, not test.startswith(package), self.seconds[test]

        return sorted({test for line in wanted for test in of_module.get(line, ())}, key=farness)


def _statement(tree: ast.Module, line: int) -> range | None:
    """Return the lines of the innermost statement of a function that holds a line; None outside functions."""
    inside: list[ast.stmt] = []
    for function in ast.walk(tree):
        if isinstance(function, ast.FunctionDef) and function.body[0].lineno <= line <= _end(function):
            inside += [one for one in ast.walk(function) if isinstance(one, ast.stmt) and one is not function]
    holding = [one for one in inside if one.lineno <= line <= _end(one)]
    if not holding:
        return None
    innermost = min(holding, key=lambda one: _end(one) - one.lineno)
    body = getattr(innermost, "body", None)
    return range(innermost.lineno, (body[0].lineno if body else _end(innermost) + 1))


def _end(node: ast.stmt) -> int:
    return node.end_lineno or node.lineno


class Watch:
    """A plugin of pytest: tells the tracer whose turn it is, and keeps the time of each test."""

    def __init__(self, tracer: object) -> None:
        self.tracer = tracer
        self.seconds: dict[str, float] = {}

    def pytest_runtest_logstart(self, nodeid: str) -> None:
        """A test begins."""
        self.tracer.switch_context(nodeid)  # type: ignore[attr-defined]

    def pytest_runtest_logreport(self, report: object) -> None:
        """A part of a test ended."""
        nodeid, duration = report.nodeid, report.duration  # type: ignore[attr-defined]
        self.seconds[nodeid] = self.seconds.get(nodeid, 0.0) + duration


def traced(out: Path) -> int:
    """Run the tests of the folder this is called in, write which lines each of them runs."""
    import coverage
    import pytest

    sources = [f"src/turnwright/{package}" for package in PACKAGES]
    tracer = coverage.Coverage(data_file=None, config_file=False, include=[f"{one}/*" for one in sources])
    watch = Watch(tracer)
    tracer.start()
    status = pytest.main(
        ["-m", "not system", "-p", "no:cacheprovider", *(f"tests/{one}" for one in FOLDERS)], plugins=[watch]
    )
    tracer.stop()
    number = {test: at for at, test in enumerate(watch.seconds)}
    data = tracer.get_data()
    lines = {
        Path(name).relative_to(Path("src").resolve()).as_posix(): {
            line: sorted(number[one] for one in contexts if one in number)
            for line, contexts in data.contexts_by_lineno(name).items()
        }
        for name in data.measured_files()
    }
    out.write_text(json.dumps({"lines": lines, "seconds": watch.seconds}), encoding="utf-8")
    return int(status)


if __name__ == "__main__":
    sys.exit(traced(Path(sys.argv[1])))
