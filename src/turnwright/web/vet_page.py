"""The page that holds a unit that exists against a job: its nameplate in, criteria with their margins out."""

from __future__ import annotations

from typing import Any, NamedTuple

from turnwright.documents.words import phrases
from turnwright.documents.words.figures import bare, clean
from turnwright.errors import InputError
from turnwright.model.keys import UNIT
from turnwright.quantities import fixed
from turnwright.web import reading, vetting
from turnwright.web.job import answer, edits
from turnwright.web.job.fields import LABELS, Line, choices, plain_sample
from turnwright.web.job.form import Form, Pairs, lines, read_form
from turnwright.web.job.merge import TEXT, Problem, merge, problem_of
from turnwright.web.job.page import opened, rule_names
from turnwright.web.job.story import written_story
from turnwright.web.render import page
from turnwright.web.reply import Reply, html

FIELD = "u."
NAMES = {"unit": "name of the unit", "primary": "supply winding", "secondary": "load winding"}
VERDICTS = {
    "fit": "{unit} does this job.",
    "fit-with-conditions": "{unit} does this job, with conditions.",
    "unfit": "{unit} does not do this job.",
    "needs-input": "Not enough is known yet to judge {unit}.",
}


class CriterionView(NamedTuple):
    """One thing a unit is held against, in words."""

    word: str
    name: str
    value: str
    limit: str
    margin: str
    clause: str
    says: str
    binds: bool


def empty_vet_page() -> Reply:
    """Return the form of a nameplate, empty."""
    return html(page("vet", _context(Form(), {})))


def vet_page(pairs: Pairs) -> Reply:
    """Return the answer to a nameplate, beside its form."""
    pairs = list(pairs)
    typed = {name.removeprefix(FIELD): lines(given) for name, given in pairs if name.startswith(FIELD)}
    return html(page("vet", _context(read_form(pairs), typed)))


def _context(form: Form, typed: dict[str, str]) -> dict[str, Any]:
    draft = merge(form)
    problems: dict[str, Problem] = {}
    found = None
    if not typed:
        understood = reading.read(draft.job.note or "")
        typed = understood.unit if understood else {}
    asked = any(text.strip() for text in typed.values())
    if asked and TEXT not in draft.problems:
        try:
            found = vetting.judge(draft.job, (vetting.nameplate(values_of(typed, problems)),))
        except InputError as error:
            name = error.where.rpartition(", ")[2].partition("[")[0]
            problems[name if name in typed else TEXT] = problem_of(error)
    if problems:
        found = None
    return {
        "draft": draft,
        "title": draft.job.title or "",
        "job_words": answer.job_words(draft.text, draft.job),
        "base": draft.text,
        "story": written_story(draft.story),
        "stamp": {name: text for name, text in form.stamp.items() if text},
        "text": draft.by_hand if draft.by_hand is not None else draft.text,
        "text_problem": draft.problems.get(TEXT) or problems.get(TEXT),
        "lines": field_lines(typed, problems),
        "problems": problems,
        "found": found,
        "address": "/vet",
        "opened": opened(form, found.to_json) if found else {},
        **(_answer(found) if found else {}),
    }


def values_of(typed: dict[str, str], problems: dict[str, Problem]) -> dict[str, Any]:
    """Return the values of a nameplate as a file would hold them; what cannot be used goes to the problems."""
    values: dict[str, Any] = {}
    for key in UNIT:
        try:
            value = edits.raw(key, typed.get(key.name, ""), key.name)
            if value is not None:
                vetting.nameplate({key.name: value})
                values[key.name] = value
        except InputError as error:
            problems[key.name] = problem_of(error)
    return values


def field_lines(typed: dict[str, str], problems: dict[str, Problem]) -> list[Line]:
    """Return a field for each key of a nameplate, with what was typed and what is wrong with it."""
    return [
        Line(
            path=key.name,
            label=NAMES.get(key.name) or LABELS.get(key.name, key.name.replace("_", " ")),
            text=typed.get(key.name, ""),
            choices=choices(key, typed.get(key.name, "")),
            source=f"{key.says}, as {plain_sample(key)}",
            problem=problems.get(key.name),
        )
        for key in UNIT
    ]


def _answer(found: vetting.Vetting) -> dict[str, Any]:
    names = [str(unit["unit"]) for unit in found.units] or ["the unit"]
    said = phrases.of_several(VERDICTS[found.verdict], len(names)).format(unit=" and ".join(names))
    views = [_criterion(one, found.binds) for one in found.criteria]
    return {
        "verdict": said[:1].upper() + said[1:],
        "spare": _spare(found),
        "criteria": views,
        "unit": _unit(found),
        "findings": answer.findings(found.findings, rule_names(), ()),
        "questions": [answer.asked(question) for question in found.questions],
    }


def _unit(found: vetting.Vetting) -> answer.UnitView | None:
    if found.blocks is None:
        return None
    return answer.unit_view(found.blocks, found.job, answer.explained(found.working, found.job))


def _spare(found: vetting.Vetting) -> str:
    unmet = next((one for one in found.criteria if one.name == found.binds and not one.ok), None)
    if unmet is not None:
        return clean(unmet.says)
    if found.binds is None or found.spare_kva is None:
        return ""
    return f"{fixed(found.spare_kva, 1, 'down')} kVA may be added before {found.binds} binds."


def _criterion(one: vetting.Criterion, binds: str | None) -> CriterionView:
    mends = f" What mends it: {one.condition}." if one.condition and not one.ok else ""
    return CriterionView(
        word="met" if one.ok else ("mend" if one.condition else "not met"),
        name=clean(one.name),
        value=_amount(one.value, one.measure),
        limit=_amount(one.limit, one.measure),
        margin="" if one.margin_pct is None else f"{one.margin_pct:+.0f} %",
        clause=one.clause or "",
        says=clean(f"{one.says}{mends}"),
        binds=one.name == binds,
    )


def _amount(value: float | str | None, measure: str) -> str:
    if value is None:
        return "–"
    text = value if isinstance(value, str) else bare(float(f"{value:.4g}"))
    return f"{text} {measure}".strip()
