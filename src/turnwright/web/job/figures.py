"""Numbers in a text that can be asked "why?": each piece of the text with the number it shows."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from typing import Any, NamedTuple

from turnwright.documents.words.figures import bare
from turnwright.quantities import fixed
from turnwright.quantities.figures import Rounding

_UNITS = r"(?:\s(?:kVA|kA|kW|A|V|W|K|%|Hz|dB|kg)(?!\w))?"
_ROUNDINGS: tuple[Rounding, ...] = ("up", "down", "nearest")
_BETWEEN = re.compile(r"(,\s|\s\(≤\s|\)$|\s\+\s|^≥\s)")


class Piece(NamedTuple):
    """A piece of a text; `why` names the number it shows, "" where it shows none."""

    text: str
    why: str = ""


Pieces = tuple[Piece, ...]


def numbers_in(text: str, values: Iterable[tuple[str, Any]]) -> Pieces:
    """Return a text in pieces, those that show a value linked to it; the values come in the order of the text.

    Example:
        >>> numbers_in("It carries 39.4 kVA (63 %).", [("demand.kva", 39.33), ("demand.loading_pct", 62.93)])[1]
        Piece(text='39.4 kVA', why='demand.kva')
    """
    pieces: list[Piece] = []
    at = 0
    for name, value in values:
        found = None if value is None else _find(text, at, value)
        if found is None:
            continue
        start, end = found
        pieces += [Piece(text[at:start]), Piece(text[start:end], name)]
        at = end
    pieces.append(Piece(text[at:]))
    return tuple(piece for piece in pieces if piece.text)


def _find(text: str, at: int, value: Any) -> tuple[int, int] | None:
    """Return where a value is shown first."""
    found = [
        match.span()
        for shown in _shown(value)
        if (match := re.compile(rf"(?<![\w.]){re.escape(shown)}(?![\w.]*\d){_UNITS}").search(text, at))
    ]
    return min(found, default=None, key=lambda span: (span[0], -span[1]))


def _shown(value: Any) -> Iterable[str]:
    """Yield the ways in which a value may be written."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        yield str(value)
        return
    for size in (value, value / 1000) if abs(value) >= 1000 else (value,):
        yield bare(size)
        for decimals in (0, 1, 2):
            for rounding in _ROUNDINGS:
                written = fixed(size, decimals, rounding)
                yield written
                if "." in written:
                    yield written.rstrip("0").rstrip(".")


def parts_of(text: str, names: Sequence[str]) -> Pieces:
    """Return a cell in pieces between its commas and brackets, the first ones linked to the names given.

    Example:
        >>> parts_of("110 A (≤ 225)", ("protection.primary_a", "limit"))[2]
        Piece(text='225', why='limit')
    """
    pieces, left = [], list(names)
    for number, part in enumerate(_BETWEEN.split(text)):
        if part:
            is_between = number % 2 == 1
            pieces.append(Piece(part, "" if is_between or not left else left.pop(0)))
    return tuple(pieces)


def only_explained(pieces: Pieces, names: Collection[str], before: str = "") -> Pieces:
    """Return the pieces, linked only where there is something to unfold.

    pieces  where several numbers would explain one, their names stand with "|" between, the best first
    names   those that can be unfolded
    before  what stands before each name: "instead[0]."
    """
    return tuple(Piece(piece.text, _first(piece.why, names, before)) for piece in pieces)


def _first(why: str, names: Collection[str], before: str) -> str:
    candidates = [f"{before}{name}" for name in why.split("|") if name]
    candidates += [name for name in why.split("|") if before and name.startswith("supply.")]
    return next((name for name in candidates if name in names), "")
