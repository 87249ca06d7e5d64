"""Which voltage is the supply and which the load's, by the words around each.

Words before and behind a voltage speak for one side or the other; what "480 to 208Y/120" or "from", "need", "our"
say is plain, and a voltage of which nothing is said takes the side that is left when only one is.
"""

from __future__ import annotations

import re
from itertools import pairwise

from msgspec.structs import replace

from turnwright.ask.reading.grammar import cues
from turnwright.ask.reading.stream import Stream
from turnwright.ask.reading.systems import System

_LONGEST_BEFORE = 70
_LONGEST_AFTER = 50
_HARDLY, _PLAINLY = 1, 5
"""Weights of a side that hardly counts, and of one that is as good as said."""


_ALL_PHASES = re.compile(r"\ball (?:are |of them |of these |loads? |machines? )?<PH(\d+)>(?= ?(?:[|,.]|$))")
_UNIT_PHASES = re.compile(r"<PH(\d+)> ?,? ?(?:[a-z]+ ){0,3}(?:transformer|xfmr|trafo)\b")
_OF_ONE_BEFORE = re.compile(r"(<V\d+>(?: delta| wye)?) (?:primary|secondary|input|output)(?= ?,)")
_BOTH = re.compile(r" (?:on )?(?:both sides|each side|in and out)\b")
_SIDE = re.compile(r"\b(?:primary|secondary|line|load|supply|high|low|hv|lv) $")
_RATIO = re.compile(
    r"(?: ?(?:volts?|v|delta|primary|in|wye))? ?"
    r"(?:to|-|/|x|into|down to|up to|step down to|step up to|stepped down to|> )(?: an?| the| get)? ?"
)


def roles_of(stream: Stream, systems: list[System]) -> list[System]:
    """Return the systems with their side: "supply", "load", or "" where the words do not say.

    Where exactly two sides are spoken of and one is plain, what is left belongs to the other.
    """
    if len(systems) == 1:
        systems = _on_both_sides(stream, systems[0])
    systems = list(systems)
    scores = [_score(stream, system) for system in systems]
    for place, (first, second) in enumerate(pairwise(systems)):
        between = stream.line[first.end : min(second.start, first.end + _LONGEST_AFTER)]
        wound = first.volts.delta and len(second.volts.values) == 2 and not between.strip()
        if wound or _RATIO.fullmatch(between.strip() + " "):
            scores[place]["supply"] += 6
            scores[place + 1]["load"] += 6
            if first.volts.phases == 1:  # the unit is, of a ratio; what feeds it may have three
                systems[place] = replace(first, volts=replace(first.volts, phases=None))
                if second.volts.phases is None and len(second.volts.values) == 1:
                    systems[place + 1] = replace(second, volts=replace(second.volts, phases=1))
            elif first.volts.phases == 3 and second.volts.phases is None and len(second.volts.values) == 1:
                systems[place + 1] = replace(second, volts=replace(second.volts, phases=3))
    scores = _primary_of_secondary(systems, scores)
    sides = _completed(
        systems, [one.role or _side(score) for one, score in zip(systems, scores, strict=True)]
    )
    supplies = {one.volts.highest for one, side in zip(systems, sides, strict=True) if side == "supply"}
    sides = [
        side or _beside_a_size(stream, system, supplies) for side, system in zip(sides, systems, strict=True)
    ]
    found = [replace(system, role=side) for system, side in zip(systems, sides, strict=True)]
    return _of_phases(stream, found)


def _primary_of_secondary(systems: list[System], scores: list[dict[str, int]]) -> list[dict[str, int]]:
    """Of two voltages of which one is plainly a load's, one that hardly leans there is the supply."""
    if len(systems) != 2 or systems[0].volts.highest == systems[1].volts.highest:
        return scores
    if any(score["supply"] for score in scores):
        return scores
    weak, plain = sorted(scores, key=lambda score: score["load"])
    if weak["load"] > _HARDLY or plain["load"] < _PLAINLY:
        return scores
    return [{"supply": _PLAINLY, "load": 0} if score is weak else score for score in scores]


def _on_both_sides(stream: Stream, system: System) -> list[System]:
    """ "480 V both sides" is said of the supply and of the load."""
    if _BOTH.match(stream.line, system.end) is None:
        return [system]
    return [replace(system, role="supply"), replace(system, role="load")]


def _of_phases(stream: Stream, systems: list[System]) -> list[System]:
    """Phases said of the unit are those of both its windings; of a single-phase unit only those of what it feeds."""
    of_all = _ALL_PHASES.search(stream.line)
    if of_all is not None and stream.atoms[int(of_all[1])].low == 3:
        systems = [
            replace(one, volts=replace(one.volts, phases=3))
            if one.role == "load" and one.volts.phases is None and len(one.volts.values) == 1
            else one
            for one in systems
        ]
    said = _UNIT_PHASES.search(stream.line)
    if said is None or any(int(said[1]) in one.used for one in systems):
        return systems
    count = int(stream.atoms[int(said[1])].low)
    of = {3: ("supply", "load"), 1: ("load",)}.get(count, ())
    return [
        replace(one, volts=replace(one.volts, phases=count))
        if one.role in of and one.volts.phases is None and len(one.volts.values) == 1
        else one
        for one in systems
    ]


def _beside_a_size(stream: Stream, system: System, supplies: set[float]) -> str:
    """What stands in one breath with a size is that load's voltage, where another one is plainly the supply."""
    if not supplies or system.volts.highest in supplies:
        return ""
    before, after = (
        stream.line[max(system.start - 60, 0) : system.start],
        stream.line[system.end : system.end + 12],
    )
    near = re.search(r"<[HPSA]\d+>[^|]*$", before) or re.match(r" ?[,(]? ?<[HPSA]\d+>", after)
    return "load" if near else ""


def _score(stream: Stream, system: System) -> dict[str, int]:
    line = stream.line
    low, _ = stream.sentence(system.start)
    _, high = stream.sentence(system.end)
    before = line[max(low, system.start - _LONGEST_BEFORE) : system.start]
    before = _OF_ONE_BEFORE.sub(r"\1", before)
    after = line[system.end : min(high, system.end + _LONGEST_AFTER)]
    score = {"supply": 0, "load": 0}
    if after.startswith(" side ") and not _SIDE.search(before):
        return score  # of a unit: which of its windings the volts do not say
    for place, text in (("before", before), ("after", after)):
        best: dict[str, int] = {}
        for side, weight, pattern in cues(place):
            if weight > best.get(side, 0) and pattern.search(text):
                best[side] = weight
        for side, weight in best.items():
            score[side] += weight
    return score


def _side(score: dict[str, int]) -> str:
    if score["supply"] == score["load"]:
        return ""
    return "supply" if score["supply"] > score["load"] else "load"


def _completed(systems: list[System], sides: list[str]) -> list[str]:
    """Give what is left the side of the same volts, else the one side nobody spoke of where it is one voltage."""
    plain = {system.volts.highest: side for system, side in zip(systems, sides, strict=True) if side}
    if len(set(plain.values())) == 2:
        return [
            side or plain.get(system.volts.highest, "") for side, system in zip(sides, systems, strict=True)
        ]
    left = {systems[place].volts.highest for place, side in enumerate(sides) if not side}
    named = {side for side in sides if side}
    if len(left) != 1 or len(named) != 1:
        return sides
    (only,) = named
    taken = {systems[place].volts.highest for place, side in enumerate(sides) if side == only}
    same = left & taken
    other = only if same else {"supply": "load", "load": "supply"}[only]
    return [side or other for side in sides]
