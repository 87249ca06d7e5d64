"""What would lead to another size, in words: the same for terminal, pages and papers."""

from __future__ import annotations

from typing import NamedTuple

from turnwright.documents.words import phrases
from turnwright.model.job import Job
from turnwright.narrow.next_sizes import NextSizes, SizeChange, next_sizes

PICKED = "pick.kva"
"""The number of the answer that these words go with."""
NOTHING = "No single change that was tried leads to another size."


class ChangeWords(NamedTuple):
    """One change: what is picked then, of what, from which value on, and how it stands now."""

    then: str
    of: str
    at: str
    now: str

    @property
    def sentence(self) -> str:
        """The change in a line."""
        return f"{self.then}: {self.of} at {self.at} (now {self.now})"


def next_sizes_of(name: str, job: Job) -> NextSizes | None:
    """Return what goes with a number of the answer: with the size that is picked, what would change it."""
    return next_sizes(job) if name == PICKED else None


def change_rows(found: NextSizes) -> list[ChangeWords]:
    """Return the changes as rows, those to a larger size first."""
    return [_row(one) for one in (*found.larger, *found.smaller)]


def _row(one: SizeChange) -> ChangeWords:
    then = "no transformer" if one.kva is None else phrases.kva(one.kva)
    of = one.of[:1].lower() + one.of[1:] if not one.key.startswith("load[") else one.of
    return ChangeWords(then, of, f"{one.at} or {'more' if one.more else 'less'}", one.now)
