"""The page of `vet --stock`: what on a list does the job, alone or joined, and a line on each of the rest."""

from __future__ import annotations

from collections.abc import Sequence

from turnwright.cli.text.layout import LABEL, PLAIN, WIDTH, Ink, columns_of, entry, paragraph
from turnwright.cli.text.vetting import page_of
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import bare, clean
from turnwright.model.result import Finding, Question
from turnwright.quantities import fixed
from turnwright.vetting.stock_records import Rejected, StockFit, StockVetting

SHOWN = 20
"""So many of what fits, and of what does not, are shown unless all are asked for."""
JOINED = {"bank": "as a bank", "open delta": "in open delta", "parallel": "in parallel"}
CUT = "…"


def stock_page(found: StockVetting, title: str, show_all: bool = False, ink: Ink = PLAIN) -> str:
    """Return the page of a list.

    Args:
        found: the answer.
        title: of the job.
        show_all: every row, each reason in full.
        ink: emphasis on a terminal.
    """
    read = [one for one in found.rejected if one.read]
    unread = [one for one in found.rejected if not one.read]
    shared = _shared(found.fits)
    parts = [
        [clean(title)],
        [ink.strong(line) for line in paragraph(_verdict(found))],
        [line for one in _first(found.fits, show_all) for line in _fit(one, shared, ink)],
        _more(len(found.fits), "do the job", show_all, ink),
        [line for one in _first(read, show_all) for line in _rejected("no", one, show_all, ink)],
        _more(len(read), "do not", show_all, ink),
        [line for one in _first(unread, show_all) for line in _rejected("unread", one, True, ink)],
        _more(len(unread), "cannot be used", show_all, ink),
        [line for one in found.findings for line in _finding(one, ink)],
        [line for text in shared for line in entry("decide", f"{_whichever(found)}: {text}", ink=ink)],
        [line for one in found.questions for line in _question(one, ink)],
        [ink.faint(line) for line in paragraph(phrases.CAUTION)],
    ]
    return page_of(parts)


def _verdict(found: StockVetting) -> str:
    if found.questions:
        return "Not enough is known yet of the job to judge a unit."
    alone = sum(not one.joined for one in found.fits)
    joined = len(found.fits) - alone
    if not found.fits:
        return "Nothing on the list does this job."
    together = f"{joined} {'set' if joined == 1 else 'sets'} of several would do it together"
    if not alone:
        return f"No unit on the list does this job alone; {together}."
    cheaper = f"; {together}, for less" if joined else ""
    return f"{alone} on the list would do this job{cheaper}."


def _first(rows: Sequence[StockFit | Rejected], show_all: bool) -> Sequence[StockFit | Rejected]:
    return rows if show_all else rows[:SHOWN]


def _more(count: int, what: str, show_all: bool, ink: Ink) -> list[str]:
    if show_all or count <= SHOWN:
        return []
    return entry("", f"{count - SHOWN} more {what}: --all shows them.", ink=ink)


def _to_decide(one: StockFit) -> list[str]:
    """What there is to decide about a unit, each thing in a sentence; nothing where it was not asked for in full."""
    if one.vetting is None:
        return []
    unmet = [each for each in one.vetting.criteria if not each.ok]
    found = [f"{each.says} What mends it: {each.condition}." for each in unmet]
    return found + [each.message for each in one.vetting.findings if each.severity in ("stop", "caution")]


def _shared(fits: Sequence[StockFit]) -> list[str]:
    """What there is to decide whichever unit is taken: it is said once."""
    each = [_to_decide(one) for one in fits if one.vetting is not None]
    return [text for text in each[0] if all(text in other for other in each[1:])] if each else []


def _whichever(found: StockVetting) -> str:
    in_full = all(one.vetting is not None for one in found.fits)
    return "Whichever is taken" if in_full else "Whichever of those shown is taken"


def _fit(one: StockFit | Rejected, shared: Sequence[str], ink: Ink) -> list[str]:
    assert isinstance(one, StockFit)
    blocks = None if one.vetting is None else one.vetting.blocks
    words = [] if blocks is None or one.joined == "parallel" else [phrases.unit_words(blocks.pick)]
    if one.loading_pct is not None:
        words.append(f"loaded to {fixed(one.loading_pct, 0, 'up')} %")
    if one.spare_kva is not None and one.vetting is not None:
        words.append(f"{fixed(one.spare_kva, 1, 'down')} kVA to spare before {one.vetting.binds} binds")
    if one.price is not None:
        words.append(f"{bare(one.price.amount)} {one.price.currency}")
    if one.on_hand is not None:
        words.append(f"{one.on_hand} on hand")
    lines = entry("fits" if one.verdict == "fit" else "decide", f"{_name(one)}: {'; '.join(words)}.", ink=ink)
    own = [text for text in _to_decide(one) if text not in shared]
    if len(own) > 1:
        own[1:] = [f"And {len(own) - 1} more to decide: vet it alone."]
    return lines + [line for text in own for line in entry("", text, ink=ink)]


def _name(one: StockFit) -> str:
    if not one.joined:
        return one.unit
    each = [f"{piece.pieces} × {piece.unit}" if piece.pieces > 1 else piece.unit for piece in one.pieces]
    return f"{' and '.join([', '.join(each[:-1]), each[-1]] if len(each) > 1 else each)} {JOINED[one.joined]}"


def _rejected(label: str, one: StockFit | Rejected, in_full: bool, ink: Ink) -> list[str]:
    assert isinstance(one, Rejected)
    place = "" if one.read or one.unit == f"row {one.row}" else f" (row {one.row})"
    column = "" if one.column is None else f", {one.column}"
    text = f"{one.unit}{place}{column}: {one.why}"
    return entry(label, text if in_full else _one_line(text), ink=ink)


def _one_line(text: str) -> str:
    shown, room = clean(text), WIDTH - LABEL
    if columns_of(shown) <= room:
        return shown
    while columns_of(shown) > room - 1:
        shown = shown[:-1]
    return shown.rsplit(" ", 1)[0].rstrip(" ,;:(") + CUT if " " in shown else shown + CUT


def _finding(one: Finding, ink: Ink) -> list[str]:
    return entry("decide" if one.severity == "caution" else one.severity, one.message, ink=ink)


def _question(one: Question, ink: Ink) -> list[str]:
    return entry("ask", f"{one.ask} {one.why}", ink=ink)
