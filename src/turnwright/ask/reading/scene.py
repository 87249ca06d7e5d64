"""What a request speaks of: voltages with their sides and loads, and which of them a word belongs to."""

from __future__ import annotations

import re
from itertools import chain

from msgspec import Struct

from turnwright.ask.reading.load_words import ReadLoad
from turnwright.ask.reading.mention import Mention
from turnwright.ask.reading.stream import Stream
from turnwright.ask.reading.systems import System

_OF_ALL = re.compile(r"\b(?:all|everything|both|they)\b")
OF_SUPPLY = re.compile(r"\b(?:supply|mains|service|utility|grid|net|source|bus)\b")
_LARGEST = frozenset(("largest", "biggest"))
_SOME = frozenset(("one", "other", "another", "first", "second", "some", "smaller", "smallest", "rest"))
_EVERY = frozenset(("all", "both", "everything", "each", "every"))
_FURTHER = 8
"""How much further a size counts than a voltage at the same distance."""


class Scene(Struct, frozen=True):
    """The stream of a request with its systems and loads."""

    stream: Stream
    systems: tuple[System, ...]
    loads: tuple[ReadLoad, ...]

    @property
    def has_motors(self) -> bool:
        """Whether a size in horsepower is among the loads."""
        return any("hp" in load.sizes for load in self.loads)

    def side_of(self, at: int) -> str:
        """Return the side of the voltage or size nearest to a place in its sentence; "" where nothing says."""
        low, high = self.stream.sentence(at)
        voltages = ((0, one.start, one.end, one.role) for one in self.systems if one.role)
        sizes = ((_FURTHER, one.start, one.end, "load") for one in self.loads if one.sizes)
        near = [
            (min(abs(at - end), abs(start - at)) + more, side)
            for more, start, end, side in chain(voltages, sizes)
            if low <= start < high
        ]
        if near:
            return min(near)[1]
        return "supply" if OF_SUPPLY.search(self.stream.line[low:high]) else ""

    def loads_of(self, mention: Mention) -> list[int]:
        """Return the loads a fact belongs to: the only one, those of its sentence, those spoken of before."""
        if len(self.loads) <= 1:
            return [0]
        low, high = self.stream.sentence(mention.start)
        inside = [n for n, load in enumerate(self.loads) if low <= load.start < high]
        if not inside:
            return self._elsewhere(mention, self.stream.line[low:high].split())
        before = [n for n in inside if self.loads[n].start <= mention.start]
        said_to = mention.end if mention.name == "demand_factor" else mention.start
        ahead = self.stream.line[max(low, mention.start - 25) : said_to]
        of_motors = mention.name == "start" and all("hp" in self.loads[n].sizes for n in inside)
        if (before == inside and of_motors) or _OF_ALL.search(ahead):
            return inside
        return before[-1:] or inside[:1]

    def _elsewhere(self, mention: Mention, said: list[str]) -> list[int]:
        """A sentence without sizes speaks of the loads it names, else of all before it."""
        chosen = self._selected(said)
        if chosen is not None:
            return chosen
        named = [n for n, load in enumerate(self.loads) if load.named is not None and load.named.noun in said]
        before = [n for n, load in enumerate(self.loads) if load.start < mention.start]
        return named or before or list(range(len(self.loads)))

    def _selected(self, said: list[str]) -> list[int] | None:
        """ "The largest is on a drive" speaks of one load, "one of them" of none that is known; None of neither."""
        if _LARGEST & set(said):
            sizes = [(self._horsepower(load), number) for number, load in enumerate(self.loads)]
            return [max(sizes)[1]] if len({size for size, _ in sizes}) == len(sizes) else []
        return [] if _SOME & set(said) and not _EVERY & set(said) else None

    def _horsepower(self, load: ReadLoad) -> float:
        return max((self.stream.atoms[index].high for index in load.sizes.values()), default=0.0)
