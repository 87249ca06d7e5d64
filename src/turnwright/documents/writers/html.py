"""A report as one HTML file: its own style inside, no script, nothing from elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from html import escape
from pathlib import Path
from typing import Any

from turnwright.documents.brief import Brief
from turnwright.documents.report import (
    Cautions,
    Cell,
    Column,
    Figure,
    FindingList,
    KeyFigures,
    Label,
    LabelSheet,
    Paragraph,
    Part,
    QuestionLine,
    QuestionList,
    Report,
    Section,
    SignLines,
    Table,
    WorkingList,
    WorkingStep,
)

STYLE = Path(__file__).with_name("paper.css")
KEPT_ROWS = 8
"""A table of so few rows is not divided between pages."""


def write(report: Report, brief: Brief, name: str) -> dict[str, bytes]:
    """Return the HTML file of a paper."""
    return {f"{name}.html": html_of(report).encode("utf-8", "replace")}


def html_of(report: Report) -> str:
    """Return a report as the text of an HTML file; same report, same text."""
    style = f"@page {{ size: {report.page}; }}\n{STYLE.read_text(encoding='utf-8')}"
    return "\n".join(
        [
            "<!DOCTYPE html>",
            f'<html lang="{escape(report.language)}">',
            "<head>",
            '<meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>{escape(f'{report.kind}: {report.title}')}</title>",
            f"<style>\n{style}</style>",
            "</head>",
            "<body>",
            _header(report),
            "<main>",
            *(_section(each) for each in report.sections),
            "</main>",
            "</body>",
            "</html>",
            "",
        ]
    )


def _header(report: Report) -> str:
    marks = escape(" · ".join(mark for mark in report.marks if mark))
    return (
        f'<header>\n<div class="kind"><span>{escape(report.kind)}</span><span>{marks}</span></div>\n'
        f'<h1 dir="auto">{escape(report.title)}</h1>\n{_stamp(report.stamp)}</header>'
    )


def _stamp(stamp: Iterable[tuple[str, str]]) -> str:
    rows = [
        f"<div><dt>{escape(name)}</dt>"
        + (f'<dd dir="auto">{escape(value)}</dd>' if value else '<dd class="blank"></dd>')
        + "</div>"
        for name, value in stamp
    ]
    return f'<dl class="stamp">{"".join(rows)}</dl>\n' if rows else ""


def _section(section: Section) -> str:
    several = sum(isinstance(part, Table) for part in section.parts) > 1
    signed = any(isinstance(part, SignLines) for part in section.parts)
    kinds = (("page", section.new_page), ("captions", several), ("signed", signed))
    names = [name for name, so in kinds if so]
    classes = f' class="{" ".join(names)}"' if names else ""
    heading = f"<h2>{escape(section.title)}</h2>\n" if section.title else ""
    return f"<section{classes}>\n{heading}" + "\n".join(map(_part, section.parts)) + "\n</section>"


def _part(part: Part) -> str:
    write = _WRITERS[type(part)]
    return write(part)


def _paragraph(part: Paragraph) -> str:
    if part.style == "quote":
        return f'<blockquote dir="auto">{escape(part.text)}</blockquote>'
    style = "" if part.style == "plain" else f' class="{part.style}"'
    return f"<p{style}>{escape(part.text)}</p>"


def _marked(cell: Cell) -> str:
    if not cell.mark:
        return escape(cell.text)
    return f'<span class="unsure">{escape(cell.text)}</span> <span class="mark">{escape(cell.mark)}</span>'


def _align(column: Column) -> str:
    return ' class="right"' if column.align == "right" else ""


def _width(column: Column, shares: int) -> str:
    return f'<col style="width:{100 * column.share // shares}%">' if column.share else "<col>"


def _table(part: Table) -> str:
    shares = sum(column.share for column in part.columns)
    columns = "".join(_width(column, shares) for column in part.columns) if shares else ""
    head = "".join(f'<th scope="col"{_align(column)}>{escape(column.name)}</th>' for column in part.columns)
    rows = "\n".join(f"<tr>{_cells(part, row)}</tr>" for row in part.rows)
    names = [name for name, so in (("ruled", part.ruled), ("keep", len(part.rows) <= KEPT_ROWS)) if so]
    classes = f' class="{" ".join(names)}"' if names else ""
    return (
        f"<table{classes}>\n<caption>{escape(part.caption)}</caption>\n"
        + (f"<colgroup>{columns}</colgroup>\n" if columns else "")
        + (f"<thead><tr>{head}</tr></thead>\n" if any(column.name for column in part.columns) else "")
        + f"<tbody>\n{rows}\n</tbody>\n</table>"
    )


def _cells(part: Table, row: tuple[Cell, ...]) -> str:
    written = []
    for at, (column, cell) in enumerate(zip(part.columns, row, strict=True)):
        names = part.row_names and at == 0
        tag, scope = ("th", ' scope="row"') if names else ("td", "")
        written.append(f"<{tag}{scope}{_align(column)}>{_marked(cell)}</{tag}>")
    return "".join(written)


def _figures(part: KeyFigures) -> str:
    rows = "\n".join(f"<dt>{escape(name)}</dt><dd>{_marked(cell)}</dd>" for name, cell in part.rows)
    return f'<dl class="figures">\n{rows}\n</dl>'


def _findings(part: FindingList) -> str:
    rows = []
    for one in part.rows:
        numbers = f" <span>{escape(one.numbers)}</span>" if one.numbers else ""
        clause = ", ".join(text for text in (one.clause, one.known) if text)
        rows.append(
            f'<tr><th scope="row" class="word">{escape(one.word)}</th>'
            f'<td>{escape(one.message)}{numbers}</td><td class="clause">{escape(clause)}</td></tr>'
        )
    body = "\n".join(rows)
    head = '<thead><tr><th scope="col">kind</th><th scope="col">finding</th>'
    return (
        f"<table>\n{head}"
        f'<th scope="col" class="clause">clause, how known</th></tr></thead>\n<tbody>\n{body}\n</tbody>\n</table>'
    )


def _question(line: QuestionLine) -> str:
    moves = f' <span class="about">{escape(line.moves)}</span>' if line.moves else ""
    until = f"; until then {line.assumed}" if line.assumed else ""
    return f'<tr><td>{escape(line.ask)}{moves}</td><td class="about">{escape(line.who + until)}</td></tr>'


def _questions(part: QuestionList) -> str:
    rows = "\n".join(map(_question, part.rows))
    head = '<thead><tr><th scope="col">question</th><th scope="col">who answers, what stands in</th></tr></thead>'
    return f'<table class="questions">\n{head}\n<tbody>\n{rows}\n</tbody>\n</table>'


def _step(step: WorkingStep) -> str:
    formula = f' <span class="formula">= {escape(step.formula)}</span>' if step.formula else ""
    source = ", ".join(text for text in (step.source, step.known) if text)
    below = " · ".join(text for text in (step.numbers, source) if text)
    return (
        f'<li id="step-{step.number}"><span>{step.number}</span><div>'
        f'<div class="head"><span><b>{escape(step.name)}</b>{formula}</span>'
        f'<span class="value">{escape(step.value)}</span></div>'
        f'<div class="below">{escape(below)}</div></div></li>'
    )


def _working(part: WorkingList) -> str:
    rows = "\n".join(map(_step, part.rows))
    return f'<ol class="steps">\n{rows}\n</ol>'


def _figure(part: Figure) -> str:
    # The drawing itself carries the text for those who do not see it.
    width = f' style="width:{part.width}%"' if part.width != 100 else ""
    return f"<figure{width}>\n{part.svg}\n<figcaption>{escape(part.caption)}</figcaption>\n</figure>"


def _label(label: Label) -> str:
    lines = "".join(
        f"<dt>{escape(name)}</dt>" + (f"<dd>{_marked(cell)}</dd>" if cell.text else '<dd class="blank"></dd>')
        for name, cell in label.lines
    )
    return (
        f'<div class="label"><h3>{escape(label.heading)}</h3><dl>{lines}</dl>'
        f"<p>{escape(label.place)}</p></div>"
    )


def _labels(part: LabelSheet) -> str:
    return f'<div class="sheet">\n{"".join(map(_label, part.labels))}\n</div>'


def _sign(part: SignLines) -> str:
    lines = "".join(
        f'<div><span>{escape(name)}</span><span class="blank"></span></div>' for name in part.names
    )
    return f'<div class="sign">{lines}</div>'


def _cautions(part: Cautions) -> str:
    return f'<p class="caution">{escape(part.text)}</p>'


_WRITERS: dict[type[Any], Callable[[Any], str]] = {
    Paragraph: _paragraph,
    Table: _table,
    KeyFigures: _figures,
    FindingList: _findings,
    QuestionList: _questions,
    WorkingList: _working,
    Figure: _figure,
    LabelSheet: _labels,
    SignLines: _sign,
    Cautions: _cautions,
}
