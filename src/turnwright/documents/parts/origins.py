"""How a value of the result is known, and from where: its step of the working, or the fact behind it."""

from __future__ import annotations

from typing import Any, NamedTuple

from turnwright.model.result import Result, WorkingLine

UNSURE = {"assumed": "assumed", "memory": "from memory", "common practice": "common practice"}
"""How a value is known -> the word beside it on paper; computed, given and read values need none."""


class Origin(NamedTuple):
    """How a value is known, and its source."""

    known: str
    source: str

    @property
    def mark(self) -> str:
        """The word beside the value, "" where it is sure."""
        return UNSURE.get(self.known, "")

    @property
    def words(self) -> str:
        """Both in one text.

        Example:
            >>> Origin("seen", "NEC 2023 Table 310.16").words, Origin("memory", "NEC 2023 215.2").words
            ('NEC 2023 Table 310.16', 'NEC 2023 215.2, from memory')
        """
        shown = {**UNSURE, "seen": ""}.get(self.known, self.known)
        parts = (self.source, shown) if self.known in ("seen", "memory") else (shown, self.source)
        return ", ".join(dict.fromkeys(part for part in parts if part))


class Origins:
    """Looks up origins in one result."""

    def __init__(self, result: Result) -> None:
        self._steps: dict[str, WorkingLine] = {line.name: line for line in result.working}
        self._facts: dict[str, dict[str, Any]] = {fact["key"]: fact for fact in result.job.get("facts") or ()}

    def fact(self, key: str) -> dict[str, Any] | None:
        """Return a fact of the job as understood."""
        return self._facts.get(key)

    def of(self, name: str, *fact_keys: str) -> Origin:
        """Return the origin of a value: its own step, else the first fact of those named, else computed."""
        step = self._steps.get(name)
        if step is not None:
            return Origin(step.known, step.source)
        for key in fact_keys:
            fact = self._facts.get(key)
            if fact is not None:
                return Origin(fact["known"], fact["where"] or fact["reason"])
        return Origin("computed", "")
