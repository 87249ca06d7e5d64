"""Requests with their facts, and what a reading gets right."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import pytest
import yaml

from turnwright.ask.reading.mention import ReadFact
from turnwright.ask.reading.request import read_request
from turnwright.intake import read_value
from turnwright.model.keys import UNIT_TABLES, key_of

DATA = Path(__file__).with_name("data")
NOT_JUDGED = (".name", ".note")
"""What a load is called is a matter of taste; a note repeats what is read elsewhere."""


class Request(NamedTuple):
    """A request, the facts its words hold, those that may be read, and other values that may be."""

    id: str
    text: str
    facts: dict[str, Any]
    may: dict[str, Any]
    other: dict[str, Any]


class Score(NamedTuple):
    """What a reading of some requests came to."""

    held: int
    found: int
    wrong: list[str]
    missed: list[str]

    @property
    def recall(self) -> float:
        return self.found / self.held

    @property
    def wrong_share(self) -> float:
        return len(self.wrong) / (self.found + len(self.wrong))


def requests_of(name: str) -> list[Request]:
    rows = yaml.safe_load((DATA / f"{name}.yaml").read_text(encoding="utf-8"))
    return [
        Request(row["id"], row["text"], row["facts"], row.get("may") or {}, row.get("or") or {})
        for row in rows
    ]


def meaning(key: str, value: Any) -> Any:
    """A value as its key reads it, so that spellings compare."""
    known = key_of(key) or key_of(key, UNIT_TABLES)
    assert known is not None, key
    read = read_value(known, value, key)
    if isinstance(read, tuple) and read and isinstance(read[0], str):
        return tuple(sorted(read))
    if hasattr(read, "low"):
        return (read.form, read.low, read.high)
    if hasattr(read, "percent_by_order"):
        return tuple((order, each.low, each.high) for order, each in read.percent_by_order)
    if isinstance(read, tuple):
        return tuple((each.low, each.high) for each in read)
    return getattr(read, "text", read)


def same(key: str, first: Any, second: Any) -> bool:
    one, other = meaning(key, first), meaning(key, second)
    if isinstance(one, tuple) and len(one) == 3 and isinstance(one[0], str) and len(other) == 3:
        close = all(a == b or abs(a - b) < 1e-6 for a, b in zip(one[1:], other[1:], strict=True))
        return one[0] == other[0] and close
    return bool(one == other)


def judge(request: Request) -> Score:
    """Compare the facts read with the facts held; more than was said, or another value, is wrong."""
    read: dict[str, ReadFact] = {fact.key: fact for fact in read_request(request.text).facts}
    missed = [
        f"{request.id} {key} = {value}"
        for key, value in request.facts.items()
        if key not in read or not same(key, read[key].value, value)
    ]
    wrong = []
    for key, fact in read.items():
        if key.endswith(NOT_JUDGED):
            continue
        held = [one[key] for one in (request.facts, request.may, request.other) if key in one]
        wanted = held[0] if held else None
        if not any(same(key, fact.value, one) for one in held):
            wrong.append(f"{request.id} {key} = {fact.value} from {fact.words!r}, held {wanted}")
    return Score(len(request.facts), len(request.facts) - len(missed), wrong, missed)


@pytest.fixture(scope="session")
def judged() -> Callable[[str], Score]:
    """Return the score of all requests of a file."""

    def of(name: str) -> Score:
        scores = [judge(request) for request in requests_of(name)]
        return Score(
            sum(one.held for one in scores),
            sum(one.found for one in scores),
            [text for one in scores for text in one.wrong],
            [text for one in scores for text in one.missed],
        )

    return of


@pytest.fixture(scope="session")
def all_requests() -> list[Request]:
    names = sorted(path.stem for path in DATA.glob("*.yaml"))
    return [request for name in names for request in requests_of(name)]
