"""The room a unit stands in: its length, width and height."""

from __future__ import annotations

import re

from turnwright.ask.reading.mention import Mention
from turnwright.ask.reading.stream import Stream
from turnwright.quantities.spelling import plain

_SIDES = re.compile(
    r"(?:<QT(\d+)>|<[NL](\d+)> (?:x|by)) <L(\d+)>(?: (?:x|by) <L(\d+)>)?"
    r"(?:[^|<]{0,12}<L(\d+)> (?:high |tall )?(?:ceiling|high|tall|clear)\b)?"
)
_ROOM = re.compile(r"\b(?:room|closet|vault|shed|space|enclosure|basement|cellar|shaft)\b")


def room_of(stream: Stream, taken: set[int]) -> list[Mention]:
    """Return the sides of a room, the longer one as its length; their atoms are added to `taken`.

    stream : the request
    taken  : atoms that are something already
    """
    for match in _SIDES.finditer(stream.line):
        low, high = stream.sentence(match.start())
        numbers = [int(group) for group in match.groups() if group is not None]
        if _ROOM.search(stream.line[low:high]) is None or taken & set(numbers):
            continue
        atoms = [stream.atoms[number] for number in numbers]
        unit = atoms[1].text.rpartition(" ")[2]
        longer, shorter = sorted((atoms[0].low, atoms[1].low), reverse=True)
        sizes = {"length": longer, "width": shorter}
        if len(atoms) > 2:
            sizes["height"] = atoms[2].low
        taken.update(numbers)
        place = {"start": match.start(), "end": match.end()}
        return [
            Mention(key=f"site.room.{name}", value=f"{plain(size)} {unit}", **place)
            for name, size in sizes.items()
        ]
    return []
