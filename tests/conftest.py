"""Settings for all tests: nothing is timed, a run on a server tries the same examples each time, low layers come first.

A layer that fails makes what stands on it fail too, so the lowest is tried first and told first. Several workers begin
in several places, so that only the report at the end is in order then.
"""

import os
from functools import cache
from pathlib import Path

import pytest
from docs.made.packages import layers
from hypothesis import settings

settings.register_profile("desk", deadline=None)
settings.register_profile("server", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("server" if os.environ.get("CI") else "desk")

ROOT = Path(__file__).parents[1]
TREES = (("tests",), ("src", "turnwright"))
"""Folders whose parts are named as the packages are."""


@cache
def height_of(path: str) -> int:
    """Return the layer of a test by its path from the root, 0 for the lowest; what tests all of them stands above."""
    parts = Path(path).with_suffix("").parts
    names = {parts[len(tree)] for tree in TREES if parts[: len(tree)] == tree and len(parts) > len(tree)}
    rows = layers()[::-1]
    return next((height for height, row in enumerate(rows) if names & set(row)), len(rows))


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Try the lowest layer first."""
    paths = {
        item.path: item.path.relative_to(ROOT).as_posix() for item in items if item.path.is_relative_to(ROOT)
    }
    items.sort(key=lambda item: height_of(paths.get(item.path, "")))


@pytest.hookimpl(tryfirst=True)
def pytest_sessionfinish(session: pytest.Session) -> None:
    """Tell the lowest layer first, whatever worker ran it."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    for kind in ("error", "failed"):
        reports = reporter.stats.get(kind, ()) if reporter is not None else ()
        if reports:
            reports.sort(
                key=lambda report: height_of(report.location[0] if report.location else report.nodeid)
            )
