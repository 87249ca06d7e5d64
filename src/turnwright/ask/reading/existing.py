"""A unit somebody owns already: its nameplate is no fact of the job, and nobody's load."""

from __future__ import annotations

import re

from turnwright.ask.reading.mention import Mention
from turnwright.ask.reading.notation import system_text
from turnwright.ask.reading.stream import BREAK, Stream
from turnwright.ask.reading.systems import systems_of

_OWNED = re.compile(
    r"\b(?:spare|surplus|second hand|secondhand|used|donated|given|lying around|sitting (?:in|on|there)|left over"
    r"|leftover|in the yard|on the shelf|in stock|in storage|pulled from|salvaged|from the old)\b"
)
_UNIT = re.compile(r"\b(?:unit|transformer|xfmr|trafo)\b")


def existing_unit(stream: Stream, taken: set[int]) -> list[Mention]:
    """Return the nameplate facts of a unit that is owned or offered; their atoms are added to `taken`.

    stream : the request
    taken  : atoms that are something already
    """
    start = 0
    for sentence in stream.line.split(BREAK):
        end = start + len(sentence)
        if (
            _OWNED.search(sentence)
            and (_UNIT.search(sentence) or "-" in sentence)
            and re.search(r"<S\d+>", sentence)
        ):
            return _nameplate(stream, start, end, taken)
        start = end + len(BREAK)
    return []


def _nameplate(stream: Stream, start: int, end: int, taken: set[int]) -> list[Mention]:
    found: list[Mention] = []
    names = {"S": "unit.kva", "Z": "unit.frequency"}
    windings = [one for one in systems_of(stream) if start <= one.start < end]
    for index, atom in enumerate(stream.atoms):
        low, high = stream.place(index)
        if not start <= low < end or index in taken:
            continue
        key = names.get(atom.kind)
        if key is not None and key not in {one.key for one in found}:
            found.append(Mention(key=key, value=atom.text, start=low, end=high))
            taken.add(index)
    for key, winding in zip(("unit.primary", "unit.secondary"), windings, strict=False):
        text = system_text(winding.volts)
        if text is not None:
            found.append(Mention(key=key, value=text, start=winding.start, end=winding.end))
            taken.update({winding.index, *winding.used})
    return found
