"""How cold and how warm a place gets, where both ends are said in one breath or a frost stands alone."""

from __future__ import annotations

import re

from turnwright.ask.reading.mention import Ask, Mention
from turnwright.ask.reading.stream import Stream
from turnwright.quantities.spelling import plain

_NOT_AIR = re.compile(
    r"\b(?:rise|insulation|terminals?|terminations?|lugs?|winding|impedance|class|oven|furnace|freezer"
    r"|lid|case|enclosure|surface|core|coils?|water|glycol|oil|bath|product|dough|kiln|set ?point|process)\b"
)
_TWO = re.compile(r"<T(\d+)> (?:to|up to|and|-|/) (?:\+ )?<T(\d+)>")
_LOW_HIGH = re.compile(
    r"\b(?:low|lows|min|minimum)(?: of| :)? <T(\d+)>[^|<]{0,20}\b(?:high|highs|max|maximum)(?: of| :)? <T(\d+)>"
)


def ambients_of(stream: Stream, taken: set[int]) -> list[Mention]:
    """Return the coldest and the warmest of a place; their atoms are added to `taken`.

    stream : the request
    taken  : atoms that are something already
    """
    for match in (*_LOW_HIGH.finditer(stream.line), *_TWO.finditer(stream.line)):
        low, high = (stream.atoms[int(number)] for number in match.groups())
        if low.low < high.low and _of_air(stream, match.start()):
            taken.update(int(number) for number in match.groups())
            place = {"start": match.start(), "end": match.end()}
            return [
                Mention(key="site.ambient_lowest", value=low.text, **place),
                Mention(key="site.ambient_peak", value=high.text, **place),
            ]
    for index, atom in enumerate(stream.atoms):
        start, end = stream.place(index)
        if atom.kind != "T" or index in taken or not _of_air(stream, start):
            continue
        unit = atom.text.rpartition(" ")[2]
        if atom.more == "range" and unit.startswith("deg"):
            taken.add(index)
            return [
                Mention(key="site.ambient_lowest", value=f"{plain(atom.low)} {unit}", start=start, end=end),
                Mention(key="site.ambient_peak", value=f"{plain(atom.high)} {unit}", start=start, end=end),
            ]
        if atom.more == "exact" and atom.high < 0 and unit.startswith("deg"):
            taken.add(index)
            return [Mention(key="site.ambient_lowest", value=atom.text, start=start, end=end)]
    return []


def open_ambient(stream: Stream, taken: set[int], known: list[Mention]) -> list[Ask]:
    """Return the question which end a temperature is of that stands alone, where nothing else says how warm it gets.

    stream : the request
    taken  : atoms that are something already
    known  : the facts that were read

    Example:
        >>> from turnwright.ask.reading.stream import stream_of
        >>> [one.ask for one in open_ambient(stream_of("Rooftop in Phoenix, 118 °F."), set(), [])]
        ['Is 118 degF the hottest the place gets, or what it is on average?']
    """
    if any(one.key in ("site.ambient_peak", "site.ambient_average") for one in known):
        return []
    for index, atom in enumerate(stream.atoms):
        start, end = stream.place(index)
        unit = atom.text.rpartition(" ")[2]
        if atom.kind != "T" or index in taken or not unit.startswith("deg") or not _of_air(stream, start):
            continue
        ask = f"Is {atom.text} the hottest the place gets, or what it is on average?"
        why = "Heat takes capacity by the average of a day, and ends it by the peak."
        return [Ask(key="site.ambient_peak", ask=ask, why=why, start=start, end=end)]
    return []


def _of_air(stream: Stream, at: int) -> bool:
    low, high = stream.sentence(at)
    return _NOT_AIR.search(stream.line[low:high]) is None
