"""The rules that need nothing of a code, as rules of one regime: its words, its volts in the examples."""

from __future__ import annotations

from collections.abc import Callable

from turnwright.regimes.common.rules import connection, loads, plain, supply
from turnwright.regimes.common.rules.connection import shared_winding
from turnwright.regimes.common.rules.volts import Changes, Volts
from turnwright.regimes.rule import Facts, Rule

Band = Callable[[str], tuple[float, float] | None]


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


def uneven_phases(volts: Volts) -> Rule:
    """Return the rule about single-phase load spread unevenly over the lines."""
    return Rule(
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
    )


def not_a_new_system(volts: Volts) -> Rule:
    """Return the rule about what an autotransformer does not give."""
    return Rule(
        id="not-a-new-system",
        severity="note",
        applies=shared_winding,
        check=connection.no_new_system,
        trips=volts.shared(),
        clean={},
    )


def bank_rules(volts: Volts) -> tuple[Rule, ...]:
    """Return the rules about several units as one."""
    open_delta = {**volts.load(system=volts.delta), "choices": {"arrangement": "open delta"}}
    return (
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


def _in_parallel(facts: Facts) -> bool:
    return facts.proposal.arrangement == "isolation" and facts.proposal.units > 1


def loading_band(full: Changes) -> Rule:
    """Return the rule about the share of its rating that a unit carries; `full` loads one almost fully."""
    return Rule(id="loading-band", severity="note", check=plain.loading_band, trips=full, clean={})


def step_up(volts: Volts) -> Rule:
    """Return the rule about a unit that is fed on its lower volts."""
    return Rule(
        id="step-up",
        severity="note",
        applies=lambda facts: facts.proposal.step_up,
        check=plain.step_up,
        trips=_fed_low(volts),
        clean={},
    )


def backfed_neutral(volts: Volts) -> Rule:
    """Return the rule about the neutral terminal of a unit that is fed on its wye side."""
    return Rule(
        id="back-fed-neutral",
        severity="note",
        applies=lambda facts: (
            facts.proposal.step_up and facts.proposal.derived and facts.proposal.phases == 3
        ),
        check=connection.backfed_neutral,
        trips=_fed_low(volts),
        clean={},
    )


def _fed_low(volts: Volts) -> Changes:
    return {"supply": {"system": volts.low}, **volts.load(system=volts.high)}


def same_volts(volts: Volts) -> Rule:
    """Return the rule about equal volts on both sides."""
    return Rule(
        id="same-volts",
        severity="note",
        check=connection.same_volts_both_sides,
        trips=volts.load(system=volts.supply),
        clean={},
    )


def coil_links(volts: Volts) -> Rule:
    """Return the rule about the coils of a single-phase unit."""
    return Rule(
        id="coil-links",
        severity="note",
        applies=lambda facts: facts.proposal.phases == 1,
        check=connection.coil_links,
        trips=volts.load(system=volts.single, kva="4 kVA"),
        clean={},
    )


def two_lines(single: Changes) -> Rule:
    """Return the rule about one single-phase unit on two of three lines; `single` is such a load."""
    return Rule(
        id="two-lines",
        severity="caution",
        applies=plain.on_two_lines,
        check=plain.two_lines,
        trips=single,
        clean={},
    )


def no_control_voltage(volts: float, motor: Changes, no_motor: Changes) -> Rule:
    """Return the rule about motors whose controls find no usual volts; examples with a motor and without one."""
    return Rule(
        id="no-control-voltage",
        severity="note",
        applies=plain.no_neutral,
        check=plain.no_control_voltage(volts),
        trips=motor,
        clean=no_motor,
    )


def shared_rules(band_v: Band, volts: Volts) -> tuple[Rule, ...]:
    """Return the rules that regimes take together, in the order of their findings."""
    return (
        *source_rules(band_v, volts),
        uneven_phases(volts),
        not_a_new_system(volts),
        *bank_rules(volts),
        backfed_neutral(volts),
        same_volts(volts),
        coil_links(volts),
    )
