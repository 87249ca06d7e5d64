"""What every paper has: its head, its caution, what it was made with."""

from __future__ import annotations

from collections.abc import Sequence

from turnwright.documents.brief import Brief
from turnwright.documents.report import Cautions, Report, Section
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import short_digest
from turnwright.model.result import Tool

UNTITLED = "Job without a title"


def report(kind: str, brief: Brief, *sections: Section) -> Report:
    """Return a paper with its head, and the caution at its end."""
    return Report(
        kind=kind,
        title=str(brief.result.job.get("title") or UNTITLED),
        marks=marks(brief),
        stamp=(("Date", brief.date), ("By", brief.by), ("Revision", brief.revision)),
        sections=closed(sections),
        page="A4" if brief.metric else "Letter",
        date=brief.date,
    )


def closed(sections: Sequence[Section]) -> tuple[Section, ...]:
    """Return the sections that have something in them, with the caution at the end of the last one."""
    *before, last = [one for one in sections if one.parts]
    return (*before, Section(last.title, (*last.parts, Cautions(phrases.CAUTION)), last.new_page))


def marks(brief: Brief) -> tuple[str, ...]:
    """Return what a paper was made with: code and edition, tables, tool."""
    return phrases.code_edition(brief.result.job), *tool_marks(brief.result.tool)


def tool_marks(tool: Tool) -> tuple[str, str]:
    """Return the tables and the version of the tool, as papers name them."""
    return f"tables {short_digest(tool.tables)}", f"turnwright {tool.version}"
