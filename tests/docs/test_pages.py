"""The pages about the tool: every example on them runs, every rule, table, command and calculation is on them."""

import doctest
import importlib
import re
from functools import cache
from pathlib import Path

import pytest
from docs.made.changed_source import NotApplicable, apply_change
from docs.made.codes import codes
from docs.made.methods import calculations
from docs.made.packages import layers
from docs.made.pages import made_pages
from docs.made.shown import Stale, shown

import turnwright
from turnwright.cli.arguments import COMMANDS
from turnwright.documents.rule_rows import rule_rows
from turnwright.model.keys import JOB_TABLES, UNIT_TABLES
from turnwright.reference import table_names

ROOT = Path(__file__).parents[2]
PAGES = sorted(path for path in (ROOT / "docs").rglob("*.md"))
MAKERS = sorted(path.stem for path in (ROOT / "docs" / "made").glob("[!_]*.py"))

made = cache(made_pages)


def named(path: Path) -> str:
    return path.relative_to(ROOT / "docs").as_posix()


@pytest.mark.parametrize("path", PAGES, ids=named)
def test_what_a_page_shows_is_so(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    page = shown(text)
    assert not re.search(r"^```\{(run|refused|file|diff)", page, re.MULTILINE)
    assert page.count("```text\n$ turnwright ") == len(
        re.findall(r"^```\{(?:run|refused)\}", text, re.MULTILINE)
    )


@pytest.mark.parametrize(
    ("page", "why"),
    [
        ("```{run} turnwright tables nec_450_3b\nno such line\n```\n", "does not stand"),
        ("```{run} turnwright tables nec_450_3b\nnote\nTransformer overcurrent\n```\n", "does not stand"),
        ("```{run} turnwright tables nec_450\n```\n", "ended with 2"),
        ("```{refused} turnwright rules ceiling\n```\n", "ended with 0"),
        ("```{run} echo\n```\n", "only turnwright"),
        ("```pycon\n>>> 1 + 1\n3\n```\n", "Expected"),
    ],
)
def test_what_is_not_so_is_told(page: str, why: str) -> None:
    with pytest.raises(Stale, match=why):
        shown(page)


@pytest.mark.parametrize(
    ("change", "why"),
    [("-no such line\n+another\n", "0 times"), (' """The version, in one place."""\n \n \n', "0 times")],
)
def test_a_change_that_does_not_fit_is_told(change: str, why: str, tmp_path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "src/turnwright").mkdir(parents=True)
    version = (ROOT / "src/turnwright/version.py").read_text(encoding="utf-8")
    (tmp_path / "src/turnwright/version.py").write_text(version, encoding="utf-8")
    with pytest.raises(NotApplicable, match=why):
        apply_change("src/turnwright/version.py", change, ROOT)
    with pytest.raises(NotApplicable, match="is there already"):
        apply_change("src/turnwright/version.py", "+new\n", ROOT)


def test_every_rule_is_on_the_page_of_its_regime() -> None:
    rows = rule_rows()
    missing = [
        row["id"]
        for row in rows
        if f"## `{row['id']}`\n" not in made()[f"reference/rules/{row['regime']}.md"]
    ]
    assert rows and missing == []


def test_every_table_is_on_a_page_and_in_the_list() -> None:
    pages = [text for name, text in made().items() if name.startswith("reference/tables/")]
    missing = [name for name in table_names() if sum(f"`{name}`" in text for text in pages) < 2]
    assert missing == []


def test_every_calculation_is_on_the_page_of_its_package() -> None:
    found = calculations()
    assert sum(map(len, found.values())) > 200
    for module, functions in found.items():
        page = made()[f"reference/methods/{module.split('.')[1]}.md"]
        assert [each.__name__ for each in functions if f"### `{each.__name__}`" not in page] == []


def test_every_command_key_and_public_name_is_looked_up() -> None:
    assert [
        each.name for each in COMMANDS if f"## `{each.name}`" not in made()["reference/commands.md"]
    ] == []
    for page, tables in (("job-file", JOB_TABLES), ("unit-file", UNIT_TABLES)):
        keys = {key.name for table in tables.values() for key in table}
        assert [key for key in keys if f"`{key}`" not in made()[f"reference/{page}.md"]] == []
    names = [name for name in turnwright.__all__ if not name.startswith("_")]
    assert [name for name in names if f"### `{name}`" not in made()["reference/python.md"]] == []


def test_every_package_is_in_the_picture() -> None:
    packages = {path.parent.name for path in (ROOT / "src/turnwright").glob("*/__init__.py")} | {
        "errors",
        "drafts",
    }
    assert {name for row in layers() for name in row} == packages
    assert all(f">{name}</text>" in made()["reference/packages.svg"] for name in packages)


def test_codes_of_refusals_are_listed() -> None:
    sources = (path.read_text(encoding="utf-8") for path in (ROOT / "src").rglob("*.py"))
    raised = {each for text in sources for each in re.findall(r'Error\(\s*"([A-Z]+-\d\d)"', text)}
    assert len(raised) > 150 and raised - set(codes()) == set()
    assert codes()["FILE-01"] == ("there is no such file", "turnwright.intake.text_file")
    assert codes()["TBL-02"][0] == "source '…' is not in sources.csv."


def test_every_argument_of_a_calculation_is_told() -> None:
    """A row of the table of arguments for each of them, wherever the docstring names any."""
    for functions in calculations().values():
        for each in functions:
            doc = importlib.import_module("docs.made.docstring").read_docstring(each)
            told = [name for argument in doc.arguments for name in argument.name.split(", ")]
            assert not doc.arguments or set(told) <= set(each.__annotations__), each.__qualname__


@pytest.mark.parametrize("name", MAKERS)
def test_examples_of_what_makes_the_pages(name: str) -> None:
    assert doctest.testmod(importlib.import_module(f"docs.made.{name}")).failed == 0
