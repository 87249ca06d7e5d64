"""Checks of how windings are joined: shared by both sides, several units as one, fed backwards, volts of a plate."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.arrangements import same_volts as is_volts
from turnwright.quantities import figure
from turnwright.regimes.common.rules.looks import SQRT3
from turnwright.regimes.common.rules.plain import labels, practice, start
from turnwright.regimes.rule import Facts, Said


def shared_winding(facts: Facts) -> bool:
    """Return whether load current flows through a winding that both sides share."""
    return not facts.proposal.derived and not facts.proposal.shunt


def marked_for_it(facts: Facts) -> Iterator[Said]:
    """450.4(B): a unit connected as autotransformer in the field is marked for the elevated voltage."""
    yield Said(
        message=(
            f"The unit must be marked for use at the higher voltage ({figure(facts.proposal.output.line_v)} "
            "V) when it is connected as an autotransformer on site."
        )
    )


def no_new_system(facts: Facts) -> Iterator[Said]:
    """Article 100: an autotransformer does not make a separately derived system."""
    yield Said(
        message=(
            "The output is part of the supply's system: no isolation, no new bond and no new electrode; the "
            "supply's grounding holds on both sides, and an open winding can put the higher voltage on the "
            "load."
        )
    )


def boost_and_start(facts: Facts) -> Iterator[Said]:
    """Common practice: a boost unit adds impedance and line current when a motor starts."""
    motors = facts.of_kind("motor")
    if motors:
        yield Said(
            message=(
                f"A boost does not help a hard start ({labels(motors)}): it draws more current from the "
                "supply and adds its own drop. Measure the volts during a start first."
            )
        )


def counts_as_one(facts: Facts) -> Iterator[Said]:
    """450.3: single-phase units run as one polyphase unit are protected by the rating of the bank."""
    yield Said(
        message=(
            f"The {facts.proposal.units} units count as one: one device before them by the current of the "
            "bank, equal voltage, taps and impedance in all."
        ),
        value=float(facts.proposal.units),
    )


def parallel_units(facts: Facts) -> Iterator[Said]:
    """450.7: units in parallel are switched as one and each is protected; equal impedance, taps and group."""
    within_pct = practice("parallel_impedance_pct")
    yield Said(
        message=(
            f"{facts.proposal.units} units in parallel: switched as one, each protected on both sides, same "
            f"ratio, taps and phase shift, impedances within {within_pct:g} % of each other, or they share "
            "unevenly."
        ),
        value=float(facts.proposal.units),
    )


def open_delta(facts: Facts) -> Iterator[Said]:
    """Two windings of an open delta carry the line current at 30 degrees: 86.6 % of their sum."""
    of_two_pct, of_three_pct = SQRT3 / 2 * 100, SQRT3 / 3 * 100
    yield Said(
        message=(
            f"Open delta: two units carry {of_two_pct:.1f} % of their sum for three-phase load, "
            f"{of_three_pct:.1f} % of three; do not count by simple thirds. Single-phase load loads one of "
            "them fully."
        )
    )


def backfed_neutral(facts: Facts) -> Iterator[Said]:
    """Common practice: on a back-fed unit the neutral terminal of the fed wye stays open and unbonded."""
    yield Said(
        message=(
            "Where the maker lets a step-down unit be fed backwards: phases only on its wye side, nothing on X0, its "
            "factory bond strap taken off as the maker says. Its output floats until it is grounded on purpose."
        )
    )


def same_volts_both_sides(facts: Facts) -> Iterator[Said]:
    """A transformer for the same volts is there for isolation, a neutral or a ground reference."""
    supply, output = facts.case.supply.system, facts.proposal.output
    if not is_volts(supply.line_v, output.line_v) or not facts.proposal.derived:
        return
    gains = "a new neutral" if supply.neutral_v is None and output.neutral_v is not None else "isolation"
    yield Said(
        message=(
            f"The supply and the load both have {output.line_v:g} V: the unit gives {gains} only. If that is "
            "not the aim, no transformer is needed: it fills no sag and stores nothing; against harmonics a line "
            "reactor does the same for less."
        ),
        value=output.line_v,
        unit="V",
    )


def coil_links(facts: Facts) -> Iterator[Said]:
    """Single-phase units have two coils a side; series and parallel follow the plate, not a guess."""
    yield Said(
        message=(
            "A single-phase unit mostly has two coils on each side: link them in series or parallel by its "
            "plate and measure before connecting the load."
        )
    )


def plate_frequency(facts: Facts) -> Iterator[Said]:
    """Equipment of 380 to 415 V comes from 50 Hz countries: the frequency comes before the volts."""
    low_v, high_v = practice("fifty_hertz_plate_low_v"), practice("fifty_hertz_plate_high_v")
    told = {fact.key for fact in facts.case.facts if fact.key.endswith(".frequency")}
    asked = tuple(
        load
        for load in facts.case.loads
        if low_v <= load.system.line_v <= high_v and f"load[{load.index}].frequency" not in told
    )
    if asked:
        yield Said(
            message=(
                f"{start(labels(asked))}: what frequency does the plate say? Equipment of {low_v:g} to "
                f"{high_v:g} V is mostly made for 50 Hz; on {facts.case.supply.frequency_hz:g} Hz motors run "
                "faster and with less torque at the same volts."
            )
        )
