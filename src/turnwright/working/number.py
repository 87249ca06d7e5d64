"""Values that know where they came from, yet are plain floats and texts to every formula."""

from __future__ import annotations

from typing import Any, Literal

from msgspec import Struct

Known = Literal["seen", "memory", "common practice", "assumed", "computed", "given"]


class Step(Struct, frozen=True, eq=False):
    """One line of the working: a given fact, a table cell or a computed value.

    name     path of the value in the result, or the name of a fact or a table cell
    value    what came out
    unit     unit of the value, "" for a ratio or a text
    formula  how it was computed, "" for a fact or a cell
    inputs   argument name -> the value that went in (a `Number` or `Word` where it has a step of its own)
    source   document and clause, or file and line of a given fact, or the reason of an assumed one
    known    how the value is known; a computed value is known as "computed"
    """

    name: str
    value: Any
    unit: str = ""
    formula: str = ""
    inputs: dict[str, Any] = {}
    source: str = ""
    known: Known = "computed"


class Number(float):
    """A float with the step that made it. Arithmetic on it gives a plain float, without a step.

    Example:
        >>> volts = Number(480.0, Step("supply.voltage_v", 480.0, "V", known="given"))
        >>> volts * 2, volts.step.name
        (960.0, 'supply.voltage_v')
    """

    __slots__ = ("step",)
    step: Step

    def __new__(cls, value: float, step: Step) -> Number:
        """Make a float that remembers `step`."""
        self = super().__new__(cls, value)
        self.step = step
        return self

    def __reduce__(self) -> tuple[Any, ...]:
        return (Number, (float(self), self.step))


class Word(str):
    """A text with the step that made it; see `Number`."""

    __slots__ = ("step",)
    step: Step

    def __new__(cls, value: str, step: Step) -> Word:
        """Make a text that remembers `step`."""
        self = super().__new__(cls, value)
        self.step = step
        return self

    def __reduce__(self) -> tuple[Any, ...]:
        return (Word, (str(self), self.step))


def step_of(value: object) -> Step | None:
    """Return the step behind a value, or None for a plain one."""
    return value.step if isinstance(value, Number | Word) else None
