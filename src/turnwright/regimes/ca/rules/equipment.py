"""Rules about the equipment and its volts: 575 V motors first, certification, 347 V lighting, marking, the law."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.arrangements import same_volts
from turnwright.model.case import CaseLoad
from turnwright.reference import load
from turnwright.regimes.ca.rules.volts import VOLTS
from turnwright.regimes.common.rules import around, pack, plain
from turnwright.regimes.rule import Facts, Rule, Said

MILL_V = 600.0
MOTOR_V = 575.0
LIGHTING_V = 347.0
MOTORS = ("motor", "lift")


def motor_voltage(facts: Facts) -> Iterator[Said]:
    """Common practice: on 600 V motors of 575 V are ordinary ware, and many others can be reconnected."""
    motors = _other_motors(facts)
    if motors:
        yield Said(
            message=(
                f"{plain.start(plain.labels(motors))}: can the motors be reconnected for, or be had at, "
                f"{MOTOR_V:g} V? Then "
                f"they run straight on the {facts.case.supply.system.text} supply and need no transformer."
            ),
            value=float(motors[0].nameplate_v),
            limit=MOTOR_V,
            unit="V",
        )


def _other_motors(facts: Facts) -> tuple[CaseLoad, ...]:
    return tuple(
        one
        for one in facts.of_kind(*MOTORS)
        if one.system.phases == 3 and not same_volts(one.system.line_v, MILL_V)
    )


def on_600(facts: Facts) -> bool:
    """Return whether the supply is the 600 V of Canadian industry."""
    return same_volts(facts.case.supply.line_v, MILL_V)


def certified(facts: Facts) -> Iterator[Said]:
    """2-024: approved equipment only; dry types are certified to CSA C22.2 No. 47."""
    yield Said(
        message=(
            "The transformer bears a certification mark accepted in Canada (dry types: CSA C22.2 No. 47). "
            "Equipment "
            "made for elsewhere needs certification or a field evaluation before it is connected."
        )
    )


def lighting_347(facts: Facts) -> Iterator[Said]:
    """30-102, 30-104: 347 V luminaires are ordinary ware on 600Y/347, of the voltage class and heights for it."""
    lamps = facts.of_kind("lighting")
    if lamps:
        yield Said(
            message=(
                f"{plain.start(plain.labels(lamps))}: luminaires are to be had at {LIGHTING_V:g} V, straight "
                "on the "
                f"{facts.case.supply.system.text} supply, where the place is not a dwelling."
            ),
            value=LIGHTING_V,
            unit="V",
        )


def efficiency_old(facts: Facts) -> Iterator[Said]:
    """Section 705: the levels of before 2016 stand in CSA C802.2 and are not carried."""
    if facts.case.choices.manufactured < load("ca_efficiency").editions[0]:
        yield Said(
            message=(
                f"Made {facts.case.choices.manufactured}: the efficiency level of that time stands in CSA "
                "C802.2 and is "
                "not known here."
            )
        )


DELTA = {"load": [{"system": "240 3ph", "kva": "20 kVA"}]}
OTHER_MOTOR = {"load": [{"system": "460 3ph", "hp": "25 hp", "kind": "motor"}]}

RULES = (
    Rule(
        id="motor-voltage",
        severity="caution",
        applies=on_600,
        check=motor_voltage,
        trips=OTHER_MOTOR,
        clean={},
    ),
    Rule(id="certified", severity="note", check=certified),
    Rule(
        id="lighting-347",
        severity="note",
        applies=lambda facts: on_600(facts) and facts.case.supply.system.neutral_v is not None,
        check=lighting_347,
        trips={"load": [{"system": "120 1ph", "kva": "20 kVA", "kind": "lighting"}]},
        clean={},
    ),
    around.identify_systems(
        board="panel",
        conductors="conductors",
        colors="red, black, blue, the neutral white",
        one_system={"load": [{"system": "600Y/347", "kva": "20 kVA"}]},
    ),
    Rule(
        id="efficiency-old",
        severity="note",
        check=efficiency_old,
        trips={"choices": {"manufactured": "2012"}},
        clean={"choices": {"manufactured": "2024"}},
    ),
    pack.loading_band(full={"load": [{"system": "208Y/120", "kva": "29 kVA"}]}),
    pack.step_up(VOLTS),
    pack.two_lines(single={"load": [{"system": "120/240 1ph", "kva": "10 kVA"}]}),
    pack.no_control_voltage(
        120.0, {"load": [{"system": "230 3ph", "hp": "10 hp", "kind": "motor"}]}, no_motor=DELTA
    ),
)
