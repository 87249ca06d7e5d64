"""Open questions: who answers them, what stands in until then, what the answer moves."""

from __future__ import annotations

from collections.abc import Iterable

from turnwright.documents.report import QuestionLine, QuestionList
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import printed
from turnwright.model.result import Question

WHO = (
    ("edition", "the authority that inspects"),
    ("regime", "the authority that inspects"),
    ("supply.fault_current", "the utility, or whoever calculated the supply"),
    ("supply.x_over_r", "the utility, or whoever calculated the supply"),
    ("supply", "whoever can open and measure the supply panel"),
    ("load", "the nameplate, or whoever supplies the equipment"),
    ("site", "the owner of the building"),
    ("circuit", "whoever installs it"),
    ("choices.growth", "the customer"),
    ("choices.impedance", "whoever makes the transformer"),
    ("choices", "the customer"),
)
"""Beginning of a key -> who knows; the first that fits."""


def who_answers(key: str) -> str:
    """Return who can answer a question about a key.

    Example:
        >>> who_answers("load[0].power_factor"), who_answers("edition")
        ('the nameplate, or whoever supplies the equipment', 'the authority that inspects')
    """
    bare_key = key.partition("[")[0]
    return next((who for start, who in WHO if bare_key.startswith(start)), "the customer")


def question_list(questions: Iterable[Question], with_why: bool = True) -> QuestionList | None:
    """Return questions, the most telling first; None when there are none."""
    rows = tuple(_line(question, with_why) for question in questions)
    return QuestionList(rows) if rows else None


def _line(question: Question, with_why: bool) -> QuestionLine:
    why = printed(question.why)
    moved = phrases.answers_words(question) or phrases.moves_words(question)
    texts = (moved if moved != question.why else "", why if with_why else "")
    return QuestionLine(
        ask=printed(question.ask),
        who=who_answers(question.key),
        assumed="" if question.assumed is None else phrases.shown(question.assumed),
        moves=" ".join(text for text in texts if text),
    )
