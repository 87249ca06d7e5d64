"""From what was found in a request to facts by key: supply, loads, frequencies, neutrals, each with its place."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import TypeAlias

from msgspec.structs import replace

from turnwright.ask.reading.grammar import either, load_nouns
from turnwright.ask.reading.load_words import ReadLoad
from turnwright.ask.reading.loads import fullness
from turnwright.ask.reading.mention import Ask, Mention
from turnwright.ask.reading.notation import system_text
from turnwright.ask.reading.scene import OF_SUPPLY, Scene
from turnwright.ask.reading.systems import System
from turnwright.quantities.spelling import plain

Found: TypeAlias = Mention | Ask
AMBIGUOUS = "The words can be read in more than one way."
_PREFERRED = {True: ("hp", "kva", "current", "kw"), False: ("kva", "current", "kw", "hp")}
"""Which size counts where several are given of one load: of motors the rated power, by which codes size them."""
_UNSURE = re.compile(
    r"\b(?:could be|may be|might be|or maybe|not sure (?:if|whether)(?: [a-z]+)*|either)(?: an?)? $"
)
_NEEDS_NEUTRAL = re.compile(r"\b(?:with|needs?|wants?|requires?) (?:a |the |its )?neutral\b")
_NEUTRAL = re.compile(
    r"\b(?P<no>no n(?= ?(?:[|,.)]|$))"
    r"|(?:no|without(?: a)?|don't need(?: a)?|doesn't need(?: a)?|not need(?: a)?|w / o) neutral)\b"
    r"|\b(?P<not>neutral ?(?:is |: )?not (?:required|needed|used|wanted)|neutral (?:is )?omitted)\b"
    r"|\b(?:neutral ?(?:is |: )?(?:required|needed|used|yes)"
    r"|(?:needs?|requires?|wants?|with|plus|and|incl\w*)(?: a| the| its)? neutral)\b"
    r"|<WI(?P<wires>\d+)>"
)


@lru_cache(maxsize=1)
def _noun_ahead() -> re.Pattern[str]:
    """Phases said of the thing, its volts behind it: "two single-phase welders, 230 V"."""
    return re.compile(rf"<PH(\d+)> (?:[a-z]+ ){{0,2}}?(?:{either(load_nouns())}) ?,? ?$")


def placed(scene: Scene, mentions: Iterable[Mention]) -> Iterator[Found]:
    """Yield the facts of rules under their full keys; harmonics of one load are gathered into one fact."""
    harmonics: dict[int, list[Mention]] = {}
    for mention in mentions:
        if mention.key.endswith("?"):
            if scene.side_of(mention.start) == "supply":
                yield mention.at(mention.key[:-1])
        elif mention.key.endswith("!") and scene.side_of(mention.start) == "supply":
            continue
        elif not mention.of_load:
            yield mention
        else:
            for index in scene.loads_of(mention):
                if mention.name == "start" and mention.value == "drive" and _unnamed(scene, index):
                    yield Mention(
                        key=f"load[{index}].kind", value="drive", start=mention.start, end=mention.end
                    )
                if mention.name == "harmonics":
                    harmonics.setdefault(index, []).append(mention)
                else:
                    yield mention.at(f"load[{index}].{mention.name.removesuffix('!')}")
    for index, orders in harmonics.items():
        start, end = min(one.start for one in orders), max(one.end for one in orders)
        value = dict(one.value for one in orders)
        yield Mention(key=f"load[{index}].harmonics", value=value, start=start, end=end)


def _unnamed(scene: Scene, index: int) -> bool:
    """Whether the name of a load says no kind."""
    load = scene.loads[index] if index < len(scene.loads) else None
    return load is None or load.named is None or load.named.kind in (None, "motor")


def supply_facts(scene: Scene) -> Iterator[Found]:
    """Yield the system of the supply; two that differ are a question."""
    said = [one for one in scene.systems if one.role == "supply"]
    ours = [one for one in said if not one.volts.either] or said
    best = max(ours, key=fullness, default=None)
    if best is None:
        return
    if _either_of(scene, best):
        ask = "More than one voltage may be the supply: which of them feeds this job?"
        yield Ask(key="supply.system", ask=ask, why=AMBIGUOUS, start=best.start, end=best.end)
        return
    other = next((one for one in ours if not set(one.volts.values) <= set(best.volts.values)), None)
    if other is not None:
        ask = "Two voltages are spoken of as the supply: which of them feeds this job?"
        yield Ask(key="supply.system", ask=ask, why=AMBIGUOUS, start=other.start, end=other.end)
        return
    yield _system(scene, "supply.system", _with_phases_ahead(scene, best))
    if best.volts.corner:
        yield Mention(key="supply.grounding", value="corner", start=best.start, end=best.end)


def _with_phases_ahead(scene: Scene, system: System) -> System:
    """Phases said before the volts of a supply in its sentence are its own: "only single phase here, 240/120"."""
    if system.volts.phases is not None or system.volts.wires is not None:
        return system
    low, _ = scene.stream.sentence(system.start)
    said = re.findall(
        r"\b(?:have|has|get|gets|got|only|just|is|it's) (?:an? )?<PH(\d+)>",
        scene.stream.line[low : system.start],
    )
    used = {atom for one in scene.systems for atom in one.used}
    if len(said) != 1 or int(said[0]) in used or "<V" in scene.stream.line[low : system.start]:
        return system
    count = int(scene.stream.atoms[int(said[0])].low)
    return replace(system, volts=replace(system.volts, phases=count)) if count in (1, 3) else system


def _either_of(scene: Scene, system: System) -> bool:
    """Whether another voltage stands beside it with "or" between."""
    line = scene.stream.line
    behind = re.match(r" ?,? or (?:an? |the |maybe )?<V\d+>", line[system.end : system.end + 30])
    return (
        behind is not None
        or re.search(r"<V\d+> ?,? or (?:an? |the |maybe )?$", line[: system.start]) is not None
    )


def load_facts(scene: Scene) -> Iterator[Found]:
    """Yield name, kind, size, count and system of every load."""
    for index, load in enumerate(scene.loads):
        path = f"load[{index}]"
        if load.named is not None:
            start, end = load.named.start, load.named.end
            low, high = scene.stream.span(start, end)
            name = " ".join(scene.stream.text[low:high].split())
            yield Mention(key=f"{path}.name", value=name, start=start, end=end)
            if load.named.kind is not None:
                yield Mention(key=f"{path}.kind", value=load.named.kind, start=start, end=end)
        yield from _sizes(scene, path, load)
        if load.system is not None:
            system = _with_wires(scene, scene.systems[load.system])
            yield _system(scene, f"{path}.system", system, motors="hp" in load.sizes)


def _sizes(scene: Scene, path: str, load: ReadLoad) -> Iterator[Mention]:
    """Yield one size; what else is stated of the same load is kept as a note; and the count of its pieces."""
    order = [name for name in _PREFERRED["hp" in load.sizes] if name in load.sizes]
    for place, name in enumerate(order):
        start, end = scene.stream.place(load.sizes[name])
        text = scene.stream.atoms[load.sizes[name]].text
        if place:
            yield Mention(key=f"{path}.note", value=f"also stated: {text}", start=start, end=end)
        else:
            yield Mention(key=f"{path}.{name}", value=text, start=start, end=end)
    if load.pieces is not None and scene.stream.atoms[load.pieces].low > 1:
        start, end = scene.stream.place(load.pieces)
        yield Mention(
            key=f"{path}.quantity", value=scene.stream.atoms[load.pieces].text, start=start, end=end
        )


def _system(scene: Scene, key: str, system: System, *, motors: bool = False) -> Found:
    volts = system.volts
    place = {"start": system.start, "end": system.end}
    if _UNSURE.search(scene.stream.line[max(system.start - 25, 0) : system.start]):
        ask = f"It is not sure: is it {plain(volts.highest)} V, of how many phases and wires?"
        return Ask(key=key, ask=ask, why="The words leave it open.", **place)
    text = system_text(volts, motors=motors)
    if text is not None:
        return Mention(key=key, value=text, **place)
    values = " or ".join(plain(value) for value in volts.values)
    ask = f"Which system is meant by {values} V: how many phases, with or without a neutral?"
    if volts.either:
        ask = f"The plate takes {values} V: which of them is it connected for?"
    return Ask(key=key, ask=ask, why=AMBIGUOUS, **place)


def _with_wires(scene: Scene, system: System) -> System:
    """Phases, wires and a neutral written further on in the same sentence belong to the voltage of its loads."""
    rest = scene.stream.line[system.end : _until(scene, system)]
    volts = system.volts
    if volts.wires is None and volts.phases is None:
        used = {atom for one in scene.systems for atom in one.used}
        for found in re.finditer(r"<(WI|PH)(\d+)>", rest):
            count = int(scene.stream.atoms[int(found[2])].low)
            if int(found[2]) not in used and (found[1] == "WI" or count in (1, 3)):
                volts = replace(volts, **{{"WI": "wires", "PH": "phases"}[found[1]]: count})
                break
    if volts.wires is None and volts.phases is None:
        low, _ = scene.stream.sentence(system.start)
        noun = _noun_ahead().search(scene.stream.line[low : system.start])
        if noun is not None and int(scene.stream.atoms[int(noun[1])].low) in (1, 3):
            volts = replace(volts, phases=int(scene.stream.atoms[int(noun[1])].low))
    if volts.neutral is None and volts.wires is None and _NEEDS_NEUTRAL.search(rest):
        volts = replace(volts, neutral=True)
    return replace(system, volts=volts)


def _until(scene: Scene, system: System) -> int:
    """Return where the words about a voltage end: with its sentence, of an only load with the next that names none."""
    line = scene.stream.line
    _, high = scene.stream.sentence(system.start)
    if len(scene.loads) != 1 or high + 2 > len(line):
        return high
    _, further = scene.stream.sentence(high + 2)
    after = line[high:further]
    return high if "<V" in after or OF_SUPPLY.search(after) else further


def frequencies(scene: Scene, taken: set[int]) -> Iterator[Found]:
    """Yield frequencies; of two that are said of one thing both, where the words allow either, else a question."""
    said: dict[str, list[Mention]] = {}
    for one in _frequencies(scene, taken):
        if isinstance(one, Ask):
            yield one
        else:
            said.setdefault(one.key, []).append(one)
    for key, found in said.items():
        if len({one.value for one in found}) == 1:
            yield found[0]
        elif {one.value for one in found} == {"50 Hz", "60 Hz"} and any(
            _either_way(scene, one) for one in found[1:]
        ):
            yield replace(found[-1], value="50/60 Hz")
        else:
            ask = f"Which frequency holds: {' or '.join(dict.fromkeys(str(one.value) for one in found))}?"
            yield Ask(key=key, ask=ask, why=AMBIGUOUS, start=found[-1].start, end=found[-1].end)


def _either_way(scene: Scene, one: Mention) -> bool:
    """Whether a second frequency is said to do as well: "ok on 60 Hz too"."""
    low, high = scene.stream.sentence(one.start)
    return re.search(r"\b(?:too|also|as well|either|both)\b", scene.stream.line[low:high]) is not None


def _frequencies(scene: Scene, taken: set[int]) -> Iterator[Found]:
    """Yield frequencies: of the voltage they are written into, else of the voltage or load they stand beside."""
    for system in scene.systems:
        if system.volts.hz is not None:
            said = Mention(key="", value=f"{plain(system.volts.hz)} Hz", start=system.start, end=system.end)
            keys = {"supply": ["supply.frequency"], "load": _keys_of(scene, system)}.get(system.role, [])
            yield from (said.at(key) for key in keys)
    for index, atom in enumerate(scene.stream.atoms):
        if atom.kind != "Z" or index in taken:
            continue
        start, end = scene.stream.place(index)
        said = Mention(key="", value=atom.text, start=start, end=end)
        side = scene.side_of(start)
        if atom.more == "both" or side == "load":
            yield from (said.at(f"load[{load}].frequency") for load in scene.loads_of(said) if scene.loads)
        elif side == "supply":
            yield said.at("supply.frequency")
        else:
            ask = f"Is {atom.text} that of the supply or of the load?"
            yield Ask(key="supply.frequency", ask=ask, why=AMBIGUOUS, start=start, end=end)


def _keys_of(scene: Scene, system: System) -> list[str]:
    """Return the keys of the frequency of the loads that take a system."""
    return [
        f"load[{number}].frequency"
        for number, load in enumerate(scene.loads)
        if load.system is not None and scene.systems[load.system] == system
    ]


def neutrals(scene: Scene) -> Iterator[Mention]:
    """Yield what the words say of a neutral of the loads, where they do not speak of the supply."""
    for load, read in enumerate(scene.loads):
        system = scene.systems[read.system] if read.system is not None else None
        if system is not None and system.volts.neutral is not None:
            value = system.volts.neutral
            yield Mention(key=f"load[{load}].neutral", value=value, start=system.start, end=system.end)
    for found in _NEUTRAL.finditer(scene.stream.line):
        value = found["no"] is None and found["not"] is None
        if found["wires"] is not None:
            atom = scene.stream.atoms[int(found["wires"])]
            if not atom.more and not (atom.low == 3 and scene.has_motors):
                continue
            value = atom.low >= 4
        said = Mention(key="load.neutral", value=value, start=found.start(), end=found.end())
        if scene.loads and scene.side_of(found.start()) != "supply":
            yield from (said.at(f"load[{index}].neutral") for index in scene.loads_of(said))
