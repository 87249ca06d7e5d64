"""The changelog says first which answers are different; entries of several changes are put together by line."""

import re
from collections import Counter
from pathlib import Path

import pytest

CHANGELOG = (Path(__file__).parents[1] / "CHANGELOG.md").read_text(encoding="utf-8")
KINDS = ("Results change", "Added", "Changed", "Deprecated", "Fixed", "Removed", "Security")
"""Of Keep a Changelog, with what matters most to whoever relies on an answer before them."""


def faults(text: str) -> list[str]:
    """Return what is wrong with a changelog."""
    found = []
    for version in re.split(r"^## ", text, flags=re.MULTILINE)[1:]:
        name, _, body = version.partition("\n")
        kinds = re.findall(r"^### (.*)$", body, re.MULTILINE)
        if unknown := [kind for kind in kinds if kind not in KINDS]:
            found.append(f"{name}: {unknown} are no kinds of change")
        elif kinds != sorted(set(kinds), key=KINDS.index):
            found.append(f"{name}: {kinds} are not in order, each once")
        entries = Counter(line for line in body.splitlines() if line.startswith("- "))
        found += [f"{name}: twice: {entry}" for entry, times in entries.items() if times > 1]
        found += [f"{name}: {line!r}" for line in body.splitlines() if re.match(r"[<=>]{7}", line)]
    return found


def test_the_changelog_is_in_order() -> None:
    assert re.findall(r"^## .*$", CHANGELOG, re.MULTILINE) and faults(CHANGELOG) == []


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("## 1\n### Added\n- a\n### Results change\n- b\n", "not in order"),
        ("## 1\n### Added\n- a\n### Added\n- b\n", "each once"),
        ("## 1\n### New\n- a\n", "no kinds"),
        ("## 1\n### Added\n- a\n- a\n", "twice: - a"),
        ("## 1\n### Added\n- a\n<<<<<<< one\n", "<<<<<<<"),
    ],
)
def test_what_is_wrong_is_found(text: str, wrong: str) -> None:
    assert [fault for fault in faults(text) if wrong in fault]
