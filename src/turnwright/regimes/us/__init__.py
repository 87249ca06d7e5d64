"""The rules of the United States: NEC, 10 CFR 431, ANSI C84.1 and the trade's practice there."""

from __future__ import annotations

from functools import lru_cache

from turnwright.arrangements import NominalSystem
from turnwright.demand import DemandTables, MotorColumn
from turnwright.model.case import Defaults
from turnwright.quantities import VoltageSystem, parse_system
from turnwright.reference import EditionTable, Row, load
from turnwright.regimes.regime import Regime
from turnwright.regimes.us.conductors import Conductors
from turnwright.regimes.us.devices import Devices
from turnwright.regimes.us.grounding import GroundingSizes
from turnwright.regimes.us.law import EfficiencyLaw
from turnwright.regimes.us.rules import RULES
from turnwright.regimes.us.usual import availability, usual_unit
from turnwright.regimes.us.welders import duty_multiplier
from turnwright.working import Number, Step

EDITIONS = ("2017", "2020", "2023")
TABLES_DATED = "2026-11-25"  # the efficiency level where no date of manufacture is given
USUAL_RISE_K = 150.0
PHASES = (1, 3)
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
        edition=edition,
        title=f"NEC {edition}",
        defaults=_defaults(practice),
        usual_rise_k=USUAL_RISE_K,
        sizes_kva={phases: _sizes_kva(phases) for phases in PHASES},
        systems=_systems(),
        practice=practice,
        demand=_demand_tables(edition, practice),
        usual_unit=usual_unit,
        availability=availability,
        devices=Devices(edition),
        conductors=Conductors(edition),
        grounding=GroundingSizes(edition),
        law=EfficiencyLaw(),
        locked_rotor=load("nec_430_7b").at(edition),
        rules=RULES,
        rule_table=load("us_rules").at(edition),
    )


def _sizes_kva(phases: int) -> tuple[float, ...]:
    return load("standard_kva").newest().where(phases=phases).column("kva")


@lru_cache(maxsize=1)
def _systems() -> tuple[NominalSystem, ...]:
    return tuple(
        NominalSystem(_system(row.text("system")), _winding(row.text("winding")), row.yes("preferred"))
        for row in load("us_voltage_systems").newest().rows
    )


def _system(text: str) -> VoltageSystem:
    system = parse_system(text, where="us_voltage_systems")
    assert isinstance(system, VoltageSystem)
    return system


def _winding(text: str) -> str:
    """The first word of the table's description: wye, delta or single."""
    return text.split(",")[0].split("-")[0]


def _defaults(practice: EditionTable) -> Defaults:
    plates = load("us_nameplate_voltages").newest().rows
    return Defaults(
        regime="us",
        edition=EDITIONS[-1],
        frequency_hz=60.0,
        manufactured=TABLES_DATED,
        length_unit="ft",
        insulation="XHHW-2",
        nominal_v={row.number("nameplate_v"): row.number("nominal_v") for row in plates},
        power_factor_kw=practice.row(key="default_power_factor").number("value"),
        x_over_r=practice.row(key="source_x_over_r").number("value"),
        systems=tuple(nominal.system.text for nominal in _systems()),
    )


def _demand_tables(edition: str, practice: EditionTable) -> DemandTables:
    limits = load("nec_limits").at(edition)
    return DemandTables(
        motor_columns=_motor_columns(edition),
        motor_allowance=_share(practice.row(key="largest_motor_allowance_pct")),
        motor_conductor_allowance=_share(limits.row(key="largest_motor_pct"), less=1.0),
        continuous_factor=_share(limits.row(key="continuous_load_pct")),
        measured_demand_factor=_share(limits.row(key="measured_demand_pct")),
        default_power_factor=practice.row(key="default_power_factor").number("value"),
        default_efficiency=practice.row(key="default_motor_efficiency").number("value"),
        duty_multiplier=duty_multiplier(edition),
    )


def _share(row: Row, less: float = 0.0) -> Number:
    """Return a percentage as a share, or as the share above `less`, with the step that made it."""
    percent = row.number("value")
    equation = "percent / 100 - 1" if less else "percent / 100"
    value = percent / 100 - less
    return Number(value, Step(f"{percent.step.name} as share", value, "", equation, {"percent": percent}))


def _motor_columns(edition: str) -> tuple[MotorColumn, ...]:
    return tuple(
        MotorColumn(phases, low_v, high_v, load(name).at(edition), f"current_{column}v_a")
        for name, (phases, columns) in MOTOR_COLUMNS.items()
        for low_v, high_v, column in columns
    )
