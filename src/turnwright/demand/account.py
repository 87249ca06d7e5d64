"""What the parts of this package write the working through."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from msgspec import Struct

from turnwright.working import CLOSED, Known, Ledger, formula_of, step_of

MOST_LISTED = 200
"""A longer load list is recorded by its totals: nobody reads the steps of ten thousand loads."""


class Account(Struct, frozen=True):
    """A ledger, and whether each load has steps of its own in it.

    work    for totals
    single  for the steps of one load; closed when the list is long
    long    the list is too long for steps of each load
    """

    work: Ledger
    single: Ledger
    long: bool

    @classmethod
    def of(cls, work: Ledger, loads: int) -> Account:
        """Return the account for so many loads."""
        long = loads > MOST_LISTED
        return cls(work, CLOSED if long else work, long)

    def within(self, prefix: str) -> Account:
        """Return the account whose names start with `prefix`."""
        return Account(self.work.within(prefix), self.single.within(prefix), self.long)

    def total(self, name: str, function: Callable[..., float], terms: Mapping[str, float]) -> Any:
        """Run `function(**terms)` and record it: with its terms, or by their number when the list is long."""
        if not self.long:
            return self.work.calc(name, function, **terms)
        says = formula_of(function)
        text = f"{says.equation} over {len(terms)} values, which are not listed one by one"
        return self.work.note(name, function(**terms), says.unit, text, "computed")


def stated(work: Ledger, name: str, value: float, unit: str, source: str, known: Known = "given") -> Any:
    """Return a value of the case with a step: its own, or one by this name."""
    return value if step_of(value) else work.note(name, value, unit, source, known)
