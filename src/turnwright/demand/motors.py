"""Full-load current of motors, from the columns of the tables a regime brings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from turnwright.reference import all_at_least

if TYPE_CHECKING:
    from turnwright.reference import EditionTable
    from turnwright.working import Number


PRINTED = 1.0 - 2e-4
"""Tables give 1/3 hp as 0.3333: a motor of a third is in that row, not above it."""


class MotorColumn(Struct, frozen=True):
    """One column of a motor table and the nameplate volts it is for, both ends included.

    table   has a column `hp`
    column  full-load current [A]
    """

    phases: int
    from_v: float
    through_v: float
    table: EditionTable
    column: str


class MotorRow(Struct, frozen=True):
    """A cell of a motor table: the rated power of its row [hp] and the full-load current [A]."""

    hp: Number
    current_a: Number


def motor_row(
    columns: tuple[MotorColumn, ...], phases: int, nameplate_v: float, hp: float
) -> MotorRow | None:
    """Return the full-load current of a motor [A]; between two rows the larger; None outside the tables.

    columns     : what the regime brings
    phases      : 1 or 3
    nameplate_v : volts of the nameplate [V]
    hp          : rated power [hp]
    Source: NEC 430.6(A)(1), Tables 430.248 and 430.250, where those are the columns

    Example:
        >>> from turnwright.reference import load
        >>> table = load("nec_430_250").at("2023")
        >>> row = motor_row((MotorColumn(3, 220, 240, table, "current_230v_a"),), 3, 230, 12)
        >>> float(row.hp), float(row.current_a)
        (15.0, 42.0)
    """
    for column in columns:
        if column.phases == phases and column.from_v <= nameplate_v <= column.through_v:
            for row in all_at_least(column.table, "hp", hp * PRINTED):
                current_a = row.optional(column.column)
                if current_a is not None:
                    return MotorRow(row.number("hp"), current_a)
            return None
    return None
