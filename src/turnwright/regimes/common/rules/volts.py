"""The volts of one part of the world, from which the examples of its rules are made."""

from __future__ import annotations

from typing import Any

from msgspec import Struct

Changes = dict[str, Any]


class Volts(Struct, frozen=True, kw_only=True):
    """The volts of the examples: what the standard job has, and what changes to it are made of.

    supply, wye      systems of the standard job
    supply_v         line volts of the supply
    delta            three lines without neutral that such a unit may give
    single           of one line and neutral of `wye`
    low, high        systems of a step-up: fed at `low`, load at `high`
    off              three lines a little off the supply, for a boost
    """

    supply: str
    supply_v: float
    wye: str
    delta: str
    single: str
    low: str
    high: str
    off: str

    def load(self, kind: str | None = None, system: str = "", kva: str = "20 kVA", **more: Any) -> Changes:
        """Return the change to one load of a kind."""
        one = {"name": "one", "system": system or self.wye, "kva": kva, **more}
        return {"load": [one if kind is None else {**one, "kind": kind}]}

    def measured(self, *shares: float) -> Changes:
        """Return the change to a supply measured at these shares of its nominal volts."""
        return {"supply": {"measured": [f"{self.supply_v * share:g} V" for share in shares]}}

    def shared(self, **load: Any) -> Changes:
        """Return the change to an autotransformer for volts near those of the supply."""
        one = {"name": "one", "system": self.off, "kva": "20 kVA", **load}
        return {"load": [one], "choices": {"arrangement": "autotransformer"}}
