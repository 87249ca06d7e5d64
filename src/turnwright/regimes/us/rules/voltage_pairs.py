"""Rules about nameplates against the supply: where no transformer is needed, where the plate has to be read again."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.model.case import CaseLoad
from turnwright.quantities import figure
from turnwright.regimes.common.rules import pack
from turnwright.regimes.common.rules.connection import plate_frequency
from turnwright.regimes.common.rules.plain import equipment, labels, start
from turnwright.regimes.rule import Facts, Rule, Said
from turnwright.regimes.us.rules.looks import is_volts
from turnwright.regimes.us.rules.numbers import usual
from turnwright.regimes.us.rules.volts import VOLTS


def _volts_share(have_v: float, plate_v: float) -> float:
    return have_v / plate_v


def plate_of_208(facts: Facts) -> Iterator[Said]:
    """Equipment of 220 to 240 V on a 208 V supply: many plates say 208-230 V; heat falls with the square."""
    supply_v = facts.case.supply.system.line_v
    below_pct = equipment("motor_voltage_pct")
    for load in facts.case.loads:
        if not is_volts(load.system.line_v, 240) or load.neutral or load.system.has_neutral:
            continue
        share = _volts_share(supply_v, load.nameplate_v)
        yield Said(
            message=(
                f"{start(load.label)}: maybe no transformer is needed. Ask whether the nameplate says "
                f"208-230 V, then it runs on 208 V as it is. {_what_208_does(load, share)}"
            ),
            value=supply_v,
            limit=load.nameplate_v * (1 - below_pct / 100),
            unit="V",
        )


def _what_208_does(load: CaseLoad, share: float) -> str:
    low_pct = figure((1 - share) * 100)
    if load.kind == "heating":
        return f"A {load.nameplate_v:g} V heater gives {figure(share**2 * 100)} % of its heat on 208 V."
    return (
        f"At {load.nameplate_v:g} V only, 208 V is {low_pct} % low: at the edge for a motor, its control "
        "transformer has a 208 V tap."
    )


OTHER_MOTORS = (
    (480, 240, "are they 230/460 V motors? Reconnected for 460 V"),
    (480, 600, "are they reconnectable, or to be had for 460 V? Then"),
    (600, 480, "are they reconnectable, or to be had for 575 V? Then"),
    (240, 480, "are they 230/460 V motors? Reconnected for 230 V"),
    (208, 480, "are they 208-230/460 V motors? Reconnected for the low volts"),
)
"""Volts of a supply and of motors, and what to ask of such motors before a transformer is ordered."""


def motor_of_other_volts(facts: Facts) -> Iterator[Said]:
    """Motors that can be had, or reconnected, for the supply: 230/460 V on 480 V, 575 V on 600 V."""
    supply_v = facts.case.supply.system.line_v
    motors = tuple(load for load in facts.of_kind("motor") if load.system.phases == 3)
    for at_v, has_v, what in OTHER_MOTORS:
        wanted = tuple(load for load in motors if is_volts(load.system.line_v, has_v))
        if wanted and is_volts(supply_v, at_v):
            yield Said(
                message=(
                    f"{start(labels(wanted))}: {what} they run on the {supply_v:g} V supply and maybe no "
                    "transformer is needed. Ask before ordering."
                ),
                value=supply_v,
                unit="V",
            )


def fifty_hertz_supply(facts: Facts) -> Iterator[Said]:
    """Flux goes with volts over frequency: a 60 Hz unit on 50 Hz only at 5/6 of its volts and kVA."""
    supply_hz = facts.case.supply.frequency_hz
    common_hz = usual("common_frequency_hz")
    share_pct = supply_hz / common_hz * 100
    yield Said(
        message=(
            f"The supply has {supply_hz:g} Hz: order the unit for it. One for {common_hz:g} Hz would "
            f"saturate at full volts; it may have {figure(share_pct, rounding='down')} % of its volts and "
            "kVA."
        ),
        value=supply_hz,
        limit=common_hz,
        unit="Hz",
    )


def no_control_voltage(facts: Facts) -> Iterator[Said]:
    """Motors need control power; an output without neutral has no 120 V."""
    if facts.proposal.output.neutral_v is None:
        yield Said(message="No 120 V here: controls need their own small transformer.")


def no_line_to_neutral(facts: Facts) -> Iterator[Said]:
    """A 480 V delta output has no 277 V, a 600 V one no 347 V."""
    output = facts.proposal.output
    if output.neutral_v is None and output.phases == 3 and output.line_v >= usual("lighting_wye_from_v"):
        neutral_v = output.line_v / 3**0.5
        yield Said(
            message=f"A {output.text} output has no {figure(neutral_v)} V to neutral for lighting.",
            value=neutral_v,
            unit="V",
        )


def panel_of_three_phases(facts: Facts) -> Iterator[Said]:
    """Single-phase loads on a three-phase unit need a three-phase panel."""
    output = facts.proposal.output
    yield Said(
        message=(
            "All loads are single-phase, the unit is three-phase: the panel must be a three-phase one for "
            f"{output.text}, not a 120/240 V single-phase panel, with the loads spread over the phases."
        )
    )


PAIR_208 = {
    "supply": {"system": "208Y/120"},
    "load": [{"name": "ice maker", "system": "230 1ph", "current": "16 A", "neutral": False}],
}
MOTORS_230 = {"load": [{"name": "compressor", "system": "230 3ph", "hp": "10 hp", "kind": "motor"}]}

RULES = (
    Rule(
        id="plate-208-230",
        severity="caution",
        applies=lambda facts: is_volts(facts.case.supply.system.line_v, 208),
        check=plate_of_208,
        trips=PAIR_208,
        clean={"supply": {"system": "208Y/120"}, "load": [{"system": "480 3ph", "kva": "20 kVA"}]},
    ),
    Rule(
        id="motor-volts",
        severity="caution",
        applies=lambda facts: "motor" in facts.kinds,
        check=motor_of_other_volts,
        trips=MOTORS_230,
        clean={"load": [{"name": "pump", "system": "200 3ph", "hp": "10 hp", "kind": "motor"}]},
    ),
    Rule(
        id="plate-frequency",
        severity="caution",
        check=plate_frequency,
        trips={"load": [{"name": "press", "system": "400Y/230", "kva": "20 kVA"}]},
        clean={"load": [{"name": "press", "system": "400Y/230", "kva": "20 kVA", "frequency": "50/60 Hz"}]},
    ),
    Rule(
        id="fifty-hertz-supply",
        severity="caution",
        applies=lambda facts: facts.case.supply.frequency_hz < usual("common_frequency_hz"),
        check=fifty_hertz_supply,
        trips={"supply": {"frequency": "50 Hz"}},
        clean={},
    ),
    pack.same_volts(VOLTS),
    Rule(
        id="no-control-voltage",
        severity="note",
        applies=lambda facts: "motor" in facts.kinds,
        check=no_control_voltage,
        trips=MOTORS_230,
        clean={"load": [{"system": "200 3ph", "hp": "10 hp", "kind": "motor"}]},
    ),
    Rule(
        id="no-line-to-neutral",
        severity="note",
        check=no_line_to_neutral,
        trips={
            "supply": {"system": "208Y/120"},
            "load": [{"system": "480 3ph", "kva": "20 kVA"}],
            "choices": {"secondary": "480 delta"},
        },
        clean={},
    ),
    Rule(
        id="panel-phases",
        severity="note",
        applies=lambda facts: (
            facts.proposal.phases == 3
            and facts.proposal.output.neutral_v is not None
            and all(load.system.phases == 1 for load in facts.case.loads)
        ),
        check=panel_of_three_phases,
        trips={"load": [{"name": "sockets", "system": "120 1ph", "kva": "2 kVA", "quantity": 9}]},
        clean={},
    ),
    pack.coil_links(VOLTS),
)
