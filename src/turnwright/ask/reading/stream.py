"""The request as one line of plain words, every size and voltage replaced by a mark that rules can name.

`<A3>` stands for the atom number 3, a current. Rules are regular expressions over this line, so that one pattern
covers every spelling of the size in it; offsets lead back to the words as they were written.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from typing import NamedTuple

from turnwright.ask.reading.atoms import Atom, counted_at, listed_at, order_at, pieces_at, size_at, spelled
from turnwright.ask.reading.tokens import Token, tokens_of
from turnwright.ask.reading.volts import volts_at
from turnwright.quantities.spelling import plain

BREAK = "|"
_BEHIND_VOLTS = frozenset(("v", "delta", "y", "wye"))
"""What may stand between volts and the hyphen of a ratio: 480V-208Y/120."""
_AMPS_FOLLOW = frozenset(("fla", "flc", "rla", "lra", "aic", "mca"))
"""Abbreviations of nameplates whose number is in amperes."""


class Stream(NamedTuple):
    """A request, ready for rules.

    text    as it came
    line    words and marks between single spaces; `|` ends a sentence
    atoms   what the marks stand for
    starts  where each piece of the line begins in it, `ends` where it ends, `spans` where it stands in the text
    places  where the mark of each atom stands in the line
    breaks  where the sentences end
    """

    text: str
    line: str
    tokens: list[Token]
    atoms: list[Atom]
    starts: list[int]
    ends: list[int]
    spans: list[tuple[int, int]]
    places: list[tuple[int, int]]
    breaks: list[int]

    def span(self, start: int, end: int) -> tuple[int, int]:
        """Return where a part of the line stands in the text."""
        first = max(bisect_right(self.starts, start) - 1, 0)
        if self.ends[first] <= start and first + 1 < len(self.starts):
            first += 1
        last = max(bisect_left(self.starts, end) - 1, first)
        return self.spans[first][0], self.spans[last][1]

    def place(self, index: int) -> tuple[int, int]:
        """Return where an atom stands in the line."""
        return self.places[index]

    def sentence(self, at: int) -> tuple[int, int]:
        """Return the ends of the sentence around a place of the line."""
        after = bisect_left(self.breaks, at)
        low = self.breaks[after - 1] + 1 if after else 0
        return low, self.breaks[after] if after < len(self.breaks) else len(self.line)


def stream_of(text: str) -> Stream:
    """Return a request as a stream.

    Example:
        >>> stream_of("Supply is 480 V, three-phase. Load 22 kVA.").line
        'supply is <V0> , <PH1> | load <S2> |'
    """
    tokens = tokens_of(text)
    atoms: list[Atom] = []
    pieces: list[str] = []
    spans: list[tuple[int, int]] = []
    at = 0
    while at < len(tokens):
        atom = _atom_at(tokens, at)
        if atom is not None:
            pieces.append(f"<{atom.kind}{len(atoms)}>")
            spans.append((tokens[at].start, tokens[atom.last - 1].end))
            atoms.append(atom)
            at = atom.last
            continue
        word = _word(tokens, at)
        if word:
            pieces.append(word)
            spans.append((tokens[at].start, tokens[at].end))
        at += 1
    starts, here = [], 0
    for piece in pieces:
        starts.append(here)
        here += len(piece) + 1
    ends = [start + len(piece) for start, piece in zip(starts, pieces, strict=True)]
    whole = list(zip(pieces, starts, ends, strict=True))
    places = [
        (start, end) for piece, start, end in whole if piece[0] == "<" and piece[-1] == ">" and len(piece) > 2
    ]
    breaks = [end - 1 for piece, _, end in whole if piece[-1] == BREAK]
    return Stream(text, " ".join(pieces), tokens, atoms, starts, ends, spans, places, breaks)


def _atom_at(tokens: list[Token], at: int) -> Atom | None:
    token = tokens[at]
    if token.kind in ("break", "code"):
        return None
    if token.kind == "number":
        found = (
            frequencies_at(tokens, at)
            or order_at(tokens, at)
            or volts_at(tokens, at)
            or counted_at(tokens, at)
        )
        if (
            found is None
            and [token.text for token in tokens[at + 1 : at + 2]] == ["x"]
            and _number(tokens, at + 2)
        ):
            found = pieces_at(tokens, at)
        return (
            found
            or size_at(tokens, at)
            or listed_at(tokens, at)
            or pieces_at(tokens, at)
            or _bare(tokens, at)
        )
    if token.kind == "mark":
        return pieces_at(tokens, at) or size_at(tokens, at)
    return (
        _unit_first(tokens, at)
        or counted_at(tokens, at)
        or volts_at(tokens, at)
        or order_at(tokens, at)
        or size_at(tokens, at)
        or pieces_at(tokens, at)
        or _bare(tokens, at)
    )


def _unit_first(tokens: list[Token], at: int) -> Atom | None:
    """Return a rating as nameplates have it, the unit before the number: "KVA 50", "kVA: 75"."""
    here = at + 1 + ([token.text for token in tokens[at + 1 : at + 2]] in ([":"], ["="]))
    if tokens[at].text != "kva" or not _number(tokens, here) or (at and tokens[at - 1].kind == "number"):
        return None
    value = tokens[here].value or 0.0
    ends = here + 1 >= len(tokens) or tokens[here + 1].kind in ("mark", "break") or tokens[here + 1].capital
    return Atom("S", at, here + 1, f"{plain(value)} kVA", value, value, "exact") if ends and value else None


def _number(tokens: list[Token], at: int) -> bool:
    return at < len(tokens) and tokens[at].kind == "number"


def frequencies_at(tokens: list[Token], at: int) -> Atom | None:
    """Return both frequencies of a plate: "50/60 Hz"."""
    texts = [token.text for token in tokens[at : at + 4]]
    both = len(texts) == 4 and texts[0] == "50" and texts[1] in ("/", "-", "or") and texts[2] == "60"
    if both and texts[3] in ("hz", "hertz", "cycle", "cycles"):
        return Atom("Z", at, at + 4, "50/60 Hz", 50.0, 60.0, "both")
    bare = texts[:3] == ["50", "/", "60"] and (len(texts) < 4 or tokens[at + 3].kind in ("mark", "break"))
    if bare and at > 1 and tokens[at - 1].text in (",", "v"):
        return Atom("Z", at, at + 3, "50/60 Hz", 50.0, 60.0, "both")
    return None


def _bare(tokens: list[Token], at: int) -> Atom | None:
    token = tokens[at]
    if token.kind == "number" and token.value is not None:
        behind = at + 1 < len(tokens) and tokens[at + 1].text in _AMPS_FOLLOW
        if behind or (at and tokens[at - 1].text in _AMPS_FOLLOW):
            return Atom("A", at, at + 1, f"{plain(token.value)} A", token.value, token.value, "exact")
        return Atom("N", at, at + 1, plain(token.value), token.value, token.value)
    found = spelled(tokens, at)
    return Atom("N", at, found[1], plain(found[0]), found[0], found[0]) if found else None


def _word(tokens: list[Token], at: int) -> str:
    """Return a token as the line has it; a hyphen inside a word is no word."""
    token = tokens[at]
    if token.kind == "break":
        return f"? {BREAK}" if token.text == "?" else BREAK
    if token.kind == "code":
        return "#"
    if token.text == ".":
        return ""
    if token.text == "-" and token.glued and at + 1 < len(tokens) and tokens[at + 1].glued:
        before = tokens[at - 1] if at > 0 else None
        wound = before is not None and (before.kind == "number" or before.text in _BEHIND_VOLTS)
        number = tokens[at + 1].kind == "number" and wound
        return "-" if number else ""
    return token.text.replace("<", "(").replace(">", "to").replace("|", "/")
