"""Equipment for another frequency than the supply has: a converter, the same volts per hertz, what takes both."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from msgspec.structs import replace

from turnwright.arrangements import same_volts, winding
from turnwright.arrangements.wishes import start_of
from turnwright.model.case import Case, CaseLoad
from turnwright.model.result import Alternative
from turnwright.selection.grouping import with_loads
from turnwright.working import Ledger, formula

if TYPE_CHECKING:
    from turnwright.selection.choose import Decision

Attempt = Callable[[Case, Ledger], "Decision"]
MACHINES = ("motor", "lift")
LOW_VOLTAGE_V = 1000.0


@formula("V · f_supply / f_rated", "V")
def same_flux_v(rated_v: float, rated_hz: float, supply_hz: float) -> float:
    """Return the volts at which a machine has its rated flux at another frequency. [V]

    rated_v   : of the nameplate [V]
    rated_hz  : of the nameplate [Hz]
    supply_hz : of the supply [Hz]
    Source: flux goes with volts over hertz

    Example:
        >>> same_flux_v(rated_v=400.0, rated_hz=50.0, supply_hz=60.0)
        480.0
    """
    return rated_v * supply_hz / rated_hz


def instead_of_frequency(
    case: Case, stopped: tuple[CaseLoad, ...], attempt: Attempt, work: Ledger, first: int
) -> list[Alternative]:
    """Return what can be done for loads that want another frequency.

    first : place of the first in `instead`, by which its working is named
    """
    supply_hz = case.supply.frequency_hz
    found = [_converter(load, supply_hz) for load in stopped]
    machines = tuple(load for load in stopped if load.kind in MACHINES)
    if machines:
        found += _same_flux(case, machines, attempt, work.within(f"instead[{first + len(found)}]"))
    inner = work.within(f"instead[{first + len(found)}]")
    found += _takes_both(case, attempt, inner)
    return found


def _wanted(load: CaseLoad) -> str:
    return "/".join(f"{hz:g}" for hz in load.frequencies_hz)


def _converter(load: CaseLoad, supply_hz: float) -> Alternative:
    return Alternative(
        what=f"A frequency converter from {supply_hz:g} Hz to {_wanted(load)} Hz for {load.label}.",
        why="It rectifies and makes the other frequency anew; a transformer cannot.",
    )


def _same_flux(
    case: Case, machines: tuple[CaseLoad, ...], attempt: Attempt, work: Ledger
) -> list[Alternative]:
    """Motors at their rated volts per hertz on the frequency there is, with the maker's consent."""
    supply_hz = case.supply.frequency_hz
    lifting = next((load for load in machines if load.kind == "lift"), None)
    if lifting is not None:
        return [
            Alternative(
                what=f"{start_of(lifting.label)} at another speed: not until the maker consents in writing.",
                why="A hoist or lift then runs at another speed; its brake and its limits are set for the old one.",
            )
        ]
    turned = tuple(_turned(load, supply_hz) for load in machines)
    ratio = supply_hz / machines[0].frequencies_hz[0]
    per_hz = machines[0].nameplate_v / machines[0].frequencies_hz[0]
    why = (
        f"The flux stays as rated ({per_hz:.3g} V/Hz), torque too; speed and power change by "
        f"{(ratio - 1) * 100:+.0f} %, what a fan or pump draws by {(ratio**3 - 1) * 100:+.0f} %. Only with the maker's "
        "written consent."
    )
    volts = float(turned[0].nameplate_v)
    if volts > LOW_VOLTAGE_V:
        return []
    if all(same_volts(load.system.line_v, case.supply.line_v) for load in turned):
        what = f"Run it straight on the {case.supply.line_v:g} V, {supply_hz:g} Hz supply, without a transformer."
        return [Alternative(what=what, why=why)]
    draft = work.draft()
    decision = attempt(with_loads(case, turned), draft)
    if decision.blocks is None:
        return []
    work.adopt(draft)
    pick = decision.blocks.pick
    unit = f"A {pick.kva:g} kVA {supply_hz:g} Hz unit, {pick.primary} to {pick.secondary}"
    what = f"{unit}: {volts:.4g} V at {supply_hz:g} Hz."
    return [
        Alternative(
            what=what, why=why, blocks=decision.blocks, also=decision.also, findings=decision.findings
        )
    ]


def _turned(load: CaseLoad, supply_hz: float) -> CaseLoad:
    """The same machine on the frequency of the supply: volts and power in proportion, current as rated."""
    rated_hz = load.frequencies_hz[0]
    volts = same_flux_v(float(load.nameplate_v), rated_hz, supply_hz)
    grows = load.size_kind in ("kva", "kw", "hp")
    return replace(
        load,
        system=winding(f"{volts:.4g} {load.system.phases or 3}ph"),
        nameplate_v=volts,
        size=load.size * supply_hz / rated_hz if grows else load.size,
        frequencies_hz=(supply_hz,),
    )


def _takes_both(case: Case, attempt: Attempt, work: Ledger) -> list[Alternative]:
    """A unit for the pieces whose plates say the frequency of the supply."""
    supply_hz = case.supply.frequency_hz
    loads = tuple(
        replace(one, frequencies_hz=(supply_hz,)) if supply_hz not in one.frequencies_hz else one
        for one in case.loads
    )
    draft = work.draft()
    decision = attempt(replace(case, loads=loads), draft)
    if decision.blocks is None:
        return []
    work.adopt(draft)
    pick = decision.blocks.pick
    return [
        Alternative(
            what=(
                f"A {pick.kva:g} kVA {supply_hz:g} Hz unit, {pick.primary} to {pick.secondary}, for the pieces whose "
                f"plates say {supply_hz:g} Hz or 50/60 Hz."
            ),
            why="It changes the voltage only; what needs the other frequency stays off it.",
            blocks=decision.blocks,
            also=decision.also,
            findings=decision.findings,
        )
    ]
