"""Rules about the secondary conductors: whose device protects them, how far it may be: 240.4(F), 240.21(B)(3), (C)."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import figure
from turnwright.regimes.common.rules.plain import outside
from turnwright.regimes.rule import Facts, Rule, Said
from turnwright.regimes.us.rules.looks import before_counts_a, needs_own_device
from turnwright.regimes.us.rules.numbers import METRES_PER_FOOT, SAME, secondary_case


def secondary_needs_device(facts: Facts) -> Iterator[Said]:
    """240.4(F): only two-wire single-phase and delta-delta three-wire secondaries may rely on the primary device."""
    device_a = facts.blocks.protection.secondary_a
    size = f"a device of {device_a:g} A" if device_a is not None else "a device"
    yield Said(
        message=(
            "The secondary conductors are not protected by the device before the transformer: they need "
            f"{size} of their own."
        ),
        value=device_a,
        unit="A" if device_a is not None else None,
    )


def primary_covers(facts: Facts) -> Iterator[Said]:
    """240.21(C)(1): device before × voltage ratio within the ampacity of the secondary conductors."""
    counts_a, run = before_counts_a(facts), facts.blocks.conductors.secondary
    if counts_a is None or run is None:
        return
    carries = figure(run.ampacity_a, rounding="down")
    message = (
        f"The device before the transformer counts as {figure(counts_a, rounding='up')} A on the load side: "
        f"more than the {carries} A of the conductors, which larger ones could make good."
        if needs_own_device(facts)
        else "The device before the transformer covers the secondary conductors too: it counts as "
        f"{figure(counts_a, rounding='up')} A there, they carry {carries} A."
    )
    yield Said(message=message, value=counts_a, limit=run.ampacity_a, unit="A")


def least_ampacity_a(facts: Facts, rule: str) -> float | None:
    """Return what 240.21(C) asks of the secondary conductors because of the device before the transformer. [A]

    rule : "C2" (a tenth) or "C6" (a third)
    """
    counts_a = before_counts_a(facts)
    if counts_a is None:
        return None
    return float(counts_a / secondary_case(facts.case.edition, rule).number("primary_device_max_multiple"))


def secondary_length(facts: Facts) -> Iterator[Said]:
    """240.21(C)(2), (4), (6): 10 ft, outdoors, 25 ft; which case holds and what goes with it."""
    length_m, edition = facts.case.circuit.secondary_length_m, facts.case.edition
    assert length_m is not None
    length_ft = length_m / METRES_PER_FOOT
    short_ft = secondary_case(edition, "C2").number("max_length_ft")
    long_ft = secondary_case(edition, "C6").number("max_length_ft")
    if length_ft <= short_ft * (1 + SAME):
        yield from _within(facts, "C2", length_ft, short_ft)
    elif length_ft <= long_ft * (1 + SAME):
        yield from _within(facts, "C6", length_ft, long_ft)
    elif outside(facts):
        yield Said(
            message=(
                f"{length_ft:g} ft to the first device: allowed only where the run is outdoors all the way "
                "but for its end, protected from damage, and ends in one device beside a readily accessible "
                "disconnect."
            ),
            value=length_ft,
            limit=long_ft,
            unit="ft",
            severity="caution",
        )
    else:
        yield Said(
            message=(
                f"{length_ft:g} ft to the first device: {long_ft:g} ft is the most indoors. Put a device at "
                "the transformer or within that, or move the unit: its supply side may be of any length."
            ),
            value=length_ft,
            limit=long_ft,
            unit="ft",
            severity="stop",
        )


def _within(facts: Facts, rule: str, length_ft: float, limit_ft: float) -> Iterator[Said]:
    """Say what holds within 10 or 25 ft, or that the conductors are too small for it."""
    run, least_a = facts.blocks.conductors.secondary, least_ampacity_a(facts, rule)
    share = secondary_case(facts.case.edition, rule).number("primary_device_max_multiple")
    if run is not None and least_a is not None and run.ampacity_a < least_a * (1 - SAME):
        yield Said(
            message=(
                f"The secondary conductors carry {figure(run.ampacity_a, rounding='down')} A; within "
                f"{limit_ft:g} ft they must carry {figure(least_a, rounding='up')} A, 1/{share:g} of the "
                "device before the transformer."
            ),
            value=run.ampacity_a,
            limit=least_a,
            unit="A",
            severity="stop",
        )
        return
    end = "ending in the panel or disconnect they feed and not beyond it"
    if rule == "C6":
        end = "ending in one device"
        yield from _several_beyond(facts)
    least = f", and at least {figure(least_a, rounding='up')} A" if least_a is not None else ""
    yield Said(
        message=(
            f"{length_ft:g} ft to the first device is the {limit_ft:g} ft case: raceway all the way, "
            f"conductors not below the device they end in{least}, {end}."
        ),
        value=length_ft,
        limit=limit_ft,
        unit="ft",
    )


def _several_beyond(facts: Facts) -> Iterator[Said]:
    """240.21(C)(3), (6): beyond 10 ft each set ends in one device; grouped ones in industry only."""
    if len(facts.blocks.protection.secondary_devices_a) > 1:
        short_ft = secondary_case(facts.case.edition, "C2").number("max_length_ft")
        yield Said(
            message=(
                f"Beyond {short_ft:g} ft each secondary device gets a set of conductors of its own; grouped "
                "devices on one set only in industry with qualified persons, fed from switchgear, together "
                "within the ampacity."
            )
        )


def feeder_tap(facts: Facts) -> Iterator[Said]:
    """240.21(B)(3): a transformer on a tap of a feeder, primary and secondary together up to 25 ft."""
    circuit = facts.case.circuit
    if circuit.primary_length_m is None or circuit.secondary_length_m is None:
        return
    row = secondary_case(facts.case.edition, "C5")
    limit_ft = row.number("max_length_ft")
    together_ft = (circuit.primary_length_m + circuit.secondary_length_m) / METRES_PER_FOOT
    if together_ft <= limit_ft * (1 + SAME):
        yield Said(
            message=(
                f"Both runs together are {figure(together_ft, rounding='up')} ft: the unit may also hang on "
                "a tap of a feeder, with conductors on both sides of at least "
                f"1/{row.number('primary_device_max_multiple'):g} of that feeder's device, in raceway, "
                "ending in one device."
            ),
            value=together_ft,
            limit=limit_ft,
            unit="ft",
        )


DELTA = {"load": [{"system": "240 3ph", "kva": "20 kVA"}]}

RULES = (
    Rule(
        id="secondary-device",
        severity="note",
        applies=needs_own_device,
        check=secondary_needs_device,
        clean={"load": [{"system": "480 1ph", "kva": "10 kVA"}]},
    ),
    Rule(
        id="primary-covers-secondary",
        severity="note",
        applies=lambda facts: facts.proposal.derived and facts.proposal.covered,
        check=primary_covers,
        trips=DELTA,
        clean={},
    ),
    Rule(
        id="secondary-length",
        severity="note",
        applies=needs_own_device,
        needs=("circuit.secondary_length_m",),
        check=secondary_length,
        trips={"circuit": {"secondary_length": "40 ft"}},
        clean={"load": [{"system": "240 3ph", "kva": "20 kVA"}]},
    ),
    Rule(
        id="feeder-tap",
        severity="note",
        applies=needs_own_device,
        check=feeder_tap,
        trips={"circuit": {"primary_length": "12 ft"}},
        clean={},
    ),
)
