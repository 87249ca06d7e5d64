"""Rules about devices and cables: IEC 60364-4-43 and 5-52."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import figure
from turnwright.reference import load
from turnwright.regimes.common.rules import around, plain
from turnwright.regimes.iec.numbers import limit
from turnwright.regimes.iec.rules.small_units import within_small_units
from turnwright.regimes.rule import Facts, Rule, Said


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


def voltage_drop(facts: Facts) -> Iterator[Said]:
    """Annex G: 3 % to lighting, 5 % to other use; here both cables and the transformer itself."""
    runs, regulation = facts.blocks.conductors, facts.blocks.voltage.regulation_pct
    parts = [run.drop_pct for run in (runs.primary, runs.secondary) if run and run.drop_pct is not None]
    if regulation is None:
        return
    key = "lighting" if facts.of_kind("lighting") else "other"
    most = limit(f"drop_public_{key}_pct")
    small = within_small_units(facts)
    if all(one.feeds_back for one in facts.case.loads):
        return
    total = sum(parts) + (0.0 if small else regulation)
    if total > most * (1 + plain.SAME):
        own = limit(f"drop_private_{key}_pct")
        yield Said(
            message=(
                f"{'Cables' if small else 'Cables and transformer'} drop {figure(total, rounding='up')} % "
                "together; from a public supply "
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
    *around.board_rules("distribution board", carries="95 A"),
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
