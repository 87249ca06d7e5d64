"""Rules about the unit: 50 Hz, product standard, ecodesign, classes, place."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.arrangements import same_volts
from turnwright.quantities import figure
from turnwright.reference import load
from turnwright.regimes.common.rules import around, pack, plain
from turnwright.regimes.iec.rules.volts import VOLTS
from turnwright.regimes.rule import Facts, Rule, Said

FIFTY_HZ, SIXTY_HZ = 50.0, 60.0
SIXTY_HZ_WORLD_V = (208.0, 240.0, 480.0, 600.0)
"""Line voltages of the 60 Hz world: who asks for them may have a 60 Hz unit in mind."""

OUTDOORS = "Outdoors: a case that keeps rain out (second figure of IP at least 3), shade, and drains below."
"""IEC 60529; no class of protection keeps the sun off."""
DUST = (
    "Dust: a closed case (first figure of IP 5 or 6) or an encapsulated unit, larger for its heat, or vents that "
    "are cleaned on a plan. Dust of wood, grain or metal burns: ask whether the place is zone 21 or 22."
)
"""IEC 60079: dust that burns makes zones; any dust blocks vents."""
WET = (
    "environmental class E2 or more, encapsulated or cast windings, a case whose second figure of IP fits the water "
    "(5 for hoses), stainless or coated against salt."
)
"""The case by IP, the windings by environmental class."""


def fifty_hertz(facts: Facts) -> Iterator[Said]:
    """Induction goes with volts per hertz: what a 60 Hz unit can do on 50 Hz."""
    volts = facts.unit.primary.line_v
    least_v = volts * SIXTY_HZ / FIFTY_HZ
    share = FIFTY_HZ / SIXTY_HZ * 100
    yield Said(
        message=(
            f"Order it for {FIFTY_HZ:g} Hz: {volts:g} V at {FIFTY_HZ:g} Hz is {volts / FIFTY_HZ:.3g} V/Hz. A "
            "unit made for "
            f"{SIXTY_HZ:g} Hz has that flux at {least_v:.4g} V; wound for less it saturates. Fed with "
            f"{volts:g} V, one wound "
            f"for {least_v:.4g} V has a usable {share:.0f} % of its kVA and gives {share:.0f} % of its output "
            "volts."
        ),
        value=volts / FIFTY_HZ,
        unit="V/Hz",
    )


def _may_mean_sixty(facts: Facts) -> bool:
    case = facts.case
    if case.supply.frequency_hz != FIFTY_HZ:
        return False
    asked = any(set(one.frequencies_hz) - {FIFTY_HZ} for one in case.loads)
    return asked or any(same_volts(facts.proposal.output.line_v, volts) for volts in SIXTY_HZ_WORLD_V)


def ecodesign(facts: Facts) -> Iterator[Said]:
    """Reg. (EU) 548/2014: small units, all windings to 1.1 kV, owe information but meet no limit."""
    yield Said(
        message=(
            "European Union: no limit of losses for units with all windings to 1.1 kV. The maker still owes "
            "rated power, "
            "load and no-load loss and the weights of the main parts; ask for the losses in writing."
        )
    )


def classes(facts: Facts) -> Iterator[Said]:
    """What the order says besides volts and kVA: insulation class and rise, IP, environmental and fire class."""
    rise_k = facts.unit.rise_k
    row = next((r for r in load("iec_rise_classes").newest().rows if r.number("rise_k") == rise_k), None)
    insulation = (
        f"insulation class {row.text('letter')} ({row.number('system_c'):g} °C) with {rise_k:g} K average rise"
        if row is not None
        else f"{figure(rise_k or 0.0)} K average rise, no class of IEC 60076-11: which system is it?"
    )
    case = "IP54 with a roof" if plain.outside(facts) else "IP21 or more"
    yield Said(
        message=(
            f"Order {insulation}, a case of {case}, environmental class E1 (E2 where it condenses or is dirty) "
            "and fire "
            "class F1 inside a building."
        ),
        value=rise_k,
        unit="K",
        severity=None if row is not None else "caution",
    )


def cold(facts: Facts) -> Iterator[Said]:
    """Climatic class by the lowest ambient in operation."""
    lowest_c = facts.case.site.ambient_lowest_c
    if lowest_c is None:
        return
    rows = load("iec_climatic_classes").newest().rows
    fitting = [row for row in rows if row.number("lowest_c") <= lowest_c]
    if fitting:
        warmest = max(fitting, key=lambda row: row.number("lowest_c"))
        message = (
            f"Down to {lowest_c:g} °C: climatic class {warmest.text('class')}, {warmest.text('statement')}."
        )
        yield Said(message=message, value=lowest_c, limit=warmest.number("lowest_c"), unit="degC")
        return
    coldest = min(row.number("lowest_c") for row in rows)
    message = (
        f"Down to {lowest_c:g} °C is below every climatic class ({coldest:g} °C): heat the case, ask the "
        "maker."
    )
    yield Said(message=message, value=lowest_c, limit=coldest, unit="degC", severity="caution")


RULES = (
    Rule(
        id="fifty-hertz",
        severity="caution",
        applies=_may_mean_sixty,
        check=fifty_hertz,
        trips={"load": [{"system": "208Y/120", "kva": "20 kVA"}]},
        clean={},
    ),
    Rule(id="ecodesign", severity="note", check=ecodesign),
    Rule(id="classes", severity="note", check=classes),
    Rule(
        id="cold",
        severity="note",
        applies=lambda facts: facts.case.site.ambient_lowest_c is not None,
        check=cold,
        trips={"site": {"ambient_lowest": "-20 degC"}},
        clean={},
    ),
    around.outdoors(OUTDOORS),
    around.dust(DUST),
    around.wet_place(WET),
    around.identify_systems(
        board="board",
        conductors="cables",
        colors="brown, black, grey, the neutral blue, PE green and yellow",
        one_system={"load": [{"system": "690 3ph", "kva": "20 kVA"}]},
    ),
    pack.loading_band(
        full={"load": [{"system": "400Y/230", "kva": "14.5 kVA"}], "choices": {"kva": "16 kVA"}}
    ),
    pack.step_up(VOLTS),
    pack.two_lines(single={"load": [{"system": "230 1ph", "kva": "5 kVA"}]}),
    pack.no_control_voltage(
        230.0,
        {"load": [{"system": "275 3ph", "kw": "10 kW", "kind": "motor"}]},
        no_motor={"load": [{"system": "275 3ph", "kw": "10 kW"}]},
    ),
    around.quiet_place(),
)
