"""Rules about the earth of the new system: IEC 60364-1 312.2 and 4-41, the star point and what then trips."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from turnwright.quantities import VoltageSystem, figure
from turnwright.reference import Row, load, over_through
from turnwright.regimes.common.rules import around, plain
from turnwright.regimes.common.rules.looks import named
from turnwright.regimes.iec.numbers import limit
from turnwright.regimes.rule import Facts, Rule, Said

THREE_WIRE = {"load": [{"system": "275 3ph", "kva": "20 kVA"}]}


@lru_cache(maxsize=8)
def _system(name: str) -> Row:
    return load("iec_earthing").newest().row(system=name)


def derived_earthing(facts: Facts) -> Iterator[Said]:
    """312.2: what the earthing of the supply means for the transformer, and what the new system becomes."""
    earthing = facts.case.supply.earthing
    assert earthing is not None
    row = _system(earthing)
    size = facts.blocks.grounding.electrode_conductor
    with_size = f" (earthing conductor {size})" if size else ""
    yield Said(
        message=f"{earthing} supply: {row.text('supply')}; {row.text('derived')}{with_size}.",
        severity="caution" if earthing == "IT" else None,
    )


def unearthed_output(facts: Facts) -> Iterator[Said]:
    """411.6: an IT system has an insulation monitor; up to 50 V it may be a safety extra-low voltage instead."""
    output = facts.proposal.output
    most_v = limit("selv_max_v")
    if output.line_v <= most_v:
        message = (
            f"The {output.text} output is extra-low voltage: as SELV no point of it is earthed, and the unit "
            "is a safety "
            "isolating transformer."
        )
        yield Said(message=message, value=output.line_v, limit=most_v, unit="V", severity="note")
        return
    if named(facts, "isolated power"):
        return
    times = _times(_to_earth_v(output))
    within = f" within {times.number('tn_s'):g} s" if times is not None else ""
    one = (
        f", one piece of equipment alone may hang on it as a separated circuit (to {limit('separated_max_v'):g} V, "
        f"cable to {limit('separated_max_m'):g} m)"
        if output.phases == 1 and output.line_v <= limit("separated_max_v")
        else ""
    )
    yield Said(
        message=(
            f"No point of the {output.text} output is earthed: an IT system. It needs an insulation monitor, and "
            "a second "
            f"fault disconnects{within} where all cases are on one earth{one}; or earth one point and it is TN-S."
        )
    )


@lru_cache(maxsize=32)
def _star_v(line_v: float) -> float:
    """Return the volts of three lines to the star as they are called, 230 V of 400 V; over √3 of other systems.

    Source: IEC 60038 Table 1
    """
    named = (row for row in load("iec_voltage_systems").newest().rows if row.text("winding") == "wye")
    found = next((row.number("neutral_v") for row in named if row.number("line_v") == line_v), None)
    return line_v / 3**0.5 if found is None else float(found)


def _to_earth_v(system: VoltageSystem) -> float:
    """Return U_0: to the neutral, to the star of three lines; of two lines without a neutral one may be earthed."""
    return system.neutral_nominal_v or (_star_v(system.line_v) if system.phases == 3 else system.line_v)


def earth_fault(facts: Facts) -> Iterator[Said]:
    """411.4: the least fault to earth at the transformer against the instantaneous trip of the device after it."""
    fault_a, device_a = facts.blocks.fault.line_ground_a, _largest_device_a(facts)
    if fault_a is None or device_a is None or facts.blocks.protection.kind != "breaker":
        return
    least_a = fault_a * limit("voltage_factor_min") / limit("voltage_factor_max")
    trips_a = limit("magnetic_c_multiple") * device_a
    if least_a < trips_a:
        yield Said(
            message=(
                f"A fault to earth at the transformer is {figure(least_a, rounding='down')} A at least; a type "
                "C breaker "
                f"of {device_a:g} A trips at once from {figure(trips_a, rounding='up')} A only. Take type B, a "
                "lower "
                "magnetic setting or a residual-current device."
            ),
            value=least_a,
            limit=trips_a,
            unit="A",
        )


def _largest_device_a(facts: Facts) -> float | None:
    return max(facts.blocks.protection.secondary_devices_a, default=None)


def _times(volts: float) -> Row | None:
    """Return the row of a voltage to earth; None where it is too low to ask for one."""
    table = load("iec_disconnection").newest()
    if volts <= min(table.column("u0_over_v")):
        return None
    return over_through(table, "u0_over_v", "u0_through_v", volts)


def disconnection_time(facts: Facts) -> Iterator[Said]:
    """Table 41.1: the new system is TN; final circuits by voltage to earth, distribution circuits in 5 s."""
    volts = facts.proposal.output.neutral_nominal_v
    row = None if volts is None else _times(volts)
    if row is None:
        return
    most_s, distribution_s = row.number("tn_s"), limit("distribution_tn_s")
    yield Said(
        message=(
            f"The new system is TN with {volts:g} V to earth: final circuits disconnect within {most_s:g} s, "
            "distribution "
            f"circuits within {distribution_s:g} s."
        ),
        value=float(most_s),
        unit="s",
    )


def primary_disconnection(facts: Facts) -> Iterator[Said]:
    """411.3.2: the circuit that feeds the transformer, by the earthing of its supply."""
    supply, device_a = facts.case.supply, facts.blocks.protection.primary_a
    row = _times(_to_earth_v(supply.system))
    if row is None or device_a is None or supply.earthing is None:
        return
    final = device_a <= limit("final_circuit_max_a")
    kind = f"up to {limit('final_circuit_max_a'):g} A" if final else "as a distribution circuit"
    in_tn_s = row.number("tn_s") if final else limit("distribution_tn_s")
    in_tt_s = row.number("tt_s") if final else limit("distribution_tt_s")
    if supply.earthing == "TT":
        message = (
            f"TT: a fault to earth on the supply side disconnects within {in_tt_s:g} s ({kind}), by a residual-current "
            "device before the transformer: it lets inrush pass (time delay, or type S) and its R_A · I_Δn stays "
            "within "
            f"{limit('touch_max_v'):g} V."
        )
        yield Said(message=message, value=float(in_tt_s), unit="s", severity="caution")
        return
    if supply.earthing == "IT":
        message = (
            f"IT: the first fault on the supply side is monitored, a second one disconnects within {in_tn_s:g} s "
            f"({kind}) "
            "where all cases are on one earth."
        )
    else:
        message = f"{supply.earthing}: a fault to earth on the supply side disconnects within {in_tn_s:g} s ({kind})."
    yield Said(message=message, value=float(in_tn_s), unit="s")


def sockets(facts: Facts) -> Iterator[Said]:
    """411.3.3: sockets for general use by ordinary persons, and movable equipment outdoors."""
    volts = facts.proposal.output.neutral_nominal_v
    if volts is None or _times(volts) is None:
        return
    trip_ma, most_a = limit("socket_rcd_ma"), limit("final_circuit_max_a")
    yield Said(
        message=(
            f"Sockets up to {most_a:g} A on the {facts.proposal.output.text} side get residual-current devices of "
            f"{trip_ma:g} mA of their own: one before the transformer sees no fault behind it."
        ),
        value=trip_ma,
        unit="mA",
    )


RULES = (
    Rule(
        id="derived-earthing",
        severity="note",
        applies=plain.has_neutral,
        needs=("supply.earthing",),
        check=derived_earthing,
        trips={"supply": {"earthing": "TT"}},
        clean=THREE_WIRE,
    ),
    Rule(
        id="unearthed-output",
        severity="caution",
        applies=plain.floats,
        check=unearthed_output,
        trips=THREE_WIRE,
        clean={},
    ),
    Rule(
        id="earth-fault",
        severity="caution",
        applies=plain.has_neutral,
        check=earth_fault,
        trips={"choices": {"impedance": "12 %"}},
        clean={"choices": {"impedance": "3 %"}},
    ),
    Rule(
        id="disconnection-time",
        severity="note",
        applies=plain.has_neutral,
        check=disconnection_time,
        trips={},
        clean=THREE_WIRE,
    ),
    Rule(
        id="primary-disconnection",
        severity="note",
        needs=("supply.earthing",),
        check=primary_disconnection,
        trips={"supply": {"earthing": "TT"}},
        clean={"supply": {"earthing": None}},
    ),
    Rule(
        id="sockets",
        severity="note",
        applies=plain.has_neutral,
        check=sockets,
        trips={},
        clean=THREE_WIRE,
    ),
    around.neutral_unused("690 3ph"),
)
