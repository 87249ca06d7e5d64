"""An offered unit against the specification that the job would issue, line by line: meets, differs, silent."""

from __future__ import annotations

from typing import Any

from turnwright.documents.offer import vet_offer
from turnwright.documents.words.figures import clean
from turnwright.errors import InputError
from turnwright.vetting.offer import OfferVetting
from turnwright.web import vetting
from turnwright.web.job import answer
from turnwright.web.job.form import lines, read_form
from turnwright.web.job.merge import TEXT, Problem, merge, problem_of
from turnwright.web.kept.jobs import Pairs
from turnwright.web.render import page
from turnwright.web.reply import Reply, html
from turnwright.web.vet_page import FIELD, VERDICTS, field_lines, values_of

WORDS = {"meets": "met", "differs": "differs", "silent": "not answered"}
ORDER = ("differs", "silent", "meets")


def empty_page(_url: str | None, _query: Pairs) -> Reply:
    """Return the form of an offer, empty."""
    return html(page("offer", _context([])))


def sent_page(_url: str | None, pairs: Pairs, _file: object = None) -> Reply:
    """Return the answer to an offer, above its form."""
    return html(page("offer", _context(pairs)))


def _context(pairs: Pairs) -> dict[str, Any]:
    draft = merge(read_form(pairs))
    typed = {name.removeprefix(FIELD): lines(given) for name, given in pairs if name.startswith(FIELD)}
    problems: dict[str, Problem] = {}
    found: OfferVetting | None = None
    if any(text.strip() for text in typed.values()) and TEXT not in draft.problems:
        try:
            values = values_of(typed, problems)
            found = None if problems else vet_offer(draft.job, vetting.nameplate(values), ledger_open=False)
        except InputError as error:
            name = error.where.rpartition(", ")[2].partition("[")[0]
            problems[name if name in typed else TEXT] = problem_of(error)
    return {
        "draft": draft,
        "job_words": answer.job_words(draft.text, draft.job),
        "text": draft.by_hand if draft.by_hand is not None else draft.text,
        "text_problem": draft.problems.get(TEXT) or problems.get(TEXT),
        "lines": field_lines(typed, problems),
        "problems": problems,
        **_answer(found),
    }


def _answer(found: OfferVetting | None) -> dict[str, Any]:
    if found is None:
        return {"found": None}
    names = [str(unit["unit"]) for unit in found.vetting.units] or ["the unit"]
    verdict = VERDICTS[found.verdict].format(unit=" and ".join(names))
    rows = sorted(found.lines, key=lambda one: ORDER.index(one.answer))
    unmet = [each for each in found.vetting.criteria if not each.ok]
    serious = [each for each in found.vetting.findings if each.severity in ("stop", "caution")]
    return {
        "found": found,
        "verdict": verdict[:1].upper() + verdict[1:],
        "counts": [(found.counted(answer), WORDS[answer]) for answer in ORDER],  # type: ignore[arg-type]
        "rows": [(WORDS[one.answer], one.name, one.asked, clean(one.offered) or "–") for one in rows],
        "decide": [clean(each.says) for each in unmet] + [clean(each.message) for each in serious],
        "questions": [(each.ask, each.why) for each in found.vetting.questions],
    }
