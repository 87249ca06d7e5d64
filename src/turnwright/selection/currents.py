"""Rated currents and load currents on both sides."""

from __future__ import annotations

from collections.abc import Callable

from turnwright.model.result import Currents
from turnwright.selection.screen import Sized
from turnwright.working import Ledger, formula


@formula("S · 1000 / (√3 · V)", "A")
def three_phase_a(kva: float, voltage_v: float) -> float:
    """Return the line current of a three-phase power. [A]

    kva       : apparent power [kVA]
    voltage_v : between lines [V]

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

    Example:
        >>> single_phase_a(kva=15.0, voltage_v=240.0)
        62.5
    """
    return kva * 1000 / voltage_v


@formula("largest line current", "A")
def largest_a(currents_a: tuple[float, ...]) -> float:
    """Return the current of the line that carries the most. [A]

    Example:
        >>> largest_a(currents_a=(10.0, 20.0, 15.0))
        20.0
    """
    return max(currents_a)


def full_load(phases: int) -> Callable[..., float]:
    """Return the formula of the rated current by the number of phases."""
    return three_phase_a if phases == 3 else single_phase_a


def currents_of(sized: Sized, line_load_a: tuple[float, ...], work: Ledger) -> Currents:
    """Return rated currents and the currents of the load with growth; `line_load_a` comes from the solved circuit."""
    proposal, unit, picture = sized.proposal, sized.unit, sized.picture
    rated = full_load(proposal.phases)
    primary_v, secondary_v = proposal.primary.line_v, proposal.secondary.line_v
    return Currents(
        primary_rated_a=work.calc("currents.primary_rated_a", rated, kva=unit.kva, voltage_v=primary_v),
        secondary_rated_a=work.calc("currents.secondary_rated_a", rated, kva=unit.kva, voltage_v=secondary_v),
        primary_load_a=work.calc("currents.primary_load_a", largest_a, currents_a=line_load_a),
        secondary_load_a=work.calc("currents.secondary_load_a", largest_a, currents_a=picture.line_a),
        neutral_load_a=picture.neutral_a,
        line_load_a=line_load_a,
    )
