"""A zig-zag winding beside the line: it makes a neutral on an ungrounded three-wire supply."""

from __future__ import annotations

from math import sqrt

from msgspec.structs import replace

from turnwright.arrangements.outputs import accepts, same_volts, winding, wye_of
from turnwright.arrangements.proposal import Arrangement, Ask, NominalSystem, NotServed, Proposal
from turnwright.arrangements.wishes import asks_isolation, asks_neutral
from turnwright.circuit import connections
from turnwright.demand import LoadPicture
from turnwright.demand.unmeasured import most_neutral_a
from turnwright.model.case import Case
from turnwright.model.result import Finding
from turnwright.working import CLOSED, Ledger, formula

NAME = "zig-zag"


@formula("I_N / 3", "A")
def zigzag_winding_a(neutral_a: float) -> float:
    """Return the current through each winding of a zig-zag: a third of the neutral current. [A]

    neutral_a : current of the neutral it makes [A]
    Source: ampere-turns on each leg are equal and opposite

    Example:
        >>> zigzag_winding_a(neutral_a=30.0)
        10.0
    """
    return neutral_a / 3


@formula("V · I_N / 3 / 1000 / derating", "kVA")
def zigzag_kva(neutral_a: float, line_v: float, derating: float) -> float:
    """Return the rating of a zig-zag as a two-winding transformer of the same copper. [kVA]

    Six windings of V/3 carry I_N/3: three cores of V/3 · I_N/3 each.

    neutral_a : continuous neutral current, with growth [A]
    line_v    : between lines [V]
    derating  : usable share of the rated power [-]
    Source: definition of the rated power of a two-winding core

    Example:
        >>> round(zigzag_kva(neutral_a=30.0, line_v=480.0, derating=1.0), 3)
        4.8
    """
    return line_v * neutral_a / 3 / 1000 / derating


@formula("√3 · 1000 · S_line / V", "A", "every line but one switched off")
def one_line_a(line_kva: float, line_v: float) -> float:
    """Return the neutral current while only one line still feeds its loads to neutral. [A]

    line_kva : load between that line and the neutral, with growth [kVA]
    line_v   : between lines [V]
    Source: NEC 450.5(A)(4): the maximum possible unbalance, whatever the loads usually are

    Example:
        >>> round(one_line_a(line_kva=20.0 / 3, line_v=480.0), 2)
        24.06
    """
    return sqrt(3) * 1000 * line_kva / line_v


def propose(case: Case, nominal: tuple[NominalSystem, ...]) -> tuple[Proposal, ...] | NotServed:
    """Return the zig-zag that gives a three-wire supply the neutral the loads need."""
    supply = case.supply
    refused = _why_not(case)
    if refused is not None:
        return NotServed(
            code="zig-zag",
            message=refused,
            known="memory",
            shown=case.choices.arrangement == NAME,
        )
    line_v = float(supply.line_v)
    made = wye_of(line_v)
    return (
        Proposal(
            arrangement=NAME,
            phases=3,
            unit_phases=3,
            units=1,
            primary=winding(f"{line_v:g} 3ph"),
            secondary=made,
            output=made,
            lines=("A", "B", "C"),
            vector_group=None,
            derived=False,
            covered=False,
            why="It stands beside the line, carries only the neutral current, and grounds the supply at its neutral.",
            rank=10,
            on_request=case.choices.arrangement != NAME,
            build=lambda kva, resistance_pct, reactance_pct: connections.zigzag_earthing(
                "T1", kva, line_v, resistance_pct, reactance_pct, neutral="X0"
            ),
            share=1 / sqrt(3),
            drop_share=0.0,
            asks=lambda picture: _asks(picture, _most_neutral_a(case, picture, line_v, CLOSED), line_v),
            adapt=lambda picture, work: _adapt(picture, _most_neutral_a(case, picture, line_v, work), work),
            shunt=True,
            tapped=False,
            remarks=lambda: (NO_DEVICE,),
        ),
    )


NO_DEVICE = Finding(
    code="no-device-of-its-own",
    severity="caution",
    message=(
        "The zig-zag has no switch and no device of its own: tripped alone it leaves the loads without their neutral, "
        "at up to the volts between lines. Its overload opens the main of the line, which protects its conductors too."
    ),
    known="common practice",
)


def _why_not(case: Case) -> str | None:
    supply, system = case.supply, case.supply.system
    if system.phases != 3 or system.neutral_v is not None:
        return f"A zig-zag makes a neutral on a three-wire three-phase supply; this one is {system.text}."
    grounding = supply.grounding or system.grounding
    if grounding not in (None, "ungrounded"):
        return f"A zig-zag grounds the system it stands on; this supply is grounded already ({grounding})."
    if not any(
        asks_neutral(load) or same_volts(load.system.line_v, system.line_v / sqrt(3)) for load in case.loads
    ):
        return "None of the loads needs a neutral, so there is nothing for a zig-zag to do."
    made = wye_of(float(system.line_v))
    if not all(accepts(made, load) for load in case.loads):
        return f"A zig-zag changes no voltage: the loads would get {made.text}."
    return None if asks_isolation(case) is None else f"A zig-zag isolates nothing: {asks_isolation(case)}."


def _most_neutral_a(case: Case, picture: LoadPicture, line_v: float, work: Ledger) -> float:
    """Return the most the neutral can carry: as the loads stand, with one line alone, with rectifiers unmeasured."""
    grown = picture.kva_with_growth / picture.kva if picture.kva else 1.0
    to_neutral = [made for made in picture.loads if made.neutral]
    pieces = {
        one.load: sum(two.pieces for two in picture.placements if two.load == one.load)
        for one in picture.placements
    }
    even_kva = sum(made.running_kva for made in to_neutral if made.place == "three-phase") / 3
    single = {made.index: made.running_kva for made in to_neutral if made.place != "three-phase"}
    line_kva = grown * max(
        even_kva
        + sum(
            single[one.load] * one.pieces / pieces[one.load] / len(one.lines)
            for one in picture.placements
            if one.load in single and line in one.lines
        )
        for line in picture.lines
    )
    alone_a = work.calc("demand.one_line_a", one_line_a, line_kva=line_kva, line_v=line_v)
    return max(picture.neutral_a or 0.0, float(alone_a), most_neutral_a(case.loads, picture, 3))


def _asks(picture: LoadPicture, neutral_a: float, line_v: float) -> tuple[Ask, ...]:
    return (
        Ask(
            basis="neutral",
            why="the neutral current, a third through each leg",
            formula=zigzag_kva,
            inputs={"neutral_a": neutral_a, "line_v": line_v},
        ),
    )


def _adapt(picture: LoadPicture, neutral_a: float, work: Ledger) -> LoadPicture:
    """Return the picture with what flows through the zig-zag in place of the lines' load."""
    each_a = work.calc("demand.zigzag_a", zigzag_winding_a, neutral_a=neutral_a)
    larger = max(picture.design_line_a) / max(picture.line_a) if max(picture.line_a) else 1.0
    return replace(
        picture,
        neutral_a=neutral_a,
        line_a=(each_a,) * len(picture.lines),
        design_line_a=(each_a * larger,) * len(picture.lines),
    )


ZIGZAG = Arrangement(
    name=NAME,
    says="a winding beside an ungrounded three-wire line that makes its neutral",
    asked=lambda case: case.choices.arrangement == NAME,
    propose=propose,
)
