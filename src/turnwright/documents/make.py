"""Which papers there are, and the files of a job.

===========  =====================================================
code         what is wrong
===========  =====================================================
``DOC-01``   a paper of that name is not made here
``DOC-02``   a form of that name, or not of these papers
``DOC-03``   a part of the package is not installed
``DOC-04``   a date that is none
===========  =====================================================
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from importlib import import_module
from importlib.util import find_spec
from typing import NamedTuple

from turnwright.documents.brief import Brief
from turnwright.documents.report import Report
from turnwright.errors import InputError, MissingExtra, nearest

EXTRAS = {"pdf": "documents", "xlsx": "documents", "dxf": "drawings"}
"""Form -> the extra that brings what it needs."""
NEEDS = {"pdf": "typst", "xlsx": "xlsxwriter", "dxf": "ezdxf"}
"""Form -> the module it needs beyond the core."""


class Paper(NamedTuple):
    """A paper: its name, what it is, the forms it has, whether a job without a pick has it too.

    `optional` are forms that are left out, with a word, where their module is not installed and nobody
    asked for them.
    """

    name: str
    says: str
    forms: tuple[str, ...]
    optional: tuple[str, ...] = ()
    without_pick: bool = False

    @property
    def build(self) -> Callable[[Brief], Report]:
        """The function that makes the report; its module is imported when it is asked for."""
        module = import_module(f"turnwright.documents.papers.{self.name}")
        function: Callable[[Brief], Report] = getattr(module, self.name)
        return function


PAPERS = (
    Paper("memo", "selection memo", ("html", "pdf"), ("pdf",), without_pick=True),
    Paper("specification", "specification and request for quotation", ("html", "pdf"), ("pdf",)),
    Paper(
        "schedule",
        "schedules of transformers, loads, devices and conductors",
        ("xlsx", "csv", "html", "pdf"),
        ("pdf",),
    ),
    Paper("diagrams", "one-line and winding diagrams", ("html", "pdf", "dxf"), ("pdf", "dxf")),
    Paper("plots", "plots of sizes, phases and currents", ("html", "pdf"), ("pdf",)),
    Paper("checklist", "installation and commissioning checklist", ("html", "pdf"), ("pdf",)),
    Paper("labels", "labels", ("html", "pdf"), ("pdf",)),
)
"""Every paper, in the order they are written."""
FORMS = tuple(dict.fromkeys(form for paper in PAPERS for form in paper.forms))


class Sheet(NamedTuple):
    """One file: which paper, in which form, its name and content."""

    paper: str
    form: str
    name: str
    content: bytes


class LeftOut(NamedTuple):
    """A paper, or a form of one, that was not made, and why."""

    name: str
    why: str


class Papers(NamedTuple):
    """What was made, and what was left out."""

    sheets: tuple[Sheet, ...]
    left_out: tuple[LeftOut, ...]


def chosen_papers(only: Sequence[str]) -> tuple[Paper, ...]:
    """Return the papers of those names; all for none.

    Raises:
        InputError: DOC-01.
    """
    known = {paper.name: paper for paper in PAPERS}
    for name in only:
        if name not in known:
            raise _unknown("DOC-01", "--only", name, tuple(known), "paper")
    return tuple(paper for paper in PAPERS if not only or paper.name in only)


def make(brief: Brief, only: Sequence[str] = (), forms: Sequence[str] = ()) -> Papers:
    """Return the files of a job; same job, same bytes.

    Args:
        brief: what they are made from.
        only: names of papers; none: all of them.
        forms: forms asked for; none: all that a paper has.

    Raises:
        InputError: DOC-01, DOC-02.
        MissingExtra: DOC-03.
    """
    papers = chosen_papers(only)
    wanted = _chosen_forms(papers, forms)
    picked = brief.result.blocks is not None
    left = [
        LeftOut(paper.name, "no unit was picked; the memo says why")
        for paper in papers
        if not picked and not paper.without_pick
    ]
    plan: list[tuple[Paper, str]] = []
    for paper in (paper for paper in papers if picked or paper.without_pick):
        for form in (form for form in paper.forms if form in wanted):
            if installed(form):
                plan.append((paper, form))
            elif forms or form not in paper.optional:
                raise missing(form)
            else:
                left.append(LeftOut(f"{paper.name}.{form}", f"needs: {_install(form)}"))
    return Papers(tuple(_sheets(brief, plan)), tuple(left))


def _chosen_forms(papers: Sequence[Paper], forms: Sequence[str]) -> tuple[str, ...]:
    for form in forms:
        if form not in FORMS:
            raise _unknown("DOC-02", "--as", form, FORMS, "form")
    there = tuple(dict.fromkeys(form for paper in papers for form in paper.forms))
    if forms and not set(forms) & set(there):
        what = f"{', '.join(paper.name for paper in papers)}: not made as {', '.join(forms)}."
        raise InputError("DOC-02", "--as", what, f"Forms there are: {', '.join(there)}.")
    return tuple(form for form in there if not forms or form in forms)


def _unknown(code: str, where: str, word: str, known: Sequence[str], what: str) -> InputError:
    close = nearest(word, known)
    hint = f"Did you mean '{close}'? " if close else ""
    return InputError(code, where, f"there is no {what} '{word}'.", f"{hint}There are: {', '.join(known)}.")


def installed(form: str) -> bool:
    """Tell whether what a form needs is installed."""
    module = NEEDS.get(form)
    return module is None or find_spec(module) is not None


def _install(form: str) -> str:
    return f"pip install 'turnwright[{EXTRAS[form]}]'"


def missing(form: str) -> MissingExtra:
    """Return what to say where the part that a form needs is not installed."""
    core = "Papers as HTML need nothing more: write --as html."
    return MissingExtra(
        "DOC-03", f"{form.upper()} file", "a part is not installed.", f"{_install(form)}. {core}"
    )


def _sheets(brief: Brief, plan: Sequence[tuple[Paper, str]]) -> list[Sheet]:
    reports: dict[str, Report] = {}
    sheets = []
    for paper, form in plan:
        if paper.name not in reports:
            reports[paper.name] = paper.build(brief)
        write = import_module(f"turnwright.documents.writers.{form}").write
        files: dict[str, bytes] = write(reports[paper.name], brief, paper.name)
        sheets += [Sheet(paper.name, form, name, content) for name, content in files.items()]
    return sheets
