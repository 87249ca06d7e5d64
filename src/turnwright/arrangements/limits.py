"""What no winding can do: make three phases out of one, change the frequency, give direct current."""

from __future__ import annotations

from msgspec import Struct

from turnwright.arrangements.wishes import start_of
from turnwright.model.case import Case, CaseLoad
from turnwright.model.result import Finding


class Impossible(Struct, frozen=True, kw_only=True):
    """A load that no transformer can serve from this supply, and why."""

    load: CaseLoad
    finding: Finding


def phases_out_of_nothing(case: Case) -> tuple[Impossible, ...]:
    """Return the three-phase loads on a single-phase supply.

    Every winding on a single-phase supply carries the flux of that one phase, whatever its turns: no set of windings
    gives three voltages a third of a period apart.
    """
    if case.supply.system.phases != 1:
        return ()
    return tuple(
        Impossible(
            load=load,
            finding=Finding(
                code="three-phase-from-single-phase",
                severity="stop",
                message=(
                    f"{start_of(load.label)} wants three-phase {load.nameplate_v:g} V, the supply is "
                    f"single-phase ({case.supply.system.text}). No transformer makes three-phase out of "
                    "single-phase: its windings all carry the one phase there is."
                ),
                clause="circuit theory",
                known="computed",
            ),
        )
        for load in case.loads
        if load.system.phases == 3
    )


def frequency_stays(case: Case) -> tuple[Impossible, ...]:
    """Return the loads that want another frequency than the supply has."""
    supply_hz = case.supply.frequency_hz
    return tuple(
        Impossible(
            load=load,
            finding=Finding(
                code="frequency-stays",
                severity="stop",
                message=(
                    f"{start_of(load.label)} needs {'/'.join(f'{hz:g}' for hz in load.frequencies_hz)} Hz, the "
                    f"supply has {supply_hz:g} Hz. A transformer gives out the frequency it is fed with."
                ),
                clause="circuit theory",
                known="computed",
            ),
        )
        for load in case.loads
        if load.frequencies_hz and supply_hz not in load.frequencies_hz
    )


def no_direct_current(case: Case) -> tuple[Impossible, ...]:
    """Return the loads that want direct current: a transformer passes only what changes its flux."""
    return tuple(
        Impossible(
            load=load,
            finding=Finding(
                code="direct-current",
                severity="stop",
                message=(
                    f"{start_of(load.label)} wants {load.nameplate_v:g} V direct current. A transformer passes none: "
                    "only a changing flux makes volts on the other side."
                ),
                clause="circuit theory",
                known="computed",
            ),
        )
        for load in case.loads
        if load.system.direct
    )


def impossible(case: Case) -> tuple[Impossible, ...]:
    """Return every load that no transformer can serve from this supply."""
    return phases_out_of_nothing(case) + frequency_stays(case) + no_direct_current(case)
