"""What a request says, but not of this job: denied, only supposed, or said of something else.

"Not 480", "if we get the second press", "our neighbour has": a fact in such words is left unread rather than guessed.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterable
from typing import NamedTuple

from turnwright.ask.reading.grammar import scopes
from turnwright.ask.reading.mention import Mention
from turnwright.ask.reading.stream import BREAK, Stream

_DENIAL = re.compile(r"\b(?:no|not|never|without|non)\b|n't\b")


class Scope(NamedTuple):
    """A part of the line of which nothing is read.

    start, end  in the line
    holds       beginnings of keys that are read all the same
    whole       a clause; else words from the denial on, and a fact that begins with these says the denial itself
    """

    start: int
    end: int
    holds: tuple[str, ...]
    whole: bool


def scopes_of(stream: Stream) -> list[Scope]:
    """Return the parts of a request that are denied, only supposed, or said of something else.

    Example:
        >>> from turnwright.ask.reading.stream import stream_of
        >>> stream = stream_of("Not on the roof, it goes in the basement.")
        >>> [stream.line[one.start : one.end] for one in scopes_of(stream)]
        ['not on the roof']
    """
    return sorted(
        Scope(match.start(), match.end(), holds, whole)
        for pattern, holds, whole in scopes()
        for match in pattern.finditer(stream.line)
    )


def without(stream: Stream, found: list[Scope]) -> Stream:
    """Return the request with the words of clauses that say nothing of this job left blank."""
    line = stream.line
    for scope in found:
        if scope.whole:
            blank = "".join(mark if mark == BREAK else " " for mark in line[scope.start : scope.end])
            line = line[: scope.start] + blank + line[scope.end :]
    return stream._replace(line=line)


def atoms_inside(stream: Stream, found: list[Scope], kinds: str) -> set[int]:
    """Return the atoms of some kinds that stand in a scope."""
    places = [
        (stream.place(index)[0], index) for index, atom in enumerate(stream.atoms) if atom.kind in kinds
    ]
    return {
        index
        for scope in found
        for start, index in places[bisect_right(places, (scope.start, -1)) :]
        if start < scope.end
    }


def outside(stream: Stream, mentions: Iterable[Mention], found: list[Scope]) -> list[Mention]:
    """Return the facts that stand in no scope, or whose words begin with the denial of it."""
    return [one for one in mentions if not any(_bars(stream, scope, one) for scope in found)]


def _bars(stream: Stream, scope: Scope, mention: Mention) -> bool:
    if mention.key.startswith(scope.holds) or not scope.start <= mention.start < scope.end:
        return False
    if scope.whole:
        return _DENIAL.search(stream.line[mention.start : mention.end]) is None
    return scope.start < mention.start
