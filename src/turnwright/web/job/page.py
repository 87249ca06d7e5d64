"""The working page: form in, page out."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Any

from msgspec.structs import replace

from turnwright.documents.make import PAPERS, Paper, installed
from turnwright.documents.rule_rows import rule_rows
from turnwright.documents.words import phrases
from turnwright.documents.words.next_sizes import change_rows, next_sizes_of
from turnwright.errors import InputError
from turnwright.model.job import Job
from turnwright.model.result import Result
from turnwright.narrow import select
from turnwright.narrow.compare import Move, moved
from turnwright.regimes import carried_regimes
from turnwright.web import reading
from turnwright.web.job import answer, edits
from turnwright.web.job.fields import LONGEST_TEXT, MOST_LOADS, Group, groups
from turnwright.web.job.form import Form, Pairs, read_form
from turnwright.web.job.merge import NOTE, TEXT, Draft, field_at_fault, merge, problem_of, read
from turnwright.web.job.story import back, with_moved, written_story
from turnwright.web.job.working import Explainer, StepView
from turnwright.web.render import page
from turnwright.web.reply import Reply, html
from turnwright.web.study.names import studies


def empty_page() -> Reply:
    """Return the page of a job of which nothing is known yet."""
    return html(page("job", context(Form())))


def job_page(pairs: Pairs) -> Reply:
    """Return the page that a form comes to."""
    return html(page("job", context(read_form(pairs))))


def opened_page(text: str) -> Reply:
    """Return the page of a job file that somebody brought."""
    return html(page("job", context(Form(text=text, base=text))))


def context(form: Form) -> dict[str, Any]:
    """Return what the template of the working page is filled with."""
    draft = merge(form)
    result, refused = _answered(draft)
    if refused is not None:
        draft = _with_problem(draft, refused)
    before = _before(draft)
    move = _moved(before, result)
    if move is not None and draft.text != form.base:
        draft = _with_story(draft, answer.moved_words(move))
    understood = reading.read(draft.job.note or "")
    asked = [question.key for question in result.questions] if result else []
    lines = groups(draft, result.job.get("facts") or () if result else (), asked, _more(form), understood)
    return {
        "address": "/",
        "draft": draft,
        "title": draft.job.title or "",
        "is_new": draft.text == edits.NEW_JOB and not draft.problems,
        "code": phrases.code_edition(result.job) if result else "",
        "request": draft.typed.get(NOTE, draft.job.note or ""),
        "understood": understood,
        "groups": lines,
        "hidden_loads": max(0, len(draft.job.load) - MOST_LOADS) if lines else len(draft.job.load),
        "carries_base": len(draft.text) <= LONGEST_TEXT,
        "errors": _errors(draft, lines),
        "text_problem": draft.problems.get(TEXT),
        "by_hand": draft.by_hand if draft.by_hand is not None else draft.text,
        "story": written_story(draft.story),
        "more": _more(form),
        "stamp": form.stamp,
        "kept": form.kept,
        "kept_said": "",
        "kept_problem": "",
        "focus_next": form.action in ("answer", "own") and not draft.problems,
        "own": form.own if form.action == "own" and draft.problems else "",
        "moved": answer.moved_words(move) if move else "",
        "papers": papers(result),
        "studies": studies(of_job=True),
        **_answer(form, draft.job, result, before, move),
    }


def _answered(draft: Draft) -> tuple[Result | None, InputError | None]:
    try:
        return select(draft.job, ledger_open=True), None
    except InputError as error:
        return None, error


def _with_problem(draft: Draft, error: InputError) -> Draft:
    return replace(draft, problems={**draft.problems, field_at_fault(error) or TEXT: problem_of(error)})


def _with_story(draft: Draft, words: str) -> Draft:
    return replace(draft, story=with_moved(draft.story, words))


def _before(draft: Draft) -> Result | None:
    """Return the answer before the last thing given; None where there was none."""
    text = back(draft.story, len(draft.story) - 1, draft.text) if draft.story else None
    if text is None or text == edits.NEW_JOB:
        return None
    try:
        return select(read(text), ledger_open=False, ask=False)
    except InputError:
        return None


def _moved(before: Result | None, result: Result | None) -> Move | None:
    if before is None or result is None:
        return None
    first, last = (replace(one, working=()).to_json() for one in (before, result))
    return moved("", first, last)


def _more(form: Form) -> tuple[str, ...]:
    """Return the tables that are shown whole; the button of one turns it over."""
    if form.action != "more":
        return form.more
    kept = tuple(path for path in form.more if path != form.value)
    return kept if form.value in form.more else (*kept, form.value)


def opened(form: Form, tree: Callable[[], Mapping[str, Any]], job: Job | None = None) -> dict[str, StepView]:
    """Return the numbers that are unfolded, with their working; the button of one turns it over.

    Each is named by the place on the page and the number, as "sides.device protection.primary_a"; `tree` returns
    the answer as programs read it, where there is something to unfold. With the job, the size that is picked comes
    with what would change it.
    """
    spots = form.open
    if form.action == "why":
        kept = tuple(spot for spot in spots if spot != form.value)
        spots = kept if form.value in spots else (*kept, form.value)
    if not spots:
        return {}
    explainer = Explainer(tree())
    views = {spot: explainer.view(spot.partition(" ")[2]) for spot in spots}
    return {spot: _with_changes(spot, view, job) for spot, view in views.items() if view is not None}


def _with_changes(spot: str, view: StepView, job: Job | None) -> StepView:
    """Beside the size that is picked stands what would have to change for the next one."""
    found = next_sizes_of(view.name, job) if job is not None and spot.startswith("answer ") else None
    return view if found is None else replace(view, changes=tuple(one.sentence for one in change_rows(found)))


def _errors(draft: Draft, lines: tuple[Group, ...]) -> list[dict[str, Any]]:
    """Return what cannot be used, each with the field it stands in where that is shown."""
    shown = {line.path for group in lines for line in group.lines} | {NOTE, TEXT}
    return [
        {
            "path": path if path in shown else TEXT,
            "words": "the job file" if path == TEXT else phrases.key_words(path),
            "typed": " ".join(draft.typed.get(path, "").split())[:60],
            "problem": problem,
            "beside": path in shown,
        }
        for path, problem in draft.problems.items()
    ]


def _answer(
    form: Form, job: Job, result: Result | None, before: Result | None, move: Move | None
) -> dict[str, Any]:
    """Return the part of the context that shows the answer."""
    if result is None:
        return {"result": None, "opened": {}, "questions": [], "unit": None}
    names = answer.explained(result.working, result.job)
    was = before.blocks if before else None
    unit = None
    if result.blocks is not None:
        was_job = before.job if before else None
        unit = answer.unit_view(result.blocks, result.job, names, was=was, was_job=was_job)
    questions = [answer.asked(question) for question in result.questions]
    sizes, ways = answer.options(result)
    return {
        "result": result,
        "unit": unit,
        "verdict": answer.verdict_words(result),
        "range": answer.range_words(result),
        "settled": result.blocks is not None and not any(map(phrases.moves_size, result.questions)),
        "questions": questions,
        "sizes": sizes,
        "ways": ways,
        "findings": answer.findings(result.findings, rule_names(), move.new if move else ()),
        "instead": answer.others(result.instead, result.job, names, "instead"),
        "also": answer.others(result.also, result.job, names, "also"),
        "drawing": answer.drawing(result),
        "opened": opened(form, result.to_json, job),
    }


@lru_cache(maxsize=1)
def rule_names() -> frozenset[str]:
    """Return the names of the rules that have a page."""
    return frozenset(row["id"] for row in rule_rows()) if carried_regimes() else frozenset()


def papers(result: Result | None) -> list[tuple[Paper, list[str]]]:
    """Return the papers a job has, each with the forms that can be made here."""
    if result is None:
        return []
    return [
        (paper, [form for form in paper.forms if installed(form)])
        for paper in PAPERS
        if result.blocks is not None or paper.without_pick
    ]
