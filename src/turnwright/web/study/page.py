"""The pages of the questions in depth: which there are, and each with its form and its answer."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from msgspec import Struct

from turnwright.documents.drawing.series import figures_of
from turnwright.documents.words.figures import clean
from turnwright.documents.words.phrases import code_edition, key_words
from turnwright.errors import InputError
from turnwright.examine import Asked, Study, find_question
from turnwright.examine.taken import LONG_KINDS, Taken, taken_by
from turnwright.examine.told import read_taken
from turnwright.web.job import answer, edits
from turnwright.web.job.fields import NOT_SAID, Line
from turnwright.web.job.figures import Piece, Pieces
from turnwright.web.job.form import STAMP, Form, Pairs, lines, read_form
from turnwright.web.job.merge import TEXT, Draft, Problem, merge, problem_of
from turnwright.web.job.names import input_words
from turnwright.web.job.page import opened, rule_names
from turnwright.web.job.story import written_story
from turnwright.web.render import page
from turnwright.web.reply import Reply, html
from turnwright.web.study import ask
from turnwright.web.study.names import studies, title_of

FIELD = "o."
FILE = "file."
OF_UNIT = "of_unit"
CIRCUITS, VARY, CASE = "circuits", "vary", "case"
ANSWERS = "answers."
MOST_FIGURES = 12
MOST_ROWS = 400
LABELS = {
    "price_kwh": "price of a kWh",
    "cooling_cop": "cooling, heat over power",
    "load": "metered load, CSV",
    "unit": "units, TOML or CSV",
    "stock": "units to compare, TOML or CSV",
    "hold_off": "device holds",
}
_UNIT = Taken(OF_UNIT, "units", "a unit that exists, in place of the job: its nameplate", "[unit] …")
_CIRCUITS = Taken(
    CIRCUITS, "load", "circuits: sources, impedances, windings between named nodes, as JSON", "{ … }"
)


class Area(NamedTuple):
    """A text that is a whole file: pasted, or chosen."""

    name: str
    label: str
    says: str
    sample: str
    text: str
    problem: Problem | None


class Value(NamedTuple):
    """A number of the answer, in words, that opens where there is a working."""

    words: str
    pieces: Pieces


class Sheet(Struct, frozen=True, kw_only=True):
    """What a form of these pages comes to: the job, what was told, what cannot be used, the answer."""

    draft: Draft
    texts: dict[str, str]
    problems: dict[str, Problem]
    found: Study | None


def studies_page() -> Reply:
    """Return the list of the questions."""
    return html(page("studies", {"studies": studies(of_job=False)}))


def empty_study_page(question: str) -> Reply:
    """Return the page of a question before anything is told.

    Raises:
        UnknownKey: EXM-01.
    """
    asked = find_question(question)
    form = Form()
    sheet = Sheet(draft=merge(form), texts={}, problems={}, found=None)
    return html(page("study", _context(asked, form, sheet)))


def study_page(pairs: Pairs, question: str) -> Reply:
    """Return the answer to a question, beside its form.

    Raises:
        UnknownKey: EXM-01.
    """
    asked, pairs = find_question(question), list(pairs)
    form = read_form(pairs)
    return html(page("study", _context(asked, form, _sheet(asked, form, told_in(pairs)))))


def told_in(pairs: Pairs) -> dict[str, str]:
    """Return the texts of a form by name; a file that was chosen takes the place of what stands in its field.

    Example:
        >>> told_in([("o.load", "old"), ("file.load", "time,load_pu"), ("o.years", "20"), ("file.unit", "")])
        {'load': 'time,load_pu', 'years': '20'}
    """
    given = list(pairs)
    found = {name.removeprefix(FIELD): lines(text) for name, text in given if name.startswith(FIELD)}
    chosen = {
        name.removeprefix(FILE): lines(text) for name, text in given if name.startswith(FILE) and text.strip()
    }
    return found | chosen


def _sheet(asked: Asked, form: Form, texts: dict[str, str]) -> Sheet:
    draft = merge(form)
    problems: dict[str, Problem] = {}
    told: dict[str, Any] = {}
    for one in taken_by(asked):
        try:
            value = read_taken(one, texts.get(one.name, ""))
        except InputError as error:
            problems[one.name] = problem_of(error)
        else:
            told |= {} if value is None else {one.name: value}
    found = None
    if not problems and TEXT not in draft.problems:
        try:
            found = _found(asked, draft, texts, told)
        except InputError as error:
            field = _field_of(error, asked)
            if field == TEXT or any(text.strip() for text in texts.values()):
                problems[field] = problem_of(error)
    return Sheet(draft=draft, texts=texts, problems=problems, found=found)


def _found(asked: Asked, draft: Draft, texts: Mapping[str, str], told: Mapping[str, Any]) -> Study | None:
    if asked.takes == CIRCUITS:
        text = texts.get(CIRCUITS, "")
        vary = [line.strip() for line in texts.get(VARY, "").splitlines() if line.strip()]
        return ask.of_circuits(text, vary, texts.get(CASE, "").strip() or None) if text.strip() else None
    unit = texts.get(OF_UNIT, "")
    if asked.units and unit.strip():
        return ask.of_unit(asked, ask.unit_of(unit), told)
    return None if draft.text == edits.NEW_JOB else ask.of_job(asked, draft.job, told)


def _field_of(error: InputError, asked: Asked) -> str:
    """Return the field that an error is about."""
    head = error.where.partition(",")[0].removeprefix("--").replace("-", "_")
    if head == "unit" and asked.units:
        return OF_UNIT
    known = {one.name for one in taken_by(asked)} | ({CIRCUITS} if asked.takes == CIRCUITS else set())
    if head in known:
        return head
    return CIRCUITS if asked.takes == CIRCUITS else TEXT


def _context(asked: Asked, form: Form, sheet: Sheet) -> dict[str, Any]:
    draft, found = sheet.draft, sheet.found
    return {
        "question": asked,
        "head": title_of(asked),
        "address": f"/study/{asked.name}",
        "draft": draft,
        "base": draft.text,
        "story": written_story(draft.story),
        "stamp": {name: text for name, text in form.stamp.items() if name in STAMP and text},
        "job_words": answer.job_words(draft.text, draft.job) if asked.takes == "job" else "",
        "text": draft.by_hand if draft.by_hand is not None else draft.text,
        "text_problem": draft.problems.get(TEXT) or sheet.problems.get(TEXT),
        "lines": _lines(asked, sheet),
        "areas": _areas(asked, sheet),
        "vary": sheet.texts.get(VARY, ""),
        "case": sheet.texts.get(CASE, ""),
        "problems": sheet.problems,
        "code": code_edition(found.job) if found is not None and found.job else "",
        "found": found,
        "opened": opened(form, lambda: _explained(found)) if found is not None else {},
        **(_answer(found) if found is not None else {}),
    }


def _explained(study: Study) -> dict[str, Any]:
    """Return the parts of a study whose numbers have a working."""
    whole = study.to_json()
    return {name: whole[name] for name in ("answers", "working", "job")}


def _lines(asked: Asked, sheet: Sheet) -> list[Line]:
    short = [one for one in taken_by(asked) if one.kind not in LONG_KINDS]
    return [
        Line(
            path=one.name,
            label=LABELS.get(one.name) or key_words(one.name),
            text=sheet.texts.get(one.name, ""),
            choices=_choices(one),
            source=f"{one.says}, as {one.sample}" if one.kind not in ("yes/no", "word") else one.says,
            problem=sheet.problems.get(one.name),
        )
        for one in short
    ]


def _choices(one: Taken) -> tuple[tuple[str, str], ...]:
    words = ("no", "yes") if one.kind == "yes/no" else one.words
    return (("", NOT_SAID), *((word, word) for word in words)) if words else ()


def _areas(asked: Asked, sheet: Sheet) -> list[Area]:
    long = [one for one in taken_by(asked) if one.kind in LONG_KINDS]
    long += [_UNIT] if asked.units else []
    long += [_CIRCUITS] if asked.takes == CIRCUITS else []
    return [
        Area(
            one.name,
            LABELS.get(one.name) or key_words(one.name),
            one.says,
            one.sample,
            sheet.texts.get(one.name, ""),
            sheet.problems.get(one.name),
        )
        for one in long
    ]


def _answer(found: Study) -> dict[str, Any]:
    return {
        "said": [clean(text) for text in found.said],
        "values": _values(found),
        "grids": [(one, one.rows[:MOST_ROWS], len(one.rows) - MOST_ROWS) for one in found.grids],
        "figures": figures_of(found.series)[:MOST_FIGURES],
        "findings": answer.findings(found.findings, rule_names(), ()),
        "questions": [answer.asked(question) for question in found.questions],
        "assumed": [(clean(one.what), clean(one.why)) for one in found.assumed],
        "instead": [clean(one.what) for one in found.instead],
    }


def _values(found: Study) -> list[Value]:
    """Return the numbers of the answer that have a working of their own."""
    steps = {line.name: line for line in found.working}
    return [
        Value(words, (Piece(shown, f"{ANSWERS}{name}"),))
        for name, value in found.answers.items()
        if f"{ANSWERS}{name}" in steps and value is not None
        for words, shown in [input_words(name, float(f"{value:.4g}") if isinstance(value, float) else value)]
    ]
