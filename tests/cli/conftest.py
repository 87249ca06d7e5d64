"""Command lines run inside this process, with hand-made results where the answer itself is not the point."""

import importlib.util
import io
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import NamedTuple

import pytest

from turnwright.cli.main import main

_FILE = Path(__file__).with_name("samples.py")
JOB_TEXT = """schema = 1
title = "Tile works, glazing line"

[supply]
system = "480Y/277"

[[load]]
system = "208Y/120"
current = "733 A"
"""


class Ran(NamedTuple):
    """What a command line left behind."""

    status: int
    out: str
    err: str


Run = Callable[..., Ran]


@pytest.fixture(scope="session")
def samples() -> ModuleType:
    spec = importlib.util.spec_from_file_location("cli_samples", _FILE)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    def ran(*words: str, stdin: bytes | None = None) -> Ran:
        if stdin is not None:
            monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(stdin)))
        capsys.readouterr()
        status = main(list(words))
        return Ran(status, *capsys.readouterr())

    return ran


@pytest.fixture
def job_file(tmp_path: Path) -> str:
    path = tmp_path / "job.toml"
    path.write_text(JOB_TEXT, encoding="utf-8")
    return str(path)


@pytest.fixture
def answers(monkeypatch: pytest.MonkeyPatch) -> Callable[[object], None]:
    """Make `select` answer with a hand-made result, or raise a hand-made error."""

    def use(result: object) -> None:
        def select(job: object, *, ledger_open: bool = True) -> object:
            if isinstance(result, BaseException):
                raise result
            return result

        stand_in = ModuleType("turnwright.narrow")
        stand_in.__dict__["select"] = select
        monkeypatch.setitem(sys.modules, "turnwright.narrow", stand_in)

    return use
