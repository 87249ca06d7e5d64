"""What a command hands back: an exit status and the whole text, written at once or not at all."""

from __future__ import annotations

from msgspec import Struct

ANSWERED = 0
DEFECT = 1
BAD_INPUT = 2
ANSWERED_NO = 3
NOT_ENOUGH_KNOWN = 4

STATUS_OF_VERDICT = {
    "selected": ANSWERED,
    "fit": ANSWERED,
    "fit-with-conditions": ANSWERED,
    "refused": ANSWERED_NO,
    "unfit": ANSWERED_NO,
    "needs-input": NOT_ENOUGH_KNOWN,
}
"""Verdict of a result -> exit status of the command that prints it."""


class Outcome(Struct, frozen=True):
    """The exit status and the text for standard output."""

    status: int
    text: str
