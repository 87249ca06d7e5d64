"""Lengths of conductors: which end of the transformer a run belongs to is said by the two things it lies between."""

from __future__ import annotations

import re

from turnwright.ask.reading.grammar import load_nouns, words
from turnwright.ask.reading.mention import Mention
from turnwright.ask.reading.stream import Stream

_NOUNS = r"((?:[a-z'#]+ ){1,5}?)"
_LAST = r"((?:(?!and\b|then\b|which\b|with\b|where\b|in\b)[a-z'#]+(?: |$)){1,5})"
_FILLERS = r"(?:(?:is|runs?|:|,|=|are|should|will|be|maybe|say|only|just|distance|it's|length|of|at) )*"
_AHEAD = re.compile(
    rf"(?:^|[|,;:(] |\b(?:from|between|distance|run|and) )(?:the |our |a )*{_NOUNS}(?:to|and) {_NOUNS}{_FILLERS}$"
)
_BEHIND = re.compile(
    r" (?:(?:of [a-z]+|run|cable|wire|conduit|feeder|away|[a-z]+ (?:cable|wire|conduit)) )*"
    rf"(?:from|between) {_NOUNS}(?:to|and) {_LAST}"
)
_ONE_END = re.compile(rf" (?:(?:of [a-z]+|run|cable|wire|conduit|on|further|more|away) )*(?:to|from) {_LAST}")
_BESIDE = re.compile(
    rf"(?:^|[|,;] |\band )(?:the |our |a )*{_NOUNS}"
    r"(?:(?:is|are|sits|sit|stands|will be|right|just|directly) [^|<]{0,40})?$"
)
_FROM = re.compile(
    rf"\b(?:cable|feeder|run|wire|conduit|wiring|circuit) from (?:the |our )?{_NOUNS}{_FILLERS}$"
)
_APART = re.compile(r" (?:of [a-z]+ )?(?:between (?:them|the two|both)|apart)\b")
_APART_OF = re.compile(
    rf"(?:^|[|,;:(] )(?:the |our |a )*{_NOUNS}[^|<]*?"
    rf"\b(?:next to|beside|near|by|alongside|and) (?:the |our |a )*{_NOUNS}[^|<]{{0,12}}$"
)
_NEXT = re.compile(r"\b(?:beside|next to|close to|near|by|alongside) (?:it|the transformer|there)\b[^<|]*$")
_NEAR = 200
"""Characters of the line in which a transformer is spoken of."""


def runs_of(stream: Stream, taken: set[int]) -> list[Mention]:
    """Return the lengths of both circuits, by what they lie between; their atoms are added to `taken`.

    stream : the request
    taken  : atoms that are something already

    Example:
        >>> from turnwright.ask.reading.stream import stream_of
        >>> text = "Switchboard to transformer 30 m."
        >>> [(one.key, one.value) for one in runs_of(stream_of(text), set())]
        [('circuit.primary_length', '30 m')]
    """
    found: list[Mention] = []
    places = [(index, *stream.place(index)) for index, atom in enumerate(stream.atoms) if atom.kind == "L"]
    said = 0
    for number, (index, start, end) in enumerate(places):
        if index in taken:
            continue
        low, high = stream.sentence(start)
        if number + 1 < len(places):
            high = min(high, places[number + 1][1])
        side, further = _side(stream.line[max(low, said) : start], stream.line[end:high], stream.line[:start])
        said = end + further
        if side in ("primary", "secondary"):
            place = {"start": start, "end": end}
            found.append(Mention(key=f"circuit.{side}_length", value=stream.atoms[index].text, **place))
        if side is not None:
            taken.add(index)
    return found


def _side(before: str, after: str, all_before: str) -> tuple[str | None, int]:
    """Return the side of a length, and how far behind it its ends are named.

    "primary", "secondary"; "whole" from the source to the load; None where its ends are not both plain.
    """
    behind = _BEHIND.match(after)
    if behind is not None:
        return _between(_end(behind[1]), _end(behind[2])), behind.end()
    before = before.strip() + " "
    ahead = _AHEAD.search(before) or (_APART_OF.search(before) if _APART.match(after) else None)
    if ahead is not None:
        return _between(_end(ahead[1]), _end(ahead[2])), 0
    from_one = _FROM.search(before)
    if from_one is not None and _end(from_one[1]) == "source":
        return "primary", 0
    subject = _BESIDE.search(before)
    here = _end(subject[1]) if subject is not None else ""
    if _NEXT.search(before):
        return {"source": "primary", "load": "secondary", "panel": "secondary"}.get(here), 0
    one = _ONE_END.match(after)
    if one is None:
        return None, 0
    end = _end(one[1])
    if here not in ("unit", ""):
        return ("whole" if end in ("source", "panel") else _between(here, end)), one.end()
    known = "transformer" in all_before[-_NEAR:] or "transformer" in after
    return ("secondary" if end == "load" and known else None), one.end()


def _between(first: str, second: str) -> str | None:
    """Return the side by both ends; a panel of which nothing is said is the source ahead of a unit, the load behind."""
    ends = {first, second}
    if ends == {"source", "load"}:
        return "whole"
    if "unit" not in ends or len(ends) == 1:
        return None
    other = second if first == "unit" else first
    if other == "panel":
        return "secondary" if first == "unit" else "primary"
    return {"source": "primary", "load": "secondary"}.get(other)


def _end(said: str) -> str:
    """Return what an end of a run is: "unit" of the transformer, "source", "load", "panel" of either, "" unknown."""
    named = [word for word in said.split() if word not in ("the", "a", "an", "our", "its", "there")]
    if not named:
        return ""
    if "transformer" in named or named == ["unit"]:
        return "unit"
    head = named[-1]
    if head in words("run_panels") or "#" in named:
        if words("of_load_panel") & set(named) or any(
            word in load_nouns() and word not in words("weak_nouns") for word in named[:-1]
        ):
            return "load"
        return "source" if words("of_source_panel") & set(named) else "panel"
    if head in words("run_sources"):
        return "source"
    return "load" if any(word in load_nouns() for word in named) else ""
