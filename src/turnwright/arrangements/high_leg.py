"""A delta with the middle of one side brought out: 240 V three-phase and a little 120 V from one secondary."""

from __future__ import annotations

from turnwright.arrangements.isolation import half_reactance_ratio
from turnwright.arrangements.outputs import same_volts, shared_outputs, winding
from turnwright.arrangements.proposal import Arrangement, Ask, NominalSystem, NotServed, Proposal
from turnwright.arrangements.rated import motor_allowance
from turnwright.circuit import connections
from turnwright.demand import LoadPicture
from turnwright.model.case import Case
from turnwright.quantities import VoltageSystem
from turnwright.reference import load as table
from turnwright.working import formula

NAME = "high leg"
NODES = {"A": "X2", "B": "X3", "C": "X1"}
"""B is the high leg; the tapped winding lies between the nodes of C and A, as X1 and X2 in the circuit."""
TO_MIDDLE = ("line to neutral", "three-wire")


@formula("n · S_worst · allowance / derating", "kVA")
def most_loaded_kva(worst_phase_kva: float, windings: float, allowance: float, derating: float) -> float:
    """Return the rating by the most loaded winding, of a unit or a bank that shares it evenly. [kVA]

    worst_phase_kva : load of the most loaded winding; a half winding counts double [kVA]
    windings        : windings in one unit [-]
    allowance       : load with the largest motor's allowance over the load without it [-]
    derating        : usable share of the rated power [-]
    Source: each winding of a unit is built for its even share

    Example:
        >>> most_loaded_kva(worst_phase_kva=12.0, windings=3.0, allowance=1.0, derating=1.0)
        36.0
    """
    return windings * worst_phase_kva * allowance / derating


@formula("S_mid / (limit / 100) / derating", "kVA")
def mid_tap_kva(middle_kva: float, limit_pct: float, derating: float) -> float:
    """Return the rating of a three-phase unit whose mid tap carries a small load. [kVA]

    middle_kva : load between lines and the mid tap, with growth [kVA]
    limit_pct  : what a mid tap may carry, of the rating [%]
    derating   : usable share of the rated power [-]
    Source: common practice

    Example:
        >>> round(mid_tap_kva(middle_kva=3.0, limit_pct=5.0, derating=1.0), 6)
        60.0
    """
    return middle_kva / (limit_pct / 100) / derating


@formula("S_mid / S · 100", "%")
def middle_share_pct(middle_kva: float, total_kva: float) -> float:
    """Return the share of the load that hangs on the middle of one winding. [%]

    middle_kva : loads from line to the middle, and three-wire loads across it [kVA]
    total_kva  : all loads [kVA]
    Source: definition

    Example:
        >>> middle_share_pct(middle_kva=10.0, total_kva=50.0)
        20.0
    """
    return middle_kva / total_kva * 100 if total_kva else 0.0


def middle_kva(case: Case, picture: LoadPicture) -> float:
    """Return the load on the middle of the tapped winding, with growth. [kVA]"""
    growth = 1 + float(case.choices.growth_pct) / 100
    running = (picture.loads[at] for at in picture.counted)
    return sum(float(one.running_kva) for one in running if one.place in TO_MIDDLE) * growth


def propose(case: Case, nominal: tuple[NominalSystem, ...]) -> tuple[Proposal, ...] | NotServed:
    """Return the four-wire delta: one three-phase unit with a tap, and a bank with the tap on one of three units."""
    three = any(load.system.phases == 3 for load in case.loads)
    tapped = next((o.system for o in shared_outputs(case, nominal) if o.system.high_leg), None)
    if tapped is None or not three or case.supply.system.phases != 3:
        return NotServed(
            code="no-high-leg",
            message="A high leg is for 240 V three-phase with some 120 V on a three-phase supply.",
            known="common practice",
            shown=False,
        )
    asked = case.choices.secondary is not None or any(load.system.high_leg for load in case.loads)
    if not (asked or any(_on_middle(load.system, tapped) for load in case.loads)):
        return NotServed(
            code="no-high-leg",
            message="Nothing here uses the middle of a winding: a plain delta does it.",
            known="computed",
            shown=False,
        )
    return _unit(case, tapped), _bank(case, tapped)


def _on_middle(wanted: VoltageSystem, tapped: VoltageSystem) -> bool:
    return wanted.phases == 1 and (wanted.wires == 3 or not same_volts(wanted.line_v, tapped.line_v))


def _unit(case: Case, output: VoltageSystem) -> Proposal:
    return _proposal(case, output, units=1)


def _bank(case: Case, output: VoltageSystem) -> Proposal:
    return _proposal(case, output, units=3)


def _proposal(case: Case, output: VoltageSystem, units: int) -> Proposal:
    supply_v, line_v = float(case.supply.system.line_v), float(output.line_v)
    ratio = half_reactance_ratio()
    each = units / 3  # of the rating of one unit, what one core of the connection has
    return Proposal(
        arrangement=NAME,
        phases=3,
        unit_phases=3 if units == 1 else 1,
        units=units,
        primary=winding(f"{supply_v:g} delta"),
        secondary=output,
        output=output,
        lines=("A", "B", "C"),
        vector_group="Dd0",
        derived=True,
        covered=False,
        why=(
            "One three-phase unit with the middle of one side brought out: for a little 120 V beside 240 V."
            if units == 1
            else "Three single-phase units, one with its middle brought out: more 120 V than a three-phase unit takes."
        ),
        rank=2,
        build=lambda kva, r, x: connections.high_leg_delta(
            "T1", kva * each, kva * each, supply_v, line_v, (r, r), (x, x), ratio
        ),
        nodes=NODES,
        share=1 / units,
        drop_share=1 / units,
        asks=lambda picture: _asks(case, picture, units),
    )


def _asks(case: Case, picture: LoadPicture, units: int) -> tuple[Ask, ...]:
    inputs = {
        "worst_phase_kva": picture.worst_phase_kva,
        "windings": 3.0 if units == 1 else 1.0,
        "allowance": motor_allowance(picture),
    }
    heat = Ask(
        basis="heat",
        why="the most loaded winding, half windings counted double",
        formula=most_loaded_kva,
        inputs=inputs,
        running=inputs | {"allowance": 1.0},
    )
    if units != 1:
        return (heat,)
    limit_pct = table("trade_practice").newest().row(key="mid_tap_share_pct").number("value")
    middle = Ask(
        basis="neutral",
        why=f"a mid tap carries {limit_pct:g} % of a three-phase unit",
        formula=mid_tap_kva,
        inputs={"middle_kva": middle_kva(case, picture), "limit_pct": limit_pct},
    )
    return (heat, middle)


HIGH_LEG = Arrangement(
    name=NAME,
    says="a delta with the middle of one side brought out, for 240 V three-phase and a little 120 V",
    propose=propose,
)
