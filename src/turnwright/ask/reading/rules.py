"""What the words around a size say it is; the rules stand in the grammar's file of sizes."""

from __future__ import annotations

import re

from turnwright.ask.reading.grammar import Rule, rules
from turnwright.ask.reading.mention import Mention
from turnwright.ask.reading.stream import Stream
from turnwright.quantities import convert


def read_sizes(stream: Stream, taken: set[int]) -> list[Mention]:
    """Return the facts that rules read from sizes, and add the atoms they took to `taken`.

    Neither a size nor the words that say what it is are used twice: "RLA 118 A, LRA 690 A".
    """
    found: list[Mention] = []
    used = bytearray(len(stream.line))
    for rule in rules("sizes"):
        for match in rule.pattern.finditer(stream.line):
            numbers = [int(group) for group in match.groups() if group is not None]
            if (
                any(used[match.start() : match.end()])
                or any(number in taken for number in numbers)
                or not _in_bounds(stream, rule, numbers)
                or _is_else(stream, rule, match.start())
            ):
                continue
            taken.update(numbers)
            used[match.start() : match.end()] = b"\1" * (match.end() - match.start())
            mention = _mention(stream, rule, match, numbers)
            if mention is not None:
                found.append(mention)
    return found


def _is_else(stream: Stream, rule: Rule, at: int) -> bool:
    """Whether the words before make it something else than the rule is meant for."""
    if rule.unless is None:
        return False
    return rule.unless.search(stream.line[stream.sentence(at)[0] : at]) is not None


def _in_bounds(stream: Stream, rule: Rule, numbers: list[int]) -> bool:
    """Whether the size is one that the rule is meant for, in the unit used inside."""
    if numbers and stream.atoms[numbers[-1]].low > rule.most:
        return False
    if not rule.least:
        return True
    atom = stream.atoms[numbers[-1]]
    unit = atom.text.rpartition(" ")[2]
    if atom.kind == "T" and unit != "degC":
        return False
    size = convert(atom.low, "length", to="m", of=unit) if atom.kind == "L" else atom.low
    return size >= rule.least


def _mention(stream: Stream, rule: Rule, match: re.Match[str], numbers: list[int]) -> Mention | None:
    if not rule.key:
        return None
    value = rule.value
    if value is None:
        atoms = [stream.atoms[number] for number in numbers]
        value = atoms[-1].text
        if rule.key == "load.harmonics":
            value = (int(atoms[0].low), atoms[1].text if atoms[1].kind == "C" else f"{atoms[1].text} %")
        elif rule.key == "circuit.secondary_devices":
            value = [value]
    if isinstance(value, str) and re.match(
        r" (?:or so|approx)\b", stream.line[match.end() : match.end() + 8]
    ):
        value = f"about {value}"
    key = rule.key
    if (
        key == "supply.fault_current"
        and "aic" in stream.text[slice(*stream.span(match.start(), match.end()))].casefold()
    ):
        key = "supply.panel_fault_rating"
    return Mention(key=key, value=value, start=match.start(), end=match.end())
