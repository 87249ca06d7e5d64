"""Rules about devices: what the primary device covers, how far the secondary one may be, the panel's room."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.regimes.rule import Facts, Rule, Said


def secondary_needs_device(facts: Facts) -> Iterator[Said]:
    """240.4(F): only two-wire single-phase and delta-delta three-wire secondaries may rely on the primary device."""
    if facts.proposal.covered or not facts.proposal.derived:
        return
    device_a = facts.blocks.protection.secondary_a
    size = f"a device of {device_a:g} A" if device_a is not None else "a device"
    yield Said(
        message=(
            "The secondary conductors are not protected by the device before the transformer: they need "
            f"{size} of their own, within 10 ft or 25 ft by the conditions of 240.21(C)."
        ),
        value=device_a,
        unit="A" if device_a is not None else None,
    )


def panel_room(facts: Facts) -> Iterator[Said]:
    """215.2, 220: the load on the panel with this transformer must not exceed its rating."""
    supply, currents = facts.case.supply, facts.blocks.currents
    assert supply.panel_rating_a is not None and supply.panel_load_a is not None
    spare_a = supply.panel_rating_a - supply.panel_load_a
    if currents.primary_load_a > spare_a * (1 + 1e-9):
        yield Said(
            message=(
                f"The panel of {supply.panel_rating_a:g} A carries {supply.panel_load_a:g} A already; "
                f"{currents.primary_load_a:.1f} A more does not fit."
            ),
            value=currents.primary_load_a,
            limit=spare_a,
            unit="A",
            severity="stop",
        )
    else:
        yield Said(
            message=(
                f"The panel has {spare_a:g} A to spare by its rating; the transformer draws "
                f"{currents.primary_load_a:.1f} A with growth."
            ),
            value=currents.primary_load_a,
            limit=spare_a,
            unit="A",
        )


def panel_fault_rating(facts: Facts) -> Iterator[Said]:
    """110.9, 110.10: equipment must withstand the fault current at its terminals."""
    supply = facts.case.supply
    assert supply.panel_fault_rating_a is not None and supply.fault_current_a is not None
    if supply.fault_current_a > supply.panel_fault_rating_a:
        yield Said(
            message=(
                f"The supply can deliver {supply.fault_current_a / 1000:.1f} kA; the panel is rated "
                f"{supply.panel_fault_rating_a / 1000:.1f} kA."
            ),
            value=supply.fault_current_a,
            limit=supply.panel_fault_rating_a,
            unit="A",
        )


RULES = (
    Rule(
        id="secondary-device",
        severity="note",
        check=secondary_needs_device,
        clean={"load": [{"system": "480 1ph", "kva": "10 kVA"}]},
    ),
    Rule(
        id="panel-room",
        severity="note",
        needs=("supply.panel_rating_a", "supply.panel_load_a"),
        check=panel_room,
        trips={"supply": {"panel_rating": "100 A", "panel_load": "80 A"}},
        clean={"supply": {"panel_rating": "600 A", "panel_load": "80 A"}},
    ),
    Rule(
        id="panel-fault-rating",
        severity="stop",
        needs=("supply.panel_fault_rating_a", "supply.fault_current_a"),
        check=panel_fault_rating,
        trips={"supply": {"fault_current": "30 kA", "panel_fault_rating": "22 kA"}},
        clean={"supply": {"fault_current": "14 kA", "panel_fault_rating": "22 kA"}},
    ),
)
