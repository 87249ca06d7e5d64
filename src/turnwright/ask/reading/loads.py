"""The loads of a request: which sizes belong together, how many pieces, what they are called, what system they take."""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right

from msgspec.structs import replace

from turnwright.ask.reading.grammar import kinds, load_nouns, words
from turnwright.ask.reading.load_words import LONGEST_BREATH, PART, Named, ReadLoad, patterns
from turnwright.ask.reading.mention import Ask
from turnwright.ask.reading.stream import BREAK, Stream
from turnwright.ask.reading.systems import System
from turnwright.ask.reading.volts import known_volts
from turnwright.ask.reading.which_loads import only_loads

MOST = 200
"""Loads that are taken from one request."""
_SIZE_KEY = {"A": "current", "S": "kva", "P": "kw", "H": "hp"}
_AGAIN = re.compile(
    r"\| ?(?:the )?(?:(?:line|full load|rated|input|running|nameplate) (?:current|amps)|fla|flc|rla)(?: is| of| :)? ?$"
)
_COUNTED_NAMES = re.compile(
    r"<(?:N|QT)(\d+)> (?:[a-z-]+ ){0,2}[a-z]{3,}s ?,? ?(?:<(?:V|PH|WI|Z)\d+> ?,? ?)+$"
)
_MIXED = re.compile(r" (?:and|&|/|\+) (?!the |an? |then |is |are |it |we |our |they |i |some )[a-z]+(?! ?<)")
"""Something else behind a name, of which no size is given: what a load is called is then no kind."""
_MIXED_AHEAD = re.compile(r"(?<!> )\b(?!(?:each|ea|hp|phase)\b)[a-z]{3,} (?:&|/) $")
_CALLED_ALONE = ("line", "cell", "workshop")


def loads_of(stream: Stream, systems: list[System], taken: set[int]) -> tuple[list[ReadLoad], list[Ask]]:
    """Return the loads of a request, in the order written, and what is ambiguous of them.

    stream   : the request
    systems  : its voltages with their sides
    taken    : atoms that are something else
    """
    sized = _as_said_again(stream, _by_sizes(stream, taken))
    ends = [0, *(load.end for load in sized)]
    loads = [_with_pieces(stream, load, taken, since) for load, since in zip(sized, ends, strict=False)]
    loads, asks = only_loads(stream, _with_names(stream, loads), systems)
    return _with_systems(stream, loads or _without_size(stream, systems), systems), asks


def _by_sizes(stream: Stream, taken: set[int]) -> list[ReadLoad]:
    """Group the sizes: what is said of one load in one breath belongs together."""
    loads: list[ReadLoad] = []
    for index, atom in enumerate(stream.atoms):
        key = _SIZE_KEY.get(atom.kind)
        if key is None or index in taken:
            continue
        start, end = stream.place(index)
        last = loads[-1] if loads else None
        on = last is not None and key not in last.sizes and _goes_on(stream, last.end, start, end)
        if last is not None and on and not _of_another(stream, last, start, end):
            loads[-1] = replace(last, end=end, sizes={**last.sizes, key: index})
        elif len(loads) < MOST:
            loads.append(ReadLoad(start=start, end=end, first=end, sizes={key: index}))
    return loads


def _as_said_again(stream: Stream, loads: list[ReadLoad]) -> list[ReadLoad]:
    """ "Line current 96 A", in a sentence of its own, is another size of the load before it."""
    found: list[ReadLoad] = []
    for load in loads:
        before = found[-1] if found else None
        words_ahead = stream.line[max(load.start - 40, 0) : load.start]
        again = set(load.sizes) == {"current"} and _AGAIN.search(words_ahead) is not None
        if before is not None and again and "current" not in before.sizes:
            found[-1] = replace(before, sizes={**before.sizes, **load.sizes})
        else:
            found.append(load)
    return found


def _goes_on(stream: Stream, low: int, start: int, end: int) -> bool:
    """Whether a size speaks of the same load as the one before it: in one breath, or in brackets behind its name."""
    if start - low > LONGEST_BREATH:
        return False
    between = stream.line[low:start]
    if patterns().same_load.fullmatch(between):
        return True
    if BREAK in between or "<N" in between or re.search(r"\b(?:and|plus|also)\b|<QT", between):
        return False
    if patterns().total_of.search(between) or _new_name(stream, low, start):
        return False
    stop = min(end + 60, stream.sentence(end)[1])
    return "<V" in between and _behind(stream, end, stop) is None


def _of_another(stream: Stream, last: ReadLoad, start: int, end: int) -> bool:
    """Whether a size has its name behind it, and the one before it a name ahead: "water heaters 9 kVA, 2 hp fans"."""
    if "," not in stream.line[last.end : start]:
        return False
    low, high = stream.sentence(start)
    behind = _behind(stream, end, min(end + 60, high))
    return behind is not None and behind.sure and _ahead(stream, low, last.start) is not None


def _new_name(stream: Stream, low: int, start: int) -> bool:
    """Whether a noun stands before a size that is not the one behind the size before it."""
    ahead, before = _ahead(stream, low, start), _behind(stream, low, start)
    return ahead is not None and (before is None or ahead.start >= before.end)


def _with_pieces(stream: Stream, load: ReadLoad, taken: set[int], since: int) -> ReadLoad:
    """Find the count: "two 15 hp", "8 units at 208 V, 40 A each", "heaters (4), 5 kW each", "12 heaters of 5 kW"."""
    low, high = stream.sentence(load.start)
    before = stream.line[max(low, since, load.start - LONGEST_BREATH) : load.start]
    after = stream.line[load.end : min(high, load.end + LONGEST_BREATH)]
    said = patterns()
    if said.total.search(after[:30]) or said.total.search(before[-25:]):
        return load
    each = said.each.match(after) or re.search(
        r"\b(?:of|at|rated|each|@) (?:<(?:V|PH|WI|Z)\d+> ?,? ?)*$", before
    )
    found = said.count_before.search(before) or _plural(before)
    if found is not None and re.search(r"\beach $", before[: found.start()]):
        found = None
    found = found or (said.count_earlier.search(before) if each else None) or said.count_each.search(before)
    found = found or said.count_behind.match(after)
    found = found or (_COUNTED_NAMES.search(before) if each else None)
    if found is None:
        return load
    index = int(next(group for group in found.groups() if group is not None))
    count = stream.atoms[index].low
    if stream.atoms[index].more == "loose" and not each:
        return load
    if (
        index in taken
        or not 1 <= count <= 500
        or count != int(count)
        or (count in known_volts() and stream.atoms[index].kind != "QT")
    ):
        return load
    return replace(load, pieces=index)


def _plural(before: str) -> re.Match[str] | None:
    """A number and a plural directly before a size: "forty slips 30 A"."""
    found = patterns().count_plural.search(before)
    behind = before[found.end(1) :].split()[1:] if found is not None else []
    behind = behind[:-1] if behind and behind[-1] in ("of", "at", "@", "rated", "x") else behind
    return None if any(word in words("stop") for word in behind) else found


def _with_names(stream: Stream, loads: list[ReadLoad]) -> list[ReadLoad]:
    """Name each load by the noun nearest to its size, behind it first; what a list shares is shared."""
    named: list[ReadLoad] = []
    for place, load in enumerate(loads):
        low, high = stream.sentence(load.start)
        if place and loads[place - 1].end > low:
            low = loads[place - 1].end
        stop = loads[place + 1].start if place + 1 < len(loads) and loads[place + 1].start < high else high
        behind = _behind(stream, load.end, stop) or _behind(stream, load.first, stop)
        name = behind if behind is not None and behind.sure else _ahead(stream, low, load.start) or behind
        named.append(replace(load, named=name or _later(stream, load.end, stop)))
    for place in range(len(named) - 2, -1, -1):
        here, following = named[place], named[place + 1]
        between = stream.line[here.end : min(following.start, here.end + LONGEST_BREATH)]
        if here.named is None and following.named is not None and patterns().list_between.fullmatch(between):
            named[place] = replace(here, named=following.named)
    for place in range(1, len(named)):
        before, here = named[place - 1], named[place]
        between = stream.line[before.end : min(here.start, before.end + LONGEST_BREATH)]
        if here.named is None and before.named is not None and patterns().list_between.fullmatch(between):
            named[place] = replace(here, named=before.named)
    return [load if load.named is not None else _earlier(stream, load) for load in named]


def _behind(stream: Stream, start: int, stop: int) -> Named | None:
    """Return the noun behind a size: "15 hp compressors", "22 kW of ovens", "18 kVA for the packaging machine"."""
    text = stream.line[start : min(stop, start + LONGEST_BREATH)]
    match = patterns().name_behind.match(text)
    sure = match is not None
    if match is None:
        match = patterns().any_behind.match(text)
        if match is None or any(word in words("stop") for word in match[1].split()):
            return None
    cut = PART.search(text)
    if cut is not None and cut.start() < match.start(1) and "," not in match.group():
        return None
    if re.search(r", ?<(?:N|QT)\d+>", text[: match.start(1)]):
        return None  # a count behind a comma begins the next load
    named = _named(stream, start + match.start(1) + 1, start + match.end(1))
    return named if named is None or sure else replace(named, sure=False)


def _later(stream: Stream, start: int, stop: int) -> Named | None:
    """Return what a size is for, said further on in its sentence: "30 kVA with … for the drives"."""
    found = patterns().name_later.search(stream.line[start : min(stop, start + LONGEST_BREATH)])
    return None if found is None else _named(stream, start + found.start(1), start + found.end(1))


def _ahead(stream: Stream, low: int, stop: int) -> Named | None:
    """Return the last noun before a size in its part of the sentence: "compressor: 15 hp", "a kiln, 24 kW"."""
    low = max(low, stop - LONGEST_BREATH)
    found = None
    for match in patterns().name_ahead.finditer(stream.line[low:stop]):
        named = _named(stream, low + match.start(1), low + match.end(1))
        if named is None:
            continue
        if named.noun not in words("weak_nouns") or named.end - named.start > len(named.noun):
            found = named
    return found


def _earlier(stream: Stream, load: ReadLoad) -> ReadLoad:
    """A sentence of sizes alone goes on about the thing named before: "EV chargers. 40 A each"."""
    low, _ = stream.sentence(load.start)
    if low < 2:
        return load
    before, _ = stream.sentence(low - 2)
    if re.search(r"<[VASPH]\d+>", stream.line[before : low - 1]):
        return load
    return replace(load, named=_ahead(stream, before, low - 1))


def _named(stream: Stream, start: int, end: int) -> Named | None:
    """Trim a name to its noun and the words that qualify it; None where only empty words are left."""
    said = stream.line[start:end].split(" ")
    last_empty = max(
        (place for place, word in enumerate(said[:-1]) if word in words("stop") or not word), default=-1
    )
    offset = start + sum(len(word) + 1 for word in said[: last_empty + 1])
    said = said[last_empty + 1 :]
    if not said or (said[-1] in words("stop") and said[-1] not in load_nouns()):
        return None
    if len(said) == 1 and said[0] in words("weak_nouns") and said[0] not in _CALLED_ALONE:
        return None
    more = patterns().name_more.match(stream.line[end : end + 40])
    if more is not None:
        kind = kinds().get(said[-1])
        return Named(offset, end + more.end(), said[-1], kind if kind == kinds().get(more[1]) else None)
    mixed = _MIXED.match(stream.line[end : end + 40]) is not None
    mixed = mixed or _MIXED_AHEAD.search(stream.line[max(offset - 30, 0) : offset]) is not None
    return Named(offset, end, said[-1], None if mixed else _kind_of(said))


def _kind_of(said: list[str]) -> str | None:
    """The noun says the kind; of a noun that says none a word before it: "server room panel", "solar inverters"."""
    if said[-1] in words("machines"):  # a pump for heat is no heater, a chiller of a scanner no scanner
        return None
    if said[-1] not in kinds() and said[-1] not in words("general_nouns"):
        return None
    found = [kinds()[word] for word in reversed(said) if word in kinds()]
    return (
        "lift"
        if "lift" in found
        else next((kind for kind in found if kind != "motor"), found[0] if found else None)
    )


def _without_size(stream: Stream, systems: list[System]) -> list[ReadLoad]:
    """A load may be named and have a voltage before anybody knows its size."""
    system = next((one for one in systems if one.role == "load"), None)
    if system is None:
        return []
    low, high = stream.sentence(system.start)
    name = _behind(stream, system.end, high) or _ahead(stream, low, system.start)
    return [ReadLoad(start=system.start, end=system.end, first=system.end, named=name)]


def _with_systems(stream: Stream, loads: list[ReadLoad], systems: list[System]) -> list[ReadLoad]:
    """Give each load the voltage of its own part of the sentence, else of its sentence, else the only one there is."""
    wanted = [place for place, system in enumerate(systems) if system.role == "load"]
    everywhere = _shared(wanted, systems)
    found: list[ReadLoad] = []
    for place, load in enumerate(loads):
        low, high = stream.sentence(load.start)
        inside = [one for one in wanted if low <= systems[one].start < high]
        choice = _said_of(stream, load, wanted, systems)
        if choice is not None:
            found.append(replace(load, system=choice))
            continue
        choice = _own(stream, loads, place, inside, systems)
        if (
            len(loads) == 1
            and everywhere is not None
            and (choice is None or systems[choice].volts.phases is None)
        ):
            choice = everywhere
        if choice is None:
            together = [one for one in loads if low <= one.start < high]
            choice = _shared([one for one in inside if _of_all(systems[one], together)], systems)
            if choice is None and inside:
                found.append(load)
                continue
            if choice is None and any(not one.role and low <= one.start < high for one in systems):
                found.append(load)  # a voltage of its own that is not understood
                continue
        found.append(replace(load, system=everywhere if choice is None else choice))
    return found


def _said_of(stream: Stream, load: ReadLoad, wanted: list[int], systems: list[System]) -> int | None:
    """Return the voltage that a sentence of its own says of a load by its name: "Pump is 230 V"."""
    if load.named is None or not load.named.sure:
        return None
    low, high = stream.sentence(load.start)
    says = re.compile(rf"\b{re.escape(load.named.noun)} (?:is|are|takes?|runs? on|is rated) (?:an? )?$")
    return next(
        (
            one
            for one in wanted
            if not low <= systems[one].start < high
            and says.search(stream.line[max(systems[one].start - 60, 0) : systems[one].start])
        ),
        None,
    )


def _of_all(system: System, together: list[ReadLoad]) -> bool:
    """A voltage before the first or behind the last load of a list is that of the list; one between is not."""
    return system.end <= together[0].start or system.start >= together[-1].end


def _own(
    stream: Stream, loads: list[ReadLoad], place: int, inside: list[int], systems: list[System]
) -> int | None:
    """Return the voltage that is nearer to a load's size than to any other's."""
    low, high = stream.sentence(loads[place].start)
    starts = [one.start for one in loads]
    first, last = bisect_left(starts, low), bisect_left(starts, high)
    near = []
    for number in inside:
        behind = bisect_right(starts, systems[number].start)
        neighbours = [at for at in (behind - 1, behind) if first <= at < last]
        if place in neighbours:
            costs = {at: _apart(stream, loads[at], systems[number]) for at in neighbours}
            if costs[place] == min(costs.values()):
                near.append((costs[place], number))
    return min(near)[1] if near else None


def _apart(stream: Stream, load: ReadLoad, system: System) -> int:
    """Return how far a voltage stands from a load's size: words between, and parts of the sentence the more."""
    ahead = system.start < load.start
    between = stream.line[system.end : load.start] if ahead else stream.line[load.end : system.start]
    return len(between) + 40 * len(PART.findall(between)) + 80 * len(re.findall(r"<[SPH]\d+>", between))


def _shared(numbers: list[int], systems: list[System]) -> int | None:
    """Return the one voltage that several places name, the most fully written; None where they differ."""
    if not numbers:
        return None
    best = max(numbers, key=lambda one: fullness(systems[one]))
    top = set(systems[best].volts.values)
    return best if all(set(systems[one].volts.values) <= top for one in numbers) else None


def fullness(system: System) -> int:
    """Return how much is said of a system."""
    volts = system.volts
    said = (volts.phases, volts.wires, volts.neutral)
    flags = (volts.delta, volts.wye, volts.corner, volts.high_leg)
    return 4 * len(volts.values) + sum(one is not None for one in said) + sum(flags)
