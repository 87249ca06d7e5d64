"""Which sizes of a request are loads: not what a breaker, a supply, a total or a part of a load already read is.

A size counts as a load of its own where its words say so: a name, a list, a word of need. What stands beside a load
already read without any of these is another size of it, and two sizes of one kind that cannot both hold are a question.
"""

from __future__ import annotations

import re

from msgspec.structs import replace

from turnwright.ask.reading.load_words import LONGEST_BREATH, ReadLoad, patterns
from turnwright.ask.reading.mention import Ask
from turnwright.ask.reading.stream import BREAK, Stream
from turnwright.ask.reading.systems import System

_SUM_SLACK = 0.06
"""A total that is written rounded."""
_OUTLETS = frozenset(("outlet", "socket", "plug", "receptacle", "pedestal"))
"""What amperes directly behind the volts of a supply are those of."""
_WHY = "Both are said of one load."


def only_loads(
    stream: Stream, loads: list[ReadLoad], systems: list[System]
) -> tuple[list[ReadLoad], list[Ask]]:
    """Return the loads among the sizes that were found, and what is to be asked of them.

    stream   : the request
    loads    : sizes with their names and pieces
    systems  : its voltages with their sides
    """
    kept = [load for load in loads if not _of_supply(stream, load, systems) and not _outlet(load, loads)]
    kept = _without_parts(stream, kept)
    kept = _joined(stream, kept)
    kept = _without_totals(stream, kept)
    kept = [load for load in kept if not _bare(stream, load, kept)]
    return _settled(stream, kept, systems)


def _of_supply(stream: Stream, load: ReadLoad, systems: list[System]) -> bool:
    """Whether a size is amperes of the supply, or of something that carries a load rather than takes it."""
    if set(load.sizes) != {"current"}:
        return False
    if load.named is not None and load.named.start >= load.end:
        return load.named.noun in _OUTLETS and _beside_supply(stream, load, systems, 0)
    if load.named is not None:
        return load.named.end < load.start and _beside_supply(stream, load, systems, load.named.end)
    low, high = stream.sentence(load.start)
    sides = {one.role for one in systems if low <= one.start < high}
    said = patterns().about_load.search(stream.line[low : load.start]) is not None
    return (sides == {"supply"} and not said) or _beside_supply(stream, load, systems, 0)


def _outlet(load: ReadLoad, loads: list[ReadLoad]) -> bool:
    """Whether amperes are those of the one outlet that another load is plugged into: "a 50 A pedestal"."""
    alone = set(load.sizes) == {"current"} and load.pieces is None and len(loads) > 1
    return alone and load.named is not None and load.named.start >= load.end and load.named.noun in _OUTLETS


def _beside_supply(stream: Stream, load: ReadLoad, systems: list[System], since: int) -> bool:
    """Whether amperes stand in one breath behind the voltage of the supply: "mains 208Y/120 V, 225 A"."""
    if load.pieces is not None:
        return False
    return any(
        one.role == "supply"
        and re.fullmatch(r"(?: ?,? ?<(?:PH|WI|Z)\d+>)* ?,? ?", stream.line[one.end : load.start])
        for one in systems
        if since <= one.start and one.end <= load.start <= one.end + LONGEST_BREATH
    )


def _without_parts(stream: Stream, loads: list[ReadLoad]) -> list[ReadLoad]:
    """Leave out what a load already read contains: "60 kW, of which 20 kW is heating"."""
    kept: list[ReadLoad] = []
    for load in loads:
        low, _ = stream.sentence(load.start)
        before = [one for one in kept if low <= one.start < load.start]
        if before and _in_brackets(stream, before[-1], load):
            continue
        if before and patterns().part_of.search(stream.line[before[0].end : load.start]):
            continue
        kept.append(load)
    return kept


def _in_brackets(stream: Stream, whole: ReadLoad, load: ReadLoad) -> bool:
    """Whether a load with a name stands in brackets behind one already read: "14 kW (fan 2 hp, pump 5 hp)"."""
    between = stream.line[whole.end : load.start]
    return load.own and re.match(r"(?: [a-z]+){0,3} \(", between) is not None and ")" not in between


def _joined(stream: Stream, loads: list[ReadLoad]) -> list[ReadLoad]:
    """Take a size of another kind, without a name or a count of its own, as one more of the load before it."""
    kept: list[ReadLoad] = []
    for load in loads:
        before = kept[-1] if kept else None
        if before is not None and before.pieces is not None and _per_piece(stream, before, load):
            kept[-1] = replace(before, sizes={**before.sizes, **load.sizes})
            continue
        same = _named_again(stream, kept, load)
        if same is not None:
            kept[same] = replace(kept[same], sizes={**kept[same].sizes, **load.sizes})
            continue
        in_breath = before is not None and load.start < stream.sentence(before.start)[1]
        if before is not None and in_breath and not load.own and not _is_total(stream, load):
            between = stream.line[before.end : load.start]
            other = not set(load.sizes) & set(before.sizes)
            if other and load.pieces is None and not _new(between):
                kept[-1] = replace(before, end=load.end, sizes={**before.sizes, **load.sizes})
                continue
        kept.append(load)
    return kept


def _named_again(stream: Stream, loads: list[ReadLoad], load: ReadLoad) -> int | None:
    """Return the load before that a sentence of its own speaks of again: "The crusher pulls 27 A"."""
    if load.named is None or not load.named.sure or load.pieces is not None or load.named.start > load.start:
        return None
    low, _ = stream.sentence(load.start)
    ahead = stream.line[low : load.named.start]
    if patterns().one_more.search(ahead):
        return None
    alike = [
        place
        for place, one in enumerate(loads)
        if one.named is not None and one.named.noun == load.named.noun and one.start < low
    ]
    fits = len(alike) == 1 and not set(loads[alike[0]].sizes) & set(load.sizes)
    return alike[0] if fits else None


def _per_piece(stream: Stream, before: ReadLoad, load: ReadLoad) -> bool:
    """Whether a size is said of each of the pieces before it: "allow 4 kVA per truck"."""
    if set(load.sizes) & set(before.sizes) or load.pieces is not None:
        return False
    return (
        re.match(r" (?:per|for each|for every) [a-z]+\b", stream.line[load.end : load.end + 40]) is not None
    )


def _new(between: str) -> bool:
    """Whether the words between two sizes begin with another load."""
    return (
        patterns().list_between.fullmatch(between) is not None
        or patterns().one_more.search(between) is not None
    )


def _without_totals(stream: Stream, loads: list[ReadLoad]) -> list[ReadLoad]:
    """A total of loads that are read one by one is none of them; one that is less than their sum stands for them."""
    totals = [load for load in loads if _is_total(stream, load) or _is_sum(stream, load, loads)]
    parts = [load for load in loads if load not in totals]
    if len(totals) != 1 or not parts:
        return loads
    (total,) = totals
    key = next(iter(total.sizes))
    together = [size for load in parts if (size := _size(stream, load, key)) is not None]
    if len(together) < len(parts):
        return loads
    whole = stream.atoms[total.sizes[key]].high
    return parts if abs(whole - sum(together)) <= _SUM_SLACK * sum(together) else totals


def _is_total(stream: Stream, load: ReadLoad) -> bool:
    low, high = stream.sentence(load.start)
    before, after = stream.line[max(low, load.start - 80) : load.start], stream.line[load.end : high][:25]
    return patterns().total_of.search(before) is not None or patterns().total.match(after.strip()) is not None


def _is_sum(stream: Stream, load: ReadLoad, loads: list[ReadLoad]) -> bool:
    """Whether a size is that of so many pieces behind it in its sentence: "30 kVA for trailers, six at 5 kVA"."""
    key = next(iter(load.sizes))
    _low, high = stream.sentence(load.start)
    pieces = [
        one for one in loads if one.pieces is not None and load.start < one.start < high and key in one.sizes
    ]
    if len(pieces) != 1 or load.pieces is not None:
        return False
    other = pieces[0].named
    if load.named is not None and (other is None or other.noun != load.named.noun):
        return False
    return _size(stream, pieces[0], key) == stream.atoms[load.sizes[key]].high


def _size(stream: Stream, load: ReadLoad, key: str) -> float | None:
    """Return what a load takes in the unit of a total; kilowatts stand for as many kVA."""
    alike = {"kva": ("kva", "kw"), "kw": ("kw", "kva")}.get(key, (key,))
    name = next((one for one in alike if one in load.sizes), None)
    if name is None:
        return None
    pieces = stream.atoms[load.pieces].low if load.pieces is not None else 1
    return stream.atoms[load.sizes[name]].high * pieces


def _bare(stream: Stream, load: ReadLoad, loads: list[ReadLoad]) -> bool:
    """Whether a kVA among loads with names has neither a name nor a word that speaks of a load."""
    if set(load.sizes) != {"kva"} or load.own:
        return False
    low, high = stream.sentence(load.start)
    listed = load.named is not None and any(low <= one.start < load.start for one in loads)
    others = any(one is not load and one.own for one in loads)
    beside = re.search(r"<V\d+>(?: <(?:PH|WI)\d+>)? $", stream.line[low : load.start]) is not None
    return others and not listed and not beside and not patterns().about_load.search(stream.line[low:high])


def _settled(
    stream: Stream, loads: list[ReadLoad], systems: list[System]
) -> tuple[list[ReadLoad], list[Ask]]:
    """Of two sizes of one kind without names, that are no list, keep the corrected one, else ask."""
    asks: list[Ask] = []
    kept: list[ReadLoad] = []
    for load in loads:
        before = kept[-1] if kept else None
        if (
            before is not None
            and not load.own
            and _same_kind(load, before)
            and _is_corrected(stream, before, load)
        ):
            kept[-1] = replace(before, sizes=load.sizes, end=load.end)
            continue
        open_yet = before is not None and not before.sizes and _is_said(stream, load)
        if before is None or not (open_yet or _alike(load, before)):
            kept.append(load)
            continue
        if not before.sizes or _replaces(stream, before, load):
            kept[-1] = load
        elif _goes_beside(stream, before, load, systems):
            kept.append(load)
        elif not _is_said(stream, before) or _is_said(stream, load):
            asks.append(_which(stream, before, load, len(kept) - 1))
            kept[-1] = replace(before, sizes={})
    return kept, asks


def _is_corrected(stream: Stream, before: ReadLoad, load: ReadLoad) -> bool:
    between = stream.line[before.end : load.start]
    return len(between) < LONGEST_BREATH and patterns().corrected.search(between) is not None


def _replaces(stream: Stream, before: ReadLoad, load: ReadLoad) -> bool:
    """Whether a size stands in the place of one before it: the one that is said to be the load."""
    between = stream.line[before.end : load.start]
    return _is_said(stream, load) and not _is_said(stream, before) and not patterns().one_more.search(between)


def _goes_beside(stream: Stream, before: ReadLoad, load: ReadLoad, systems: list[System]) -> bool:
    """Whether a size goes on with a list that the one before it began, or takes another voltage."""
    mine, other = (_volts_of(stream, one, systems) for one in (load, before))
    if mine and other and not mine & other:
        return True
    between = stream.line[before.end : load.start]
    if load.pieces is not None or patterns().list_between.fullmatch(between):
        return True
    if patterns().opinion.search(between):
        return False
    return patterns().one_more.search(between) is not None or ("," in between and BREAK not in between)


def _volts_of(stream: Stream, load: ReadLoad, systems: list[System]) -> set[float]:
    """Return the voltages of loads in the sentence of a load."""
    low, high = stream.sentence(load.start)
    return {one.volts.highest for one in systems if one.role == "load" and low <= one.start < high}


def _is_said(stream: Stream, load: ReadLoad) -> bool:
    """Whether the words since the last comma say that a size is what is drawn."""
    before = stream.line[max(stream.sentence(load.start)[0], load.start - 60) : load.start]
    return patterns().load_said.search(re.split(r" [,(] ", before)[-1]) is not None


def _which(stream: Stream, first: ReadLoad, second: ReadLoad, place: int) -> Ask:
    key = next(iter(second.sizes))
    one, other = (stream.atoms[load.sizes[key]].text for load in (first, second))
    ask = f"Which is the load: {one} or {other}?"
    return Ask(key=f"load[{place}].{key}", ask=ask, why=_WHY, start=second.start, end=second.end)


def _alike(first: ReadLoad, second: ReadLoad) -> bool:
    """Whether two sizes without names may be those of one load."""
    return not first.own and not second.own and _same_kind(first, second)


def _same_kind(first: ReadLoad, second: ReadLoad) -> bool:
    return set(first.sizes) == set(second.sizes) and len(first.sizes) == 1
