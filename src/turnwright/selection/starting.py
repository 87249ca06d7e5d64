"""What a motor draws when it starts: by its plate, its code letter, or the trade's usual multiple."""

from __future__ import annotations

from msgspec import Struct

from turnwright.demand import LoadDemand, LoadPicture
from turnwright.model.case import Case, CaseLoad
from turnwright.reference import EditionTable
from turnwright.regimes import Regime
from turnwright.working import Ledger, formula

SHARES = {"star delta": "start_star_delta_share_pct", "part winding": "start_part_winding_share_pct"}
MULTIPLES = {"soft starter": "start_soft_starter_multiple", "drive": "start_drive_multiple"}
USUAL = "motor_locked_rotor_multiple"


class Start(Struct, frozen=True, kw_only=True):
    """The hardest start among the loads: kVA drawn in the first moment at rated volts, and whose it is."""

    load: int
    kva: float


@formula("hp · kVA per hp", "kVA", "the table of code letters names its clause")
def code_letter_kva(hp: float, kva_per_hp: float) -> float:
    """Return the locked-rotor kVA of a motor by its code letter, upper end of the letter's band. [kVA]

    hp         : rated power [hp]
    kva_per_hp : locked-rotor kVA per horsepower [kVA/hp]
    Source: the table of code letters, as NEC Table 430.7(B)

    Example:
        >>> round(code_letter_kva(hp=15.0, kva_per_hp=6.29), 1)
        94.3
    """
    return hp * kva_per_hp


@formula("multiple · S_full-load", "kVA")
def multiple_kva(full_load_kva: float, multiple: float) -> float:
    """Return the starting kVA by a multiple of the full-load one. [kVA]

    full_load_kva : of one motor [kVA]
    multiple      : starting current over full-load current [-]
    Source: definition of the multiple

    Example:
        >>> multiple_kva(full_load_kva=10.0, multiple=6.0)
        60.0
    """
    return full_load_kva * multiple


@formula("S_direct · share / 100", "kVA")
def reduced_kva(direct_kva: float, share_pct: float) -> float:
    """Return the starting kVA of a start that draws a share of the direct one. [kVA]

    direct_kva : across the line [kVA]
    share_pct  : line current of this start, of the direct one [%]
    Source: definition of the share

    Example:
        >>> reduced_kva(direct_kva=100.0, share_pct=65.0)
        65.0
    """
    return direct_kva * share_pct / 100


def hardest_start(case: Case, picture: LoadPicture, regime: Regime, work: Ledger) -> Start | None:
    """Return the start that draws the most; None when no motor starts."""
    starts = [
        Start(load=index, kva=kva)
        for index in picture.counted
        if (kva := _start_kva(case.loads[index], picture.loads[index], regime, work)) is not None
    ]
    return max(starts, key=lambda start: start.kva, default=None)


def _start_kva(load: CaseLoad, demand: LoadDemand, regime: Regime, work: Ledger) -> float | None:
    if demand.motor_kva is None:
        return None
    name = f"load[{load.index}].start_kva"
    practice = regime.practice
    if load.start_multiple is not None or load.start_current_a is not None:
        multiple = load.start_multiple or load.start_current_a / demand.on_current_a  # type: ignore[operator]
        stated: float = work.calc(name, multiple_kva, full_load_kva=demand.motor_kva, multiple=multiple)
        return stated
    if load.start in MULTIPLES or _has_drive(load):
        key = MULTIPLES[load.start if load.start in MULTIPLES else "drive"]
        limited: float = work.calc(
            name, multiple_kva, full_load_kva=demand.motor_kva, multiple=practice.row(key=key).number("value")
        )
        return limited
    direct = _direct_kva(load, demand, regime.locked_rotor, practice, work)
    if load.start not in SHARES:
        return direct
    share = practice.row(key=SHARES[load.start]).number("value")
    reduced: float = work.calc(name, reduced_kva, direct_kva=direct, share_pct=share)
    return reduced


def _has_drive(load: CaseLoad) -> bool:
    """Whether a drive starts the motor, where its start is not told: lifts that give power back have one."""
    return load.kind == "drive" or (load.kind == "lift" and load.start is None and load.feeds_back)


def _direct_kva(
    load: CaseLoad, demand: LoadDemand, letters: EditionTable | None, practice: EditionTable, work: Ledger
) -> float:
    name = f"load[{load.index}].direct_start_kva"
    if load.locked_rotor_code is not None and letters is not None and load.size_kind == "hp":
        row = letters.row(letter=load.locked_rotor_code)
        per_hp = row.optional("kva_per_hp_max") or row.number("kva_per_hp_min")
        by_letter: float = work.calc(name, code_letter_kva, hp=load.size, kva_per_hp=per_hp)
        return by_letter
    usual: float = work.calc(
        name, multiple_kva, full_load_kva=demand.motor_kva, multiple=practice.row(key=USUAL).number("value")
    )
    return usual
