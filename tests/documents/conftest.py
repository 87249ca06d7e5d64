"""Briefs that papers are tried on: the example jobs as the engine answers them, and hand-made results."""

import importlib.util
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import msgspec
import pytest

from turnwright.documents.brief import Brief
from turnwright.intake import read_job
from turnwright.model.result import Result
from turnwright.narrow import select

EXAMPLES = Path(__file__).parents[2] / "examples"
DATA = Path(__file__).parent / "data"
SAMPLES = Path(__file__).parents[1] / "cli" / "samples.py"
JOB_TEXT = """schema = 1
title = "Tile works, glazing line"
note = "called twice, wants it before the season"

[supply]
system = "480Y/277"
note = "panel LP2 by the loading door"

[[load]]
name = "glazing line"
system = "208Y/120"
current = "733 A"
"""


def brief_of(text: str, origin: str = "job.toml", result: Result | None = None, **more: str) -> Brief:
    job = read_job(text, origin)
    answer = select(job, ledger_open=True) if result is None else result
    stamp = {"measure": "us", **more}
    return Brief(job=job, text=text, origin=origin, result=answer, **stamp)  # type: ignore[arg-type]


@pytest.fixture(scope="session")
def samples() -> ModuleType:
    spec = importlib.util.spec_from_file_location("document_samples", SAMPLES)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def gatehouse() -> Brief:
    return brief_of((EXAMPLES / "gatehouse.toml").read_text(encoding="utf-8"), "gatehouse.toml")


@pytest.fixture(scope="session")
def pump_house() -> Brief:
    return brief_of((EXAMPLES / "pump-house.toml").read_text(encoding="utf-8"), "pump-house.toml")


@pytest.fixture(scope="session")
def bakery() -> Brief:
    return brief_of((EXAMPLES / "bakery.toml").read_text(encoding="utf-8"), "bakery.toml")


@pytest.fixture(scope="session")
def smokehouse() -> Brief:
    """A job that one secondary cannot serve: two units, the loads of each its own."""
    return brief_of((DATA / "smokehouse.toml").read_text(encoding="utf-8"), "smokehouse.toml")


@pytest.fixture(scope="session")
def ropewalk() -> Brief:
    """A job under the IEC rules."""
    return brief_of((DATA / "ropewalk.toml").read_text(encoding="utf-8"), "ropewalk.toml", measure="metric")


@pytest.fixture(scope="session")
def made_by_hand(samples: ModuleType) -> Callable[..., Brief]:
    """Return a brief around a hand-made result of the samples, by name, with fields replaced."""

    def build(name: str = "SELECTED", **changes: object) -> Brief:
        result: Result = msgspec.structs.replace(getattr(samples, name), **changes)
        return brief_of(JOB_TEXT, result=result)

    return build


@pytest.fixture(params=["gatehouse", "pump_house", "bakery"])
def any_brief(request: pytest.FixtureRequest) -> Brief:
    found: Brief = request.getfixturevalue(request.param)
    return found
