"""The one place that asks for a request in plain words to be read."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from turnwright.ask import job_from_request
from turnwright.web.job import edits
from turnwright.web.job.paths import field_of

UNIT = "unit."


class Open(NamedTuple):
    """What a request leaves open: the field it is about, the question, the words it is about."""

    field: str
    ask: str
    words: str


class Understood(NamedTuple):
    """What a request says.

    typed    what would be typed into each field, by its path
    words    the words each came from
    unread   what nobody understood
    open     what is ambiguous
    loads    how many loads it speaks of
    unit     the nameplate of a unit it speaks of, as typed into its fields
    """

    typed: dict[str, str]
    words: dict[str, str]
    unread: tuple[str, ...]
    open: tuple[Open, ...]
    loads: int
    unit: dict[str, str]


@lru_cache(maxsize=32)
def read(request: str) -> Understood | None:
    """Return what a request in plain words says; None where there is nothing to read."""
    if not request.strip():
        return None
    found = job_from_request(request)
    facts = [fact for fact in found.facts if not fact.key.startswith(UNIT)]
    data = edits.data_of(found.text)
    return Understood(
        typed={field_of(fact.key): edits.field_text(data, field_of(fact.key)) for fact in facts},
        words={field_of(fact.key): " ".join(fact.words.split()) for fact in facts},
        unread=found.unread,
        open=tuple(
            Open(field_of(one.key), one.ask, " ".join(one.words.split()))
            for one in found.questions
            if one.words
        ),
        loads=len(found.job.load),
        unit={
            fact.key.removeprefix(UNIT): edits.written(fact.value)
            for fact in found.facts
            if fact.key.startswith(UNIT)
        },
    )
