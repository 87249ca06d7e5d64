"""What every paper has: its head, its caution, what it was made with."""

from __future__ import annotations

from turnwright.documents.brief import Brief
from turnwright.documents.report import Cautions, Report, Section
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import short_digest

UNTITLED = "Job without a title"


def report(kind: str, brief: Brief, *sections: Section) -> Report:
    """Return a paper with its head, and the caution at its end."""
    stamp = (("Date", brief.date), ("By", brief.by), ("Revision", brief.revision))
    filled = [one for one in sections if one.parts]
    *before, last = filled
    closing = Section(last.title, (*last.parts, Cautions(phrases.CAUTION)), last.new_page)
    return Report(
        kind=kind,
        title=str(brief.result.job.get("title") or UNTITLED),
        marks=marks(brief),
        stamp=stamp,
        sections=(*before, closing),
        page="A4" if brief.metric else "Letter",
        date=brief.date,
    )


def marks(brief: Brief) -> tuple[str, ...]:
    """Return what a paper was made with: code and edition, tables, tool."""
    tool = brief.result.tool
    return (
        phrases.code_edition(brief.result.job),
        f"tables {short_digest(tool.tables)}",
        f"turnwright {tool.version}",
    )
