"""What the loads ask for: the records of this package."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, Literal, TypeAlias

from msgspec import Struct

from turnwright.working import Ledger

if TYPE_CHECKING:
    from turnwright.demand.motors import MotorColumn

Place = Literal["three-phase", "three-wire", "line to neutral", "line to line"]
Category = Literal["continuous", "noncontinuous", "motor", "measured"]


CodeDemand: TypeAlias = Callable[[str, float, float, float, Ledger], float]


class DemandTables(Struct, frozen=True, kw_only=True):
    """What a regime brings to the sum of the loads; each number knows its source.

    motor_columns             tables of full-load current; none: motors are sized by shaft power
    motor_allowance           share of the largest motor added to the kVA of the unit [-]
    motor_conductor_allowance share of the largest motor added for devices and conductors [-]
    continuous_factor         on continuous load, for devices and conductors [-]
    measured_demand_factor    on a metered maximum, for devices and conductors only: the running kVA keeps the
                              metered value [-]
    default_power_factor      for power in kW or hp without a power factor [-]
    default_efficiency        of the largest motor inside a group, where no table has it [-]
    code_demand               (rule, connected kVA, pieces, two largest kVA, ledger) -> demand factor of the code
    momentary_share           of a momentary rating that counts for devices and conductors of imaging equipment;
                              None: the long-time load alone counts [-]
    duty_multiplier           (kind, on-time in percent) -> multiplier on the on-value for devices and
                              conductors; None, or an answer of None: the rms value
    """

    motor_columns: tuple[MotorColumn, ...]
    motor_allowance: float
    motor_conductor_allowance: float
    continuous_factor: float
    measured_demand_factor: float
    default_power_factor: float
    default_efficiency: float
    code_demand: CodeDemand | None = None
    duty_multiplier: Callable[[str, float], float | None] | None = None
    momentary_share: float | None = None


class LoadDemand(Struct, frozen=True, kw_only=True):
    """One line of the load list, sized at its nominal voltage.

    kva, current_a        one piece, rms over its duty cycle [kVA, A]
    on_kva, on_current_a  one piece while it is on [kVA, A]
    peak_current_a        one piece in its momentary demand, where it has one, else while it is on [A]
    running_*             all pieces times the demand factor; currents added in line [kVA, A]
    code_running_kva      running kVA for devices and conductors [kVA]
    power_factor          None: the angle is not known. An assumed one sizes a load and earns no reduction
    motor_kva             the largest motor of one piece; None: no motor [kVA]
    table_current_a       full-load current of the motor table, and the row it was read in [A, hp]
    category              how it counts for devices and conductors; a load with a duty cycle is not continuous
    neutral               draws current through the neutral conductor
    distorts              its kind distorts the current, and no spectrum is given
    assumption            what stood in for a missing fact, "" when nothing did
    """

    index: int
    place: Place
    lines: str | None
    pieces: float
    kva: float
    current_a: float
    on_kva: float
    on_current_a: float
    peak_current_a: float
    running_kva: float
    running_current_a: float
    running_on_kva: float
    code_running_kva: float
    power_factor: float | None
    phase_angle_deg: float | None
    motor_kva: float | None
    table_current_a: float | None
    table_hp: float | None
    category: Category
    neutral: bool
    harmonics: tuple[tuple[int, float], ...]
    distorts: bool
    assumption: str


class Placement(Struct, frozen=True):
    """So many pieces of a single-phase load on these lines of the secondary; one letter: line to neutral."""

    load: int
    lines: str
    pieces: int


class LoadPicture(Struct, frozen=True, kw_only=True):
    """What the loads of one unit ask of its secondary.

    Of loads that never run together the set counts that makes a number largest; each number has its own.

    secondary         text of the voltage system
    loads             every load, counted or not
    counted           positions in `loads` of those in `kva`
    all_together      more loads are linked by never_with than are tried in sets: all counted at once
    kva               running vector sum, no growth, no motor allowance; angles that are not known add in line [kVA]
    kva_heat          with growth and the allowance for the largest motor [kVA]
    largest_motor     index of its load; None: no motor
    power_factor      of the part of `kva` whose angle is known; None: no angle is known
    on_kva            with growth, duty loads at their on-value, momentary demands in full: what drops the voltage [kVA]
    phases, phase_kva windings (legs of a single-phase unit), and their load with growth [kVA]
    worst_phase_kva   the most loaded winding of a three-phase unit, twice the worse leg of a three-wire one, the
                      total of a two-wire one, with growth [kVA]
    lines, line_a     secondary line conductors and their current with growth [A]
    neutral_a         with growth; None: there is no neutral [A]
    k_factor          Σ I_h² h² / Σ I_h² of the whole current; 1 when no load states harmonics
    spectrum          of the whole current, percent of its fundamental by order
    unknown_spectrum  indices of the loads that distort and state no spectrum
    *continuous_kva, motors_kva, measured_kva   with growth, added in line; together all running load [kVA]
    code_kva          the load that devices and conductors must carry, with growth [kVA]
    design_line_a     the same for each line conductor of the secondary [A]
    """

    secondary: str
    loads: tuple[LoadDemand, ...]
    counted: tuple[int, ...]
    all_together: bool
    kva: float
    kva_with_growth: float
    kva_heat: float
    motor_allowance_kva: float
    largest_motor: int | None
    power_factor: float | None
    on_kva: float
    on_power_factor: float | None
    phases: tuple[str, ...]
    phase_kva: tuple[float, ...]
    worst_phase_kva: float
    lines: tuple[str, ...]
    line_a: tuple[float, ...]
    neutral_a: float | None
    neutral_fundamental_a: float | None
    neutral_harmonic_a: float | None
    placements: tuple[Placement, ...]
    k_factor: float
    spectrum: tuple[tuple[int, float], ...]
    unknown_spectrum: tuple[int, ...]
    continuous_kva: float
    noncontinuous_kva: float
    motors_kva: float
    measured_kva: float
    code_kva: float
    design_line_a: tuple[float, ...]

    @property
    def distortion_pct(self) -> float:
        """Total distortion of the whole current, 0 when no load states harmonics. [%]"""
        return math.sqrt(math.fsum(percent * percent for _, percent in self.spectrum))
