"""The rules that need nothing of a code, as rules of one regime: its words, its volts in the examples."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from msgspec import Struct

from turnwright.regimes.common.rules import connection, loads, supply
from turnwright.regimes.common.rules.connection import shared_winding
from turnwright.regimes.rule import Facts, Rule

Band = Callable[[str], tuple[float, float] | None]
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


def source_rules(band_v: Band, volts: Volts) -> tuple[Rule, ...]:
    """Return the rules about what feeds the transformer."""
    return (
        Rule(
            id="to-ground-says",
            severity="caution",
            applies=lambda facts: len(facts.case.supply.measured_to_ground_v) == 3,
            check=supply.to_ground_says,
            trips={
                "supply": {"measured_to_ground": [f"{volts.supply_v:g} V", "2 V", f"{volts.supply_v:g} V"]}
            },
            clean={},
        ),
        Rule(
            id="supply-unbalance",
            severity="caution",
            applies=lambda facts: len(facts.case.supply.measured_v) == 3,
            check=supply.supply_unbalance,
            trips=volts.measured(0.96, 1.0, 1.04),
            clean=volts.measured(1.0, 1.0, 1.0),
        ),
        Rule(
            id="supply-voltage",
            severity="caution",
            check=supply.supply_voltage(band_v),
            trips=volts.measured(1.12),
            clean=volts.measured(1.0),
        ),
    )


def load_rules(volts: Volts) -> tuple[Rule, ...]:
    """Return the rules about the load list."""
    return (
        Rule(
            id="uneven-phases",
            severity="note",
            check=loads.uneven_phases,
            trips={
                "load": [
                    {"system": volts.wye, "kva": "10 kVA"},
                    {"system": volts.single, "kva": "6 kVA", "lines": "A"},
                ]
            },
            clean={},
        ),
    )


def connection_rules(volts: Volts) -> tuple[Rule, ...]:
    """Return the rules about how windings are joined."""
    open_delta = {**volts.load(system=volts.delta), "choices": {"arrangement": "open delta"}}
    return (
        Rule(
            id="not-a-new-system",
            severity="note",
            applies=shared_winding,
            check=connection.no_new_system,
            trips=volts.shared(),
            clean={},
        ),
        Rule(
            id="bank-as-one",
            severity="note",
            applies=lambda facts: (
                facts.proposal.arrangement in ("bank", "open delta", "high leg") and facts.proposal.units > 1
            ),
            check=connection.counts_as_one,
            trips=open_delta,
            clean={},
        ),
        Rule(
            id="open-delta",
            severity="note",
            applies=lambda facts: facts.proposal.arrangement == "open delta",
            check=connection.open_delta,
            trips=open_delta,
            clean={},
        ),
        Rule(
            id="parallel-units",
            severity="caution",
            applies=_in_parallel,
            check=connection.parallel_units,
            trips={**volts.load(kva="60 kVA"), "choices": {"units": 2}},
            clean={},
        ),
    )


def direction_rules(volts: Volts) -> tuple[Rule, ...]:
    """Return the rules about which way a unit is fed, and its volts."""
    return (
        Rule(
            id="back-fed-neutral",
            severity="note",
            applies=lambda facts: (
                facts.proposal.step_up and facts.proposal.derived and facts.proposal.phases == 3
            ),
            check=connection.backfed_neutral,
            trips={"supply": {"system": volts.low}, **volts.load(system=volts.high)},
            clean={},
        ),
        Rule(
            id="same-volts",
            severity="note",
            check=connection.same_volts_both_sides,
            trips=volts.load(system=volts.supply),
            clean={},
        ),
        Rule(
            id="coil-links",
            severity="note",
            applies=lambda facts: facts.proposal.phases == 1,
            check=connection.coil_links,
            trips=volts.load(system=volts.single, kva="4 kVA"),
            clean={},
        ),
    )


def _in_parallel(facts: Facts) -> bool:
    return facts.proposal.arrangement == "isolation" and facts.proposal.units > 1
