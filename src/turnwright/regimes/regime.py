"""A regime: whose rules. A value made of tables, procedures and rules, handed to whoever needs it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from msgspec import Struct

from turnwright.arrangements import NominalSystem
from turnwright.demand import DemandTables
from turnwright.model.case import Defaults
from turnwright.model.result import Efficiency, Grounding
from turnwright.model.unit import Impedance
from turnwright.reference import EditionTable
from turnwright.regimes.procedures import DeviceNeed, DevicePlan, GroundingNeed, LawNeed, RunNeed, RunPlan
from turnwright.regimes.rule import Rule
from turnwright.regimes.traits import Traits
from turnwright.working import Ledger


class UsualUnit(Struct, frozen=True, kw_only=True):
    """What a standard unit of a size usually is, where nobody says otherwise."""

    x_over_r: tuple[float, float]
    impedance_tolerance_pct: float
    for_faults: Impedance
    for_drop: Impedance
    taps_pct: tuple[float, ...]
    sound_db: float | None


class UsualUnits(Protocol):
    """What a standard unit of these phases, kVA and K rating usually is; its sound as that of an enclosure."""

    def __call__(self, phases: int, kva: float, k_rating: float, sound_as: str = "ventilated") -> UsualUnit:
        """Return what such a unit usually is."""
        ...


class Regime(Struct, frozen=True, kw_only=True):
    """The rules of one part of the world in one edition.

    title       as papers name it, "NEC 2023"
    traits      words, signs, measures and tables for whoever shows or examines an answer
    usual_rise_k  average winding rise of an ordinary unit
    sizes_kva   preferred ratings by number of phases, ascending
    systems     nominal voltage systems
    k_ratings     K ratings that units are marked with, ascending; () where the regime has none
    usual_p_ecr   high end of the usual winding eddy loss per unit of I²R
    locked_rotor  locked-rotor kVA per horsepower by code letter; None where plates have none
    voltage_factor  by which the driving voltage is raised for the largest fault current (factor c); 1: not at all
    least_voltage_factor  the same for the smallest fault current; 1: not lowered
    vector_hour     clock hour of a delta-wye unit, the higher voltage first
    uncommon    arrangements that are no ware there, and why: looked at only where somebody insists on one
    volt_ranges     volts allowed at equipment, by system and range; None where no standard gives them
    rule_table  statement and clause of each rule that holds in this edition
    practice    numbers of the trade that no standard fixes, by key
    """

    name: str
    edition: str
    title: str
    traits: Traits
    defaults: Defaults
    usual_rise_k: float
    sizes_kva: dict[int, tuple[float, ...]]
    systems: tuple[NominalSystem, ...]
    practice: EditionTable
    demand: DemandTables
    usual_unit: UsualUnits
    availability: Callable[[int, float, str, str], str]
    devices: Callable[[DeviceNeed, Ledger], DevicePlan]
    conductors: Callable[[RunNeed, Ledger], RunPlan]
    grounding: Callable[[GroundingNeed, Ledger], Grounding]
    law: Callable[[LawNeed, Ledger], Efficiency]
    locked_rotor: EditionTable | None
    k_ratings: tuple[float, ...]
    usual_p_ecr: float
    voltage_factor: float = 1.0
    least_voltage_factor: float = 1.0
    vector_hour: int = 1
    volt_ranges: EditionTable | None = None
    uncommon: dict[str, str] = {}
    rules: tuple[Rule, ...]
    rule_table: EditionTable
