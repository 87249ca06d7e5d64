"""Answers that misbehave; worker processes import them by this name."""

from __future__ import annotations

import os
import time

from turnwright.errors import InputError, MissingExtra
from turnwright.web.reply import Reply, html


def endless() -> Reply:
    while True:
        time.sleep(0.01)


def greedy() -> Reply:
    held = [bytes(100_000_000) for _ in range(1000)]
    return html(str(len(held)))


def long() -> Reply:
    return html("x" * 40_000_000)


def refusing() -> Reply:
    raise InputError("JOB-01", "job.toml, line 3", "what.", "fix.")


def without_a_part() -> Reply:
    raise MissingExtra("DOC-03", "PDF file", "a part is not installed.", "pip install it.")


def broken() -> Reply:
    raise RuntimeError("the customer's name")


def dying() -> Reply:
    os._exit(3)


def fine(words: str) -> Reply:
    return html(words)
