"""Lines of 80 columns: wrapping, labelled entries, tables with two sides, figures."""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from itertools import zip_longest
from typing import TextIO

from msgspec import Struct

from turnwright.documents.words.figures import clean
from turnwright.documents.words.sides import Side

WIDTH = 80
LABEL = 11
"""Column at which the text behind a label starts."""
SIDES_AT = 23
"""Column at which the supply side starts, and what stands under the table of sides."""

_UNITS = frozenset(
    (
        "A",
        "kA",
        "V",
        "kVA",
        "kW",
        "W",
        "Hz",
        "K",
        "°C",
        "%",
        "AWG",
        "kcmil",
        "mm²",
        "m",
        "ft",
        "h",
        "s",
        "dB",
        "hp",
    )
)


class Ink(Struct, frozen=True):
    """Emphasis on a terminal; off, every text stays as it is. Nothing is said by colour alone."""

    on: bool = False

    def _sgr(self, code: str, text: str) -> str:
        return f"\x1b[{code}m{text}\x1b[0m" if self.on and text else text

    def strong(self, text: str) -> str:
        """Return the text in bold."""
        return self._sgr("1", text)

    def faint(self, text: str) -> str:
        """Return the text dimmed."""
        return self._sgr("2", text)

    def label(self, word: str, text: str) -> str:
        """Return the label `text` in the colour that goes with its word."""
        return self._sgr({"stop": "1;31", "decide": "33"}.get(word, "2"), text)


PLAIN = Ink()


def ink_of(stream: TextIO | None) -> Ink:
    """Return the ink for a stream: only for a terminal, and not when NO_COLOR is set."""
    terminal = stream is not None and stream.isatty()
    return Ink(terminal and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb")


def columns_of(text: str) -> int:
    """Return how many columns of a terminal a text takes.

    Example:
        >>> columns_of("450 A"), columns_of("変圧器")
        (5, 6)
    """
    if text.isascii():
        return len(text)
    from unicodedata import combining, east_asian_width

    return sum(0 if combining(c) else 2 if east_asian_width(c) in "WF" else 1 for c in text)


def pad(text: str, width: int) -> str:
    """Return a text filled up with spaces to so many columns."""
    return text + " " * (width - columns_of(text))


def _pieces(word: str, width: int) -> list[str]:
    """Cut a word that is longer than a line."""
    pieces, piece = [], ""
    for char in word:
        if piece and columns_of(piece + char) > width:
            pieces.append(piece)
            piece = ""
        piece += char
    return [*pieces, piece]


def _unbroken(text: str) -> list[str]:
    """Return the words of a text; a number and the unit behind it are one word."""
    words: list[str] = []
    for word in text.split(" "):
        if words and word.rstrip(".,;:)") in _UNITS and words[-1][-1:].isdigit():
            words[-1] += f" {word}"
        else:
            words.append(word)
    return words


def wrap(text: object, width: int) -> list[str]:
    """Return a text as lines of at most so many columns; an empty text is one empty line.

    Example:
        >>> wrap("Bond the neutral once: here or at the first switch.", 30)
        ['Bond the neutral once: here or', 'at the first switch.']
        >>> wrap("It carries 264 kVA.", 15)
        ['It carries', '264 kVA.']
    """
    lines = [""]
    for word in _unbroken(clean(text)):
        for piece in _pieces(word, width) if columns_of(word) > width else [word]:
            candidate = f"{lines[-1]} {piece}" if lines[-1] else piece
            if lines[-1] and columns_of(candidate) > width:
                lines.append(piece)
            else:
                lines[-1] = candidate
    return lines


def paragraph(text: object, indent: int = 2) -> list[str]:
    """Return a text as indented lines."""
    return [" " * indent + line for line in wrap(text, WIDTH - indent)]


def spread(left: str, right: str, width: int = WIDTH) -> list[str]:
    """Return `left` and, at the right edge of its last line or of a line of its own, `right`.

    Example:
        >>> spread("Tile works", "NEC 2023", 24)
        ['Tile works      NEC 2023']
        >>> spread("Tile works, all of it", "NEC 2023", 24)
        ['Tile works, all of it', '                NEC 2023']
    """
    lines = wrap(left, width)
    marks = wrap(right, width) if right else []
    if len(marks) == 1:
        gap = width - columns_of(lines[-1]) - columns_of(marks[0])
        if gap >= (2 if lines[-1] else 0):
            return [*lines[:-1], lines[-1] + " " * gap + marks[0]]
    return [*lines, *(" " * (width - columns_of(mark)) + mark for mark in marks)]


def entry(label: str, text: object, right: str = "", ink: Ink = PLAIN, at: int = LABEL) -> list[str]:
    """Return a labelled text with hanging indent, and what stands at its right edge.

    A label that reaches into the text stands on a line of its own.

    Example:
        >>> print("\\n".join(entry("note", "Bond the neutral once.", "250.30(A)(1)")))
          note     Bond the neutral once.                                   250.30(A)(1)
    """
    lines = spread(clean(text), clean(right), WIDTH - at)
    if not label:
        return [" " * at + line for line in lines]
    head = f"  {ink.label(label, label)}"
    gap = at - 2 - columns_of(label)
    if gap < 1:
        return [head, *(" " * at + line for line in lines)]
    return [head + " " * gap + lines[0], *(" " * at + line for line in lines[1:])]


def _column(cells: Sequence[str], sizes: Sequence[bool]) -> list[str]:
    """Move the sizes of a column to the right so that their ends meet."""
    end = max((columns_of(cell) for cell, size in zip(cells, sizes, strict=True) if size), default=0)
    return [
        " " * (end - columns_of(cell)) + cell if size and cell else cell
        for cell, size in zip(cells, sizes, strict=True)
    ]


def sides(rows: Iterable[Side], indent: int = 2) -> list[str]:
    """Return the table with a supply side and a load side; cells that are too wide go on below."""
    shown = [row for row in rows if row.supply or row.load]
    if not shown:
        return []
    sizes = [row.size for row in shown]
    names = max(SIDES_AT - indent, 1 + max(columns_of(row.name) for row in shown))
    room = (WIDTH - indent - names - 2) // 2
    supply = _column([clean(row.supply) for row in shown], sizes)
    load = _column([clean(row.load) for row in shown], sizes)
    width = min(room, max(19, *(columns_of(cell) for cell in supply)))
    lines = [("", "supply side", "load side")]
    for row, *cells in zip(shown, supply, load, strict=True):
        parts = zip_longest(
            _cell(cells[0], width), _cell(cells[1], WIDTH - indent - names - width - 2), fillvalue=""
        )
        lines += [("" if number else row.name, *pair) for number, pair in enumerate(parts)]
    return [
        f"{' ' * indent}{pad(name, names)}{pad(left, width)}  {right}".rstrip() for name, left, right in lines
    ]


def _cell(text: str, width: int) -> list[str]:
    return [text] if columns_of(text) <= width else wrap(text, width)
