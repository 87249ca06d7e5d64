"""Tables of a regime made into what the engine takes: voltage systems, shares, motor columns, sizes."""

from __future__ import annotations

from turnwright.arrangements import NominalSystem
from turnwright.demand import MotorColumn
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
