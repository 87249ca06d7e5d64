"""Tables of a regime made into what the engine takes: voltage systems, shares, motor columns, sizes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from turnwright.arrangements import NominalSystem
from turnwright.demand import DemandTables, MotorColumn
from turnwright.model.case import Defaults
from turnwright.quantities import VoltageSystem, parse_system
from turnwright.reference import EditionTable, Row
from turnwright.working import Number, Step

Columns = tuple[tuple[float, float, str], ...]


def nominal_systems(table: EditionTable) -> tuple[NominalSystem, ...]:
    """Return the voltage systems of a table, in its order."""
    return tuple(
        NominalSystem(
            _system(row.text("system"), table.name), _winding(row.text("winding")), row.yes("preferred")
        )
        for row in table.rows
    )


def _system(text: str, where: str) -> VoltageSystem:
    system = parse_system(text, where=where)
    assert isinstance(system, VoltageSystem)
    return system


def _winding(text: str) -> str:
    """The first word of the table's description: wye, delta or single."""
    return text.split(",")[0].split("-")[0]


def share(row: Row, less: float = 0.0) -> Number:
    """Return a percentage as a share, or as the share above `less`, with the step that made it."""
    percent = row.number("value")
    equation = "percent / 100 - 1" if less else "percent / 100"
    value = percent / 100 - less
    return Number(value, Step(f"{percent.step.name} as share", value, "", equation, {"percent": percent}))


def motor_columns(table: EditionTable, phases: int, columns: Columns) -> tuple[MotorColumn, ...]:
    """Return the columns of a motor table with the nameplate volts each is for: (from, through, its name)."""
    return tuple(
        MotorColumn(phases, from_v, through_v, table, f"current_{column}v_a")
        for from_v, through_v, column in columns
    )


def sizes_kva(table: EditionTable) -> dict[int, tuple[float, ...]]:
    """Return the preferred ratings by number of phases, ascending. [kVA]"""
    return {phases: table.where(phases=phases).column("kva") for phases in (1, 3)}


def defaults_of(
    practice: EditionTable, plates: EditionTable, systems: Sequence[NominalSystem], **of_regime: Any
) -> Defaults:
    """Return what stands in where a job says nothing: the numbers of the trade, and the regime's own beside them."""
    return Defaults(
        nominal_v={row.number("nameplate_v"): row.number("nominal_v") for row in plates.rows},
        power_factor_kw=practice.row(key="default_power_factor").number("value"),
        x_over_r=practice.row(key="source_x_over_r").number("value"),
        systems=tuple(nominal.system.text for nominal in systems),
        **of_regime,
    )


def demand_tables(
    practice: EditionTable, motors: tuple[MotorColumn, ...], limits: EditionTable, **of_regime: Any
) -> DemandTables:
    """Return the tables of a load list where motors, load that runs for hours and meters count by limits of a code."""
    return DemandTables(
        motor_columns=motors,
        motor_allowance=share(practice.row(key="largest_motor_allowance_pct")),
        motor_conductor_allowance=share(limits.row(key="largest_motor_pct"), less=1.0),
        continuous_factor=share(limits.row(key="continuous_load_pct")),
        measured_demand_factor=share(limits.row(key="measured_demand_pct")),
        default_power_factor=practice.row(key="default_power_factor").number("value"),
        default_efficiency=practice.row(key="default_motor_efficiency").number("value"),
        **of_regime,
    )
