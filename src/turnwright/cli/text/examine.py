"""The page of `examine`: the answer in sentences, tables, findings, what was assumed, what to ask next."""

from __future__ import annotations

from collections.abc import Sequence

from turnwright.cli.text.answer import findings_lines
from turnwright.cli.text.layout import PLAIN, WIDTH, Ink, columns_of, entry, pad, paragraph, spread, wrap
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import bare, clean, short_digest
from turnwright.examine.records import Assumed, Grid, Study
from turnwright.model.result import Question

INDENT = 4
GAPS = (3, 2)
"""Columns between those of a table, the wider where there is room."""
ASSUMED_SHOWN = 6
_UNITS = {"a": "A", "pct": "%", "kva": "kVA", "v": "V"}


def examine_page(
    study: Study, file_name: str, show_all: bool = False, ink: Ink = PLAIN, options: str = ""
) -> str:
    """Return the page of a study.

    Args:
        study: the answer.
        file_name: how the file was named on the command line.
        show_all: every finding, question and assumption with its reason.
        ink: emphasis on a terminal.
        options: the options of the question as typed, each with a blank before it.
    """
    parts = [
        _heading(study),
        _said(study, ink),
        *(grid_lines(one) for one in study.grids),
        _findings(study, show_all, ink),
        _instead(study),
        _asking(study, show_all, ink),
        _last(study, file_name, options, ink),
    ]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def _heading(study: Study) -> list[str]:
    digest = short_digest(study.tool.tables)
    marks = [phrases.code_edition(study.job) if study.job else "", f"tables {digest}" if digest else ""]
    named = study.job.get("title") or ("Job without a title" if study.job else "Circuits")
    title = f"{clean(named)}: {study.question}"
    return spread(title, " · ".join(mark for mark in marks if mark))


def _said(study: Study, ink: Ink) -> list[str]:
    first, *rest = study.said
    lines = [ink.strong(line) for line in paragraph(first)] + (paragraph(" ".join(rest)) if rest else [])
    if study.pick is None:
        return lines
    return [*lines, *entry("unit", f"{phrases.unit_words(study.pick)}.", ink=ink)]


def grid_lines(grid: Grid) -> list[str]:
    """Return a table: its title, and rows with the first column left and the others right.

    A table that is too wide stands row by row.
    """
    rows = [tuple(clean(cell) for cell in row) for row in (grid.heads, *grid.rows)]
    widths = [max(columns_of(cell) for cell in column) for column in zip(*rows, strict=True)]
    gap = next((gap for gap in GAPS if INDENT + sum(widths) + gap * (len(widths) - 1) <= WIDTH), None)
    title = paragraph(grid.title)
    if gap is None:
        return [*title, *(line for row in rows[1:] for line in _block(rows[0], row))]
    return [*title, *(_row(row, widths, gap) for row in rows)]


def _row(row: Sequence[str], widths: Sequence[int], gap: int) -> str:
    cells = [pad(row[0], widths[0])]
    cells += [
        " " * (width - columns_of(cell)) + cell for cell, width in zip(row[1:], widths[1:], strict=True)
    ]
    return (" " * INDENT + (" " * gap).join(cells)).rstrip()


def _block(heads: Sequence[str], row: Sequence[str]) -> list[str]:
    """One row of a table that is too wide: its name, and what stands behind each head."""
    text = ", ".join(f"{head} {cell}" for head, cell in zip(heads[1:], row[1:], strict=True) if cell)
    return [
        *(" " * INDENT + line for line in wrap(row[0], WIDTH - INDENT)),
        *(" " * (INDENT + 2) + line for line in wrap(text, WIDTH - INDENT - 2)),
    ]


def _findings(study: Study, show_all: bool, ink: Ink) -> list[str]:
    return findings_lines(study.findings, show_all, ink) if study.findings else []


def _instead(study: Study) -> list[str]:
    return [line for other in study.instead for line in entry("instead", other.what)]


def _asking(study: Study, show_all: bool, ink: Ink) -> list[str]:
    lines = _assumed(study.assumed, show_all, ink)
    if show_all or study.verdict == "needs-input":
        for number, question in enumerate(study.questions):
            lines += _question(question, "" if number else "ask", ink)
    elif study.questions:
        lines += _question(study.questions[0], "ask next", ink)
    return lines


def _assumed(assumed: Sequence[Assumed], show_all: bool, ink: Ink) -> list[str]:
    if not assumed:
        return []
    if show_all:
        texts = [f"{one.what}: {one.why}" if one.why else one.what for one in assumed]
        return [
            line
            for number, text in enumerate(texts)
            for line in entry("" if number else "assumed", text, ink=ink)
        ]
    hidden = len(assumed) - ASSUMED_SHOWN
    more = [f"… {hidden} more: --all"] if hidden > 0 else []
    return entry("assumed", " · ".join([one.what for one in assumed[:ASSUMED_SHOWN]] + more), ink=ink)


def _question(question: Question, label: str, ink: Ink) -> list[str]:
    return entry(label, f"{question.ask} {_moves(question)}".rstrip(), ink=ink) + entry("", question.why)


def _moves(question: Question) -> str:
    """What the answer would move, in words: the unit stands at the end of the name of a value."""
    found = []
    for name, ends in question.moves.items():
        if not isinstance(ends, list | tuple) or len(ends) != 2:
            return phrases.moves_words(question)
        words, _, unit = name.rpartition("_")
        low, high = (f"{bare(float(f'{end:.3g}'))} {_UNITS.get(unit, unit)}" for end in ends)
        found.append(f"{words.replace('_', ' ').capitalize()} lies between {low} and {high}.")
    return " ".join(found)


def _last(study: Study, file_name: str, options: str, ink: Ink) -> list[str]:
    lines = []
    steps = {step.name for step in study.working}
    name = next((name for key in study.answers if (name := f"answers.{key}") in steps), None)
    if name is not None:
        lines.append(f"  why: turnwright examine {study.question} {file_name}{options} --why {name}")
    if study.pick is None and study.verdict != "answered" and study.job:
        lines.append(f"  more: turnwright select {file_name}")
    if not study.job:
        return lines
    return [*lines, *(ink.faint(line) for line in paragraph(phrases.CAUTION))]
