"""A request in plain words, read into facts of a job: each with the words it came from, nothing guessed in silence."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

from msgspec import Struct

from turnwright.ask.reading.ambients import ambients_of, open_ambient
from turnwright.ask.reading.assembly import Found, frequencies, load_facts, neutrals, placed, supply_facts
from turnwright.ask.reading.existing import existing_unit, of_unit
from turnwright.ask.reading.grammar import words
from turnwright.ask.reading.load_words import ReadLoad
from turnwright.ask.reading.loads import loads_of
from turnwright.ask.reading.measured import energy, measured, phase_currents, running_times
from turnwright.ask.reading.mention import Ask, Mention, ReadFact, ReadQuestion
from turnwright.ask.reading.panels import panel_of
from turnwright.ask.reading.places import one_place, read_words
from turnwright.ask.reading.roles import roles_of
from turnwright.ask.reading.rooms import room_of
from turnwright.ask.reading.rules import read_sizes
from turnwright.ask.reading.runs import runs_of
from turnwright.ask.reading.scene import Scene
from turnwright.ask.reading.scopes import atoms_inside, outside, scopes_of, without
from turnwright.ask.reading.stream import Stream, stream_of
from turnwright.ask.reading.systems import System, systems_of
from turnwright.ask.reading.tokens import Token
from turnwright.errors import InputError
from turnwright.intake import read_value
from turnwright.model.keys import key_of
from turnwright.quantities.spelling import plain
from turnwright.quantities.voltage_system import HIGHEST_V

LONGEST = 30_000
"""Characters of a request that are read; the rest is listed as not read."""
_GATHERED = "site.conditions"
_EITHER = (
    ".duty.on",
    ".power_factor",
    ".efficiency",
    ".demand_factor",
    "choices.growth",
    "supply.fault_current",
)
"""Facts of which neither of two values may stand: the wrong one makes the unit too small."""
_BARRED = "VASPHZ"
"""Kinds of atoms that say nothing where they are denied, supposed, or said of something else."""
_TABLES = ("regime", "edition", "supply", "load", "site", "circuit", "choices", "unit")


class Reading(Struct, frozen=True, kw_only=True):
    """What was read in a request.

    facts      in the order of the job file
    unread     what was not read, in the words of the request
    questions  what is ambiguous
    """

    facts: tuple[ReadFact, ...]
    unread: tuple[str, ...]
    questions: tuple[ReadQuestion, ...]


def read_request(text: str) -> Reading:
    """Return the facts of a request.

    text : an e-mail, a note, a dictated paragraph, in English

    Example:
        >>> found = read_request("480 V three-phase supply, need 208Y/120 for lights, 22 kVA.")
        >>> [(fact.key, fact.value, fact.words) for fact in found.facts][:2]
        [('supply.system', '480 3ph', '480 V three-phase'), ('load[0].system', '208Y/120', '208Y/120')]
    """
    stream = stream_of(text[:LONGEST])
    notes = _Notes(stream)
    for found in _found(stream):
        notes.take(found)
    facts = sorted(notes.facts.values(), key=_order)
    rest = (f"… and {len(text) - LONGEST} characters more",) if len(text) > LONGEST else ()
    return Reading(
        facts=tuple(facts), unread=(*_unread(stream, facts), *rest), questions=tuple(notes.questions)
    )


def _found(stream: Stream) -> Iterator[Found]:
    """Yield all that is read, the plainest first: of one key the first value stands."""
    scopes = scopes_of(stream)
    taken: set[int] = atoms_inside(stream, scopes, _BARRED)
    everything = systems_of(stream)
    unit = existing_unit(stream, everything, taken)
    mentions = [
        *unit,
        *measured(stream, taken),
        *phase_currents(stream, taken),
        *energy(stream),
        *running_times(stream, taken),
    ]
    mentions += [
        *ambients_of(stream, taken),
        *room_of(stream, taken),
        *runs_of(stream, taken),
        *read_sizes(stream, taken),
        *read_words(stream),
    ]
    mentions, asks = one_place(stream, of_unit(stream, unit, outside(stream, mentions, scopes)))
    yield from (*asks, *open_ambient(stream, taken, mentions))
    written = [one for one in everything if one.index not in taken]
    high = [one for one in written if one.volts.highest > HIGHEST_V]
    yield from (_too_high(one) for one in high)
    systems = roles_of(stream, [one for one in written if one not in high])
    if high:
        together = roles_of(stream, written)
        if any(one.role == "supply" for one in together if one.volts.highest > HIGHEST_V):
            systems = [one for one in together if one.volts.highest <= HIGHEST_V]
    mentions += panel_of(stream, systems, taken)
    loads, asks = loads_of(without(stream, scopes), systems, taken)
    yield from asks
    if not loads and any(one.of_load for one in mentions):
        first = min(one.start for one in mentions if one.of_load)
        loads = [ReadLoad(start=first, end=first)]
    scene = Scene(stream, tuple(systems), tuple(loads))
    yield from placed(scene, mentions)
    yield from supply_facts(scene)
    yield from load_facts(scene)
    yield from frequencies(scene, taken)
    yield from outside(stream, neutrals(scene), scopes)


def _too_high(system: System) -> Ask:
    ask = f"{plain(system.volts.highest)} V is above what is covered here: is it part of this job?"
    why = f"Only systems up to {plain(HIGHEST_V)} V are covered."
    return Ask(key="supply.system", ask=ask, why=why, start=system.start, end=system.end)


class _Notes:
    """Facts by key and questions, as they are found."""

    def __init__(self, stream: Stream) -> None:
        self.stream = stream
        self.facts: dict[str, ReadFact] = {}
        self.questions: list[ReadQuestion] = []
        self.unsettled: set[str] = set()

    def take(self, found: Found) -> None:
        """Take a fact that its key accepts, or a question; a second value of one key is a question, too."""
        start, end = self.stream.span(found.start, found.end)
        said = self.stream.text[start:end]
        if isinstance(found, Ask):
            self.questions.append(ReadQuestion(found.key, found.ask, found.why, said))
            return
        value = [found.value] if found.key == _GATHERED else found.value
        if found.key in self.unsettled:
            return
        before = self.facts.get(found.key)
        if before is not None:
            self._again(before, found, said)
            return
        refused = _refusal(found.key, value)
        if refused is None:
            self.facts[found.key] = ReadFact(found.key, value, said, start, end)
        else:
            why = "The words do not give a value that can be used."
            self.questions.append(ReadQuestion(found.key, refused, why, said))

    def _again(self, before: ReadFact, found: Mention, said: str) -> None:
        if found.key == _GATHERED:
            if found.value not in before.value:
                before.value.append(found.value)
        elif before.value != found.value and not found.key.endswith("device_kind"):
            ask = f'Which holds: "{plain_text(before.value)}" or "{plain_text(found.value)}"?'
            self.questions.append(ReadQuestion(found.key, ask, "Both are said.", said))
            if found.key.endswith(_EITHER):
                del self.facts[found.key]
                self.unsettled.add(found.key)


def _refusal(key: str, value: Any) -> str | None:
    """Return why a key does not take a value, or None."""
    known = key_of(key)
    if known is None:
        return None
    try:
        read_value(known, value, key)
    except InputError as error:
        return f"{error.what} {error.fix}"
    return None


def plain_text(value: Any) -> str:
    """Return a value of a fact as a person reads it.

    Example:
        >>> plain_text(True), plain_text(["dust", "damp"]), plain_text("22 kVA")
        ('yes', 'dust, damp', '22 kVA')
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(map(str, value))
    return str(value)


def _order(fact: ReadFact) -> tuple[int, int, int]:
    table = re.split(r"[.\[]", fact.key, maxsplit=1)[0]
    number = re.search(r"\[(\d+)\]", fact.key)
    return _TABLES.index(table), int(number[1]) if number else 0, fact.start


def _unread(stream: Stream, facts: Iterable[ReadFact]) -> Iterator[str]:
    """Yield the runs of words that no fact came from, those with something to say."""
    covered = sorted((fact.start, fact.end) for fact in facts)
    place = 0
    run: list[Token] = []
    for token in stream.tokens:
        while place < len(covered) and covered[place][1] <= token.start:
            place += 1
        is_read = place < len(covered) and covered[place][0] <= token.start
        if is_read or token.kind == "break":
            yield from _worth_telling(stream, run)
            run = []
        else:
            run.append(token)
    yield from _worth_telling(stream, run)


def _worth_telling(stream: Stream, run: list[Token]) -> Iterator[str]:
    empty = words("stop") | words("greetings")
    tells = [token for token in run if token.kind != "mark" and token.text not in empty]
    said = [token for token in run if token.kind != "mark"]
    if tells:
        yield " ".join(stream.text[said[0].start : said[-1].end].split())
