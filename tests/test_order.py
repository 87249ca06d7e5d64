"""Tests are tried, and told where they fail, in the order of the import contract: a low layer explains those above."""

from pathlib import Path
from types import SimpleNamespace

import pytest
from docs.made.packages import layers

ROOT = Path(__file__).parents[1]
UPWARDS = (
    "src/turnwright/errors.py",
    "tests/quantities/test_units.py",
    "tests/model/test_keys.py",
    "tests/demand/test_laws.py",
    "src/turnwright/regimes/us/devices.py",
    "tests/web/test_page.py",
    "tests/cli/test_main.py",
    "tests/test_architecture.py",
)


@pytest.fixture
def hooks(request: pytest.FixtureRequest):
    """The conftest of all tests."""
    plugins = request.config.pluginmanager.get_plugins()
    return next(
        each for each in plugins if getattr(each, "__file__", None) == str(ROOT / "tests/conftest.py")
    )


def test_the_lowest_layer_is_tried_first(hooks) -> None:
    items = [SimpleNamespace(path=ROOT / path) for path in reversed(UPWARDS)]
    hooks.pytest_collection_modifyitems(items)
    assert [item.path.relative_to(ROOT).as_posix() for item in items] == list(UPWARDS)


def test_one_layer_stays_as_it_was_collected(hooks) -> None:
    paths = [
        ROOT / "tests/demand/test_windings.py",
        ROOT / "tests/circuit/test_laws.py",
        ROOT / "tests/demand/a.py",
    ]
    items = [SimpleNamespace(path=path) for path in paths]
    hooks.pytest_collection_modifyitems(items)
    assert [item.path for item in items] == paths


@pytest.mark.parametrize("kind", ["failed", "error"])
def test_the_lowest_layer_is_told_first(hooks, kind: str) -> None:
    """Whatever order the workers reported in."""
    reports = [SimpleNamespace(location=(path, 1, "it")) for path in reversed(UPWARDS)]
    reporter = SimpleNamespace(stats={kind: reports})
    plugins = SimpleNamespace(get_plugin={"terminalreporter": reporter}.get)
    hooks.pytest_sessionfinish(SimpleNamespace(config=SimpleNamespace(pluginmanager=plugins)))
    assert [report.location[0] for report in reports] == list(UPWARDS)


def test_every_folder_of_tests_is_a_package_or_about_all_of_them() -> None:
    known = {name for row in layers() for name in row}
    folders = {
        path.name for path in (ROOT / "tests").iterdir() if path.is_dir() and path.name[:1] not in "._"
    }
    assert folders - known == {"differential", "docs", "fuzz", "machine", "special"}
