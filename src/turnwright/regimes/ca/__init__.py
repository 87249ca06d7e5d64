"""The rules of Canada: CEC Part I, SOR/2016-311, CSA C235 and the trade's practice there."""

from __future__ import annotations

from functools import lru_cache

from turnwright.arrangements import NominalSystem
from turnwright.demand import DemandTables
from turnwright.model.case import Defaults
from turnwright.reference import EditionTable, load
from turnwright.regimes.ca.conductors import Conductors
from turnwright.regimes.ca.devices import Devices
from turnwright.regimes.ca.grounding import GroundingSizes
from turnwright.regimes.ca.law import EfficiencyLaw
from turnwright.regimes.ca.rules import RULES
from turnwright.regimes.ca.traits import TRAITS
from turnwright.regimes.common import usual
from turnwright.regimes.common.tables import (
    defaults_of,
    demand_tables,
    motor_columns,
    nominal_systems,
    sizes_kva,
)
from turnwright.regimes.common.usual import usual_p_ecr
from turnwright.regimes.regime import Regime

EDITIONS = ("2015", "2018", "2021", "2024")
TABLES_DATED = "2026-11-25"  # the efficiency level where no date of manufacture is given
USUAL_RISE_K = 150.0
# nameplate volts that share a column of Tables 44 and 45
THREE_PHASE = (
    (110, 120, "115"),
    (199, 201, "200"),
    (208, 208, "208"),
    (220, 240, "230"),
    (440, 480, "460"),
    (550, 600, "575"),
)
SINGLE_PHASE = ((110, 127, "115"), (220, 240, "230"))


@lru_cache(maxsize=8)
def regime(edition: str) -> Regime:
    """Return the regime in one edition of the Canadian Electrical Code."""
    practice = load("trade_practice").newest()
    return Regime(
        name="ca",
        traits=TRAITS,
        edition=edition,
        title=f"CEC {edition}",
        defaults=_defaults(practice),
        usual_rise_k=USUAL_RISE_K,
        sizes_kva=sizes_kva(load("ca_sizes").newest()),
        systems=_systems(),
        practice=practice,
        demand=_demand_tables(edition, practice),
        usual_unit=_usual_units(),
        availability=_availability,
        devices=Devices(edition),
        conductors=Conductors(edition),
        grounding=GroundingSizes(edition),
        law=EfficiencyLaw(),
        k_ratings=load("us_k_ratings").newest().column("k"),
        usual_p_ecr=usual_p_ecr(),
        locked_rotor=load("ca_locked_rotor").newest(),
        volt_ranges=load("ca_voltage_ranges").newest(),
        rules=RULES,
        rule_table=load("ca_rules").at(edition),
    )


@lru_cache(maxsize=1)
def _systems() -> tuple[NominalSystem, ...]:
    return nominal_systems(load("ca_voltage_systems").newest())


@lru_cache(maxsize=1)
def _usual_units() -> usual.UsualUnits:
    """Canadian units are built like those south of the border: same bands and sound levels, taps of their own."""
    constants = load("dry_type_constants").newest()
    return usual.UsualUnits(
        bands=load("us_impedance_bands").newest(),
        ratios=load("us_winding_x_over_r").newest(),
        tolerance_pct=constants.row(key="impedance_tolerance_two_winding_pct").number("value"),
        taps=load("ca_usual_taps").newest(),
        sound=load("sound_levels").newest(),
    )


def _availability(phases: int, kva: float, primary: str, secondary: str) -> str:
    return usual.availability(load("ca_usual_stock").newest(), phases, kva, primary, secondary)


def _defaults(practice: EditionTable) -> Defaults:
    return defaults_of(
        practice,
        load("ca_nameplate_voltages").newest(),
        _systems(),
        regime="ca",
        edition=EDITIONS[-1],
        frequency_hz=60.0,
        manufactured=TABLES_DATED,
        insulation="RW90",
    )


def _demand_tables(edition: str, practice: EditionTable) -> DemandTables:
    motors = (
        *motor_columns(load("ca_motor_three_phase").at(edition), 3, THREE_PHASE),
        *motor_columns(load("ca_motor_single_phase").at(edition), 1, SINGLE_PHASE),
    )
    return demand_tables(practice, motors, load("ca_limits").at(edition))
