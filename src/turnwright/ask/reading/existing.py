"""A unit somebody owns already: its nameplate is no fact of the job, and nobody's load."""

from __future__ import annotations

import re

from turnwright.ask.reading.mention import Mention
from turnwright.ask.reading.notation import system_text
from turnwright.ask.reading.stream import BREAK, Stream
from turnwright.ask.reading.systems import System

_OWNED = re.compile(
    r"\b(?:(?<!> )spare(?! (?:capacity|room|ways?|breakers?))|surplus|second hand|secondhand|used"
    r"|donated|given"
    r"|lying around|sitting (?:in|on|there|around)"
    r"|left over|leftover|in the yard|boneyard|on the shelf|in stock|in storage|in the warehouse|pulled from|salvaged"
    r"|on the rack|in stores|rental fleet"
    r"|re ?locating|relocate"
    r"|from the old|(?<!their )(?<!its )(?<!each )own(?:s|ed)?|picked up|bought|came with)\b"
    r"|\bspare (?=<S\d+>)"
    r"|\b(?:my|our) (?:[a-z]+ ){0,2}(?:<[ZVPSH]+\d+> )*(?:<\w+> )*(?:transformer|xfmr|trafo)\b"
)
_IN_PLACE = re.compile(
    r"\b(?:existing|present|installed|current|old) ?:? (?:[a-z]+ )?"
    r"(?:transformer|unit|xfmr|trafo|label|plate|nameplate|tag)\b"
    r"|<S\d+> ?,? ?(?:<PH\d+> )?<V\d+> (?:-|to) <V\d+> (?:serves|feeds|supplies|feeding|serving)\b"
    r"|<S\d+> (?:(?:transformer|xfmr|unit|trafo) )?(?:feeding|feeds|serving|serves|that feeds|supplying|running)\b"
    r"|\b(?:unit|transformer|xfmr) (?:on site|in place|in service|there now|there today|installed) ?[:,]? ?<S\d+>"
    r"|\breplac\w+ (?:the |our |an? )?(?:(?:[a-z#]+|<N\d+>) ){0,3}(?:unit|transformer|xfmr|trafo)\b[^|<]{0,30}<S\d+>"
    r"|\b(?:nameplate|name plate|plate|label|tag|replac\w+|failed|burn(?:ed|t)(?: out)?)\b"
    r"[^|]{0,120}\b(?:hv|primary) ?[:=]? <V\d+>[^|]{0,80}\b(?:lv|secondary) ?[:=]? <V\d+>"
    r"|\bthere is an? <S\d+>|\b(?:plate|label|tag)\b[^|]{0,12}\b(?:dry type|transformer)\b"
    r"|(?<!price )(?<!quote )(?<!quotation )(?<!bid )(?<!pricing )\bon (?:an?|the|our) <S\d+> ?,? ?(?:<PH\d+> )?<V\d+>"
)
"""A unit that does the job now: its windings are those of the job as well."""
_SOURCE = re.compile(r"\b(?:generator|genset|gen set|ups)\b")
_UNIT = re.compile(r"\b(?:unit|transformer|xfmr|trafo|one|step (?:up|down))\b")
_SIDE = re.compile(r"\b(primary|hv|secondary|lv)(?: (?:is|of|side))* ?[:=]? ?$")
_FED_FROM = re.compile(r"\b(?:from|off|fed by)(?: (?:a|an|the|our))* $")
_IMPEDANCE = re.compile(r"(?:\bimpedance|\bz) ?(?:of |is |: |= )?<C(\d+)>|<C(\d+)> (?:impedance|z)\b")
_COUNT = re.compile(r"<(?:N|QT)(\d+)> (?:(?:spare|surplus|old|used|identical|of these|of) ){0,2}<S\d+>")
_YEAR = re.compile(r"(?:\b(?:from|built|made|since|year|vintage|in) |, )<N(\d+)>(?= ?(?:[|,.)]|$))")


def existing_unit(stream: Stream, written: list[System], taken: set[int]) -> list[Mention]:
    """Return the nameplate facts of a unit that is owned or stands in its place; their atoms are added to `taken`.

    stream  : the request
    written : its voltages
    taken   : atoms that are something already
    """
    start = 0
    for sentence in stream.line.split(BREAK):
        end = start + len(sentence)
        if re.search(r"<S\d+>", sentence):
            windings = [one for one in written if start <= one.start < end]
            says = (
                _UNIT.search(sentence)
                or "-" in sentence
                or (len(windings) > 1 and not _SOURCE.search(sentence))
            )
            if _IN_PLACE.search(sentence):
                return _nameplate(stream, start, end, taken, windings, shared=True)
            if _OWNED.search(sentence) and says:
                return _nameplate(stream, start, end, taken, windings, shared=False)
        start = end + len(BREAK)
    return []


def _nameplate(
    stream: Stream, start: int, end: int, taken: set[int], windings: list[System], *, shared: bool
) -> list[Mention]:
    """Return the facts of a sentence about a unit; shared: its windings are read for the job, too."""
    found: list[Mention] = []
    names = {"S": "unit.kva", "Z": "unit.frequency"}
    windings = _of_unit(stream, start, end, windings)
    for index, atom in enumerate(stream.atoms):
        low, high = stream.place(index)
        if not start <= low < end or index in taken or (atom.kind == "Z" and shared):
            continue
        key = names.get(atom.kind)
        if key is not None and key not in {one.key for one in found}:
            found.append(Mention(key=key, value=atom.text, start=low, end=high))
            taken.add(index)
    found += _stated(stream, start, end, taken)
    for key, winding in _sides(stream, windings):
        text = system_text(winding.volts)
        if text is not None:
            found.append(Mention(key=key, value=text, start=winding.start, end=winding.end))
            if not shared:
                taken.update({winding.index, *winding.used})
    return found


def _sides(stream: Stream, windings: list[System]) -> list[tuple[str, System]]:
    """Return the windings with their keys; one alone only where its side is said."""
    if len(windings) == 2:
        fed_first = not _FED_FROM.search(stream.line[windings[0].end : windings[1].start])
        return list(zip(("unit.primary", "unit.secondary"), windings[:: 1 if fed_first else -1], strict=True))
    said = []
    for one in windings:
        side = _SIDE.search(stream.line[max(one.start - 20, 0) : one.start])
        if side is not None:
            said.append((f"unit.{'primary' if side[1] in ('primary', 'hv') else 'secondary'}", one))
    return said


def _of_unit(stream: Stream, start: int, end: int, windings: list[System]) -> list[System]:
    """Return the windings: two of one ratio; of more that are spoken of in the sentence, those nearest to its kVA."""
    places = (stream.place(number) for number, one in enumerate(stream.atoms) if one.kind == "S")
    size = next(place for place in places if start <= place[0] < end)
    near = sorted(windings, key=lambda one: min(abs(one.start - size[1]), abs(size[0] - one.end)))[:2]
    return sorted(near, key=lambda one: one.start)


def _stated(stream: Stream, start: int, end: int, taken: set[int]) -> list[Mention]:
    """Return how many there are, impedance and year of manufacture."""
    found: list[Mention] = []
    counted = _COUNT.search(stream.line, start, end)
    if counted is not None and 1 < stream.atoms[int(counted[1])].low <= 100:
        index = int(counted[1])
        low, high = stream.place(index)
        found.append(Mention(key="unit.quantity", value=stream.atoms[index].text, start=low, end=high))
        taken.add(index)
    for match in _IMPEDANCE.finditer(stream.line, start, end):
        index = int(match[1] or match[2])
        found.append(
            Mention(
                key="unit.impedance", value=stream.atoms[index].text, start=match.start(), end=match.end()
            )
        )
        taken.add(index)
        break
    for match in _YEAR.finditer(stream.line, start, end):
        index = int(match[1])
        year = stream.atoms[index].low
        if 1950 <= year <= 2030 and index not in taken:
            low, high = stream.place(index)
            found.append(Mention(key="unit.manufactured", value=f"{year:.0f}", start=low, end=high))
            taken.add(index)
            break
    return found


_OF_UNIT = {
    "choices.winding": "unit.winding",
    "choices.rise": "unit.rise",
    "choices.k_rating": "unit.k_rating",
    "choices.impedance": "unit.impedance",
    "choices.proposed_kva": "unit.kva",
    "choices.kva": "unit.kva",
}


def of_unit(stream: Stream, unit: list[Mention], found: list[Mention]) -> list[Mention]:
    """Return the facts with the wishes that stand in the sentence of an existing unit as what that unit is.

    stream : the request
    unit   : the nameplate that was read
    found  : all facts
    """
    place = next((one.start for one in unit if one.key == "unit.kva"), None)
    if place is None:
        return found
    low, high = stream.sentence(place)
    known = {one.key for one in unit}
    moved = []
    for one in found:
        if one.key == "site.place" and low <= one.start < high:
            continue
        key = _OF_UNIT.get(one.key) if low <= one.start < high else None
        if key is None:
            moved.append(one)
        elif key not in known:
            moved.append(one.at(key))
    return moved
