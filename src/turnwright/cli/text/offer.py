"""The page of `vet --offer`: the verdict, each line of the specification beside what is offered, what the job says."""

from __future__ import annotations

from turnwright.cli.text.layout import LABEL, PLAIN, WIDTH, Ink, columns_of, entry, pad, paragraph, wrap
from turnwright.cli.text.vetting import page_of, vetting_parts
from turnwright.documents.words.figures import clean
from turnwright.vetting.offer import OfferLine, OfferVetting

NAME_WIDTH, ASKED_WIDTH = 20, 25
OFFERED_WIDTH = WIDTH - LABEL - NAME_WIDTH - ASKED_WIDTH - 2


def offer_page(found: OfferVetting, show_all: bool = False, ink: Ink = PLAIN) -> str:
    """Return the page of an offer.

    Args:
        found: the answer.
        show_all: every line, finding and question; else the lines that meet what was asked are counted only.
        ink: emphasis on a terminal.
    """
    heading, verdict, *rest = vetting_parts(found.judged, show_all, ink)
    return page_of((heading, verdict, *_lines(found, show_all, ink), *rest))


def _lines(found: OfferVetting, show_all: bool, ink: Ink) -> list[list[str]]:
    if not found.lines:
        return [
            paragraph("No specification is issued for this job as it stands: there is nothing to compare.")
        ]
    counts = ", ".join(f"{found.counted(answer)} {word}" for answer, word in _COUNTED)  # type: ignore[arg-type]
    head = paragraph(f"Against the specification of {found.mark}: {counts}.")
    shown = [one for one in found.lines if show_all or one.answer == "differs" or _open(one)]
    table = [line for one in shown for line in _row(one, ink)]
    if table:
        columns = pad(pad("", LABEL + NAME_WIDTH + 1) + "asked", LABEL + NAME_WIDTH + ASKED_WIDTH + 2)
        table.insert(0, f"{columns}offered")
    silent = [one.name for one in found.lines if one.answer == "silent" and not _open(one)]
    ask = entry("ask", f"The offer says nothing of: {', '.join(silent)}.", ink=ink) if silent else []
    return [head, table, [] if show_all else ask]


_COUNTED = (("meets", "lines met"), ("differs", "differ"), ("silent", "not answered"))


def _open(one: OfferLine) -> bool:
    """A line that the unit file could answer, and does not."""
    return one.answer == "silent" and one.has_key


def _row(one: OfferLine, ink: Ink) -> list[str]:
    cells = [
        wrap(one.name, NAME_WIDTH),
        wrap(one.asked, ASKED_WIDTH),
        wrap(clean(one.offered) or "–", OFFERED_WIDTH),
    ]
    lines = []
    for number in range(max(len(cell) for cell in cells)):
        name, asked, offered = (cell[number] if number < len(cell) else "" for cell in cells)
        label = "" if number else one.answer
        start = "  " + ink.label("decide" if label == "differs" else label, label)
        start += " " * (LABEL - 2 - columns_of(label))
        lines.append(f"{start}{pad(name, NAME_WIDTH)} {pad(asked, ASKED_WIDTH)} {offered}".rstrip())
    return lines
