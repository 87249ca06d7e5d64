"""What words say without a size: the place, what it is like, how things start, run, are grounded and wired."""

from __future__ import annotations

import re

from turnwright.ask.reading.grammar import rules
from turnwright.ask.reading.mention import Ask, Mention
from turnwright.ask.reading.stream import Stream

_PLACE = "site.place"
_WITHIN = {"ceiling": ("indoor",), "shaft": ("indoor",), "vault": ("indoor", "outdoor"), "roof": ("outdoor",)}
"""Places that say more than another that is named as well."""
_OF_UNIT = re.compile(
    r"\b(?:transformer|unit|goes|go|going|sits?|mount\w*|hang|hung|install\w*|put|location|located|it|it'll|box)\b"
)
_LETTER = r"\b(?:code letter|kva code|locked rotor code|nema code|code) (?:is |of |: )?([a-hj-np-v])\b"
_DIVISION = re.compile(
    r"\b(?:class|cl) (?:\| )?(i{1,3}|<N\d+>) (?:[,/] )?(?:div|division) (?:\| )?<N(\d+)>(?: group [a-g]\b)?"
)
_ZONE = re.compile(r"\bzone <N(\d+)>")
_EXPLOSIVE = re.compile(
    r"\b(?:hazardous|classified|atex|explosi\w+|solvents?|vapou?rs?|gas|petrol|dust|60079|paint|spray)\b"
)
"""What makes a zone one of explosive air, and not one of heating or of a map."""
_ROMAN = {1.0: "I", 2.0: "II", 3.0: "III"}


def read_words(stream: Stream) -> list[Mention]:
    """Return the facts that words say without a size."""
    found: list[Mention] = []
    settled: set[str] = set()
    for rule in rules("words"):
        key, value = rule.key, rule.value
        if key in settled:
            continue
        for match in rule.pattern.finditer(stream.line):
            if rule.unless is not None and rule.unless.search(
                stream.line[stream.sentence(match.start())[0] : match.start()]
            ):
                continue
            found.append(Mention(key=key, value=value, start=match.start(), end=match.end()))
            if not key.startswith("load.") and key != _PLACE:
                break
        if (
            found
            and found[-1].key == key
            and key not in ("site.conditions", _PLACE)
            and not key.startswith("load.")
        ):
            settled.add(key)
    for match in re.finditer(_LETTER, stream.line):
        letter = match[1].upper()
        found.append(
            Mention(key="load.locked_rotor_code", value=letter, start=match.start(), end=match.end())
        )
    found += _classified(stream)[:1]
    return _without_contradictions(found)


def _classified(stream: Stream) -> list[Mention]:
    """The class and division, or the zone, of a hazardous place."""
    found = []
    for match in _DIVISION.finditer(stream.line):
        said, division = match[1], stream.atoms[int(match[2])].low
        roman = _ROMAN.get(stream.atoms[int(said[2:-1])].low or 0.0) if said[0] == "<" else said.upper()
        if roman == "III":
            found.append(_as_classified(match, "class III"))
        elif roman is not None and division in (1.0, 2.0):
            found.append(_as_classified(match, f"class {roman} division {division:g}"))
    if _EXPLOSIVE.search(stream.line):
        for match in _ZONE.finditer(stream.line):
            zone = stream.atoms[int(match[1])].low
            if zone in (0.0, 1.0, 2.0, 20.0, 21.0, 22.0):
                found.append(_as_classified(match, f"zone {zone:g}"))
    return found


def _as_classified(match: re.Match[str], value: str) -> Mention:
    return Mention(key="site.classified", value=value, start=match.start(), end=match.end())


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


def one_place(stream: Stream, found: list[Mention]) -> tuple[list[Mention], list[Ask]]:
    """Leave one place of the unit among the facts; two that cannot both hold are a question.

    stream : the request
    found  : its facts
    """
    places = [one for one in found if one.key == _PLACE]
    others = [one for one in found if one.key != _PLACE]
    said = {one.value for one in places}
    if len(said) > 1:
        covered = {less for one in said for less in _WITHIN.get(one, ())}
        places = [one for one in places if one.value not in covered]
    if len({one.value for one in places}) > 1:
        of_unit = [one for one in places if _OF_UNIT.search(stream.line[slice(*stream.sentence(one.start))])]
        places = of_unit or places
    if len({one.value for one in places}) > 1:
        ask = f"Where will it stand: {' or '.join(dict.fromkeys(one.value for one in places))}?"
        last = places[-1]
        why = "More than one place is spoken of."
        return others, [Ask(key=_PLACE, ask=ask, why=why, start=last.start, end=last.end)]
    return [*others, *places[:1]], []
