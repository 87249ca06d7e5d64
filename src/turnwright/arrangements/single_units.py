"""Single-phase units joined for three phases: a closed bank of three, and two of them in open delta."""

from __future__ import annotations

from math import sqrt

from turnwright.arrangements.isolation import build_three_phase, not_shared, vector_group
from turnwright.arrangements.outputs import delta_of, shared_outputs, winding
from turnwright.arrangements.proposal import Arrangement, Ask, NominalSystem, NotServed, Proposal
from turnwright.arrangements.rated import motor_allowance
from turnwright.circuit import connections
from turnwright.demand import LoadPicture
from turnwright.model.case import Case
from turnwright.working import formula

BANK = "bank"
OPEN_DELTA = "open delta"
BANK_UNITS = 3


@formula("allowance · V · I / 1000 / derating", "kVA")
def line_winding_kva(line_a: float, line_v: float, allowance: float, derating: float) -> float:
    """Return the rating of one of two units in open delta: it carries a whole line current. [kVA]

    line_a    : the larger current of the two lines that end in one unit only, with growth [A]
    line_v    : between lines [V]
    allowance : load with the largest motor's allowance over the load without it [-]
    derating  : usable share of the rated power [-]
    Source: geometry of the open delta; balanced, each unit carries 1/√3 of the load

    Example:
        >>> round(line_winding_kva(line_a=100.0, line_v=240.0, allowance=1.0, derating=1.0), 1)
        24.0
    """
    return allowance * line_v * line_a / 1000 / derating


def propose_bank(case: Case, nominal: tuple[NominalSystem, ...]) -> tuple[Proposal, ...] | NotServed:
    """Return three equal single-phase units as one three-phase bank."""
    refused = _needs_three_phases(case, BANK)
    if refused is not None:
        return refused
    three = [o for o in shared_outputs(case, nominal) if o.system.phases == 3 and not o.system.high_leg]
    if not three:
        return not_shared(case)
    output, supply_v = three[0], float(case.supply.system.line_v)
    is_wye, line_v = output.winding == "wye", float(output.system.line_v)
    step_up = line_v > supply_v
    got = output.system if is_wye else winding(f"{line_v:g} delta")
    whole = build_three_phase(is_wye, step_up, supply_v, line_v)
    return (
        Proposal(
            arrangement=BANK,
            phases=3,
            unit_phases=1,
            units=BANK_UNITS,
            primary=winding(f"{supply_v:g} delta"),
            secondary=got,
            output=got if is_wye else delta_of(case, line_v),
            lines=("A", "B", "C"),
            vector_group=vector_group(is_wye, step_up),
            derived=True,
            covered=not is_wye,
            why="Three equal single-phase units: a spare covers all three, each is light; dearer than one unit.",
            rank=0,
            on_request=case.choices.units != BANK_UNITS,
            build=lambda kva, resistance_pct, reactance_pct: whole(
                BANK_UNITS * kva, resistance_pct, reactance_pct
            ),
            share=1 / BANK_UNITS,
            drop_share=1 / BANK_UNITS,
        ),
    )


def propose_open_delta(case: Case, nominal: tuple[NominalSystem, ...]) -> tuple[Proposal, ...] | NotServed:
    """Return two single-phase units in open delta for three-wire loads."""
    refused = _needs_three_phases(case, OPEN_DELTA)
    if refused is not None:
        return refused
    outputs = [o for o in shared_outputs(case, nominal) if o.system.phases == 3]
    three_wire = next((o for o in outputs if _as_delta(case, o)), None)
    if three_wire is None:
        return NotServed(
            code="open-delta-without-neutral",
            message="An open delta of two units gives three wires; these loads need a neutral or a wye.",
            known="computed",
            shown=case.choices.arrangement == OPEN_DELTA,
        )
    return (_open_delta(case, float(three_wire.system.line_v)),)


def _as_delta(case: Case, output: NominalSystem) -> bool:
    """Whether the loads can run on the three lines of this output alone."""
    line_v = output.system.line_v
    return all(
        not (load.neutral or load.system.has_neutral or load.grounded_wye)
        and abs(load.system.line_v - line_v) <= 0.1 * line_v
        for load in case.loads
    )


def _open_delta(case: Case, line_v: float) -> Proposal:
    supply_v = float(case.supply.system.line_v)
    got = winding(f"{line_v:g} delta")
    return Proposal(
        arrangement=OPEN_DELTA,
        phases=3,
        unit_phases=1,
        units=2,
        primary=winding(f"{supply_v:g} delta"),
        secondary=got,
        output=delta_of(case, line_v),
        lines=("A", "B", "C"),
        vector_group=None,
        derived=True,
        covered=False,
        why="Two units carry 57.7 % of what three would, 86.6 % of their own sum; the volts are not quite even.",
        rank=10,
        on_request=case.choices.arrangement != OPEN_DELTA,
        build=lambda kva, resistance_pct, reactance_pct: connections.open_delta(
            "T1", kva, supply_v, line_v, resistance_pct, reactance_pct
        ),
        share=1 / sqrt(3),
        asks=lambda picture: (open_delta_ask(picture, line_v),),
    )


def open_delta_ask(picture: LoadPicture, line_v: float) -> Ask:
    """Return what heat asks of each unit: the lines A and C each end in one unit, B in both."""
    inputs = {
        "line_a": max(picture.line_a[0], picture.line_a[2]),
        "line_v": line_v,
        "allowance": motor_allowance(picture),
    }
    return Ask(
        basis="heat",
        why="a whole line current through each of two units",
        formula=line_winding_kva,
        inputs=inputs,
        running=inputs | {"allowance": 1.0},
    )


def _needs_three_phases(case: Case, name: str) -> NotServed | None:
    if case.supply.system.phases == 3 and any(load.system.phases == 3 for load in case.loads):
        return None
    return NotServed(
        code="phases",
        message=f"{name.capitalize()}: for three-phase loads on a three-phase supply.",
        known="computed",
        shown=case.choices.arrangement == name,
    )


BANK_OF_THREE = Arrangement(
    name=BANK,
    says="three equal single-phase units as one three-phase bank",
    asked=lambda case: case.choices.units == BANK_UNITS,
    propose=propose_bank,
)
OPEN_DELTA_OF_TWO = Arrangement(
    name=OPEN_DELTA,
    says="two single-phase units for three-wire three-phase loads: 57.7 % of a closed bank",
    asked=lambda case: case.choices.arrangement == OPEN_DELTA,
    propose=propose_open_delta,
)
