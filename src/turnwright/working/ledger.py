"""How a number came about: pure functions declare their formula, a ledger records their use.

Calculations are pure functions of floats, marked with `formula`. The layer that calls them goes through
`Ledger.calc`; a closed ledger only calls, an open one also writes a `Step` and hands back a value that knows it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple, TypeVar

from turnwright.working.number import Known, Number, Step, Word, step_of

F = TypeVar("F", bound=Callable[..., Any])


class Formula(NamedTuple):
    """What a calculation says of itself: its equation, unit of the result, clause, how that is known."""

    equation: str
    unit: str
    source: str
    known: Known


def formula(equation: str, unit: str, source: str = "", known: Known = "computed") -> Callable[[F], F]:
    """Declare the equation, unit and clause of a calculation.

    Example:
        >>> @formula("V · I · √3 / 1000", "kVA")
        ... def three_phase_kva(voltage_v: float, current_a: float) -> float:
        ...     return voltage_v * current_a * 3**0.5 / 1000
        >>> formula_of(three_phase_kva).unit
        'kVA'
    """

    def mark(function: F) -> F:
        function.__dict__["formula"] = Formula(equation, unit, source, known)
        return function

    return mark


def formula_of(function: Callable[..., Any]) -> Formula:
    """Return what `formula` declared of a calculation."""
    declared: Formula = function.__dict__["formula"]
    return declared


class Ledger:
    """An open ledger: `calc` runs a calculation and keeps the step.

    Example:
        >>> @formula("V · I · √3 / 1000", "kVA")
        ... def three_phase_kva(voltage_v: float, current_a: float) -> float:
        ...     return voltage_v * current_a * 3**0.5 / 1000
        >>> ledger = Ledger()
        >>> kva = ledger.calc("demand.kva", three_phase_kva, voltage_v=240.0, current_a=150.0)
        >>> round(kva, 2), ledger.steps["demand.kva"].formula
        (62.35, 'V · I · √3 / 1000')
    """

    is_open = True

    def __init__(self, prefix: str = "", steps: dict[str, Step] | None = None) -> None:
        self.prefix = prefix
        self.steps: dict[str, Step] = {} if steps is None else steps

    def within(self, prefix: str) -> Ledger:
        """Return a view of the same ledger that puts `prefix.` before the names it writes."""
        return Ledger(f"{self.prefix}{prefix}.", self.steps)

    def draft(self) -> Ledger:
        """Return an empty ledger of the same kind, for a trial that may be thrown away."""
        return Ledger(self.prefix)

    def adopt(self, draft: Ledger) -> None:
        """Take over the steps of a trial that is kept."""
        self.steps.update(draft.steps)

    def calc(self, name: str, function: Callable[..., Any], **inputs: Any) -> Any:
        """Run `function(**inputs)`, record it as `name`, and return the value with its step.

        A result that is no number or text (a row, a record, None) is recorded by its text and returned as it is.
        """
        value = function(**inputs)
        says: Formula = function.__dict__["formula"]
        return self._keep(
            Step(self.prefix + name, value, says.unit, says.equation, inputs, says.source, says.known)
        )

    def note(self, name: str, value: Any, unit: str, source: str, known: Known, **inputs: Any) -> Any:
        """Record a value that was picked or looked up rather than computed, and return it with its step."""
        return self._keep(Step(self.prefix + name, value, unit, "", inputs, source, known))

    def _keep(self, step: Step) -> Any:
        self.steps[step.name] = step
        self._keep_origins(step)
        if isinstance(step.value, bool):
            return step.value
        if isinstance(step.value, int | float):
            return Number(step.value, step)
        return Word(step.value, step) if isinstance(step.value, str) else step.value

    def _keep_origins(self, step: Step) -> None:
        """Keep the facts, cells and steps that went in, so that every input of every step is in the ledger."""
        for given in step.inputs.values():
            origin = step_of(given)
            if origin is not None and origin.name not in self.steps:
                self.steps[origin.name] = origin
                self._keep_origins(origin)


class ClosedLedger(Ledger):
    """A ledger that keeps nothing: `calc` is a plain call."""

    is_open = False

    def within(self, prefix: str) -> Ledger:
        """Return itself: nothing is named."""
        return self

    def draft(self) -> Ledger:
        """Return itself: nothing is kept."""
        return self

    def adopt(self, draft: Ledger) -> None:
        """Keep nothing."""

    def calc(self, name: str, function: Callable[..., Any], **inputs: Any) -> Any:
        """Run `function(**inputs)`."""
        return function(**inputs)

    def note(self, name: str, value: Any, unit: str, source: str, known: Known, **inputs: Any) -> Any:
        """Return the value."""
        return value


CLOSED = ClosedLedger()
