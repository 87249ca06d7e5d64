"""Scott connection: two single-phase systems a quarter period apart from a three-phase supply, evenly loaded."""

from __future__ import annotations

from math import ceil, sqrt

from msgspec.structs import replace

from turnwright.arrangements.isolation import half_reactance_ratio
from turnwright.arrangements.outputs import same_volts, winding
from turnwright.arrangements.proposal import Arrangement, Ask, NominalSystem, NotServed, Proposal
from turnwright.arrangements.rated import motor_allowance
from turnwright.arrangements.wishes import start_of
from turnwright.circuit import connections
from turnwright.demand import LoadPicture, Placement
from turnwright.model.case import Case
from turnwright.model.result import Finding
from turnwright.working import Ledger, formula

NAME = "scott"
MAIN, TEASER = "AB", "CB"
"""Lines of the load side as the circuit has them: main between X1 and X2, teaser between X3 and X2."""


@formula("allowance · V · √(I_main² + I_teaser²/3) / 1000 / derating", "kVA")
def scott_main_kva(
    main_a: float, teaser_a: float, phase_v: float, allowance: float, derating: float
) -> float:
    """Return the rating of the main unit: its primary also carries the teaser's current, half to each side. [kVA]

    main_a    : current of the phase on the main unit [A]
    teaser_a  : current of the other phase, at the same power factor [A]
    phase_v   : volts of each phase [V]
    allowance : load with the largest motor's allowance over the load without it [-]
    derating  : usable share of the rated power [-]
    Source: geometry of the Scott connection

    Example:
        >>> round(scott_main_kva(100.0, 100.0, 240.0, 1.0, 1.0), 2)
        27.71
    """
    return allowance * phase_v * sqrt(main_a**2 + teaser_a**2 / 3) / 1000 / derating


@formula("allowance · V · (I_main + I_teaser/√3) / 1000 / derating", "kVA")
def scott_main_mixed_kva(
    main_a: float, teaser_a: float, phase_v: float, allowance: float, derating: float
) -> float:
    """Return the rating of the main unit when the phases differ in power factor: both currents in line. [kVA]

    main_a    : current of the phase on the main unit [A]
    teaser_a  : current of the other phase [A]
    phase_v   : volts of each phase [V]
    allowance : load with the largest motor's allowance over the load without it [-]
    derating  : usable share of the rated power [-]
    Source: geometry of the Scott connection, the worst angle between both currents

    Example:
        >>> round(scott_main_mixed_kva(100.0, 100.0, 240.0, 1.0, 1.0), 2)
        37.86
    """
    return allowance * phase_v * (main_a + teaser_a / sqrt(3)) / 1000 / derating


@formula("S · 1000 / (2 · V)", "A")
def two_phase_a(kva: float, voltage_v: float) -> float:
    """Return the current of each phase of a two-phase power. [A]

    kva       : apparent power of both phases [kVA]
    voltage_v : of each phase [V]
    Source: definition of apparent power, the phases equally loaded

    Example:
        >>> two_phase_a(kva=48.0, voltage_v=240.0)
        100.0
    """
    return kva * 1000 / (2 * voltage_v)


def propose(case: Case, nominal: tuple[NominalSystem, ...]) -> tuple[Proposal, ...] | NotServed:
    """Return the Scott connection for single-phase two-wire loads of one voltage; only where it is asked for."""
    if case.choices.arrangement != NAME:
        return NotServed(
            code="not-asked", message="Nobody asks for two phases.", known="computed", shown=False
        )
    refused = _why_not(case)
    if refused is not None:
        return NotServed(code="scott", message=refused, known="computed")
    supply_v = float(case.supply.line_v)
    chosen = case.choices.secondary
    phase_v = float((case.loads[0].system if chosen is None else chosen).line_v)
    got = winding(f"{phase_v:g} 1ph")
    ratio = half_reactance_ratio()
    return (
        Proposal(
            arrangement=NAME,
            phases=3,
            unit_phases=1,
            units=2,
            primary=winding(f"{supply_v:g} 3ph"),
            secondary=got,
            output=got,
            lines=("A", "B", "C"),
            vector_group=None,
            derived=True,
            covered=False,
            why="Two units make two phases a quarter period apart; evenly loaded they load the supply evenly.",
            rank=10,
            build=lambda kva, r, x: connections.scott(
                "T1", kva, supply_v, phase_v, (r, r), (x, x), 4 * (ratio - 1) * x,
                secondary=("X1", "X3"), returns=("X2", "X2"),
            ),
            share=1 / sqrt(3),
            drop_share=1 / sqrt(3),
            load_current=two_phase_a,
            asks=lambda picture: _asks(picture, phase_v),
            adapt=_adapt,
            tapped=False,
            remarks=lambda: _uneven(case),
        ),
    )  # fmt: skip


def _uneven(case: Case) -> tuple[Finding, ...]:
    """One piece has no like on the other phase: nothing of the promise of an even supply is left."""
    if sum(ceil(load.quantity) for load in case.loads) > 1:
        return ()
    message = (
        "A Scott connection loads the supply evenly only with like loads on both of its phases; one piece still loads "
        "it unevenly. No windings make a balanced three-phase load of a single-phase one."
    )
    return (Finding(code="scott-uneven", severity="caution", message=message, known="computed"),)


def _why_not(case: Case) -> str | None:
    if case.supply.system.phases != 3:
        return "A Scott connection makes two phases from three; the supply has one."
    first = case.loads[0].system
    chosen = case.choices.secondary
    if chosen is not None and (chosen.phases != 1 or chosen.wires == 3):
        return f"Each phase of a Scott connection is a two-wire system, not {chosen.text}."
    for load in case.loads:
        if load.system.phases != 1 or load.system.wires == 3:
            return (
                f"{start_of(load.label)} ({load.system.text}) is no two-wire load: a Scott connection gives two "
                "single-phase systems a quarter period apart."
            )
        if not same_volts(load.system.line_v, first.line_v):
            both = f"{start_of(case.loads[0].label)} and {load.label}"
            return f"{both} ask for two voltages; a Scott connection has one."
    return None


def _asks(picture: LoadPicture, phase_v: float) -> tuple[Ask, ...]:
    main_a, teaser_a = picture.line_a
    angles = {picture.loads[at].power_factor for at in picture.counted}
    one_angle = len(angles) == 1 and (None not in angles or len(picture.counted) == 1)
    inputs = {
        "main_a": main_a,
        "teaser_a": teaser_a,
        "phase_v": phase_v,
        "allowance": motor_allowance(picture),
    }
    return (
        Ask(
            basis="heat",
            why="the main unit, which carries the teaser's current too",
            formula=scott_main_kva if one_angle else scott_main_mixed_kva,
            inputs=inputs,
            running=inputs | {"allowance": 1.0},
        ),
    )


def _adapt(picture: LoadPicture, work: Ledger) -> LoadPicture:
    """Return the picture with the pieces spread over both phases, the larger half on the main unit."""
    pieces = sorted(
        (
            (picture.loads[at].running_kva / ceil(picture.loads[at].pieces), at)
            for at in picture.counted
            for _ in range(ceil(picture.loads[at].pieces))
        ),
        reverse=True,
    )
    totals, counts = [0.0, 0.0], ({}, {})  # type: tuple[list[float], tuple[dict[int, int], dict[int, int]]]
    for kva, at in pieces:
        phase = 0 if totals[0] <= totals[1] else 1
        totals[phase] += kva
        counts[phase][at] = counts[phase].get(at, 0) + 1
    whole = sum(totals) or 1.0
    shares = [total / whole for total in sorted(totals, reverse=True)]
    order = (0, 1) if totals[0] >= totals[1] else (1, 0)
    says = "pieces spread over both phases, the largest first"
    line_a, design_a = picture.line_a[0], picture.design_line_a[0]
    return replace(
        picture,
        lines=(MAIN, TEASER),
        line_a=tuple(
            work.note(
                f"demand.phase[{name}].current_a", share * line_a, "A", says, "computed", total_a=line_a
            )
            for name, share in zip(("main", "teaser"), shares, strict=True)
        ),
        design_line_a=tuple(share * design_a for share in shares),
        placements=tuple(
            Placement(picture.loads[at].index, lines, count)
            for phase, lines in zip(order, (MAIN, TEASER), strict=True)
            for at, count in counts[phase].items()
        ),
    )


SCOTT = Arrangement(
    name=NAME,
    says="two single-phase systems a quarter period apart from a three-phase supply",
    asked=lambda case: case.choices.arrangement == NAME,
    propose=propose,
)
