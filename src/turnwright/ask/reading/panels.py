"""The panel that feeds the unit: what it is rated and what it carries already, where both stand beside its voltage."""

from __future__ import annotations

import re

from turnwright.ask.reading.mention import Mention
from turnwright.ask.reading.stream import Stream
from turnwright.ask.reading.systems import System

_LEAST_A = 100.0
"""Amperes behind the volts of a supply are a panel's rating from here on; less may be those of an outlet."""
_RATING = re.compile(
    r"(?: ?,? ?<(?:PH|WI|Z)\d+>)*(?: ?,)?(?: (?:main|main panel|panel|board|bus|rated|with an?|at))* ?,? ?\(? ?<A(\d+)>"
    r"(?! (?:of|each|load|at|per|machine|draw))"
)
_RATING_AHEAD = re.compile(
    r"\b(?:have|has|got|is|service|main|supply|panel)(?: an?| of)? <A(\d+)> (?:at|of|@) (?:an? )?$"
    r"|\b(?:house|service|panel|building|shop|garage)(?: (?:is|has|with|of))? ?,? (?:an? )?<A(\d+)> , $"
)
_LONGEST_AHEAD = 100
"""Characters before a voltage in which its panel may be rated."""
_ALREADY = re.compile(
    r" (?:[a-z]+ ){0,2}?(?:,|\(|with|and) ?(?:(?:measured|metered|peak|existing|present|recorded|its|max) )*"
    r"(?:demand|load|loaded|peak|running|carrying)(?: (?:is|about|at|to|of|reads))* <A(\d+)>"
)
_SAID_BOTH = re.compile(
    r"\b(?:panel|board|switchboard|switchgear|service|main|mdp|msb|bus)\b[^|<]{0,25}<A(\d+)>"
    + _ALREADY.pattern
)


def panel_of(stream: Stream, systems: list[System], taken: set[int]) -> list[Mention]:
    """Return rating and load of the panel of the supply; their atoms are added to `taken`.

    stream  : the request
    systems : its voltages with their sides
    taken   : atoms that are something already
    """
    found: list[Mention] = []
    for system in systems:
        before = stream.line[max(system.start - _LONGEST_AHEAD, 0) : system.start]
        ahead = _RATING_AHEAD.search(before) if system.role == "supply" else None
        rating = int(ahead[1] or ahead[2]) if ahead is not None else None
        if rating is not None and rating not in taken and stream.atoms[rating].low >= _LEAST_A:
            found.append(_said(stream, "supply.panel_rating", rating, taken))
        match = _RATING.match(stream.line, system.end) if system.role == "supply" else None
        if match is None or stream.atoms[int(match[1])].low < _LEAST_A or int(match[1]) in taken:
            continue
        found.append(_said(stream, "supply.panel_rating", int(match[1]), taken))
        behind = _ALREADY.match(stream.line, match.end())
        if behind is not None and int(behind[1]) not in taken:
            found.append(_said(stream, "supply.panel_load", int(behind[1]), taken))
    for match in _SAID_BOTH.finditer(stream.line):
        if not {int(match[1]), int(match[2])} & taken:
            found.append(_said(stream, "supply.panel_rating", int(match[1]), taken))
            found.append(_said(stream, "supply.panel_load", int(match[2]), taken))
    return found


def _said(stream: Stream, key: str, index: int, taken: set[int]) -> Mention:
    taken.add(index)
    start, end = stream.place(index)
    return Mention(key=key, value=stream.atoms[index].text, start=start, end=end)
