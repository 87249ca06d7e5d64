"""The rules of the United States: NEC, 10 CFR 431, ANSI C84.1 and the trade's practice there."""

from __future__ import annotations

from functools import lru_cache

from turnwright.arrangements import NominalSystem
from turnwright.demand import DemandTables, MotorColumn
from turnwright.model.case import Defaults
from turnwright.reference import EditionTable, load
from turnwright.regimes.common.tables import (
    defaults_of,
    demand_tables,
    motor_columns,
    nominal_systems,
    share,
    sizes_kva,
)
from turnwright.regimes.common.usual import usual_p_ecr
from turnwright.regimes.regime import Regime
from turnwright.regimes.us.conductors import Conductors
from turnwright.regimes.us.demand_factors import code_demand
from turnwright.regimes.us.devices import Devices
from turnwright.regimes.us.grounding import GroundingSizes
from turnwright.regimes.us.law import EfficiencyLaw
from turnwright.regimes.us.rules import RULES
from turnwright.regimes.us.traits import TRAITS
from turnwright.regimes.us.usual import availability, usual_units
from turnwright.regimes.us.welders import duty_multiplier

EDITIONS = ("2017", "2020", "2023")
TABLES_DATED = "2026-11-25"  # the efficiency level where no date of manufacture is given
USUAL_RISE_K = 150.0
# nameplate volts that share a column of Tables 430.248 and 430.250, as their headings say
MOTOR_COLUMNS = {
    "nec_430_248": (1, ((110, 127, "115"), (199, 201, "200"), (208, 208, "208"), (220, 240, "230"))),
    "nec_430_250": (
        3,
        (
            (110, 120, "115"),
            (199, 201, "200"),
            (208, 208, "208"),
            (220, 240, "230"),
            (440, 480, "460"),
            (550, 600, "575"),
        ),
    ),
}


@lru_cache(maxsize=8)
def regime(edition: str) -> Regime:
    """Return the regime in one edition of the NEC."""
    practice = load("trade_practice").at(edition)
    return Regime(
        name="us",
        traits=TRAITS,
        edition=edition,
        title=f"NEC {edition}",
        defaults=_defaults(practice),
        usual_rise_k=USUAL_RISE_K,
        sizes_kva=sizes_kva(load("standard_kva").newest()),
        systems=_systems(),
        practice=practice,
        demand=_demand_tables(edition, practice),
        usual_unit=usual_units(),
        availability=availability,
        devices=Devices(edition),
        conductors=Conductors(edition),
        grounding=GroundingSizes(edition),
        law=EfficiencyLaw(),
        locked_rotor=load("nec_430_7b").at(edition),
        k_ratings=load("us_k_ratings").newest().column("k"),
        usual_p_ecr=usual_p_ecr(),
        volt_ranges=load("c84_1").newest(),
        rules=RULES,
        rule_table=load("us_rules").at(edition),
    )


@lru_cache(maxsize=1)
def _systems() -> tuple[NominalSystem, ...]:
    return nominal_systems(load("us_voltage_systems").newest())


def _defaults(practice: EditionTable) -> Defaults:
    return defaults_of(
        practice,
        load("us_nameplate_voltages").newest(),
        _systems(),
        regime="us",
        edition=EDITIONS[-1],
        frequency_hz=60.0,
        manufactured=TABLES_DATED,
        insulation="XHHW-2",
    )


def _demand_tables(edition: str, practice: EditionTable) -> DemandTables:
    limits = load("nec_limits").at(edition)
    return demand_tables(
        practice,
        _motor_columns(edition),
        limits,
        code_demand=code_demand(edition),
        duty_multiplier=duty_multiplier(edition),
        momentary_share=share(limits.row(key="imaging_momentary_pct")),
    )


def _motor_columns(edition: str) -> tuple[MotorColumn, ...]:
    return tuple(
        column
        for name, (phases, columns) in MOTOR_COLUMNS.items()
        for column in motor_columns(load(name).at(edition), phases, columns)
    )
