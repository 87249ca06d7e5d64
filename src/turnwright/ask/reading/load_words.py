"""What a load is as read from a request, and the patterns by which people speak of loads."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from msgspec import Struct

from turnwright.ask.reading.grammar import either, load_nouns, part

PART = re.compile(r"(?: and | plus | , | \+ | ; | & | also )")
"""What parts a sentence between two loads."""
LONGEST_BREATH = 200
"""Characters of the line that may lie between a size and what belongs to it."""


class Named(Struct, frozen=True):
    """What a load is called: where it stands in the line, its last word, and what kind the words say it is.

    sure  the last word is one that loads are called by
    """

    start: int
    end: int
    noun: str
    kind: str | None
    sure: bool = True


class ReadLoad(Struct, frozen=True, kw_only=True):
    """One load as read.

    start, end  of its sizes in the line; of its name where no size is given
    first       where the first size ends
    sizes       key of the size -> atom
    pieces      atom of its count
    system      what it takes, index into the systems of the request
    """

    start: int
    end: int
    first: int = 0
    sizes: dict[str, int] = {}
    pieces: int | None = None
    named: Named | None = None
    system: int | None = None

    @property
    def own(self) -> bool:
        """Whether it has a name that loads are called by."""
        return self.named is not None and self.named.sure


class Patterns(NamedTuple):
    """The patterns of the grammar's file of loads, ready to use."""

    same_load: re.Pattern[str]
    total: re.Pattern[str]
    count_before: re.Pattern[str]
    count_earlier: re.Pattern[str]
    each: re.Pattern[str]
    name_behind: re.Pattern[str]
    any_behind: re.Pattern[str]
    name_ahead: re.Pattern[str]
    name_more: re.Pattern[str]
    name_later: re.Pattern[str]
    list_between: re.Pattern[str]
    count_plural: re.Pattern[str]
    about_load: re.Pattern[str]
    count_behind: re.Pattern[str]
    total_of: re.Pattern[str]
    part_of: re.Pattern[str]
    corrected: re.Pattern[str]
    one_more: re.Pattern[str]
    load_said: re.Pattern[str]
    opinion: re.Pattern[str]
    count_each: re.Pattern[str]


@lru_cache(maxsize=1)
def patterns() -> Patterns:
    """Return the patterns with the nouns of the lexicon in them."""
    one = f"(?:{either(load_nouns())})"
    noun = f"{one}(?: {one})*"
    file = part("loads")
    return Patterns(*(re.compile(file[name].replace("{NOUN}", noun)) for name in Patterns._fields))
