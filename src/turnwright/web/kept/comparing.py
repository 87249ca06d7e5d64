"""Two jobs side by side: which facts changed, what each moved alone and all together, findings gone and new."""

from __future__ import annotations

from typing import Any, NamedTuple

from turnwright.documents.words.phrases import key_words, shown
from turnwright.errors import InputError
from turnwright.model.job import Job
from turnwright.model.result import Finding, Result
from turnwright.narrow.compare import Comparison, Move, compare, under
from turnwright.regimes import carried_regimes
from turnwright.web.job.answer import moved_words
from turnwright.web.job.form import lines, read_form
from turnwright.web.job.merge import Problem, merge, problem_of, read
from turnwright.web.job.names import step_words
from turnwright.web.kept.jobs import Pairs, opened, whole
from turnwright.web.render import page
from turnwright.web.reply import Reply, html

SIDES = ("a", "b")
UNDER = ("regime", "edition", "manufactured")
MOST_VALUES = 400


class MoveView(NamedTuple):
    """What a change moves: the fact, in words, every value that is another, findings gone and new with their text."""

    fact: str
    words: str
    values: list[tuple[str, str, str]]
    gone: list[str]
    new: list[str]


def asked_page(url: str | None, query: Pairs) -> Reply:
    """Return the comparison of two revisions that an address names, or the form for it."""
    given = dict(query)
    if "job" in given:
        given = {"job_a": given["job"], "job_b": given["job"], **given}
    return _page(url, given)


def sent_page(url: str | None, pairs: Pairs, _file: object = None) -> Reply:
    """Return the comparison that a form asks for; the job of the working page comes in as the first one."""
    given = {name: lines(text) for name, text in pairs}
    if "text" in given:  # from the working page, with what stands in its fields
        given["text_a"] = merge(read_form(pairs)).text
    return _page(url, given)


def _page(url: str | None, given: dict[str, str]) -> Reply:
    problems: dict[str, Problem] = {}
    found: Comparison | None = None
    texts = {side: _text(url, given, side, problems) for side in SIDES}
    changed = {name: given.get(name, "").strip() or None for name in UNDER}
    try:
        if not problems and texts["a"]:
            found = _compared(texts, changed, problems)
    except InputError as error:
        problems["a"] = problem_of(error)
    return html(
        page(
            "compare",
            {
                "given": given,
                "texts": texts,
                "problems": problems,
                "regimes": sorted(carried_regimes()),
                "changed": changed,
                **_view(found),
            },
        )
    )


def _text(url: str | None, given: dict[str, str], side: str, problems: dict[str, Problem]) -> str:
    """The job file of one side: as typed, else the revision that is named."""
    typed = given.get(f"text_{side}", "")
    name = given.get(f"job_{side}", "").strip()
    if typed.strip() or not name:
        return typed
    try:
        with opened(url) as store:
            return store.revision(name, whole(given.get(side))).job_text
    except InputError as error:
        problems[side] = problem_of(error)
        return ""


def _compared(
    texts: dict[str, str], changed: dict[str, str | None], problems: dict[str, Problem]
) -> Comparison | None:
    jobs: dict[str, Job] = {}
    for side, text in texts.items():
        try:
            if text.strip():
                jobs[side] = read(text)
        except InputError as error:
            problems[side] = problem_of(error)
    if problems or ("b" not in jobs and not any(changed.values())):
        return None
    after = jobs.get("b", jobs["a"])
    return compare(jobs["a"], under(after, **changed) if any(changed.values()) else after)


def _view(found: Comparison | None) -> dict[str, Any]:
    if found is None:
        return {"found": None, "facts": [], "moves": [], "together": None}
    said = {each.code: each for each in (*found.before.findings, *found.after.findings)}
    return {
        "found": found,
        "before": _answer(found.before),
        "after": _answer(found.after),
        "facts": [
            (key_words(each.key), each.from_ or "not given", each.to or "not given") for each in found.facts
        ],
        "moves": [_move(each, said) for each in found.moves],
        "together": _move(found.together, said),
    }


def _answer(result: Result) -> str:
    pick = result.pick
    return str(result.verdict) if pick is None else f"{pick.kva:g} kVA"


def _move(move: Move, said: dict[str, Finding]) -> MoveView:
    values = [
        (step_words(path), shown(then) if then is not None else "–", shown(now) if now is not None else "–")
        for path, (then, now) in list(move.result.items())[:MOST_VALUES]
    ]
    return MoveView(
        fact=key_words(move.fact) if move.fact != "all together" else move.fact,
        words=moved_words(move) if move.result or move.gone or move.new else "moves nothing",
        values=values,
        gone=[_finding(code, said) for code in move.gone],
        new=[_finding(code, said) for code in move.new],
    )


def _finding(code: str, said: dict[str, Finding]) -> str:
    return said[code].message if code in said else code.replace("-", " ")
