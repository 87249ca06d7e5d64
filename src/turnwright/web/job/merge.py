"""Fields, job file and buttons brought together into one job file; what cannot be used stays where it was typed."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any, NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from turnwright.documents.words.phrases import key_words
from turnwright.errors import InputError
from turnwright.intake import read_job
from turnwright.model.job import Job
from turnwright.narrow import regime_for
from turnwright.web import reading
from turnwright.web.job import edits
from turnwright.web.job.form import Form
from turnwright.web.job.paths import field_of
from turnwright.web.job.story import Story, back, grown

ORIGIN = "job.toml"
TEXT = "text"
"""Name of the field that holds the whole job file."""
NOTE = "note"
MOST_SAID = 60
_PATH = re.compile(r"(?:^|, )([a-z_]+(?:\[\d+\])?(?:\.[a-z_0-9]+(?:\[\d+\])?)*)$")


class Problem(NamedTuple):
    """Why something typed cannot be used, and how to mend it."""

    code: str
    where: str
    what: str
    fix: str


class Draft(Struct, frozen=True, kw_only=True):
    """The job file that a form comes to.

    text      it can be read
    job       what it says
    typed     texts of fields that could not be used, by path of the field
    problems  why, by path of the field
    by_hand   the whole job file as typed, where it could not be used
    """

    text: str
    job: Job
    story: Story
    typed: dict[str, str] = {}
    problems: dict[str, Problem] = {}
    by_hand: str | None = None


class Edit(NamedTuple):
    """A fact that somebody typed: the path of its field, and the text."""

    field: str
    typed: str


def read(text: str) -> Job:
    """Return the job of a text that the engine takes.

    Raises:
        InputError: it cannot be used.
    """
    job = read_job(text, ORIGIN)
    regime_for(job)
    return job


def field_at_fault(error: InputError) -> str:
    """Return the path of the field that an error is about; "" where it names none.

    Example:
        >>> field_at_fault(InputError("JOB-03", "job.toml, line 12, load[1].kind", "…", "…"))
        'load[1].kind'
    """
    found = _PATH.search(error.where)
    return field_of(found[1]) if found else ""


def problem_of(error: InputError) -> Problem:
    """Return an error as the page shows it."""
    return Problem(error.code, error.where, error.what, error.fix)


def merge(form: Form) -> Draft:
    """Return the job file of a form with everything in it that can be used."""
    base, job, problems, by_hand = _by_hand(form)
    draft = Draft(text=base, job=job, story=form.story, problems=problems, by_hand=by_hand)
    said: list[str] = [] if base == form.base else ["the job file, by hand"]
    if form.action == "undo":
        return _undone(form, draft)
    draft, fields = _with_edits(draft, _typed(form))
    said += fields
    draft, pressed = _pressed(form, draft)
    said += pressed
    return _told(form, draft, said)


def _by_hand(form: Form) -> tuple[str, Job, dict[str, Problem], str | None]:
    """Take the job file as edited by hand where it can be used, else as it was, else an empty one."""
    found: InputError | None = None
    for text in dict.fromkeys((form.text, form.base)):
        try:
            job = read(text)
        except InputError as error:
            found = found or error
        else:
            problems = {TEXT: problem_of(found)} if found else {}
            return text, job, problems, form.text if found else None
    assert found is not None
    return edits.NEW_JOB, read(edits.NEW_JOB), {TEXT: problem_of(found)}, form.text


def _typed(form: Form) -> list[Edit]:
    """Return the fields that hold something else than the page was made with."""
    try:
        data = edits.data_of(form.base)
    except ValueError:
        return []
    return [
        Edit(path, typed)
        for path, typed in form.typed.items()
        if edits.flat(typed) != edits.flat(edits.field_text(data, path))
    ]


def _with_edits(draft: Draft, typed: Iterable[Edit]) -> tuple[Draft, list[str]]:
    """Write what was typed into the job file: all at once, or else each that can be used alone."""
    edited = list(typed)
    if not edited:
        return draft, []
    together = _all_at_once(draft, edited)
    if together is not None:
        return together, [_said(one) for one in edited]
    said = []
    for one in edited:
        try:
            text = _edited(draft.text, one)
            draft = _replaced(draft, text=text, job=read(text))
        except InputError as error:
            problems = {**draft.problems, one.field: problem_of(error)}
            draft = _replaced(draft, problems=problems, typed={**draft.typed, one.field: one.typed})
        else:
            said.append(_said(one))
    return draft, said


def _all_at_once(draft: Draft, typed: list[Edit]) -> Draft | None:
    text = draft.text
    try:
        for one in typed:
            text = _edited(text, one)
        return _replaced(draft, text=text, job=read(text))
    except InputError:
        return None


def _edited(text: str, one: Edit) -> str:
    path, value = edits.meant(one.field, one.typed, edits.data_of(text))
    try:
        return edits.put_text(text, path, value)
    except (KeyError, IndexError, TypeError):
        raise InputError(
            "JOB-01", one.field, "there is no such key here.", "Name a key of the job."
        ) from None


def _replaced(draft: Draft, **changes: Any) -> Draft:
    return replace(draft, **changes)


def _said(one: Edit) -> str:
    typed = " ".join(one.typed.split())
    if one.field == NOTE:
        return "the request in words"
    short = f"{typed[:MOST_SAID]}…" if len(typed) > MOST_SAID else typed
    return f"{key_words(one.field)}: {short}" if typed else f"{key_words(one.field)} taken out"


def _pressed(form: Form, draft: Draft) -> tuple[Draft, list[str]]:
    """Do what a button says."""
    if form.action == "answer":
        path, _, answer = form.value.partition("=")
        return _with_edits(draft, [Edit(field_of(path) or path, answer)])
    if form.action == "own" and form.own.strip():
        return _with_edits(draft, [Edit(field_of(form.value) or form.value, form.own)])
    if form.action == "add":
        return _with_text(draft, edits.with_load(draft.text)), ["one more load"]
    if form.action == "drop" and form.value.isdecimal() and len(form.value) < 7:
        number = int(form.value)
        text = edits.without_load(draft.text, number)
        if text != draft.text:
            return _with_text(draft, text), [f"load {number + 1} taken out"]
    if form.action == "read":
        return _with_request(draft)
    return draft, []


def _with_text(draft: Draft, text: str) -> Draft:
    try:
        return _replaced(draft, text=text, job=read(text))
    except InputError as error:
        return _replaced(draft, problems={**draft.problems, field_at_fault(error) or TEXT: problem_of(error)})


def _with_request(draft: Draft) -> tuple[Draft, list[str]]:
    """Take over what the request says and the job file does not."""
    understood = reading.read(draft.job.note or "")
    if understood is None:
        return draft, []
    data = edits.data_of(draft.text)
    text = draft.text
    while len(edits.data_of(text).get("load") or ()) < understood.loads:
        text = edits.with_load(text)
    draft = _with_text(draft, text)
    new = [Edit(path, typed) for path, typed in understood.typed.items() if not edits.field_text(data, path)]
    draft, said = _with_edits(draft, new)
    return draft, [f"read from the request: {'; '.join(said)}"] if said else []


def _undone(form: Form, draft: Draft) -> Draft:
    number = int(form.value) if form.value.isdecimal() and len(form.value) < 7 else -1
    text = back(form.story, number, form.base)
    if text is None:
        return draft
    try:
        return Draft(text=text, job=read(text), story=form.story[:number])
    except InputError as error:
        return _replaced(draft, problems={**draft.problems, TEXT: problem_of(error)})


def _told(form: Form, draft: Draft, said: list[str]) -> Draft:
    """Add what was given to the story."""
    if draft.text == form.base:
        return draft
    return _replaced(draft, story=grown(form.story, "; ".join(said) or "the job file", form.base, draft.text))
