"""Rules about the devices of the transformer and the panels on both sides: 450.3(B), 240.4(F), 408.36(B), 110.9."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from turnwright.quantities import figure
from turnwright.reference import Row, load
from turnwright.regimes.common.rules import around, plain
from turnwright.regimes.rule import Facts, Rule, Said
from turnwright.regimes.us.rules.looks import needs_own_device, output_has_neutral
from turnwright.regimes.us.rules.numbers import SAME, limit, usual

V_240 = 240
"""Small breakers are sold for systems up to this voltage, and for higher ones."""


@lru_cache(maxsize=8)
def _small_current_rows(edition: str) -> tuple[Row, Row, Row]:
    """The rows of Table 450.3(B) for a primary device alone: from 9 A, from 2 A, below."""
    table = load("nec_450_3b").at(edition)
    return table.row(id="P1"), table.row(id="P2"), table.row(id="P3")


@lru_cache(maxsize=8)
def _thermal_limits_pct(edition: str) -> tuple[float, float, float]:
    """Table 450.3(B) Note 3: the allowance with a coordinated thermal overload, the impedance over which it is less."""
    table = load("nec_450_3b").at(edition)
    low_z, high_z = table.row(id="N3a"), table.row(id="N3b")
    return low_z.number("max_pct"), high_z.number("impedance_over_pct"), high_z.number("max_pct")


def grouped_devices(facts: Facts) -> Iterator[Said]:
    """450.3(B) Note 2: up to six secondary devices in one place count as one."""
    devices_a = facts.blocks.protection.secondary_devices_a
    if len(devices_a) < 2:
        return
    most = limit(facts.case.edition, "secondary_devices_max")
    total_a = sum(devices_a)
    if len(devices_a) > most:
        yield Said(
            message=f"{len(devices_a)} secondary devices: {most:g} in one place are the most that count as one.",
            value=float(len(devices_a)),
            limit=most,
            severity="stop",
        )
    else:
        yield Said(
            message=f"Group the {len(devices_a)} secondary devices in one place; together they are {total_a:g} A.",
            value=float(len(devices_a)),
            limit=most,
        )


def small_currents(facts: Facts) -> Iterator[Said]:
    """Table 450.3(B): below 9 A the limit is 167 %, below 2 A 300 %, and neither is rounded up."""
    from_nine, from_two, below = _small_current_rows(facts.case.edition)
    rated_a = facts.blocks.currents.primary_rated_a
    edge_a = from_nine.number("rated_current_from_a")
    if rated_a >= edge_a:
        return
    row = from_two if rated_a >= from_two.number("rated_current_from_a") else below
    yield Said(
        message=(
            f"Rated {figure(rated_a)} A on the supply side: a primary device alone may be "
            f"{row.number('max_pct'):g} % of that, and the limit is not rounded up."
        ),
        value=rated_a,
        limit=edge_a,
        unit="A",
    )


def primary_over_125(facts: Facts) -> Iterator[Said]:
    """Table 450.3(B): up to 250 % with a secondary device; Note 3 is a further allowance, not a condition."""
    plan = facts.blocks.protection
    if plan.primary_a is None or plan.primary_only_max_a is None or not plan.secondary_devices_a:
        return
    both_a = plan.primary_with_secondary_max_a
    if both_a is None or not plan.primary_only_max_a < plan.primary_a <= both_a:
        return
    low_z_pct, over_z_pct, high_z_pct = _thermal_limits_pct(facts.case.edition)
    yield Said(
        message=(
            f"The {plan.primary_a:g} A device before it is above {plan.primary_only_max_a:g} A: allowed up "
            f"to {both_a:g} A because the secondary has its own device. No thermal protector is needed for "
            f"that; a coordinated one by the maker would allow up to {low_z_pct:g} % (over {over_z_pct:g} % "
            f"impedance {high_z_pct:g} %)."
        ),
        value=plan.primary_a,
        limit=both_a,
        unit="A",
    )


def panelboard(facts: Facts) -> Iterator[Said]:
    """408.36(B): a panelboard behind a transformer is protected on the secondary side."""
    device_a = facts.blocks.protection.secondary_devices_a
    rating = f", rated at least {max(device_a):g} A" if len(device_a) == 1 else ""
    yield Said(
        message=(
            f"A panelboard on the {facts.proposal.output.text} side needs a main or a device ahead of it on "
            f"that side{rating}; main lugs alone do not do."
        ),
        value=max(device_a, default=None),
        unit="A" if device_a else None,
    )


def panel_room(facts: Facts) -> Iterator[Said]:
    """215.2, 220: the load on the panel with this transformer, its continuous part at 125 %, fits its rating."""
    supply, currents = facts.case.supply, facts.blocks.currents
    assert supply.panel_rating_a is not None and supply.panel_load_a is not None
    spare_a = supply.panel_rating_a - supply.panel_load_a
    drawn = figure(currents.primary_load_a, rounding="up")
    if currents.primary_load_a > spare_a * (1 + SAME):
        yield Said(
            message=(
                f"The panel of {supply.panel_rating_a:g} A carries {supply.panel_load_a:g} A already; "
                f"{drawn} A more does not fit. Feed it from elsewhere, or take load off this panel."
            ),
            value=currents.primary_load_a,
            limit=spare_a,
            unit="A",
            severity="stop",
        )
    elif (counted_a := _counted_a(facts)) > spare_a * (1 + SAME):
        yield Said(
            message=(
                f"The panel has {spare_a:g} A to spare by its rating; the transformer draws {drawn} A, counted as "
                f"{figure(counted_a, rounding='up')} A where it runs 3 h or more: it fits only if the panel's main "
                "is listed for 100 % of its rating."
            ),
            value=counted_a,
            limit=spare_a,
            unit="A",
            severity="caution",
        )
    else:
        yield Said(
            message=(
                f"The panel has {spare_a:g} A to spare by its rating; the transformer draws {drawn} A with "
                "growth."
            ),
            value=currents.primary_load_a,
            limit=spare_a,
            unit="A",
        )


def _counted_a(facts: Facts) -> float:
    """Return the supply current of the load with its continuous part increased. [A]"""
    currents = facts.blocks.currents
    ratio = currents.primary_load_a / currents.secondary_load_a if currents.secondary_load_a else 1.0
    return max(facts.picture.design_line_a) * ratio


def interrupting(facts: Facts) -> Iterator[Said]:
    """110.9: what a device interrupts is not less than the fault current at its line terminals.

    Silent up to what a breaker without a mark interrupts by 240.83(C).
    """
    unmarked_a = limit(facts.case.edition, "unmarked_breaker_interrupting_a")
    for side, fault_a, line_v in (
        ("load", facts.blocks.protection.interrupting_min_a, facts.proposal.output.line_v),
        ("supply", facts.blocks.fault.primary_a, facts.case.supply.system.line_v),
    ):
        if fault_a is None or fault_a <= unmarked_a:
            continue
        ordinary_a = usual("usual_interrupting_240v_a" if line_v <= V_240 else "usual_interrupting_480v_a")
        over = fault_a > ordinary_a
        more = f": more than the {ordinary_a / 1000:g} kA of ordinary breakers, order them so" if over else ""
        yield Said(
            message=f"Devices on the {side} side must interrupt {figure(fault_a / 1000, rounding='up')} kA{more}.",
            value=fault_a,
            limit=ordinary_a if over else None,
            unit="A",
            severity="caution" if over else "note",
        )


def continuous_load(facts: Facts) -> Iterator[Said]:
    """210.20(A), 215.3: conductors and devices carry 125 % of what runs three hours or more."""
    kva = facts.picture.continuous_kva
    if kva <= 0:
        return
    share = limit(facts.case.edition, "continuous_load_pct")
    hours = limit(facts.case.edition, "continuous_hours")
    yield Said(
        message=(
            f"{figure(kva, rounding='up')} kVA run {hours:g} h or more: devices and conductors are sized for "
            f"{share:g} % of it; the transformer itself may carry 100 %."
        ),
        value=kva,
        unit="kVA",
    )


def inrush(facts: Facts) -> Iterator[Said]:
    """Common practice: the device before the transformer rides through the current of switching on."""
    high, low = plain.practice("inrush_high_multiple"), plain.practice("inrush_low_multiple")
    peak_a = high * facts.blocks.currents.primary_rated_a
    yield Said(
        message=(
            f"Switching on draws {low:g} to {high:g} times rated current for {plain.practice('inrush_time_s'):g} s, "
            f"up to {figure(peak_a, rounding='up')} A: magnetic trip above that, or time-delay fuses, "
            "upstream mains too."
        ),
        value=peak_a,
        unit="A",
    )


def _feeds_panel(facts: Facts) -> bool:
    return needs_own_device(facts) and output_has_neutral(facts)


DELTA = {"load": [{"system": "240 3ph", "kva": "20 kVA"}]}

RULES = (
    *around.board_rules("panel", carries="80 A", room=panel_room),
    Rule(
        id="secondary-devices-grouped",
        severity="note",
        check=grouped_devices,
        trips={"circuit": {"secondary_devices": ["60 A", "40 A"]}},
        clean={"circuit": {"secondary_devices": ["100 A"]}},
    ),
    Rule(
        id="small-current",
        severity="note",
        check=small_currents,
        trips={"load": [{"system": "208Y/120", "kva": "5 kVA"}]},
        clean={},
    ),
    Rule(
        id="primary-over-125",
        severity="note",
        check=primary_over_125,
        trips={"circuit": {"primary_device": "80 A"}},
        clean={"circuit": {"primary_device": "45 A"}},
    ),
    Rule(
        id="panelboard-protection",
        severity="note",
        applies=_feeds_panel,
        check=panelboard,
        trips={},
        clean=DELTA,
    ),
    Rule(
        id="interrupting-rating",
        severity="note",
        check=interrupting,
        trips={"load": [{"system": "208Y/120", "kva": "70 kVA"}]},
        clean={"load": [{"system": "208Y/120", "kva": "5 kVA"}], "supply": {"fault_current": "4 kA"}},
    ),
    Rule(
        id="continuous-load",
        severity="note",
        check=continuous_load,
        trips={},
        clean={"load": [{"system": "208Y/120", "kva": "20 kVA", "continuous": False}]},
    ),
    Rule(
        id="inrush",
        severity="note",
        applies=lambda facts: not facts.proposal.step_up,
        check=inrush,
        trips={},
        clean={"supply": {"system": "208Y/120"}, "load": [{"system": "480 3ph", "kva": "20 kVA"}]},
    ),
)
