"""Volts joined with the phases, wires, neutral and grounding written around them."""

from __future__ import annotations

import re
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from turnwright.ask.reading.grammar import modifiers
from turnwright.ask.reading.notation import Volts, belong, is_half
from turnwright.ask.reading.stream import BREAK, Stream

_WINDOW = 110
"""Characters of the line looked at to either side."""


class System(Struct, frozen=True, kw_only=True):
    """A voltage system as written, with everything that was said about it nearby.

    index       the atom of its volts
    start, end  in the line, modifiers included
    used        places of phases and wires that belong to it
    """

    index: int
    volts: Volts
    start: int
    end: int
    used: tuple[int, ...] = ()
    role: str = ""


def systems_of(stream: Stream) -> list[System]:
    """Return the systems of a request in the order written."""
    found: list[System] = []
    used: set[int] = set()
    for index, atom in enumerate(stream.atoms):
        start, end = stream.place(index)
        if atom.kind == "V" and (not found or start >= found[-1].end):
            system = System(index=index, volts=atom.more, start=start, end=end)
            system = _behind(stream, _ahead(stream, _with_neutral_volts(stream, system), used), used)
            used.update(system.used)
            found.append(system)
    return found


_TO_NEUTRAL = re.compile(
    r" (?:line to line|between (?:phases|lines|legs)|l - l|phase to phase) ?,? ?(?:and |with )?"
    r"<[NV](\d+)> (?:(?:line |phase |l |each )?(?:to|-) ?)(?:neutral|n)\b"
)


def _with_neutral_volts(stream: Stream, system: System) -> System:
    """Take both volts of "220 V between phases, 127 to neutral" as those of one system."""
    match = _TO_NEUTRAL.match(stream.line, system.end)
    if match is None or len(system.volts.values) != 1:
        return system
    atom = stream.atoms[int(match[1])]
    values = (*system.volts.values, atom.low)
    if not belong(*values):
        return system
    return replace(system, volts=replace(system.volts, values=values), end=match.end())


def _with(system: System, name: str, count: int | None) -> System:
    changes: dict[str, Any] = {"neutral": name == "neutral"} if "neutral" in name else {name: True}
    if name in ("phases", "wires"):
        changes = {name: count}
    if name == "corner":
        changes["delta"] = True
    return replace(system, volts=replace(system.volts, **changes))


def _free(system: System, name: str) -> bool:
    """Whether nothing of the kind was said yet."""
    volts = system.volts
    if name == "delta" and len(volts.values) == 2 and not is_half(*volts.values):
        return False  # 208Y/120 is none
    field = "neutral" if "neutral" in name else name
    return getattr(volts, field) in (None, False)


def _behind(stream: Stream, system: System, used: set[int]) -> System:
    """Take what follows the volts, up to the next voltage or the end of the sentence."""
    going = True
    while going:
        going = False
        rest = stream.line[system.end : system.end + _WINDOW]
        for name, pattern in modifiers("behind"):
            match = pattern.match(rest)
            if match is None or not _free(system, name) or _belongs_to_next(stream, system, match):
                continue
            number = next((group for group in match.groups()[1:] if group is not None), None)
            atom = int(number) if number is not None else None
            if atom is not None and atom in used:
                continue
            count = int(stream.atoms[atom].low) if atom is not None else None
            if name == "phases" and count not in (1, 3):
                continue
            system = _with(system, name, count)
            taken = (*system.used, atom) if atom is not None else system.used
            if atom is not None and stream.atoms[atom].more == "n":
                system = _with(system, "neutral", None)
            if (
                atom is not None
                and stream.atoms[atom].kind == "WI"
                and stream.atoms[atom].more
                and count == 2
            ):
                system = _with(system, "no_neutral", None)
            system = replace(system, end=system.end + match.end(), used=taken)
            going = True
            break
    return system


def _belongs_to_next(stream: Stream, system: System, match: re.Match[str]) -> bool:
    """A word directly before the next voltage belongs to that one, unless it is nearer to this one."""
    after = stream.line[system.end + match.end() : system.end + match.end() + 40]
    if not re.match(r" (?:phase )?<V\d+>", after):
        return False
    if match[1].strip() == "delta" and re.match(r" <V\d+>", after):
        following = stream.atoms[int(re.match(r" <V(\d+)>", after)[1])].more  # type: ignore[index]
        if len(following.values) == 2:
            return False
    before = match.group()[: match.start(1) - match.start()]
    return "," in before or len(before.split()) > 1 or re.match(r" <V\d+> (?:to|-|/)", after) is None


def _ahead(stream: Stream, system: System, used: set[int]) -> System:
    """Take what stands directly before the volts."""
    going = True
    while going:
        going = False
        before = stream.line[max(system.start - _WINDOW, 0) : system.start]
        for name, pattern in modifiers("ahead"):
            match = pattern.search(before)
            if match is None or not _free(system, name):
                continue
            number = next((group for group in match.groups()[1:] if group is not None), None)
            atom = int(number) if number is not None else None
            if atom is not None and (atom in used or stream.atoms[atom].low not in (1, 3, 2, 4)):
                continue
            count = int(stream.atoms[atom].low) if atom is not None else None
            if name == "phases" and count not in (1, 3):
                continue
            if "," in match.group() and _listed(before[: match.start()]):
                continue
            system = _with(system, name, count)
            taken = (*system.used, atom) if atom is not None else system.used
            system = replace(system, start=system.start - len(before) + match.start(1), used=taken)
            going = True
            break
    return system


def _listed(before: str) -> bool:
    """Whether a comma-separated phase follows another voltage, to which it more likely belongs."""
    sentence = before[before.rfind(BREAK) + 1 :]
    return re.search(r"<V\d+>[^<]{0,12}$", sentence) is not None
