"""A regime: whose rules. A value made of tables, procedures and rules, handed to whoever needs it."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from turnwright.arrangements import NominalSystem
from turnwright.demand import DemandTables
from turnwright.model.case import Defaults
from turnwright.model.result import Efficiency, Grounding
from turnwright.model.unit import Impedance
from turnwright.reference import EditionTable
from turnwright.regimes.procedures import DeviceNeed, DevicePlan, GroundingNeed, LawNeed, RunNeed, RunPlan
from turnwright.regimes.rule import Rule
from turnwright.working import Ledger


class UsualUnit(Struct, frozen=True, kw_only=True):
    """What a standard unit of a size usually is, where nobody says otherwise."""

    x_over_r: tuple[float, float]
    impedance_tolerance_pct: float
    for_faults: Impedance
    for_drop: Impedance
    taps_pct: tuple[float, ...]
    sound_db: float | None


class Regime(Struct, frozen=True, kw_only=True):
    """The rules of one part of the world in one edition.

    title       as papers name it, "NEC 2023"
    usual_rise_k  average winding rise of an ordinary unit
    sizes_kva   preferred ratings by number of phases, ascending
    systems     nominal voltage systems
    locked_rotor  locked-rotor kVA per horsepower by code letter; None where plates have none
    rule_table  statement and clause of each rule that holds in this edition
    practice    numbers of the trade that no standard fixes, by key
    """

    name: str
    edition: str
    title: str
    defaults: Defaults
    usual_rise_k: float
    sizes_kva: dict[int, tuple[float, ...]]
    systems: tuple[NominalSystem, ...]
    practice: EditionTable
    demand: DemandTables
    usual_unit: Callable[[int, float, float], UsualUnit]
    availability: Callable[[int, float, str, str], str]
    devices: Callable[[DeviceNeed, Ledger], DevicePlan]
    conductors: Callable[[RunNeed, Ledger], RunPlan]
    grounding: Callable[[GroundingNeed, Ledger], Grounding]
    law: Callable[[LawNeed, Ledger], Efficiency]
    locked_rotor: EditionTable | None
    rules: tuple[Rule, ...]
    rule_table: EditionTable
