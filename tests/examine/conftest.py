"""Studies of small jobs, and command lines run inside this process."""

import io
import sys
from collections.abc import Callable
from typing import Any, NamedTuple

import pytest

from turnwright.cli.main import main
from turnwright.examine import Options, Study, examine
from turnwright.examine.subject import Subject, subject_of
from turnwright.intake import case_of, job_from_mapping
from turnwright.model.case import Case
from turnwright.narrow import regime_for, select

STIFF_A = 1e6
STIFF = f"{STIFF_A:g} A"
"""The largest fault current a job may have: next to an ideal source."""


class Ran(NamedTuple):
    """What a command line left behind."""

    status: int
    out: str
    err: str


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Callable[..., Ran]:
    def ran(*words: str, stdin: bytes | None = None) -> Ran:
        if stdin is not None:
            monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(stdin)))
        capsys.readouterr()
        status = main(list(words))
        return Ran(status, *capsys.readouterr())

    return ran


def job_of(load: Any, supply: dict[str, Any] | str = "480Y/277", **tables: Any) -> dict[str, Any]:
    """Return a job as a mapping; a supply by its system alone has 20 kA."""
    given = {"system": supply, "fault_current": "20 kA"} if isinstance(supply, str) else supply
    return {"supply": given, "load": load if isinstance(load, list) else [load], **tables}


def study_of(question: str, job: dict[str, Any], **options: Any) -> Study:
    return examine(question, job_from_mapping(job), Options(**options))


def subject(job: dict[str, Any]) -> Subject:
    """Return what is examined of a job that is selected."""
    asked = job_from_mapping(job)
    regime = regime_for(asked)
    case = case_of(asked, regime.defaults)
    assert isinstance(case, Case)
    found = subject_of(case, regime, select(asked, ledger_open=False, ask=False))
    assert found is not None
    return found
