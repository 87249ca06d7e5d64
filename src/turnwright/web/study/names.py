"""What the questions in depth are called on the pages."""

from __future__ import annotations

from turnwright.examine.registry import QUESTIONS, Asked

TITLES = {
    "fault": "Short circuits",
    "motor-start": "Motor starts",
    "unbalance": "Unbalance",
    "harmonics": "Harmonics",
    "inrush": "Switching on",
    "parallel": "Units in parallel",
    "year": "A year of load",
    "overload": "Overload for a time",
    "cost": "What losses cost",
    "network": "Any circuit",
}
"""Question -> the head of its page; one that is not here is shown by its name."""


def title_of(asked: Asked) -> str:
    """Return the head of the page of a question."""
    return TITLES.get(asked.name, asked.name.replace("-", " ").capitalize())


def studies(of_job: bool) -> list[tuple[str, str, str]]:
    """Return name, head and words of every question, or of those that are asked of a job."""
    return [(each.name, title_of(each), each.says) for each in QUESTIONS if not of_job or each.takes == "job"]
