"""The selection memo: page 1 stands alone, page 2 says what was refused, then how every number came about."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.documents.brief import Brief, units_of
from turnwright.documents.parts.answer import answer, below_table, drawing, sides_table
from turnwright.documents.parts.facts import assumed_table, given_table
from turnwright.documents.parts.findings import finding_list, to_decide
from turnwright.documents.parts.frame import report
from turnwright.documents.parts.loads import loads_table
from turnwright.documents.parts.options import alternatives, in_short, options_table
from turnwright.documents.parts.questions import question_list
from turnwright.documents.parts.working import cells_table, tables_table, working_list
from turnwright.documents.report import (
    Cell,
    Column,
    KeyFigures,
    Paragraph,
    Part,
    Report,
    cells,
    on_new_page,
    section,
    table,
)
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import printed
from turnwright.documents.words.next_sizes import NOTHING, change_rows
from turnwright.model.job import Load
from turnwright.narrow.next_sizes import next_sizes

KIND = "Selection memo"
DECIDE_FIRST = 5
ASK_FIRST = 4
LOADS_NAMED = 8


def memo(brief: Brief) -> Report:
    """Return the memo of a job, also of one that was refused or of which too little is known."""
    result = brief.result
    return report(
        KIND,
        brief,
        section("The request, as it came", *_request(brief)),
        section("The answer", *answer(result), *_also(brief), *_sides(brief)),
        section("What would work instead", *in_short(result.instead)),
        section("To decide before ordering", *_decide(brief)),
        section(_ask_title(brief), *_ask(brief)),
        *on_new_page(
            section("Other sizes and ways", options_table(result)),
            section("What would change the size", *_changes(brief)),
            section("What would work instead, complete", *_complete(brief)),
            section("Bonding, unit, volts, law", *_below(brief)),
            section("A second transformer", *alternatives(result.also, brief)),
            section("What rules and checks say", finding_list(result.findings)),
            section("Open questions", question_list(result.questions)),
            section("Loads", loads_table(result)),
            section("Supply, site, circuit and choices", given_table(brief)),
        ),
        *on_new_page(
            section("Working", *_working(brief)),
            section("Assumed", assumed_table(brief)),
            section("Looked up", cells_table(result), tables_table(result)),
            section("Made with", _made_with(brief)),
        ),
    )


def _request(brief: Brief) -> Iterator[Part]:
    """Yield the customer's words: the note of the job, then the notes of its tables."""
    job = brief.job
    if job.note:
        yield Paragraph(job.note, "quote")
    tables = [("Supply", job.supply.note), ("Site", job.site.note), ("Circuit", job.circuit.note)]
    tables += [("Choices", job.choices.note)]
    tables += [(phrases.load_label(at, load.name), load.note) for at, load in enumerate(job.load)]
    for name, note in tables:
        if note:
            yield Paragraph(f"{name}: {note}", "quote")
    yield Paragraph(_asked(brief))


def _asked(brief: Brief) -> str:
    """Say what the loads ask for, as the job file has it; of a long list its beginning."""
    loads = brief.job.load
    pieces = [_wanted(at, load) for at, load in enumerate(loads[:LOADS_NAMED])]
    if len(loads) > LOADS_NAMED:
        pieces.append(f"and {len(loads) - LOADS_NAMED} more, listed further on")
    supply = phrases.system_text(brief.job.supply.system) or "a supply that is not known"
    return f"On {supply}: {'; '.join(pieces)}." if pieces else f"On {supply}, no load named."


def _wanted(at: int, load: Load) -> str:
    size = next((one for one in (load.current, load.kva, load.kw, load.hp) if one is not None), None)
    wants = [text for text in (size.text if size else "", phrases.system_text(load.system)) if text]
    several = f"{load.quantity.text} of " if load.quantity is not None and load.quantity.text != "1" else ""
    return f"{several}{phrases.load_label(at, load.name)} ({' at '.join(wants) or 'size not known'})"


def _also(brief: Brief) -> Iterator[Part]:
    """Name, beside the answer, every further unit: whoever reads page 1 alone must not order one too few."""
    for unit in units_of(brief.result)[1:]:
        sentences = " ".join(phrases.answer_sentences(unit.blocks))
        yield Paragraph(f"And {unit.mark}: {unit.what}. {sentences} More of it on the following pages.")
    for other in brief.result.also:
        if other.blocks is None:
            yield Paragraph(other.what)


def _sides(brief: Brief) -> Iterator[Part]:
    for unit in units_of(brief.result)[:1]:
        for part in (sides_table(unit.blocks, brief, "Both sides of the unit"), drawing(unit, brief)):
            if part is not None:
                yield part


def _complete(brief: Brief) -> list[Part]:
    """Return the alternatives that are transformers, with all their numbers; the others are told on page 1."""
    instead = brief.result.instead
    return alternatives(tuple(other for other in instead if other.blocks is not None or other.also), brief)


def _changes(brief: Brief) -> Iterator[Part]:
    """Yield what would have to change for the next size, each fact by itself."""
    found = next_sizes(brief.job, single_loads=False)
    if found is None:
        return
    rows = change_rows(found)
    if not rows:
        yield Paragraph(NOTHING)
        return
    listed = tuple(cells(one.then, one.of, printed(one.at), printed(one.now)) for one in rows)
    columns = (
        Column("picked then", share=20),
        Column("of", share=40),
        Column("at", share=25),
        Column("now", share=15),
    )
    yield from filter(None, [table("What would lead to another size, each by itself", columns, listed)])


def _decide(brief: Brief) -> Iterator[Part]:
    deciding = to_decide(brief.result.findings)
    first = finding_list(deciding[:DECIDE_FIRST])
    yield (
        first if first is not None else Paragraph("Nothing stops the job, and nothing waits for a decision.")
    )
    if len(deciding) > DECIDE_FIRST:
        yield Paragraph(f"{len(deciding) - DECIDE_FIRST} more on the following pages.", "small")


def _ask_title(brief: Brief) -> str:
    asked = len(brief.result.questions)
    return "Who answers what" + (f" ({ASK_FIRST} of {asked} questions)" if asked > ASK_FIRST else "")


def _ask(brief: Brief) -> Iterator[Part]:
    first = question_list(brief.result.questions[:ASK_FIRST], with_why=False)
    yield first if first is not None else Paragraph("No question is open.")


def _below(brief: Brief) -> Iterator[Part]:
    for unit in units_of(brief.result)[:1]:
        part = below_table(unit.blocks, brief, "What belongs to neither side")
        if part is not None:
            yield part


def _working(brief: Brief) -> Iterator[Part]:
    steps = working_list(brief.result)
    if steps is None:
        return
    yield Paragraph(
        "Each step is computed by the formula beside its name unless another word stands there. "
        "A number in brackets is the step an input came from; a name in brackets is a fact or a value looked up.",
        "small",
    )
    yield steps


def _made_with(brief: Brief) -> KeyFigures:
    tool = brief.result.tool
    rows = (
        ("installation code", phrases.code_edition(brief.result.job) or "not known"),
        ("reference tables", tool.tables),
        ("tool", f"turnwright {tool.version}"),
        ("job file", brief.origin),
    )
    return KeyFigures(tuple((name, Cell(text)) for name, text in rows), "Made with")
