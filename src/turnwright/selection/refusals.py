"""No dead ends: what can be done where no transformer can do what was asked."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import sqrt
from typing import TYPE_CHECKING

from msgspec.structs import replace

from turnwright.arrangements import Impossible
from turnwright.arrangements.wishes import start_of
from turnwright.intake.case_site import HAZARDOUS
from turnwright.model.case import Case, CaseLoad, CaseSite
from turnwright.model.result import Alternative, Finding
from turnwright.quantities import figure
from turnwright.selection.currents import single_phase_a
from turnwright.selection.grouping import with_loads
from turnwright.selection.options import Reasons
from turnwright.selection.other_frequency import instead_of_frequency
from turnwright.working import Ledger

if TYPE_CHECKING:
    from turnwright.selection.choose import Decision

Attempt = Callable[[Case, Ledger], "Decision"]
"""Decides a case without looking for what could be done instead."""
FREE_PLACES = ("indoor", "outdoor")
IN_PARALLEL = {
    2: "as two equal units in parallel",
    3: "as three equal units in parallel",
    4: "as four equal units in parallel",
}
NO_WISHES = "without any of the wishes"
LAST = (*IN_PARALLEL.values(), NO_WISHES)
"""Ways that are looked for only where none before them serves."""


def refused(case: Case, reasons: Reasons) -> Iterator[Finding]:
    """Yield why nothing serves: of an arrangement insisted on its own reason, else that of separate windings."""
    chosen = case.choices.arrangement
    if (
        chosen is None
        and case.choices.units is not None
        and all(r.code == "number-of-units" for _, r in reasons)
    ):
        yield _stop("number-of-units", reasons[0][1].message)
        return
    named = [reason for name, reason in reasons if name == chosen] if chosen else []
    for reason in named or [reason for _, reason in reasons if reason.shown][:1] or [reasons[0][1]]:
        insisted = f"{start_of(chosen)} is insisted on. " if chosen else ""
        yield Finding(
            code=reason.code,
            severity="stop",
            message=f"{insisted}{reason.message}",
            clause=reason.clause,
            known=reason.known,
        )


def _stop(code: str, message: str) -> Finding:
    return Finding(code=code, severity="stop", message=message, known="computed")


def instead_of(
    case: Case,
    stopped: tuple[Impossible, ...],
    attempt: Attempt,
    work: Ledger,
    continuous_factor: float,
    first: int = 0,
) -> tuple[Alternative, ...]:
    """Return what would work instead, complete where a transformer does.

    first             : place of the first in `instead`, by which its working is named
    continuous_factor : share of load that runs for hours which a device must carry, by the regime [-]
    """
    found: list[Alternative] = []
    for one in stopped:
        if one.finding.code == "three-phase-from-single-phase":
            found += _instead_of_three_phase(case, one.load, continuous_factor)
        if one.finding.code == "direct-current":
            found.append(_rectifier(one.load))
    turning = tuple(one.load for one in stopped if one.finding.code == "frequency-stays")
    if turning:
        found += instead_of_frequency(case, turning, attempt, work, first + len(found))
    if stopped:
        inner = work.within(f"instead[{first + len(found)}]")
        found += _without_loads(case, tuple(one.load for one in stopped), attempt, inner)
    else:
        found += _without_insisting(case, attempt, work, first)
    return tuple(found)


def answered(what: str, why: str, decision: Decision) -> Alternative:
    """Return an alternative with the unit, and the second one where it takes two."""
    return Alternative(
        what=what, why=why, blocks=decision.blocks, also=decision.also, findings=decision.findings
    )


def _without_loads(
    case: Case, stopped: tuple[CaseLoad, ...], attempt: Attempt, work: Ledger
) -> list[Alternative]:
    """The other loads, which a transformer can serve."""
    rest = tuple(load for load in case.loads if load.index not in {one.index for one in stopped})
    if not rest:
        return []
    draft = work.draft()
    decision = attempt(with_loads(case, rest), draft)
    if decision.blocks is None:
        return []
    work.adopt(draft)
    pick, left = decision.blocks.pick, ", ".join(load.label for load in stopped)
    what = f"A {pick.kva:g} kVA unit, {pick.primary} to {pick.secondary}, without {left}."
    return [answered(what, "The other loads can be served; what is left out needs another way.", decision)]


def _instead_of_three_phase(case: Case, load: CaseLoad, continuous_factor: float) -> list[Alternative]:
    supply = case.supply
    found = []
    kva = _load_kva(load)
    if load.kind in ("heating", "furnace", "lighting") and kva is not None:
        current_a = single_phase_a(kva, supply.line_v)
        device_a = current_a * continuous_factor if load.continuous else current_a
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


def _rectifier(load: CaseLoad) -> Alternative:
    return Alternative(
        what=f"A rectifier or power supply for {load.label}, with an alternating-current input.",
        why="It makes the direct current; write the volts, phases and kVA of its input here, and what it distorts.",
    )


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


def _without_insisting(case: Case, attempt: Attempt, work: Ledger, first: int) -> list[Alternative]:
    """The same job with one wish less, then with a place on floor or wall, then with no wish at all."""
    found: list[Alternative] = []
    tries = list(_one_wish_less(case))
    if len(tries) > 1:
        tries.append((NO_WISHES, _free(case)))
    tries += _in_parallel(_free(case))
    for words, other in tries:
        if found and words in LAST:
            break
        inner = work.within(f"instead[{first + len(found)}]")
        draft = inner.draft()
        decision = attempt(other, draft)
        if decision.blocks is None:
            continue
        inner.adopt(draft)
        pick, demand = decision.blocks.pick, decision.blocks.demand
        what = f"{pick.kva:g} kVA, {pick.primary} to {pick.secondary}, {words}."
        kva = figure(demand.kva_with_growth, rounding="up")
        why = f"It carries {kva} kVA at {figure(demand.loading_pct, digits=2, rounding='up')} %."
        found.append(answered(what, why, decision))
    return found


def _in_parallel(case: Case) -> Iterator[tuple[str, Case]]:
    for units, words in IN_PARALLEL.items():
        yield words, replace(case, choices=replace(case.choices, units=units))


def _one_wish_less(case: Case) -> Iterator[tuple[str, Case]]:
    choices = case.choices
    wishes = {
        "kva": "without the size insisted on",
        "arrangement": "without the arrangement insisted on",
        "units": "without the number of units insisted on",
        "secondary": "without the secondary insisted on",
    }
    for name, words in wishes.items():
        if getattr(choices, name) is not None:
            yield words, replace(case, choices=replace(choices, **{name: None}))
    if case.site.place not in FREE_PLACES:
        moved = replace(case, site=replace(case.site, place="indoor"))
        yield f"on the floor or a wall instead of: {case.site.place}", moved
    if case.site.classified is not None:
        yield (
            f"outside the classified place ({case.site.classified})",
            replace(case, site=_outside(case.site)),
        )


def _outside(site: CaseSite) -> CaseSite:
    """The same site away from what burns; sealed raceways lead into the classified place."""
    kept = tuple(condition for condition in site.conditions if condition != HAZARDOUS)
    return replace(site, conditions=kept, classified=None)


def _free(case: Case) -> Case:
    free = replace(case.choices, kva=None, arrangement=None, units=None, secondary=None)
    site = case.site if case.site.classified is None else _outside(case.site)
    if site.place not in FREE_PLACES:
        site = replace(site, place="indoor")
    return replace(case, choices=free, site=site)
