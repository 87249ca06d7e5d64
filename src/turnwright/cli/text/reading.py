"""What was read in a request, for people: each fact with its words, what was not read, what is open."""

from __future__ import annotations

from typing import TYPE_CHECKING

from turnwright.cli.text.layout import PLAIN, Ink, entry
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import clean

if TYPE_CHECKING:
    from turnwright.ask import LoadList, RequestJob

_FACT_AT = 28


def reading_page(read: RequestJob, ink: Ink = PLAIN) -> str:
    """Return the page of a reading.

    read : the request as it was read
    ink  : emphasis on a terminal
    """
    lines = [ink.strong("Read in the request")]
    for fact in read.facts:
        value = phrases.shown(fact.value)
        lines.append(f"  {phrases.key_words(fact.key):{_FACT_AT}} {value:18} {clean(fact.words)!r}".rstrip())
    for number, question in enumerate(one for one in read.questions if one.words):
        lines += entry("" if number else "open", f"{question.ask} ({clean(question.words)})", ink=ink)
    if read.unread:
        lines += entry("not read", " · ".join(clean(piece) for piece in read.unread), ink=ink)
    return "\n".join(lines) + "\n"


def list_page(read: LoadList, ink: Ink = PLAIN) -> str:
    """Return the page of a load list: what each column was taken for, what became of the rows, what was assumed.

    read : the list as it was read
    ink  : emphasis on a terminal
    """
    lines = [ink.strong(f"Read in {clean(read.name)}")]
    for column in read.columns:
        holds = f"{column.holds} ({column.why})" if column.why else column.holds
        lines.append(f"  {column.letter:3} {clean(column.heading)[:24]:24} {clean(holds)}".rstrip())
    loads = sum(row.fate == "load" for row in read.rows)
    others = [row for row in read.rows if row.fate not in ("load", "part")]
    lines += entry("rows", f"{loads} loads, {len(others)} rows that are none", ink=ink)
    for number, row in enumerate(others):
        lines += entry(
            "" if number else "no load", clean(f"row {row.number}: {row.words} ({row.why})"), ink=ink
        )
    for number, one in enumerate(read.assumed):
        lines += entry("" if number else "assumed", clean(one), ink=ink)
    for number, one in enumerate(read.unread):
        lines += entry("" if number else "not read", clean(one), ink=ink)
    return "\n".join(lines) + "\n"
