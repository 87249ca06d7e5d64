"""No dead ends: what can be done where no transformer can do what was asked."""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt
from typing import TYPE_CHECKING

from msgspec.structs import replace

from turnwright.arrangements import Impossible
from turnwright.model.case import Case, CaseLoad
from turnwright.model.result import Alternative
from turnwright.regimes import Regime
from turnwright.working import CLOSED, Ledger, formula

if TYPE_CHECKING:
    from turnwright.selection.choose import Decision

Decide = Callable[[Case, Regime, Ledger], "Decision"]


@formula("S · 1000 / V", "A")
def single_phase_current_a(kva: float, voltage_v: float) -> float:
    """Return the current of a load rewired to one phase. [A]

    kva       : apparent power [kVA]
    voltage_v : between the two lines [V]

    Example:
        >>> single_phase_current_a(kva=24.0, voltage_v=240.0)
        100.0
    """
    return kva * 1000 / voltage_v


def instead_of(
    case: Case, regime: Regime, stopped: tuple[Impossible, ...], decide: Decide
) -> tuple[Alternative, ...]:
    """Return what would work instead, complete where a transformer does."""
    found: list[Alternative] = []
    for one in stopped:
        if one.finding.code == "three-phase-from-single-phase":
            found += _instead_of_three_phase(case, one.load)
        else:
            found += _instead_of_frequency(case, one.load, regime, decide)
    if not stopped:
        found += _without_insisting(case, regime, decide)
    return tuple(found)


def _instead_of_three_phase(case: Case, load: CaseLoad) -> list[Alternative]:
    supply = case.supply
    found = []
    kva = _load_kva(load)
    if load.kind in ("heating", "furnace", "lighting") and kva is not None:
        current_a = single_phase_current_a(kva, supply.line_v)
        device_a = current_a * 1.25 if load.continuous else current_a
        found.append(
            Alternative(
                what=f"Have the {load.name or 'load'} rewired or ordered for single-phase {supply.line_v:g} V.",
                why=(
                    f"Heating elements can be connected to one phase: {current_a:.0f} A"
                    f"{' continuous' if load.continuous else ''} at {supply.line_v:g} V, a circuit of at least "
                    f"{device_a:.0f} A{_share_of_panel(case, current_a)}. The maker must say how."
                ),
            )
        )
    found.append(
        Alternative(
            what="A phase converter, rotating or electronic.",
            why="A machine or electronics makes the missing phases; for plain heat it is poor value, for motors usual.",
        )
    )
    if load.kind in ("motor", "drive"):
        found.append(
            Alternative(
                what="A drive with single-phase input, or a single-phase motor.",
                why="A drive makes three phases from its rectified input; size it for the larger input current.",
            )
        )
    found.append(
        Alternative(
            what="A three-phase service from the utility.",
            why="Where more such equipment is to come; ask what the utility has in the street.",
        )
    )
    return found


def _share_of_panel(case: Case, current_a: float) -> str:
    rating = case.supply.panel_rating_a
    return "" if rating is None else f"; that is {current_a / rating * 100:.0f} % of the {rating:g} A service"


def _load_kva(load: CaseLoad) -> float | None:
    if load.size_kind == "kw":
        return load.size * load.quantity / (load.power_factor or 1.0) / load.efficiency
    if load.size_kind == "kva":
        return load.size * load.quantity
    if load.size_kind == "current":
        return sqrt(3) * load.nameplate_v * load.size * load.quantity / 1000
    return None


def _instead_of_frequency(case: Case, load: CaseLoad, regime: Regime, decide: Decide) -> list[Alternative]:
    supply_hz = case.supply.frequency_hz
    wanted = "/".join(f"{hz:g}" for hz in load.frequencies_hz)
    found = [
        Alternative(
            what=f"A frequency converter from {supply_hz:g} Hz to {wanted} Hz for the {load.name or 'load'}.",
            why="It rectifies and makes the other frequency anew; a transformer cannot.",
        )
    ]
    loads = tuple(
        replace(one, frequencies_hz=(supply_hz,)) if supply_hz not in one.frequencies_hz else one
        for one in case.loads
    )
    decision = decide(replace(case, loads=loads), regime, CLOSED)
    if decision.blocks is not None:
        pick = decision.blocks.pick
        found.append(
            Alternative(
                what=(
                    f"A {pick.kva:g} kVA {supply_hz:g} Hz unit, {pick.primary} to {pick.secondary}, for the pieces "
                    f"whose plates say {supply_hz:g} Hz or 50/60 Hz."
                ),
                why="It changes the voltage only; what needs the other frequency stays off it.",
                blocks=decision.blocks,
            )
        )
    return found


def _without_insisting(case: Case, regime: Regime, decide: Decide) -> list[Alternative]:
    """The same job without the size insisted on, then with a place on floor or wall."""
    found: list[Alternative] = []
    tries = []
    if case.choices.kva is not None:
        tries.append(("without the size insisted on", replace(case, choices=replace(case.choices, kva=None))))
    if case.site.place not in ("indoor", "outdoor"):
        moved = replace(case, site=replace(case.site, place="indoor"))
        tries.append((f"on the floor or a wall instead of: {case.site.place}", moved))
    for words, other in tries:
        decision = decide(other, regime, CLOSED)
        if decision.blocks is not None:
            pick = decision.blocks.pick
            found.append(
                Alternative(
                    what=f"{pick.kva:g} kVA, {pick.primary} to {pick.secondary}, {words}.",
                    why=f"It carries {decision.blocks.demand.kva_with_growth:.1f} kVA at "
                    f"{decision.blocks.demand.loading_pct:.0f} %.",
                    blocks=decision.blocks,
                )
            )
    return found
