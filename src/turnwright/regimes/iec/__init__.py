"""The IEC world: IEC 60364, IEC 60076 and 61558, IEC 60038, IEC 60909, European ecodesign and the trade's practice."""

from __future__ import annotations

from functools import lru_cache

from turnwright.arrangements import NominalSystem
from turnwright.demand import DemandTables
from turnwright.model.case import Defaults
from turnwright.reference import EditionTable, load
from turnwright.regimes.common import usual
from turnwright.regimes.common.tables import defaults_of, nominal_systems, share, sizes_kva
from turnwright.regimes.common.usual import usual_p_ecr
from turnwright.regimes.iec.conductors import Conductors
from turnwright.regimes.iec.devices import Devices
from turnwright.regimes.iec.grounding import ProtectiveConductors
from turnwright.regimes.iec.law import no_limit
from turnwright.regimes.iec.numbers import limit
from turnwright.regimes.iec.rules import RULES
from turnwright.regimes.iec.traits import TRAITS
from turnwright.regimes.regime import Regime

EDITIONS = ("2017",)
"""The parts of IEC 60364 as they stood then: 4-41 of 2005 with A1 of 2017, 4-43 of 2008, 5-52 of 2009, 5-54 of 2011."""
TABLES_DATED = "2026-11-25"
USUAL_CLASS = "F"
VECTOR_HOUR = 11


@lru_cache(maxsize=2)
def regime(edition: str) -> Regime:
    """Return the regime; the edition is the year of the newest of its parts."""
    practice = load("trade_practice").newest()
    return Regime(
        name="iec",
        traits=TRAITS,
        edition=edition,
        title=f"IEC 60364, parts as of {edition}",
        defaults=_defaults(practice),
        usual_rise_k=load("iec_rise_classes").newest().row(letter=USUAL_CLASS).number("rise_k"),
        sizes_kva=sizes_kva(load("iec_sizes").newest()),
        systems=_systems(),
        practice=practice,
        demand=_demand_tables(practice),
        usual_unit=_usual_units(),
        availability=_availability,
        devices=Devices(),
        conductors=Conductors(),
        grounding=ProtectiveConductors(),
        law=no_limit,
        k_ratings=(),
        usual_p_ecr=usual_p_ecr(),
        locked_rotor=None,
        voltage_factor=limit("voltage_factor_max"),
        least_voltage_factor=limit("voltage_factor_min"),
        vector_hour=VECTOR_HOUR,
        uncommon={
            "buck-boost": "Small units joined on site as autotransformers are no ware here: an autotransformer "
            "is ordered."
        },
        rules=RULES,
        rule_table=load("iec_rules").newest(),
    )


@lru_cache(maxsize=1)
def _systems() -> tuple[NominalSystem, ...]:
    return nominal_systems(load("iec_voltage_systems").newest())


@lru_cache(maxsize=1)
def _usual_units() -> usual.UsualUnits:
    return usual.UsualUnits(
        bands=load("iec_impedance_bands").newest(),
        ratios=load("iec_winding_x_over_r").newest(),
        tolerance_pct=limit("impedance_tolerance_pct"),
        taps=load("iec_usual_taps").newest(),
        sound=None,
    )


def _availability(phases: int, kva: float, primary: str, secondary: str) -> str:
    return usual.availability(load("iec_usual_stock").newest(), phases, kva, primary, secondary)


def _defaults(practice: EditionTable) -> Defaults:
    return defaults_of(
        practice,
        load("iec_nameplate_voltages").newest(),
        _systems(),
        regime="iec",
        edition=EDITIONS[-1],
        frequency_hz=50.0,
        manufactured=TABLES_DATED,
        insulation="PVC",
        installation="cables in conduit on a wall (B2), on a tray (E) where that cannot carry it",
        motor_table=False,
        unmarked_terminals=None,
    )


def _demand_tables(practice: EditionTable) -> DemandTables:
    """I_B is the current of the load: no share on top for load that runs for hours, or for the largest motor."""
    return DemandTables(
        motor_columns=(),
        motor_allowance=share(practice.row(key="largest_motor_allowance_pct")),
        motor_conductor_allowance=0.0,
        continuous_factor=1.0,
        measured_demand_factor=1.0,
        default_power_factor=practice.row(key="default_power_factor").number("value"),
        default_efficiency=practice.row(key="default_motor_efficiency").number("value"),
    )
