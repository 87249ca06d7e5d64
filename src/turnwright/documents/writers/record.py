"""A report as the plain lines that stand on it, in order: what tests look at."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.documents.report import (
    Cautions,
    Cell,
    Figure,
    FindingList,
    KeyFigures,
    LabelSheet,
    Paragraph,
    Part,
    QuestionList,
    Report,
    SignLines,
    Table,
    WorkingList,
)

Line = tuple[str, ...]


def record(report: Report) -> list[Line]:
    """Return every text of a report, each line with the kind of part it stands in.

    Example:
        >>> from turnwright.documents.report import Section
        >>> page = Report(kind="Memo", title="Mill", marks=("NEC 2023",), stamp=(), page="A4",
        ...               sections=(Section("Answer", (Paragraph("One unit."),)),))
        >>> record(page)
        [('report', 'Memo', 'Mill'), ('marks', 'NEC 2023'), ('section', 'Answer'), ('paragraph', 'One unit.')]
    """
    lines: list[Line] = [("report", report.kind, report.title), ("marks", *report.marks)]
    lines += [("stamp", name, value) for name, value in report.stamp]
    for section in report.sections:
        lines.append(("section", section.title))
        for part in section.parts:
            lines += _part(part)
    return lines


def texts(report: Report) -> str:
    """Return all that can be read on a report as one text, one line each."""
    return "\n".join(" ".join(words[1:]) for words in record(report))


def _cell(cell: Cell) -> str:
    return f"{cell.text} ({cell.mark})" if cell.mark else cell.text


def _part(part: Part) -> Iterator[Line]:
    match part:
        case Paragraph():
            yield "paragraph", part.text
        case Cautions():
            yield "cautions", part.text
        case Table():
            yield "caption", part.caption
            yield "columns", *(column.name for column in part.columns)
            yield from (("row", *map(_cell, row)) for row in part.rows)
        case KeyFigures():
            yield "caption", part.caption
            yield from (("figure", name, _cell(cell)) for name, cell in part.rows)
        case Figure():
            yield "drawing", part.caption, part.alt
        case SignLines():
            yield "sign", *part.names
        case FindingList() | QuestionList() | WorkingList() | LabelSheet():
            yield from _list(part)


def _list(part: FindingList | QuestionList | WorkingList | LabelSheet) -> Iterator[Line]:
    match part:
        case FindingList():
            for one in part.rows:
                yield "finding", one.word, one.message, one.clause, one.known, one.numbers
        case QuestionList():
            for asked in part.rows:
                yield "question", asked.ask, asked.who, asked.assumed, asked.moves
        case WorkingList():
            for step in part.rows:
                yield (
                    "step",
                    str(step.number),
                    step.name,
                    step.value,
                    step.formula,
                    step.numbers,
                    step.source,
                    step.known,
                )
        case LabelSheet():
            for label in part.labels:
                yield "label", label.heading, label.place
                yield from (("line", name, _cell(cell)) for name, cell in label.lines)
