"""What a rule has read: a fact with the words it came from."""

from __future__ import annotations

from typing import Any

from msgspec import Struct
from msgspec.structs import replace


class Mention(Struct, frozen=True, kw_only=True):
    """A fact read in a request, before it is known which load it belongs to.

    key         path in the job file; `load.…` without an index for a fact of a load
    value       as the job file takes it
    start, end  where it stands in the line of the stream
    """

    key: str
    value: Any
    start: int
    end: int

    @property
    def of_load(self) -> bool:
        """Whether it belongs to a load."""
        return self.key.startswith("load.")

    @property
    def name(self) -> str:
        """The key without its table."""
        return self.key.partition(".")[2]

    def at(self, key: str) -> Mention:
        """Return the same fact under another key."""
        return replace(self, key=key)


class Ask(Struct, frozen=True, kw_only=True):
    """Something ambiguous in a request: a question instead of a guess.

    key   what it is about
    ask   the question
    why   what makes it ambiguous
    """

    key: str
    ask: str
    why: str
    start: int
    end: int


class ReadFact(Struct, frozen=True, rename={"start": "from", "end": "to"}):
    """A fact read in a request.

    key         path in the job file, `load[0].current`; `unit.…` for a unit that exists
    value       as the job file takes it
    words       the words it came from
    start, end  where they stand in the request, counted in characters
    """

    key: str
    value: Any
    words: str
    start: int
    end: int


class ReadQuestion(Struct, frozen=True):
    """What the request leaves open, and why."""

    key: str
    ask: str
    why: str
    words: str = ""
