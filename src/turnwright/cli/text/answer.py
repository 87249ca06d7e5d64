"""The page of `select`: the answer in a sentence, both sides, other sizes, findings, what to ask next."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from turnwright.cli.text.layout import PLAIN, SIDES_AT, WIDTH, Ink, entry, paragraph, spread, wrap
from turnwright.cli.text.unit import unit_lines
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import bare, clean, short_digest
from turnwright.model.result import (
    Alternative,
    Finding,
    Option,
    Question,
    Result,
)
from turnwright.quantities import fixed

SHOWN = {"stop": 99, "decide": 6, "note": 3}
"""How many findings of a kind are shown without --all."""
NOT_CHECKED = "-not-checked"
"""End of the code of a finding that says what a rule could not look at."""
OPTIONS_SHOWN = 6
BUILDS_AT = 12
"""Where the text of an offer starts, under its name."""
ASSUMED_SHOWN = 10
HANGS_SHOWN = 3
SETTLED = "Nothing still open changes the size."


def answer_page(result: Result, job_name: str, show_all: bool = False, ink: Ink = PLAIN) -> str:
    """Return the page of a result.

    Args:
        result: the answer.
        job_name: how the job was named on the command line.
        show_all: every finding, option, assumption and question.
        ink: emphasis on a terminal.
    """
    said = findings_lines(result.findings, show_all, ink)
    others = _others(result, show_all)
    if result.blocks is not None:
        middle = [unit_lines(result.blocks, result.job), others, said, _instead(result)]
    else:
        middle = [said if result.findings else [], _instead(result), others]
    parts = [
        heading(result),
        _verdict(result, ink),
        *middle,
        _asking(result, show_all, ink),
        _last(result, job_name, ink),
    ]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def heading(result: Result) -> list[str]:
    """Return the title of the job with code, edition and digest of the tables."""
    digest = short_digest(result.tool.tables)
    marks = [phrases.code_edition(result.job), f"tables {digest}" if digest else ""]
    title = clean(result.job.get("title") or "Job without a title")
    return spread(title, " · ".join(mark for mark in marks if mark))


def _verdict(result: Result, ink: Ink) -> list[str]:
    if result.blocks is not None:
        first, *rest = phrases.answer_sentences(result.blocks)
        lines = [ink.strong(line) for line in paragraph(first)] + paragraph(" ".join(rest))
        return lines + (_range(result) if len(result.range_kva or ()) == 2 else [])
    if result.verdict == "refused":
        return [ink.strong(line) for line in paragraph("No transformer does this job as it is given.")]
    lines = [ink.strong(line) for line in paragraph("Not enough is known yet to pick a transformer.")]
    return lines + (_range(result) or paragraph("The sizes that are possible cannot be counted yet."))


def _range(result: Result) -> list[str]:
    """Say which sizes are possible, where there is more than one."""
    if result.range_kva is None:
        return []
    low, high = (bare(end) for end in result.range_kva)
    if low == high:
        return [] if result.blocks else paragraph(f"What is known points to {low} kVA.")
    hangs_on = [phrases.key_words(one.key) for one in result.questions if phrases.moves_size(one)]
    why = f"; it hangs on {', '.join(hangs_on[:HANGS_SHOWN])}" if hangs_on else ""
    return paragraph(f"What is known leaves {low} to {high} kVA possible{why}.")


def _option(option: Option) -> str:
    said = option.status in option.why.casefold()
    return clean(option.why if said else "; ".join(text for text in (option.status, option.why) if text))


def _size(option: Option) -> str:
    return f"{bare(option.kva)} kVA" if option.kva is not None else "–"


def _nearest_first(options: Sequence[Option], kva: float | None) -> list[Option]:
    """Return the options to show first: those next to the picked size."""
    if kva is None:
        return list(options)
    return sorted(options, key=lambda option: abs((option.kva or 0.0) - kva))


def _others(result: Result, show_all: bool) -> list[str]:
    """Return the other sizes of the same arrangement, then other arrangements."""
    pick = result.pick
    plain = [o for o in result.options if not o.is_other_build]
    same = [o for o in plain if pick and o.arrangement == pick.arrangement and o.kva != pick.kva]
    ways = [o for o in plain if not pick or o.arrangement != pick.arrangement]
    shown_same, shown_ways = same, ways
    if not show_all:
        nearest = _nearest_first(same, pick.kva if pick else None)[:OPTIONS_SHOWN]
        shown_same, shown_ways = [o for o in same if o in nearest], ways[:OPTIONS_SHOWN]
    lines = []
    if shown_same:
        lines += ["  other sizes"]
        for option in shown_same:
            loading = f"{fixed(option.loading_pct, 0, 'up')} %" if option.loading_pct is not None else ""
            lines += _row(f"{_size(option):>11} {loading:>6}", _option(option))
    if shown_ways:
        lines += ["  other ways" if pick else "  looked at"]
        for option in shown_ways:
            size = f" {_size(option)}" if option.kva is not None else ""
            lines += _row(f"    {option.arrangement}{size}", _option(option))
    builds, offers = _builds(result, show_all)
    lines += _section("  other builds", builds, SIDES_AT) + _section("  offers", offers, BUILDS_AT)
    hidden = len(result.options) - (1 if pick else 0)
    hidden -= len(shown_same) + len(shown_ways) + len(builds) + len(offers)
    return [*lines, f"    … {hidden} more: --all"] if hidden else lines


def _builds(result: Result, show_all: bool) -> tuple[list[Option], list[Option]]:
    """Return the pick built in other ways, where money is asked for or all is to be shown, and the offers."""
    offers = [o for o in result.options if o.offer is not None]
    priced = bool(offers) or any(o.loss_cost_year is not None for o in result.options)
    builds = [o for o in result.options if o.build is not None and o.offer is None]
    return builds if show_all or priced else [], offers


def _section(title: str, options: Sequence[Option], at: int) -> list[str]:
    rows = [line for option in options for line in _row(f"    {_build_head(option)}", _option(option), at)]
    return [title, *rows] if rows else []


def _build_head(option: Option) -> str:
    return (option.build or "") if option.offer is None else phrases.build_name(option)


def _row(head: str, text: str, at: int = SIDES_AT) -> list[str]:
    lines = wrap(text, WIDTH - at)
    if len(head) > at - 2:
        return [head, *(" " * at + line for line in lines)]
    return [f"{head:{at}}{lines[0]}", *(" " * at + line for line in lines[1:])]


def findings_lines(findings: Iterable[Finding], show_all: bool, ink: Ink = PLAIN) -> list[str]:
    """Return the findings by severity, each with its clause at the right edge."""
    by_word: dict[str, list[Finding]] = {"stop": [], "decide": [], "note": []}
    for finding in sorted(
        findings, key=lambda one: one.code.endswith(NOT_CHECKED)
    ):  # those last, else as they come
        by_word[phrases.SEVERITY_WORDS[finding.severity]].append(finding)
    lines, hidden = [], 0
    for word, group in by_word.items():
        shown = group if show_all else group[: SHOWN[word]]
        hidden += len(group) - len(shown)
        if not shown and word == "stop":
            lines += entry(word, "–", ink=ink)
        for number, finding in enumerate(shown):
            lines += entry("" if number else word, finding.message, phrases.clause_words(finding), ink)
    return [*lines, f"{'':11}… {hidden} more: --all"] if hidden else lines


def _alternative(other: Alternative, job: Mapping[str, Any], label: str) -> list[str]:
    lines = entry(label, other.what)
    lines += entry("", other.why) if other.why else []
    if other.blocks is not None:
        lines += ["", *entry("", " ".join(phrases.answer_sentences(other.blocks))), ""]
        lines += unit_lines(other.blocks, job)
    for second in other.also:
        lines += ["", *_alternative(second, job, "and also")]
    return lines


def _instead(result: Result) -> list[str]:
    """Return what would work instead, and further transformers of the same job."""
    groups = [_alternative(other, result.job, "instead") for other in result.instead]
    groups += [_alternative(other, result.job, "and also") for other in result.also]
    return [line for number, group in enumerate(groups) for line in ([""] if number else []) + group]


def _assumed(result: Result, show_all: bool, ink: Ink) -> list[str]:
    """Return what nobody gave, with the value that stands in; with the reasons when all is shown."""
    facts = [fact for fact in result.job.get("facts") or () if fact["known"] == "assumed"]
    if not facts:
        return []
    if not show_all:
        texts = phrases.facts_words(facts)
        hidden = len(texts) - ASSUMED_SHOWN
        more = [f"… {hidden} more: --all"] if hidden > 0 else []
        return entry("assumed", " · ".join(texts[:ASSUMED_SHOWN] + more), ink=ink)
    lines = []
    for number, fact in enumerate(facts):
        (text,) = phrases.facts_words([fact])
        reason = f": {fact['reason']}" if fact["reason"] else ""
        lines += entry("" if number else "assumed", f"{text}{reason}", ink=ink)
    return lines


def _question(question: Question, label: str, with_why: bool, ink: Ink) -> list[str]:
    answers = phrases.answers_words(question)
    moves = phrases.moves_words(question) if not answers or with_why else ""
    lines = entry(label, " ".join(text for text in (question.ask, answers or moves) if text), ink=ink)
    return lines + (
        entry("", question.why) if with_why and question.why and question.why not in moves else []
    )


def _asking(result: Result, show_all: bool, ink: Ink) -> list[str]:
    """Return what is assumed and what to ask next; all that is missing where nothing could be picked."""
    lines = _assumed(result, show_all, ink)
    if result.verdict == "needs-input" or show_all:
        for number, question in enumerate(result.questions):
            lines += _question(question, "" if number else "ask", True, ink)
    elif result.questions:
        settled = result.blocks is not None and not any(map(phrases.moves_size, result.questions))
        lines += entry("ask next", SETTLED, ink=ink) if settled else []
        lines += _question(result.questions[0], "" if settled else "ask next", False, ink)
    return lines


def _last(result: Result, job_name: str, ink: Ink) -> list[str]:
    lines = []
    name = example_name(result)
    if name:
        lines.append(f"  why: turnwright explain {job_name} {name}")
    return [*lines, *(ink.faint(line) for line in paragraph(phrases.CAUTION))]


def example_name(result: Result) -> str | None:
    """Return the name of a number of this result that is worth asking about, as `explain` takes it."""
    if result.blocks is not None:
        return "currents.primary_rated_a"
    for number, other in enumerate(result.instead):
        if other.blocks is not None:
            return f"'instead[{number}].currents.primary_rated_a'"
    return None
