"""The question to ask next: the one whose answer leaves the fewest sizes possible, found by running the engine.

For each open fact and each of its likely answers the engine runs at the ends of all the others; the question with the
fewest outcomes left on average comes first. A fact written as unknown is asked before those of which nobody has said
anything. Where all that is possible comes to one size, the search ends there.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Any

from msgspec import Struct

from turnwright.demand.sizes import distorts
from turnwright.model.case import Case
from turnwright.model.job import Job
from turnwright.model.result import Blocks, Question
from turnwright.narrow.asking import ask_words
from turnwright.narrow.open_facts import OpenFact
from turnwright.narrow.other_moves import Moves
from turnwright.narrow.outcome import Engine, Outcome
from turnwright.narrow.put import at, put_value
from turnwright.narrow.spread import ends, one_angle_told, outcomes, sizes, width
from turnwright.narrow.thresholds import Turn, turn_between
from turnwright.quantities import Quantity, figure

MOST_RANKED = 3
"""Questions compared with each other; of more, those that move the size furthest alone."""
TURN_PARTS = 100
"""The turn of the next question is found to this part of the step between two of its answers."""


class Moved(Struct, frozen=True):
    """An open fact and what each of its answers leads to, all else as it stands.

    found  one outcome for each value of the fact
    """

    fact: OpenFact
    found: tuple[Outcome, ...]

    @property
    def sizes(self) -> list[float]:
        """The sizes it leads to, ascending, each once. [kVA]"""
        return sorted({one.kva for one in self.found if one.kva is not None})


class Search(Struct, frozen=True):
    """What is possible, and what to ask.

    allowed   outcomes that the facts allow
    moved     open facts that move the outcome, the most telling first
    idle      open facts that do not
    """

    allowed: frozenset[Outcome]
    moved: tuple[Moved, ...]
    idle: tuple[OpenFact, ...]


def search(job: Job, facts: Sequence[OpenFact], now: Outcome, engine: Engine) -> Search:
    """Return what the open facts allow, and in which order to ask for them.

    job    : as given
    facts  : its open facts
    now    : what it comes to as it stands
    engine : counts the runs
    """
    here = Outcome(now.verdict, now.kva)
    tried = [one for one in facts if one.values]
    within = [one for one in tried if one.widens]
    engine.hear(ends(job, within) if within else ())
    allowed = frozenset({here})
    if within:
        allowed |= outcomes(job, within, engine) | one_angle_told(job, within, engine)
    every = allowed if len(within) == len(tried) else outcomes(job, tried, engine) | allowed
    if len(every) == 1:
        return Search(allowed, (), tuple(facts))
    moved = [_moved(job, one, now, engine) for one in tried]
    alone = [one for one in moved if len(set(one.found)) > 1]
    ranked = _ranked(job, alone or moved, tried, engine)
    idle = tuple(one for one in facts if all(one is not other.fact for other in ranked))
    return Search(allowed, tuple(ranked), idle)


def _moved(job: Job, fact: OpenFact, now: Outcome, engine: Engine) -> Moved:
    """Run the answers: the ends first, the middle only where the ends differ."""
    ends = {place: engine.size(put_value(job, fact.key, fact.values[place])) for place in (0, -1)}
    if ends[0] == ends[-1] and fact.direction:
        found = [ends[0]] * len(fact.values)
    else:
        middle = [engine.size(put_value(job, fact.key, value)) for value in fact.values[1:-1]]
        found = [ends[0], *middle, ends[-1]][: len(fact.values)]
    return Moved(fact, (*found, Outcome(now.verdict, now.kva)))


def _ranked(job: Job, moved: Sequence[Moved], facts: Sequence[OpenFact], engine: Engine) -> list[Moved]:
    furthest = sorted(moved, key=lambda one: (one.fact.how != "unknown", -_reach(one)))
    if len(furthest) == 1:
        return furthest
    left = {one.fact.key: left_open(job, one.fact, facts, engine) for one in furthest[:MOST_RANKED]}
    first = sorted(
        furthest[:MOST_RANKED], key=lambda one: (one.fact.how != "unknown", left[one.fact.key], -_reach(one))
    )
    return [*first, *furthest[MOST_RANKED:]]


def _reach(one: Moved) -> float:
    reached = one.sizes
    without = any(found.kva is None for found in one.found) and bool(reached)
    return (reached[-1] / reached[0] if reached else 1.0) + without


def left_open(job: Job, fact: OpenFact, facts: Sequence[OpenFact], engine: Engine) -> float:
    """Return how many outcomes stay possible after an answer, on average; of what has a direction over its ends. [-]"""
    others = [one for one in facts if one is not fact]
    series = engine.series
    values = (fact.values[0], fact.values[-1]) if fact.direction else fact.values
    left = [width(outcomes(put_value(job, fact.key, value), others, engine), series) for value in values]
    return sum(left) / len(left)


def questions_of(
    job: Job, case: Case, found: Search, now: Outcome, engine: Engine, blocks: Blocks | None
) -> tuple[Question, ...]:
    """Return all there is to ask, the next question first.

    job, case : as given, and what it came to
    found     : what is possible and which facts move it
    now       : what the job comes to as it stands
    engine    : runs the answers of the next question once more, with all rules
    blocks    : the numbers of the pick
    """
    asked = [
        _size_question(job, case, *(_told(job, one, engine) if place == 0 else (one, None)))
        for place, one in enumerate(found.moved)
    ]
    first = [_idle_question(job, case, one, now) for one in found.idle if one.how == "unknown"]
    rest = [_idle_question(job, case, one, now) for one in found.idle if one.how != "unknown"]
    unknown = sum(one.fact.how == "unknown" for one in found.moved)
    plain = tuple(_plain_questions(job, case, now, blocks, engine)) if blocks is not None else ()
    order = {one.key: one for one in (*rest, *plain, *asked[unknown:], *first, *asked[:unknown])}
    keys = [one.key for one in (*asked[:unknown], *first, *asked[unknown:], *plain, *rest)]
    return tuple(order[key] for key in dict.fromkeys(keys))


def _told(job: Job, moved: Moved, engine: Engine) -> tuple[Moved, Turn | None]:
    """Return the answers of the next question with all rules heard, and where the size turns."""
    turn = _turn(job, moved, engine)
    if not engine.screening:
        return moved, turn
    heard = {moved.found[-1]: moved.found[-1]}
    for value, found in zip(moved.fact.values, moved.found, strict=False):
        if found not in heard:
            whole = engine.decided(put_value(job, moved.fact.key, value))
            heard[found] = Outcome(whole.verdict, whole.kva)
    return Moved(moved.fact, tuple(heard[found] for found in moved.found)), turn


def _turn(job: Job, moved: Moved, engine: Engine) -> Turn | None:
    """Return the first change of size between two answers, where they are sizes in one direction."""
    fact = moved.fact
    if not fact.direction:
        return None
    for place, (lower, upper) in enumerate(pairwise(moved.found[: len(fact.values)])):
        ends = fact.values[place], fact.values[place + 1]
        if lower != upper and all(isinstance(end, Quantity) for end in ends):
            low, high = (float(end.low) for end in ends)
            return turn_between(job, fact.key, low, high, (high - low) / TURN_PARTS, engine)
    return None


def _size_question(job: Job, case: Case, moved: Moved, turn: Turn | None) -> Question:
    """Return the question for a fact that moves the size, with its answers and what each leads to."""
    fact = moved.fact
    words = ask_words(job, fact.key)
    reached = moved.sizes
    found = moved.found[: len(fact.texts)]
    moves: dict[str, Any] = {"kva": [reached[0], reached[-1]]} if reached else {}
    moves["answers"] = [answer(text, one) for text, one in zip(fact.texts, found, strict=True)]
    if turn is not None:
        moves["turn"] = {"at": turn.text, "kva": [turn.below.kva, turn.above.kva]}
    ask = words.ask
    if fact.how == "half-known":
        ask = f"{ask} So far: {getattr(at(job, fact.key), 'text', 'a range')}."
    return Question(key=fact.key, ask=ask, assumed=assumed(case, fact.key), why=words.why, moves=moves)


def answer(text: str, found: Outcome) -> dict[str, Any]:
    """Return an answer that would be accepted, and what it leads to."""
    shown: dict[str, Any] = {"answer": text, "kva": found.kva}
    if found.kva is None:
        shown["verdict"] = found.verdict
    return shown


def assumed(case: Case, key: str) -> Any:
    """Return what stands in for a fact, as the case words it; None where nothing does."""
    return next((fact.value for fact in case.assumptions if fact.key == key), None)


def _idle_question(job: Job, case: Case, fact: OpenFact, now: Outcome) -> Question:
    """Return the question for an open fact that leaves the size where it is."""
    words = ask_words(job, fact.key)
    stays = {"kva": [now.kva, now.kva]} if fact.values and now.kva is not None else {}
    return Question(key=fact.key, ask=words.ask, assumed=assumed(case, fact.key), why=words.why, moves=stays)


def _plain_questions(
    job: Job, case: Case, now: Outcome, blocks: Blocks, engine: Engine
) -> Iterator[Question]:
    """Yield what nobody said and what decides about other things than the size, in the order of the trade."""
    missing = {fact.key for fact in case.assumptions}
    supply = case.supply
    moves = Moves(job, case, engine.regime, blocks)
    if supply.panel_rating_a is None or supply.panel_load_a is None:
        needed = figure(blocks.currents.primary_load_a, rounding="up")
        more = f"Under {needed} A to spare, {now.words} falls."
        yield _plain(job, case, "supply.panel_rating", more)
    if "supply.fault_current" in missing:
        yield _plain(job, case, "supply.fault_current", moves=moves)
    yield from _load_questions(job, case, blocks, moves)
    if supply.source != "utility" and supply.source_kva is None:
        yield _plain(job, case, "supply.source_kva")
    if "site.place" in missing:
        yield _plain(job, case, "site.place", moves=moves)
    if "hazardous" in case.site.conditions and case.site.classified is None:
        yield _plain(job, case, "site.classified")
    if case.site.essential and case.site.seismic is None and case.site.seismic_g is None:
        yield _plain(job, case, "site.seismic")
    if "edition" in missing:
        yield _plain(job, case, "edition", moves=moves)


def _load_questions(job: Job, case: Case, blocks: Blocks, moves: Moves) -> Iterator[Question]:
    """Yield what decides the K rating, the drop or the firing of single loads."""
    for one in case.loads:
        stated = job.load[one.index].harmonics if one.index < len(job.load) else None
        if distorts(one) and not one.harmonics and stated is None and case.choices.k_rating is None:
            rated = blocks.pick.k_rating or 1.0
            yield _plain(job, case, f"load[{one.index}].spectrum", f"K-{rated:g} stands until then.", moves)
        if one.momentary_kva is not None and one.regulation_limit_pct is None:
            yield _plain(job, case, f"load[{one.index}].regulation_limit")
        if one.kind == "furnace" and one.firing is None and not one.harmonics:
            yield _plain(job, case, f"load[{one.index}].firing")


def _plain(job: Job, case: Case, key: str, more: str = "", moves: Moves | None = None) -> Question:
    words = ask_words(job, key)
    moved = {} if moves is None else moves.of(key)
    return Question(
        key=key, ask=f"{words.ask} {more}".rstrip(), assumed=assumed(case, key), why=words.why, moves=moved
    )


def range_of(found: frozenset[Outcome]) -> tuple[float, float] | None:
    """Return the smallest and the largest possible pick. [kVA]"""
    return sizes(found)
