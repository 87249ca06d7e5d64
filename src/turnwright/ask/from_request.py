"""A request in plain words made a job: the file, the facts with their words, what was not read, what to ask."""

from __future__ import annotations

from typing import Any

from msgspec import Struct

from turnwright.ask.job_text import Line, job_text
from turnwright.ask.reading.mention import ReadFact, ReadQuestion
from turnwright.ask.reading.request import Reading, read_request
from turnwright.errors import InputError
from turnwright.intake import case_of, read_job
from turnwright.intake.kinds import LONGEST_TEXT
from turnwright.model.case import NeedsInput
from turnwright.model.job import Job
from turnwright.narrow.asking import ask_words
from turnwright.narrow.select import regime_for

HEAD = "Read from a request in words; behind each line stand the words it came from."
ORIGIN = "request"


class RequestJob(Struct, frozen=True, kw_only=True):
    """A job read from a request.

    text       the job file, TOML
    job        the same, read back
    facts      each with the words it came from
    unread     what was not read
    questions  what is ambiguous, then what a job cannot do without
    unit       the file of a unit that the request speaks of, TOML; None without one
    """

    text: str
    job: Job
    facts: tuple[ReadFact, ...]
    unread: tuple[str, ...]
    questions: tuple[ReadQuestion, ...]
    unit: str | None

    def to_json(self) -> dict[str, Any]:
        """Return the reading as a dict of plain values."""
        return {
            "schema": 1,
            "job": self.text,
            "facts": [
                {
                    "key": fact.key,
                    "value": _plain(fact.value),
                    "words": fact.words,
                    "from": fact.start,
                    "to": fact.end,
                }
                for fact in self.facts
            ],
            "unread": list(self.unread),
            "questions": [
                {"key": one.key, "ask": one.ask, "why": one.why, "words": one.words} for one in self.questions
            ],
            "unit": self.unit,
        }


def _plain(value: Any) -> Any:
    return {str(key): each for key, each in value.items()} if isinstance(value, dict) else value


def job_from_request(text: str) -> RequestJob:
    """Return the job that a request speaks of.

    text : an e-mail, a note, a dictated paragraph, in English

    Example:
        >>> found = job_from_request("Single-phase 230 V ice maker, two wires and ground, 16 A. We have 208.")
        >>> found.job.load[0].current.text, [question.key for question in found.questions]
        ('16 A', ['supply.system'])
    """
    reading = read_request(text)
    facts = list(reading.facts)
    clashes: list[ReadQuestion] = []
    while True:
        written = _written(facts, (*reading.questions, *clashes), reading, text)
        try:
            job = read_job(written, ORIGIN)
            break
        except InputError as error:
            facts, clash = _without_clash(facts, error)
            clashes.append(clash)
    questions = (*reading.questions, *clashes, *missing_of(job))
    unit = [Line(fact.key, fact.value, _words(fact)) for fact in facts if fact.key.startswith("unit.")]
    return RequestJob(
        text=_written(facts, questions, reading, text),
        job=job,
        facts=tuple(facts),
        unread=reading.unread,
        questions=questions,
        unit=job_text(unit, head=(HEAD,), tables="unit") if unit else None,
    )


def _written(
    facts: list[ReadFact], questions: tuple[ReadQuestion, ...], reading: Reading, request: str
) -> str:
    lines = [Line(fact.key, fact.value, _words(fact)) for fact in facts]
    foot = [f"ask: {question.ask}" for question in questions]
    foot += [f"not read: {piece}" for piece in reading.unread]
    note = request.strip()[:LONGEST_TEXT]
    lines += [Line("note", note)] if note else []
    return job_text(lines, head=(HEAD,), foot=foot)


def _words(fact: ReadFact) -> str:
    return f'"{" ".join(fact.words.split())}"'


def _without_clash(facts: list[ReadFact], error: InputError) -> tuple[list[ReadFact], ReadQuestion]:
    """Leave out the fact that the reader of job files refuses; it becomes a question."""
    where = error.where.rpartition(", ")[2]
    clash = next((fact for fact in facts if fact.key == where), facts[-1])
    question = ReadQuestion(
        clash.key, f"{error.what} {error.fix}", "The facts do not fit together.", clash.words
    )
    return [fact for fact in facts if fact is not clash], question


def missing_of(job: Job) -> list[ReadQuestion]:
    """Return the questions for what no job can do without."""
    try:
        regime = regime_for(job)
    except InputError as error:
        return [
            ReadQuestion("regime", f"{error.what} {error.fix}", "Nothing can be sized under other rules.")
        ]
    case = case_of(job, regime.defaults)
    if not isinstance(case, NeedsInput):
        return []
    asked = [(one, ask_words(job, one.key)) for one in case.missing]
    return [ReadQuestion(one.key, words.ask, words.why) for one, words in asked]
