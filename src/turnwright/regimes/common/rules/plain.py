"""Checks that need nothing of a code but its clause: room on the panel, neutral of the supply, direction, loading."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from turnwright.model.case import UNDER_THE_SKY, CaseLoad
from turnwright.quantities import figure
from turnwright.reference import load
from turnwright.regimes.rule import Check, Facts, Said
from turnwright.working import Number

SAME = 1e-9
NAMED = 3
"""Loads that a sentence names before it only counts."""


@lru_cache(maxsize=128)
def practice(key: str) -> Number:
    """Return a number of the trade by its key."""
    return load("trade_practice").newest().row(key=key).number("value")


@lru_cache(maxsize=32)
def equipment(key: str) -> Number:
    """Return a limit of equipment on its supply by its key."""
    return load("equipment_limits").newest().row(key=key).number("value")


def labels(loads: tuple[CaseLoad, ...]) -> str:
    """Return loads as a sentence names them.

    Example:
        >>> labels(())
        ''
    """
    names = [one.label for one in loads[:NAMED]]
    more = len(loads) - len(names)
    return f"{', '.join(names)} and {more} more" if more else " and ".join(names)


def start(text: str) -> str:
    """Return a text with a capital letter at its start."""
    return text[:1].upper() + text[1:]


def derived(facts: Facts) -> bool:
    """Return whether the output is a system of its own."""
    return facts.proposal.derived


def has_neutral(facts: Facts) -> bool:
    """Return whether the output is a system of its own with a neutral."""
    return facts.proposal.derived and facts.proposal.output.neutral_v is not None


def floats(facts: Facts) -> bool:
    """Return whether the output is a system of its own of which no point is earthed yet."""
    output = facts.proposal.output
    return facts.proposal.derived and output.neutral_v is None and output.grounding is None


def outside(facts: Facts) -> bool:
    """Return whether the unit stands under the sky."""
    return facts.case.site.place in UNDER_THE_SKY


def panel_room(board: str) -> Check:
    """Return the check that the load fits on the board that feeds it; `board` is what the trade calls it."""

    def check(facts: Facts) -> Iterator[Said]:
        supply, drawn_a = facts.case.supply, facts.blocks.currents.primary_load_a
        assert supply.panel_rating_a is not None and supply.panel_load_a is not None
        spare_a = supply.panel_rating_a - supply.panel_load_a
        drawn = figure(drawn_a, rounding="up")
        if drawn_a > spare_a * (1 + SAME):
            message = (
                f"The {board} of {supply.panel_rating_a:g} A carries {supply.panel_load_a:g} A already; {drawn} A "
                f"more does not fit. Feed it from elsewhere, or take load off this {board}."
            )
            yield Said(message=message, value=drawn_a, limit=spare_a, unit="A", severity="stop")
        else:
            message = f"The {board} has {spare_a:g} A to spare; the transformer draws {drawn} A with growth."
            yield Said(message=message, value=drawn_a, limit=spare_a, unit="A")

    return check


def panel_fault_rating(board: str) -> Check:
    """Return the check that the board is rated for the fault current of the supply."""

    def check(facts: Facts) -> Iterator[Said]:
        supply = facts.case.supply
        assert supply.panel_fault_rating_a is not None and supply.fault_current_a is not None
        if supply.fault_current_a > supply.panel_fault_rating_a:
            yield Said(
                message=(
                    f"The supply can deliver {figure(supply.fault_current_a / 1000, rounding='up')} kA; the "
                    f"{board} "
                    f"is rated {figure(supply.panel_fault_rating_a / 1000, rounding='down')} kA: one that is rated for "
                    "it, alone or in a tested combination with the device before it."
                ),
                value=supply.fault_current_a,
                limit=supply.panel_fault_rating_a,
                unit="A",
            )

    return check


def board_is_told(facts: Facts) -> bool:
    """Return whether somebody said what the board is rated for."""
    supply = facts.case.supply
    return supply.panel_rating_a is not None or supply.panel_fault_rating_a is not None


def supply_neutral_unused(facts: Facts) -> Iterator[Said]:
    """A delta or two-line primary has no terminal for the neutral of the supply."""
    yield Said(
        message=(
            f"The neutral of the {facts.case.supply.system.text} supply is not used: the primary has no place "
            "for it, "
            "and it must not be tied to the new neutral."
        )
    )


def supply_has_neutral(facts: Facts) -> bool:
    """Return whether the supply brings a neutral that separate windings leave alone."""
    return facts.proposal.derived and facts.case.supply.system.neutral_v is not None


def loading_band(facts: Facts) -> Iterator[Said]:
    """Common practice: loading between half and four fifths, some 120 % of headroom."""
    low, high = practice("loading_low_pct"), practice("loading_high_pct")
    loading = facts.blocks.demand.loading_pct
    if loading > high:
        headroom = practice("headroom_factor")
        wanted_kva = facts.blocks.demand.kva_with_growth * headroom
        yield Said(
            message=(
                f"Loaded to {loading:.0f} %: above the usual {low:g}-{high:g} % band, little room to grow. "
                f"{headroom * 100:.0f} % of the load would be {figure(wanted_kva)} kVA."
            ),
            value=loading,
            limit=high,
            unit="%",
            severity="caution",
        )
    elif loading < low:
        yield Said(
            message=(
                f"Loaded to {loading:.0f} %: below the usual {low:g}-{high:g} % band; no-load loss is paid for "
                "nothing."
            ),
            value=loading,
            limit=low,
            unit="%",
        )


def step_up(facts: Facts) -> Iterator[Said]:
    """A step-down unit fed backwards draws more when it is switched on and gives low volts."""
    multiple = practice("backfed_inrush_multiple")
    yield Said(
        message=(
            f"Order a unit built as step-up, {facts.unit.primary.text} to {facts.unit.secondary.text}: a step-down "
            f"unit fed from its secondary needs the maker's consent, draws up to {multiple:g} times rated current "
            "when switched on and gives low volts."
        )
    )


def two_lines(facts: Facts) -> Iterator[Said]:
    """A single-phase unit on a three-phase supply loads two lines and leaves the third."""
    current_a = facts.blocks.currents.primary_load_a
    lines = " and ".join(facts.proposal.lines)
    yield Said(
        message=(
            f"Single-phase on a three-phase supply: lines {lines} carry {figure(current_a, rounding='up')} A, the "
            "third nothing. Write the lines used on the schedule and balance them with other loads."
        ),
        value=current_a,
        unit="A",
    )


def on_two_lines(facts: Facts) -> bool:
    """Return whether one single-phase unit stands on two lines of a three-phase supply."""
    proposal = facts.proposal
    three = facts.case.supply.system.phases == 3
    return three and proposal.phases == 1 and proposal.units == 1 and len(proposal.lines) == 2


def no_control_voltage(volts: float) -> Check:
    """Return the check that motors find a voltage for their controls; `volts` is the usual one."""

    def check(facts: Facts) -> Iterator[Said]:
        if facts.of_kind("motor"):
            yield Said(message=f"No {volts:g} V here: controls need their own small transformer.")

    return check


def no_neutral(facts: Facts) -> bool:
    """Return whether the loads get no neutral."""
    return facts.proposal.output.neutral_v is None


def quiet_place(facts: Facts) -> Iterator[Said]:
    """Sound near people: a limit in the order, flexible connections, no corners."""
    low, high = practice("site_sound_low_db"), practice("site_sound_high_db")
    sound_db = facts.unit.sound_db
    level = (
        f"an average sound level under the usual {sound_db:g} dB"
        if sound_db
        else "a sound power level in writing"
    )
    yield Said(
        message=(
            f"Quiet place: order {level}, feet that damp and flexible connections, no corner and no bare hall; "
            "on site "
            f"it is usually {low:g} to {high:g} dB louder than in the test."
        ),
        value=sound_db,
        unit="dB" if sound_db else None,
    )


def is_quiet(facts: Facts) -> bool:
    """Return whether people are near who want to hear nothing."""
    return "quiet" in facts.case.site.conditions


def is_dusty(facts: Facts) -> bool:
    """Return whether the place is dusty."""
    return "dust" in facts.case.site.conditions


def is_wet(facts: Facts) -> bool:
    """Return whether water, salt or corrosive air is about."""
    return bool({"damp", "washdown", "salt", "corrosive"} & set(facts.case.site.conditions))


def wet_words(facts: Facts) -> str:
    """Return which of water, salt and corrosive air are about, as a sentence begins with them."""
    return start(
        ", ".join(c for c in facts.case.site.conditions if c in ("damp", "washdown", "salt", "corrosive"))
    )
