"""Rated currents and load currents on both sides."""

from __future__ import annotations

from collections.abc import Callable

from turnwright.arrangements import Proposal
from turnwright.model.result import Currents
from turnwright.selection.screen import Sized
from turnwright.working import CLOSED, Ledger, formula


@formula("S · 1000 / (√3 · V)", "A")
def three_phase_a(kva: float, voltage_v: float) -> float:
    """Return the line current of a three-phase power. [A]

    kva       : apparent power [kVA]
    voltage_v : between lines [V]
    Source: definition

    Example:
        >>> round(three_phase_a(kva=75.0, voltage_v=480.0), 1)
        90.2
    """
    return kva * 1000 / (3**0.5 * voltage_v)


@formula("S · 1000 / V", "A")
def single_phase_a(kva: float, voltage_v: float) -> float:
    """Return the current of a single-phase power. [A]

    kva       : apparent power [kVA]
    voltage_v : between the two conductors [V]
    Source: definition

    Example:
        >>> single_phase_a(kva=15.0, voltage_v=240.0)
        62.5
    """
    return kva * 1000 / voltage_v


@formula("largest line current", "A")
def largest_a(currents_a: tuple[float, ...]) -> float:
    """Return the current of the line that carries the most. [A]

    currents_a : of each line [A]
    Source: definition

    Example:
        >>> largest_a(currents_a=(10.0, 20.0, 15.0))
        20.0
    """
    return max(currents_a)


def full_load(phases: int) -> Callable[..., float]:
    """Return the formula of the rated current by the number of phases."""
    return three_phase_a if phases == 3 else single_phase_a


@formula("√3 · V · I / 1000", "kVA")
def three_phase_kva(current_a: float, voltage_v: float) -> float:
    """Return the power of three line currents. [kVA]

    current_a : of one line [A]
    voltage_v : between lines [V]
    Source: definition

    Example:
        >>> round(three_phase_kva(current_a=100.0, voltage_v=240.0), 2)
        41.57
    """
    return 3**0.5 * voltage_v * current_a / 1000


@formula("V · I / 1000", "kVA")
def single_phase_kva(current_a: float, voltage_v: float) -> float:
    """Return the power of a single-phase current. [kVA]

    current_a : [A]
    voltage_v : between the two conductors [V]
    Source: definition

    Example:
        >>> round(single_phase_kva(current_a=16.0, voltage_v=228.8), 4)
        3.6608
    """
    return voltage_v * current_a / 1000


def full_load_kva(phases: int) -> Callable[..., float]:
    """Return the formula of the power of a current by the number of phases."""
    return three_phase_kva if phases == 3 else single_phase_kva


@formula("S_unit / share", "kVA")
def through_kva(unit_kva: float, share: float) -> float:
    """Return what an arrangement carries when its units are at their rating, evenly loaded. [kVA]

    unit_kva : rating of one unit [kVA]
    share    : that over what passes through all together [-]
    Source: definition of the share

    Example:
        >>> through_kva(unit_kva=0.5, share=0.1)
        5.0
    """
    return unit_kva / share


def rated_currents(proposal: Proposal, unit_kva: float, work: Ledger = CLOSED) -> tuple[float, float]:
    """Return the rated currents of the whole on the supply side and on the load side. [A]"""
    kva = unit_kva
    if proposal.share != 1.0:
        kva = work.calc("currents.through_kva", through_kva, unit_kva=unit_kva, share=proposal.share)
    rated = full_load(proposal.phases)
    after = proposal.load_current or rated
    primary_v, secondary_v = proposal.primary.line_v, proposal.secondary.line_v
    return (
        work.calc("currents.primary_rated_a", rated, kva=kva, voltage_v=primary_v),
        work.calc("currents.secondary_rated_a", after, kva=kva, voltage_v=secondary_v),
    )


def currents_of(sized: Sized, line_load_a: tuple[float, ...], work: Ledger) -> Currents:
    """Return rated currents and the currents of the load with growth; `line_load_a` comes from the solved circuit."""
    proposal, picture = sized.proposal, sized.picture
    primary_rated_a, secondary_rated_a = rated_currents(proposal, sized.unit.kva, work)
    through_a = picture.line_a if proposal.shunt else line_load_a
    return Currents(
        primary_rated_a=primary_rated_a,
        secondary_rated_a=secondary_rated_a,
        primary_load_a=work.calc("currents.primary_load_a", largest_a, currents_a=through_a),
        secondary_load_a=work.calc("currents.secondary_load_a", largest_a, currents_a=picture.line_a),
        neutral_load_a=picture.neutral_a,
        line_load_a=line_load_a,
    )
