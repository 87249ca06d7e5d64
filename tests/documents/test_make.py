"""Which papers are made in which forms, and what is said where a part is not installed."""

import sys
from collections.abc import Callable

import pytest

from turnwright.documents import make as making
from turnwright.documents.brief import Brief
from turnwright.documents.make import PAPERS, make
from turnwright.errors import InputError, MissingExtra


@pytest.fixture
def without(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Make modules look as if they were not installed."""

    def hide(*names: str) -> None:
        real = making.find_spec
        monkeypatch.setattr(making, "find_spec", lambda name: None if name in names else real(name))
        for name in names:
            monkeypatch.setitem(sys.modules, name, None)

    return hide


def test_the_papers_as_html_need_nothing_beyond_the_core(
    gatehouse: Brief, without: Callable[..., None]
) -> None:
    without("typst", "xlsxwriter", "pypdf", "numpy")
    made = make(gatehouse, (), ("html", "csv"))
    assert [sheet.name for sheet in made.sheets if sheet.form == "html"] == [
        f"{name}.html"
        for name in ("memo", "specification", "schedule", "diagrams", "plots", "checklist", "labels")
    ]


def test_a_pdf_that_nobody_asked_for_is_left_out_with_a_word(
    gatehouse: Brief, without: Callable[..., None]
) -> None:
    without("typst")
    made = make(gatehouse, ("memo",))
    assert [sheet.name for sheet in made.sheets] == ["memo.html"]
    assert made.left_out == (("memo.pdf", "needs: pip install 'turnwright[documents]'"),)


@pytest.mark.parametrize(
    ("only", "forms", "hidden"),
    [(("memo",), ("pdf",), "typst"), (("schedule",), (), "xlsxwriter"), ((), (), "xlsxwriter")],
)
def test_a_form_that_was_asked_for_names_the_extra(
    gatehouse: Brief,
    without: Callable[..., None],
    only: tuple[str, ...],
    forms: tuple[str, ...],
    hidden: str,
) -> None:
    without(hidden)
    with pytest.raises(MissingExtra, match=r"pip install 'turnwright\[documents\]'") as error:
        make(gatehouse, only, forms)
    assert error.value.code == "DOC-03"
    assert "--as html" in error.value.fix


@pytest.mark.parametrize(
    ("only", "forms", "message"),
    [
        (("memmo",), (), "there is no paper 'memmo'. Did you mean 'memo'?"),
        ((), ("docx",), "there is no form 'docx'."),
        (("memo",), ("xlsx",), "memo: not made as xlsx."),
    ],
)
def test_words_that_are_no_paper_or_form(
    gatehouse: Brief, only: tuple[str, ...], forms: tuple[str, ...], message: str
) -> None:
    with pytest.raises(InputError) as error:
        make(gatehouse, only, forms)
    assert message in str(error.value)


def test_without_a_pick_there_is_a_memo_and_a_word_for_the_rest(bakery: Brief) -> None:
    made = make(bakery, (), ("html",))
    assert [sheet.name for sheet in made.sheets] == ["memo.html"]
    assert [left.name for left in made.left_out] == [paper.name for paper in PAPERS if paper.name != "memo"]


def test_same_job_same_bytes(gatehouse: Brief) -> None:
    first, second = (make(gatehouse, (), ("html", "csv")) for _ in range(2))
    assert first == second
