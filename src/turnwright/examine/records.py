"""What a study hands back: the answer in sentences, named values, tables, curves, and how it came about."""

from __future__ import annotations

from typing import Any, Literal

from msgspec import Struct

from turnwright.model.result import Alternative, Finding, Pick, Question, Tool, WorkingLine

Verdict = Literal["answered", "refused", "needs-input"]


class Assumed(Struct, frozen=True):
    """What stands in for a fact nobody gave, or a limit of the method, and why it is the careful choice."""

    what: str
    why: str = ""


class Grid(Struct, frozen=True):
    """A table to read: a title, heads, and rows of texts; the first column names the row."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


class Series(Struct, frozen=True, kw_only=True):
    """One curve or row of bars, ready to be drawn.

    kind  "line" (x are numbers) or "bars" (x are texts)
    """

    name: str
    kind: Literal["line", "bars"]
    x_name: str
    x_unit: str
    y_name: str
    y_unit: str
    x: tuple[float, ...] | tuple[str, ...]
    y: tuple[float, ...]


class Study(Struct, frozen=True, kw_only=True):
    """One question answered in depth.

    said      the answer in sentences, the most important first
    answers   named values, the unit in the name; None: does not apply or cannot be known
    grids     the same as tables, for people
    assumed   what stands in for facts nobody gave
    pick      the unit that was examined; None: no unit
    job       the job as it was understood
    instead   after a refusal, what would work
    cases     solved circuits, of the question `network`
    """

    question: str
    verdict: Verdict
    said: tuple[str, ...]
    answers: dict[str, Any]
    grids: tuple[Grid, ...] = ()
    series: tuple[Series, ...] = ()
    findings: tuple[Finding, ...] = ()
    questions: tuple[Question, ...] = ()
    assumed: tuple[Assumed, ...] = ()
    working: tuple[WorkingLine, ...] = ()
    pick: Pick | None = None
    job: dict[str, Any] = {}
    instead: tuple[Alternative, ...] = ()
    cases: tuple[dict[str, Any], ...] | None = None
    tool: Tool

    def to_json(self) -> dict[str, Any]:
        """Return the study as a dict of plain values, the structure that `examine --format json` prints."""
        from turnwright.examine.as_json import study_to_json

        return study_to_json(self)


class Answer(Struct, frozen=True, kw_only=True):
    """What a study finds; the frame around it is the same for every question."""

    said: tuple[str, ...]
    answers: dict[str, Any]
    grids: tuple[Grid, ...] = ()
    series: tuple[Series, ...] = ()
    findings: tuple[Finding, ...] = ()
    questions: tuple[Question, ...] = ()
    assumed: tuple[Assumed, ...] = ()
    verdict: Verdict = "answered"
