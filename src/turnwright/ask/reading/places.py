"""What words say without a size: the place, what it is like, how things start, run, are grounded and wired."""

from __future__ import annotations

import re

from turnwright.ask.reading.grammar import rules
from turnwright.ask.reading.mention import Mention
from turnwright.ask.reading.stream import Stream

_LETTER = r"\b(?:code letter|kva code|locked rotor code|nema code|code) (?:is |of |: )?([a-hj-np-v])\b"


def read_words(stream: Stream) -> list[Mention]:
    """Return the facts that words say without a size; of the place only the first."""
    found: list[Mention] = []
    settled: set[str] = set()
    for key, pattern, value, _ in rules("words"):
        if key in settled:
            continue
        for match in pattern.finditer(stream.line):
            found.append(Mention(key=key, value=value, start=match.start(), end=match.end()))
            if not key.startswith("load."):
                break
        if found and found[-1].key == key and key not in ("site.conditions",) and not key.startswith("load."):
            settled.add(key)
    for match in re.finditer(_LETTER, stream.line):
        letter = match[1].upper()
        found.append(
            Mention(key="load.locked_rotor_code", value=letter, start=match.start(), end=match.end())
        )
    return _without_contradictions(found)


def _without_contradictions(found: list[Mention]) -> list[Mention]:
    """A denial covers the words it denies: "not continuous" is not also "continuous"."""
    kept: list[Mention] = []
    for one in found:
        inside = any(
            one.key == other.key and other.start <= one.start and one.end <= other.end for other in kept
        )
        if not inside:
            kept.append(one)
    return kept
