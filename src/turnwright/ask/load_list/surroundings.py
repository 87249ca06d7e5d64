"""What stands above and below a load list: its panel and voltage, what feeds it, growth; the rest is told."""

from __future__ import annotations

import re
from collections.abc import Iterator

from msgspec import Struct

from turnwright.ask.job_text import Line
from turnwright.ask.load_list.entries import Entry
from turnwright.ask.load_list.headings import Head
from turnwright.ask.reading.mention import ReadFact
from turnwright.ask.reading.request import read_request
from turnwright.intake.sheet_file import Sheet

_OF_THE_JOB = (
    "choices.growth",
    "site.place",
    "site.altitude",
    "site.ambient_average",
    "site.conditions",
    "regime",
    "edition",
)
_FATES = ("sum", "heading", "remark")
_FED = re.compile(r"\b(fed (?:from|by)|source|supply)\s*:?\s*(?:[a-z]{1,5}-?\d[\w-]*[ ,]+)?", re.IGNORECASE)


class Around(Struct, frozen=True, kw_only=True):
    """What the words around the rows say.

    facts   of supply, site and choices
    system  of the panel or of the whole list; None where they name none
    words   it came from
    title   of the list
    unread  what was not read
    """

    facts: tuple[ReadFact, ...]
    system: str | None
    words: str
    title: str
    unread: tuple[str, ...]

    def lines(self, supply: str | None) -> list[Line]:
        """Return what goes into the job file; what somebody says of the supply counts before the list."""
        found = [Line("title", self.title, "")] if self.title else []
        found += [Line(one.key, one.value, f'"{" ".join(one.words.split())}"') for one in self.facts]
        if supply is not None:
            found = [one for one in found if one.path != "supply.system"]
            found.append(Line("supply.system", supply, "as you said"))
        return found


def around(sheet: Sheet, head: Head, entries: list[Entry]) -> Around:
    """Return what is said above the head and in rows that are no loads."""
    above = [" ".join(cell for cell in row if cell) for row in sheet.rows[: head.first]]
    above = [text for text in above if text]
    below = [one.words.replace(" · ", " ") for one in entries if one.fate in _FATES]
    facts: list[ReadFact] = []
    left: list[str] = []
    system, words = None, ""
    for text in above + below:
        read = read_request(_plainly(text))
        taken = []
        for fact in read.facts:
            if fact.key == "load[0].system" or (fact.key == "supply.system" and not _is_supply(text)):
                if system is None and text in above:
                    system, words = str(fact.value), text
                    taken.append(fact)
            elif fact.key in _OF_THE_JOB or fact.key == "supply.system":
                taken.append(fact)
                if fact.key not in {one.key for one in facts}:
                    facts.append(fact)
        if not taken:
            left.append(text)
    if system is None:
        system, words = _voltage_of(above)
    unread = tuple(f'above the list: "{text}"' for text in left if text in above[1:] and text != words)
    title = " ".join(above[0].split())[:120] if above else ""
    return Around(facts=tuple(facts), system=system, words=words, title=title, unread=unread)


def _plainly(text: str) -> str:
    """Return a line of a schedule's head as a sentence has it: "FED FROM: T-2, 480Y/277V" is fed from 480Y/277V."""
    return _FED.sub(r"\1 ", text)


def _is_supply(text: str) -> bool:
    said = text.casefold()
    return any(word in said for word in ("fed from", "fed by", "supply", "source", "primary", "incoming"))


def _voltage_of(above: list[str]) -> tuple[str | None, str]:
    """A voltage by itself above a list is that of the list."""
    for text in _voltages(above):
        found = {one.key: one for one in read_request(f"load {text}").facts}.get("load[0].system")
        if found is not None:
            return str(found.value), text
    return None, ""


def _voltages(above: list[str]) -> Iterator[str]:
    for text in above:
        if not _is_supply(text):
            yield text
