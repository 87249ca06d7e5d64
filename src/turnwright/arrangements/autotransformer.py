"""One winding with a tap: small where the voltages are near, without isolation or a neutral of its own."""

from __future__ import annotations

from msgspec.structs import replace

from turnwright.arrangements.outputs import same_volts, winding
from turnwright.arrangements.proposal import Arrangement, Build, NominalSystem, NotServed, Proposal
from turnwright.arrangements.wishes import asks_neutral, in_line_wish
from turnwright.circuit import connections
from turnwright.circuit.connections import Connection
from turnwright.model.case import Case
from turnwright.model.result import Finding
from turnwright.quantities import VoltageSystem
from turnwright.reference import load as table
from turnwright.working import formula

NAME = "autotransformer"
STAR = "T1.star"


@formula("(V_high − V_low) / V_high", "")
def winding_share(high_v: float, low_v: float) -> float:
    """Return the power that the windings of an autotransformer carry, over what passes through it. [-]

    high_v : the higher of both voltages [V]
    low_v  : the lower one [V]
    Source: power balance of series and common winding

    Example:
        >>> round(winding_share(high_v=240.0, low_v=208.0), 4)
        0.1333
    """
    return (high_v - low_v) / high_v


def propose(case: Case, nominal: tuple[NominalSystem, ...]) -> tuple[Proposal, ...] | NotServed:
    """Return the autotransformer between supply and loads."""
    insisted = case.choices.arrangement == NAME
    wish = in_line_wish(case, "An autotransformer", common_neutral=True)
    if isinstance(wish, NotServed):
        return wish
    output = wish
    supply_v = case.supply.system.line_v
    if same_volts(output.line_v, supply_v):
        return NotServed(
            code="same-volts",
            message=f"The supply has {supply_v:g} V already: an autotransformer changes nothing.",
            known="computed",
            shown=insisted,
        )
    most_v = float(table("equipment_limits").newest().row(key="selv_max_v").number("value"))
    if output.line_v <= most_v < supply_v:
        return NotServed(
            code="extra-low-voltage",
            message=(
                f"An autotransformer would put the {supply_v:g} V of the supply on an extra-low voltage circuit: "
                "separate "
                "windings only."
            ),
            known="computed",
        )
    if output.grounding == "corner" and "corner" not in (case.supply.grounding, case.supply.system.grounding):
        return NotServed(
            code="corner-needs-windings",
            message=(
                "The output of an autotransformer is grounded where the supply is: no corner of it can be grounded "
                "besides."
            ),
            known="computed",
        )
    with_neutral = output.neutral_v is not None and any(asks_neutral(load) for load in case.loads)
    return (_proposal(case, output, with_neutral, insisted),)


def _proposal(case: Case, output: VoltageSystem, with_neutral: bool, insisted: bool) -> Proposal:
    supply_v, output_v = float(case.supply.system.line_v), float(output.line_v)
    high_v, low_v = max(supply_v, output_v), min(supply_v, output_v)
    share = winding_share(high_v, low_v)
    phases = output.phases or 3
    text = f"{output_v:g} {phases}ph"
    got = output if with_neutral else winding(text)
    says = (
        f"Its windings carry {share * 100:.0f} % of what passes through; no isolation, no new neutral, allowed only "
        "where the rules let both sides share a winding."
    )
    return Proposal(
        arrangement=NAME,
        phases=phases,
        unit_phases=phases,
        units=1,
        primary=winding(f"{supply_v:g} {phases}ph"),
        secondary=got,
        output=got,
        lines=("A", "B", "C") if phases == 3 else ("A", "B"),
        vector_group="YNa0" if phases == 3 else None,
        derived=False,
        covered=False,
        why=says,
        rank=10,
        on_request=not insisted,
        build=_build(phases, supply_v, output_v, with_neutral),
        impedance_share=share,
        remarks=lambda: grounding_passes(case),
    )


def _build(phases: int, supply_v: float, output_v: float, with_neutral: bool) -> Build:
    up = output_v > supply_v
    high_v, low_v = max(supply_v, output_v), min(supply_v, output_v)
    lines, loads = ("H1", "H2", "H3"), ("X1", "X2", "X3")

    def three(kva: float, resistance_pct: float, reactance_pct: float) -> Connection:
        made = connections.autotransformer_wye(
            "T1", kva, high_v, low_v, resistance_pct, reactance_pct,
            high=loads if up else lines, low=lines if up else loads, neutral="X0" if with_neutral else STAR,
        )  # fmt: skip
        return _turned(made) if up else made

    def one(kva: float, resistance_pct: float, reactance_pct: float) -> Connection:
        high, low = ("X1", "H1") if up else ("H1", "X1")
        made = connections.autotransformer(
            "T1", kva, high_v, low_v, resistance_pct, reactance_pct, high=high, low=low, common="H2"
        )
        return _turned(made) if up else made

    return three if phases == 3 else one


def _turned(made: Connection) -> Connection:
    """The same coils with the supply at the lower voltage."""
    sides = {"primary": made.terminals["secondary"], "secondary": made.terminals["primary"]}
    return replace(made, terminals=sides)


def grounding_passes(case: Case) -> tuple[Finding, ...]:
    """Return what of the supply's grounding passes on to the output of a winding in series with the line."""
    grounding = case.supply.grounding or case.supply.system.grounding
    passed = {
        "corner": "the output keeps the grounded corner of the supply: that line passes straight, without a fuse",
        "ungrounded": "the output is ungrounded as the supply is: ground detection has to watch both",
        "resistance": "the output is grounded through the resistance of the supply: nothing may go to neutral",
        "mid-tap": "the output keeps the middle grounding of the supply: its lines stand unevenly to ground",
    }.get(grounding or "")
    if passed is None:
        return ()
    return (
        Finding(
            code="grounding-passes",
            severity="caution",
            message=f"A winding in series with the line isolates nothing: {passed}.",
            known="computed",
        ),
    )


AUTOTRANSFORMER = Arrangement(
    name=NAME,
    says="one winding with a tap: no isolation, no neutral of its own, small where the voltages are near",
    asked=lambda case: case.choices.arrangement == NAME,
    propose=propose,
)
