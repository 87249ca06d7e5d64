"""A job of which a required fact is not known: which sizes it could come to, and what to ask first."""

from __future__ import annotations

from itertools import product
from math import prod
from typing import Any, NamedTuple

from turnwright.errors import InputError
from turnwright.model.case import Case, Missing, NeedsInput
from turnwright.model.job import Job
from turnwright.model.result import Question
from turnwright.narrow.asking import ask_words
from turnwright.narrow.open_facts import open_facts
from turnwright.narrow.outcome import Engine, Outcome
from turnwright.narrow.put import put
from turnwright.narrow.spread import outcomes, sizes, width

MOST_TRIED = 40
"""Combinations of what the missing facts may be that are looked at; where there are more, no range is given."""


class Tried(NamedTuple):
    """One combination of what the missing facts may be, and the outcomes it leaves possible."""

    texts: tuple[str, ...]
    found: frozenset[Outcome]


def missing_questions(
    job: Job, needs: NeedsInput, engine: Engine
) -> tuple[tuple[float, float] | None, tuple[Question, ...]]:
    """Return the range of sizes a job could come to [kVA], and its questions, the most telling first.

    job    : as given
    needs  : what it came to
    engine : whose rules
    """
    may_be = [_possibilities(one, engine) for one in needs.missing]
    countable = all(may_be)
    tried = _tried(job, needs.missing, may_be, engine) if countable else []
    every = frozenset(found for one in tried for found in one.found)
    questions = [_question(job, one, place, tried, engine) for place, one in enumerate(needs.missing)]
    order = sorted(
        range(len(questions)), key=lambda n: (_left(tried, n, engine), _trade_order(needs.missing[n]))
    )
    return sizes(every), tuple(questions[n] for n in order)


def _possibilities(one: Missing, engine: Engine) -> tuple[str, ...]:
    """Return what a missing fact may be; a load's system may be any in use, a supply's one of the preferred."""
    if one.possibilities or not one.key.endswith(".system"):
        return one.possibilities
    if one.key != "supply.system":
        return engine.regime.defaults.systems
    return tuple(nominal.system.text for nominal in engine.regime.systems if nominal.preferred)


def _tried(
    job: Job, missing: tuple[Missing, ...], may_be: list[tuple[str, ...]], engine: Engine
) -> list[Tried]:
    """Run the engine on the combinations; where they are too many, the supply only by its number of phases."""
    if prod(len(texts) for texts in may_be) > MOST_TRIED:
        may_be = [
            _one_of_each(texts) if one.key == "supply.system" else texts
            for one, texts in zip(missing, may_be, strict=True)
        ]
    if prod(len(texts) for texts in may_be) > MOST_TRIED:
        return []
    return [Tried(texts, _outcomes(job, missing, texts, engine)) for texts in product(*may_be)]


def _one_of_each(texts: tuple[str, ...]) -> tuple[str, ...]:
    """Return one system of one phase and one of three: the volts of a supply hardly move a size."""
    single = next((text for text in texts if text.endswith("1ph")), None)
    three = next((text for text in texts if not text.endswith("1ph")), None)
    return tuple(text for text in (three, single) if text is not None)


def _outcomes(
    job: Job, missing: tuple[Missing, ...], texts: tuple[str, ...], engine: Engine
) -> frozenset[Outcome]:
    try:
        for one, text in zip(missing, texts, strict=True):
            job = put(job, one.key, text)
        case = engine.case(job)
        facts = open_facts(job, case if isinstance(case, Case) else None, engine.regime)
        within = [one for one in facts if one.widens]
        return outcomes(job, within, engine)
    except InputError:
        return frozenset({Outcome("refused", None)})


def _left(tried: list[Tried], place: int, engine: Engine) -> float:
    """Return how many outcomes stay possible after an answer, on average."""
    groups: dict[str, set[Outcome]] = {}
    for one in tried:
        groups.setdefault(one.texts[place], set()).update(one.found)
    if not groups:
        return 0.0
    return sum(width(found, engine.series) for found in groups.values()) / len(groups)


def _trade_order(one: Missing) -> int:
    """The nameplate of the load first, then its size, then the supply."""
    if one.key == "supply.system":
        return 2
    return 0 if one.key.endswith(".system") else 1


def _question(job: Job, one: Missing, place: int, tried: list[Tried], engine: Engine) -> Question:
    words = ask_words(job, one.key)
    moves: dict[str, Any] = {}
    if one.possibilities:
        moves["possibilities"] = list(one.possibilities)
    groups: dict[str, set[Outcome]] = {}
    for each in tried:
        groups.setdefault(each.texts[place], set()).update(each.found)
    every = sizes(found for group in groups.values() for found in group)
    if every is not None and every[0] != every[1]:
        moves["kva"] = list(every)
    if groups:
        moves["answers"] = [_answer(text, found) for text, found in groups.items()]
    return Question(key=one.key, ask=words.ask, assumed=None, why=words.why, moves=moves)


def _answer(text: str, found: set[Outcome]) -> dict[str, Any]:
    """Return what an answer leaves: one size, a range of sizes, or none."""
    ends = sizes(found)
    if ends is None:
        return {"answer": text, "kva": None, "verdict": "refused"}
    if ends[0] == ends[1]:
        return {"answer": text, "kva": ends[0]}
    return {"answer": text, "kva": list(ends)}
