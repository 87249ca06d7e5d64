"""A report as PDF: fonts from inside the package, tagged, the job and its result attached; same job, same bytes."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import msgspec

from turnwright.documents.attachments import Attachment, attachments_of
from turnwright.documents.brief import Brief
from turnwright.documents.report import Cautions, Figure, Paragraph, Part, Report, Section
from turnwright.documents.writers.lettering import (
    FONTS,
    by_number,
    covered,
    lacking_in,
    set_for_print,
    texts_changed,
)

TEMPLATE = Path(__file__).with_name("paper.typ")
ACCESSIBLE, ARCHIVED = "ua-1", "a-3a"
REPLACED = "Characters that no font of this paper, or of its drawings, has are written by their number."


def write(report: Report, brief: Brief, name: str) -> dict[str, bytes]:
    """Return the PDF file of a paper."""
    return {f"{name}.pdf": pdf_of(report, brief, name)}


def pdf_of(report: Report, brief: Brief, name: str) -> bytes:
    """Return a report as PDF/UA-1, and as PDF/A-3 too where a date is given.

    Args:
        report: the paper.
        brief: what it was made from; it goes into the file.
        name: which paper it is, so that it can be made again.
    """
    return compiled(report, attachments_of(brief, name))


def compiled(report: Report, attached: Sequence[Attachment]) -> bytes:
    """Return a report as PDF with files attached to it."""
    import typst

    fonts = typst.Fonts(include_system_fonts=False, font_paths=[str(FONTS)])
    standards: list[Any] = [ARCHIVED, ACCESSIBLE] if report.date else [ACCESSIBLE]
    report = texts_changed(_with_numbers(report, fonts), set_for_print)
    made: bytes = typst.compile(
        TEMPLATE.read_bytes(),
        font_paths=fonts,
        ignore_system_fonts=True,
        sys_inputs={
            "report": msgspec.json.encode(report, enc_hook=str).decode(),
            "attached": msgspec.json.encode(attached).decode(),
        },
        pdf_standards=standards,
        timestamp=0,
    )
    return made


def _with_numbers(report: Report, fonts: Any) -> Report:
    """Return a report with characters that no font has written by number, and a word that says so.

    In drawings there is the font of the paper alone.
    """
    lacking = lacking_in(report, fonts)
    lettered = texts_changed(report, lambda text: by_number(text, lacking)) if lacking else report
    drawn = _drawings_lettered(lettered)
    return _said(drawn) if lacking or drawn != lettered else report


def _drawings_lettered(report: Report) -> Report:
    sections = tuple(
        Section(one.title, tuple(_lettered(part) for part in one.parts), one.new_page)
        for one in report.sections
    )
    return msgspec.structs.replace(report, sections=sections)


def _lettered(part: Part) -> Part:
    if not isinstance(part, Figure):
        return part
    lacking = frozenset(char for char in part.svg if not char.isspace() and ord(char) not in covered())
    return msgspec.structs.replace(part, svg=by_number(part.svg, lacking))


def _said(report: Report) -> Report:
    """Return a report that says, before its caution, that characters are written by number."""
    last = report.sections[-1]
    parts = list(last.parts)
    at = next((at for at, part in enumerate(parts) if isinstance(part, Cautions)), len(parts))
    parts.insert(at, Paragraph(REPLACED, "small"))
    closing = Section(last.title, tuple(parts), last.new_page)
    return msgspec.structs.replace(report, sections=(*report.sections[:-1], closing))
