"""Rules about the voltages: step-up units, identification, unbalance, what the output does not have."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.reference import load
from turnwright.regimes.rule import Facts, Rule, Said


def built_as_step_up(facts: Facts) -> Iterator[Said]:
    """450.11(B): fed at its marked secondary only where the maker's instructions allow it."""
    if facts.proposal.step_up:
        yield Said(
            message=(
                f"Order a unit built as step-up, {facts.unit.primary.text} to {facts.unit.secondary.text}: a step-down "
                "unit fed from its secondary needs the maker's consent, draws more inrush and gives low volts."
            )
        )


def identify_systems(facts: Facts) -> Iterator[Said]:
    """210.5(C), 215.12(C): where a building has more than one system, conductors are identified by system."""
    supply, output = facts.case.supply.system, facts.proposal.output
    if facts.proposal.derived and abs(supply.line_v - output.line_v) > 1:
        yield Said(
            message=(
                f"Mark the {output.text} system at its panel and identify its conductors apart from those of the "
                f"{supply.text} system; equipment from elsewhere may use other colors."
            )
        )


def two_lines(facts: Facts) -> Iterator[Said]:
    """A single-phase unit on a three-phase supply loads two lines and leaves the third."""
    if facts.case.supply.system.phases == 3 and facts.proposal.phases == 1:
        current_a = facts.blocks.currents.primary_load_a
        yield Said(
            message=(
                f"Single-phase on a three-phase supply: two lines carry {current_a:.1f} A, the third nothing. "
                "Write the lines used in the panel schedule and balance them with other loads."
            ),
            value=current_a,
            unit="A",
        )


def no_control_voltage(facts: Facts) -> Iterator[Said]:
    """Motors need control power; an output without neutral has no 120 V."""
    motors = any(load.kind == "motor" for load in facts.case.loads)
    if motors and facts.proposal.output.neutral_v is None:
        yield Said(message="No 120 V here: controls need their own small transformer.")


def above_usual_band(facts: Facts) -> Iterator[Said]:
    """Common practice: loading between half and four fifths, some 120 % of headroom."""
    practice = load("trade_practice").newest()
    low, high = (practice.row(key=key).number("value") for key in ("loading_low_pct", "loading_high_pct"))
    loading = facts.blocks.demand.loading_pct
    if loading > high:
        headroom = practice.row(key="headroom_factor").number("value")
        wanted_kva = facts.blocks.demand.kva_with_growth * headroom
        yield Said(
            message=(
                f"Loaded to {loading:.0f} %: above the usual {low:g}-{high:g} % band, little room to grow. "
                f"{headroom * 100:.0f} % of the load would be {wanted_kva:.1f} kVA."
            ),
            value=loading,
            limit=high,
            unit="%",
            severity="caution",
        )
    elif loading < low:
        yield Said(
            message=(
                f"Loaded to {loading:.0f} %: below the usual {low:g}-{high:g} % band; no-load loss is paid for nothing."
            ),
            value=loading,
            limit=low,
            unit="%",
        )


RULES = (
    Rule(
        id="loading-band",
        severity="note",
        check=above_usual_band,
        trips={"load": [{"system": "208Y/120", "kva": "29 kVA"}]},
        clean={"load": [{"system": "208Y/120", "kva": "20 kVA"}]},
    ),
    Rule(
        id="step-up",
        severity="note",
        check=built_as_step_up,
        trips={"supply": {"system": "208Y/120"}, "load": [{"system": "480 3ph", "kva": "20 kVA"}]},
        clean={},
    ),
    Rule(
        id="identify-systems",
        severity="note",
        check=identify_systems,
        clean={"load": [{"system": "480 3ph", "kva": "20 kVA"}]},
    ),
    Rule(
        id="two-lines",
        severity="caution",
        check=two_lines,
        trips={"load": [{"system": "120/240 1ph", "kva": "10 kVA"}]},
        clean={"load": [{"system": "208Y/120", "kva": "10 kVA"}]},
    ),
    Rule(
        id="no-control-voltage",
        severity="note",
        check=no_control_voltage,
        trips={"load": [{"system": "230 3ph", "hp": "10 hp", "kind": "motor"}]},
        clean={"load": [{"system": "200 3ph", "hp": "10 hp", "kind": "motor"}]},
    ),
)
