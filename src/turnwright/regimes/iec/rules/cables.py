"""Rules about devices and cables: IEC 60364-4-43 and 5-52."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import ConductorSize, figure, parse_conductor_size
from turnwright.reference import load
from turnwright.regimes.common.rules import plain
from turnwright.regimes.iec.numbers import limit
from turnwright.regimes.rule import Facts, Rule, Said
from turnwright.working import formula


@formula("I · √t / k", "mm²", "IEC 60364-4-43 434.5.2")
def least_for_withstand_mm2(fault_a: float, time_s: float, k: float) -> float:
    """Return the least line conductor that survives a short circuit without giving off heat. [mm²]

    fault_a : short-circuit current [A]
    time_s  : until it is cleared, 0.1 to 5 s [s]
    k       : by metal and insulation [A·√s/mm²]
    Source: IEC 60364-4-43 434.5.2

    Example:
        >>> round(least_for_withstand_mm2(fault_a=10000.0, time_s=0.1, k=115.0), 1)
        27.5
    """
    return fault_a * float(time_s**0.5) / k


def overload(facts: Facts) -> Iterator[Said]:
    """433: a device above the rated current protects the cable, not the windings."""
    device_a, rated_a = facts.blocks.protection.secondary_a, facts.blocks.currents.secondary_rated_a
    if device_a is not None and device_a > rated_a * (1 + plain.SAME):
        yield Said(
            message=(
                f"The {device_a:g} A after the transformer is above its rated {figure(rated_a)} A: the "
                "windings need a "
                "thermal sensor, an adjustable trip set to their current, or a larger unit."
            ),
            value=device_a,
            limit=rated_a,
            unit="A",
        )


def no_percentage(facts: Facts) -> Iterator[Said]:
    """No counterpart of the percentages of North America stands in the series."""
    yield Said(
        message=(
            "No clause sets a percentage of rated current for the devices of a transformer: they follow the cable "
            "(I_B ≤ I_n ≤ I_z, I_2 ≤ 1.45 I_z), the short circuit, the inrush and the maker's own word."
        )
    )


def switch_on(facts: Facts) -> Iterator[Said]:
    """Inrush against the instantaneous trip of a breaker; a gG fuse rides through."""
    device_a = facts.blocks.protection.primary_a
    if device_a is None:
        return
    peak_a = plain.practice("inrush_high_multiple") * facts.blocks.currents.primary_rated_a
    if facts.blocks.protection.kind == "fuse":
        message = (
            f"Switching on draws up to {figure(peak_a, rounding='up')} A: gG fuse links of {device_a:g} A ride "
            "through it."
        )
        yield Said(message=message, value=peak_a, unit="A")
        return
    holds_a = limit("magnetic_d_hold_multiple") * device_a
    kind = "type D" if device_a <= limit("miniature_max_a") else "a magnetic trip that can be set"
    if holds_a >= peak_a:
        message = (
            f"Switching on draws up to {figure(peak_a, rounding='up')} A: the {device_a:g} A breaker before it "
            "needs "
            f"{kind}, which holds to {figure(holds_a)} A; types B and C trip."
        )
        yield Said(message=message, value=peak_a, limit=holds_a, unit="A")
    else:
        message = (
            f"Switching on draws up to {figure(peak_a, rounding='up')} A, more than {figure(holds_a)} A that the "
            f"{device_a:g} A breaker surely holds: a larger one, gG fuse links, or a unit with low inrush."
        )
        yield Said(message=message, value=peak_a, limit=holds_a, unit="A", severity="caution")


def cable_withstand(facts: Facts) -> Iterator[Said]:
    """434.5.2: (k S)² against I² t of the supply's short circuit at the start of the primary cable."""
    run, fault_a = facts.blocks.conductors.primary, facts.case.supply.fault_current_a
    if run is None or fault_a is None:
        return
    insulation = facts.case.circuit.insulation
    k = load("iec_withstand").newest().row(metal=run.metal, insulation=insulation).number("k")
    time_s = limit("short_circuit_time_s")
    least_mm2 = least_for_withstand_mm2(fault_a, time_s, k)
    size = parse_conductor_size(run.size, where="primary cable")
    assert isinstance(size, ConductorSize)
    area = size.area_mm2 * run.sets
    if area < least_mm2:
        carries = (k * area) ** 2
        yield Said(
            message=(
                f"{figure(fault_a / 1000, rounding='up')} kA for {time_s:g} s would ask for "
                f"{figure(least_mm2, rounding='up')} mm²; {run.sets} × {run.size} stands {carries:.3g} A²s. "
                "The device "
                "before it must let through less than that: a limiting breaker or fuse, by its maker's curve."
            ),
            value=area,
            limit=least_mm2,
            unit="mm²",
        )


def voltage_drop(facts: Facts) -> Iterator[Said]:
    """Annex G: 3 % to lighting, 5 % to other use; here both cables and the transformer itself."""
    runs, regulation = facts.blocks.conductors, facts.blocks.voltage.regulation_pct
    parts = [run.drop_pct for run in (runs.primary, runs.secondary) if run and run.drop_pct is not None]
    if regulation is None:
        return
    key = "lighting" if facts.of_kind("lighting") else "other"
    most = limit(f"drop_public_{key}_pct")
    total = sum(parts) + regulation
    if total > most * (1 + plain.SAME):
        own = limit(f"drop_private_{key}_pct")
        yield Said(
            message=(
                f"Cables and transformer drop {figure(total, rounding='up')} % together; from a public supply "
                f"{most:g} % "
                f"is the usual most to the load ({own:g} % from a supply of one's own): a tap, larger cables, "
                "or less "
                "impedance."
            ),
            value=total,
            limit=most,
            unit="%",
        )


def terminals(facts: Facts) -> Iterator[Said]:
    """526: a 90 °C cable used to its capacity heats its terminals."""
    usual_c = limit("terminals_c")
    yield Said(
        message=(
            f"XLPE cables used to their capacity reach 90 °C; terminals are usually made for {usual_c:g} °C. "
            "Ask the "
            "makers of both sides, or give the temperature of the terminals here."
        ),
        value=90.0,
        limit=usual_c,
        unit="degC",
    )


def neutral_reduced(facts: Facts) -> Iterator[Said]:
    """Annex E: third harmonics add up in the neutral, which then heats the cable."""
    content = sum(pct**2 for order, pct in facts.picture.spectrum if order % 3 == 0) ** 0.5
    first = min(load("iec_third_harmonic").newest().column("content_through_pct"))
    if content > first:
        yield Said(
            message=(
                f"Third harmonics of {figure(content)} % load the neutral: the four-core cable is sized for "
                "that, and its "
                "neutral is not made smaller than the lines."
            ),
            value=content,
            limit=first,
            unit="%",
        )


RULES = (
    Rule(
        id="panel-room",
        severity="note",
        needs=("supply.panel_rating_a", "supply.panel_load_a"),
        check=plain.panel_room("distribution board"),
        trips={"supply": {"panel_rating": "100 A", "panel_load": "95 A"}},
        clean={"supply": {"panel_rating": None}},
    ),
    Rule(
        id="panel-fault-rating",
        severity="stop",
        applies=plain.board_is_told,
        needs=("supply.panel_fault_rating_a", "supply.fault_current_a"),
        check=plain.panel_fault_rating("distribution board"),
        trips={"supply": {"fault_current": "30 kA"}},
        clean={"supply": {"fault_current": "14 kA"}},
    ),
    Rule(
        id="overload",
        severity="caution",
        applies=plain.derived,
        check=overload,
        trips={"load": [{"system": "400Y/230", "kva": "15.8 kVA"}], "choices": {"kva": "16 kVA"}},
        clean={},
    ),
    Rule(id="no-percentage", severity="note", check=no_percentage),
    Rule(id="switch-on", severity="note", check=switch_on),
    Rule(
        id="cable-withstand",
        severity="note",
        check=cable_withstand,
        trips={},
        clean={"supply": {"fault_current": "0.5 kA"}},
    ),
    Rule(
        id="voltage-drop",
        severity="caution",
        check=voltage_drop,
        trips={"circuit": {"primary_length": "300 m"}},
        clean={"choices": {"impedance": "3 %"}},
    ),
    Rule(
        id="terminals",
        severity="caution",
        applies=lambda facts: (
            facts.case.circuit.insulation == "XLPE" and facts.case.circuit.terminals_c is None
        ),
        check=terminals,
        trips={"circuit": {"insulation": "XLPE"}},
        clean={"circuit": {"insulation": "XLPE", "terminals": "90 degC"}},
    ),
    Rule(
        id="neutral-reduced",
        severity="caution",
        applies=plain.has_neutral,
        check=neutral_reduced,
        trips={"load": [{"system": "400Y/230", "kva": "12 kVA", "harmonics": {"3": 30}}]},
        clean={"load": [{"system": "400Y/230", "kva": "12 kVA", "harmonics": {"5": 30}}]},
    ),
)
