"""The page of `vet`: the verdict in a sentence, each criterion with its margin, what there is to decide."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from turnwright.cli.text.answer import findings_lines
from turnwright.cli.text.layout import LABEL, PLAIN, Ink, entry, pad, paragraph, spread
from turnwright.cli.text.unit import unit_lines
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import bare, clean, short_digest
from turnwright.quantities import fixed
from turnwright.vetting import Criterion, Vetting

VERDICTS = {
    "fit": "{unit} does this job.",
    "fit-with-conditions": "{unit} does this job, with conditions.",
    "unfit": "{unit} does not do this job.",
    "needs-input": "Not enough is known yet to judge {unit}.",
}
NAME_WIDTH, VALUE_WIDTH = 24, 30


def vetting_page(found: Vetting, job_name: str, show_all: bool = False, ink: Ink = PLAIN) -> str:
    """Return the page of a vetting.

    Args:
        found: the answer.
        job_name: how the job was named on the command line.
        show_all: every finding and question.
        ink: emphasis on a terminal.
    """
    return page_of(vetting_parts(found, show_all, ink))


def vetting_parts(found: Vetting, show_all: bool, ink: Ink) -> list[list[str]]:
    """Return the parts of the page: heading and verdict first, then criteria, unit, findings, questions."""
    return [
        _heading(found),
        _verdict(found, ink),
        _criteria(found.criteria, ink),
        [] if found.blocks is None else unit_lines(found.blocks, found.job),
        findings_lines(found.findings, show_all, ink) if found.findings else [],
        _questions(found, show_all, ink),
        [ink.faint(line) for line in paragraph(phrases.CAUTION)],
    ]


def page_of(parts: Iterable[list[str]]) -> str:
    """Return parts as a page, an empty line between them."""
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def _heading(found: Vetting) -> list[str]:
    digest = short_digest(found.tool.tables)
    marks = [phrases.code_edition(found.job), f"tables {digest}" if digest else ""]
    return spread(
        clean(found.job.get("title") or "Job without a title"), " · ".join(mark for mark in marks if mark)
    )


def _names(found: Vetting) -> str:
    names = [str(unit["unit"]) for unit in found.units]
    joined = " and ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else "".join(names)
    return joined or "the unit"


def _verdict(found: Vetting, ink: Ink) -> list[str]:
    name = _names(found)
    text = phrases.of_several(VERDICTS[found.verdict], len(found.units)).format(unit=name)
    lines = [ink.strong(line) for line in paragraph(text[:1].upper() + text[1:])]
    unmet = next((one for one in found.criteria if one.name == found.binds and not one.ok), None)
    if unmet is not None:
        lines += paragraph(unmet.says)
    elif found.binds is not None and found.spare_kva is not None:
        lines += paragraph(
            f"{fixed(found.spare_kva, 1, 'down')} kVA may be added before {found.binds} binds."
        )
    return lines


def _amount(value: float | str | None, measure: str) -> str:
    if value is None:
        return "–"
    text = value if isinstance(value, str) else bare(float(f"{value:.4g}"))
    return f"{text} {measure}".strip()


def _criteria(held: Sequence[Criterion], ink: Ink) -> list[str]:
    lines: list[str] = []
    for one in held:
        mark = "met" if one.ok else ("mend" if one.condition else "not met")
        margin = "" if one.margin_pct is None else f"{one.margin_pct:+.0f} %"
        values = f"{_amount(one.value, one.measure)} / {_amount(one.limit, one.measure)}"
        label = ink.label(mark, mark) + " " * (LABEL - 2 - len(mark))
        name = pad(clean(one.name), NAME_WIDTH)
        lines.append(f"  {label}{name} {pad(clean(values), VALUE_WIDTH)} {margin:>6}".rstrip())
        if not one.ok:
            lines += entry("", f"{one.says}{f' What mends it: {one.condition}.' if one.condition else ''}")
    return lines


def _questions(found: Vetting, show_all: bool, ink: Ink) -> list[str]:
    lines: list[str] = []
    asked = found.questions if show_all or found.verdict == "needs-input" else found.questions[:1]
    for number, question in enumerate(asked):
        lines += entry("" if number else "ask", f"{question.ask} {question.why}", ink=ink)
    return lines
