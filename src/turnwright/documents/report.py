"""What a paper consists of. Papers build it, writers walk it; nothing in it is markup.

::

    Report
    └── Section*            title, may begin a page
        ├── Paragraph       a sentence or two; "lead" is the answer, "quote" somebody's words
        ├── Table           columns with alignment, cells with how their value is known
        ├── KeyFigures      names with one value each
        ├── FindingList     what rules and checks have to say
        ├── QuestionList    what is not known, who answers, what stands in, what it moves
        ├── WorkingList     how each number came about
        ├── Figure          a drawing with its text for those who do not see it
        ├── LabelSheet      labels to be cut out
        ├── SignLines       lines to be filled in by hand
        └── Cautions        what every paper says once
"""

from __future__ import annotations

from typing import Literal, TypeAlias

from msgspec import Struct

Align = Literal["left", "right"]
Style = Literal["plain", "lead", "quote", "small"]


class Cell(Struct, frozen=True):
    """A text, and a word beside it where its value must look unsure: "assumed", "from memory"."""

    text: str = ""
    mark: str = ""


class Column(Struct, frozen=True):
    """A column of a table. `share` of the free width; 0: as wide as what stands in it."""

    name: str
    align: Align = "left"
    share: int = 0


class Paragraph(Struct, frozen=True, tag="paragraph"):
    """A sentence or two."""

    text: str
    style: Style = "plain"


class Table(Struct, frozen=True, tag="table"):
    """Rows of cells. The first cell of a row names it when `row_names` is true."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    caption: str
    row_names: bool = True
    ruled: bool = False


class KeyFigures(Struct, frozen=True, tag="figures"):
    """Names with one value each."""

    rows: tuple[tuple[str, Cell], ...]
    caption: str


class FindingLine(Struct, frozen=True):
    """One finding: the word of its severity, what it says, its clause, how it is known, its numbers."""

    word: str
    message: str
    clause: str
    known: str
    numbers: str


class FindingList(Struct, frozen=True, tag="findings"):
    """Findings in the order they are to be read."""

    rows: tuple[FindingLine, ...]


class QuestionLine(Struct, frozen=True):
    """One question: what to ask, who answers, what stands in until then, what the answer moves."""

    ask: str
    who: str
    assumed: str
    moves: str


class QuestionList(Struct, frozen=True, tag="questions"):
    """Open questions, the most telling first."""

    rows: tuple[QuestionLine, ...]


class WorkingStep(Struct, frozen=True):
    """One step of the working.

    number   by which other steps refer to it
    name     path in the result, as `explain` takes it
    value    what came out, with its unit
    formula  "" for a value that was picked rather than computed
    numbers  the formula with its numbers, or the inputs by name, each with the step it came from
    source   document and clause
    known    how it is known, "" for a computed one
    """

    number: int
    name: str
    value: str
    formula: str
    numbers: str
    source: str
    known: str


class WorkingList(Struct, frozen=True, tag="working"):
    """Steps in the order they were taken."""

    rows: tuple[WorkingStep, ...]


class Figure(Struct, frozen=True, tag="figure"):
    """A drawing as SVG. `alt` says the same in words; `width` is its part of the page in percent."""

    svg: str
    alt: str
    caption: str
    width: int = 100


class Label(Struct, frozen=True):
    """One label: its heading, and lines of name and value."""

    heading: str
    lines: tuple[tuple[str, Cell], ...]
    place: str


class LabelSheet(Struct, frozen=True, tag="labels"):
    """Labels to be cut out."""

    labels: tuple[Label, ...]


class SignLines(Struct, frozen=True, tag="sign"):
    """Names of lines that are filled in by hand."""

    names: tuple[str, ...]


class Cautions(Struct, frozen=True, tag="cautions"):
    """What every paper says once."""

    text: str


Part: TypeAlias = (
    Paragraph
    | Table
    | KeyFigures
    | FindingList
    | QuestionList
    | WorkingList
    | Figure
    | LabelSheet
    | SignLines
    | Cautions
)


class Section(Struct, frozen=True):
    """A part of a paper under a heading; `new_page` begins a page."""

    title: str
    parts: tuple[Part, ...]
    new_page: bool = False


class Report(Struct, frozen=True, kw_only=True):
    """One paper.

    kind      what paper it is: "Selection memo"
    title     name of the job
    marks     code, edition, tables, tool: what it was made with
    stamp     date, author and revision as they were given; lines to fill in where they were not
    page      "A4" or "Letter"
    date      ISO date, or "" where none was given
    """

    kind: str
    title: str
    marks: tuple[str, ...]
    stamp: tuple[tuple[str, str], ...]
    sections: tuple[Section, ...]
    page: Literal["A4", "Letter"]
    date: str = ""
    language: str = "en"


def cells(*texts: str | Cell) -> tuple[Cell, ...]:
    """Return a row of cells.

    Example:
        >>> cells("rated current", Cell("360.8 A", "assumed"))
        (Cell(text='rated current', mark=''), Cell(text='360.8 A', mark='assumed'))
    """
    return tuple(text if isinstance(text, Cell) else Cell(text) for text in texts)


def section(title: str, *parts: Part | None, new_page: bool = False) -> Section:
    """Return a section of those parts that are there."""
    return Section(title, tuple(part for part in parts if part is not None), new_page)


def on_new_page(*sections: Section) -> tuple[Section, ...]:
    """Return those sections that have something in them, the first of them on a new page."""
    first, *rest = [one for one in sections if one.parts] or [Section("", ())]
    return (Section(first.title, first.parts, True), *rest) if first.parts else ()


def table(
    caption: str,
    columns: tuple[Column, ...],
    rows: tuple[tuple[Cell, ...], ...],
    *,
    row_names: bool = True,
    ruled: bool = False,
) -> Table | None:
    """Return a table, or None when it has no rows.

    Raises:
        ValueError: a row has more or fewer cells than there are columns.
    """
    for number, row in enumerate(rows, start=1):
        if len(row) != len(columns):
            raise ValueError(f"row {number} of '{caption}' has {len(row)} cells for {len(columns)} columns")
    return Table(columns, rows, caption, row_names, ruled) if rows else None
