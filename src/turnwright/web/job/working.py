"""How a number came about, as a tree that unfolds down to facts and table cells."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from msgspec import Struct

from turnwright.documents.explanation import explain, steps_of
from turnwright.documents.parts.origins import UNSURE
from turnwright.documents.parts.working import measured
from turnwright.errors import UnknownKey
from turnwright.web.job.names import cell_of, input_words, step_words

MOST_STEPS = 300


class Input(Struct, frozen=True):
    """One input of a step: its name, its value, the step it came from."""

    name: str
    value: str
    origin: str


class StepView(Struct, frozen=True, kw_only=True):
    """One step.

    name, words  what programs call it, and what people do
    table, row   the cell of a reference table it is
    again        it stands above already
    changes      what would have to change for another value, of the size that is picked
    """

    name: str
    words: str
    value: str
    formula: str
    numbers: str
    inputs: tuple[Input, ...]
    source: str
    known: str
    table: str
    row: str
    again: bool
    steps: tuple[StepView, ...]
    changes: tuple[str, ...] = ()


class Explainer:
    """Explains the numbers of one result."""

    def __init__(self, result: Mapping[str, Any]) -> None:
        self._steps = steps_of(result)

    def view(self, name: str) -> StepView | None:
        """Return how a number came about; None where there is no number of that name."""
        if name not in self._steps:
            return None
        try:
            tree = explain(name, self._steps)
        except UnknownKey:
            return None
        return _Writer().step(tree)


class _Writer:
    def __init__(self) -> None:
        self.left = MOST_STEPS
        self.opened: set[str] = set()

    def step(self, tree: Mapping[str, Any]) -> StepView:
        name = str(tree["name"])
        again = name in self.opened and bool(tree["formula"] or tree["steps"])
        self.opened.add(name)
        cell = cell_of(name)
        return StepView(
            name=name,
            words=step_words(name),
            value=measured(_worded(tree["value"]), tree["measure"]),
            formula=str(tree["formula"]),
            numbers=str(tree["substitution"]),
            inputs=tuple(self._inputs(tree)),
            source=str(tree["source"]),
            known=UNSURE.get(tree["known"], "" if tree["known"] == "computed" else str(tree["known"])),
            table=cell[0] if cell else "",
            row=cell[1] if cell else "",
            again=again,
            steps=() if again else tuple(self._inside(tree)),
        )

    def _inside(self, tree: Mapping[str, Any]) -> Iterator[StepView]:
        for inner in tree["steps"]:
            self.left -= 1
            if self.left < 0:
                return
            yield self.step(inner)

    def _inputs(self, tree: Mapping[str, Any]) -> Iterator[Input]:
        inside = {inner["name"] for inner in tree["steps"]}
        for name, value in tree["with"].items():
            origin = str(tree["from"].get(name) or "")
            if tree["formula"] or origin not in inside:
                yield Input(*input_words(name, _worded(value)), step_words(origin) if origin else "")


def _worded(value: Any) -> Any:
    """Return a value with a word in place of a size without an end."""
    return "infinite" if value == float("inf") else value
