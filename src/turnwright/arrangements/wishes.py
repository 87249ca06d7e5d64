"""What the loads ask beyond volts: a neutral, a winding of their own; and the range of volts they accept."""

from __future__ import annotations

from math import sqrt

from msgspec import Struct

from turnwright.arrangements.outputs import accepts, same_volts
from turnwright.arrangements.proposal import NotServed
from turnwright.model.case import Case, CaseLoad
from turnwright.quantities import VoltageSystem
from turnwright.reference import load as table


class Accepted(Struct, frozen=True):
    """Least and largest volts that every load accepts, by the range about its nameplate, and the nameplate volts."""

    low_v: float
    high_v: float
    plate_v: float
    within_pct: float

    def to_neutral(self) -> Accepted:
        """Return the same of a wye, from line to neutral."""
        return Accepted(self.low_v / sqrt(3), self.high_v / sqrt(3), self.plate_v / sqrt(3), self.within_pct)


def start_of(text: str) -> str:
    """Return a text as it begins a sentence.

    Example:
        >>> start_of("load 1, US line")
        'Load 1, US line'
    """
    return text[:1].upper() + text[1:]


def asks_neutral(load: CaseLoad) -> bool:
    """Return whether a load needs a neutral of its supply."""
    return bool(load.neutral or load.system.has_neutral)


def asks_isolation(case: Case) -> str | None:
    """Return why the loads need a winding of their own, or None."""
    wye = next((load for load in case.loads if load.grounded_wye), None)
    if wye is not None:
        return f"{wye.label} asks for a solidly grounded wye of its own"
    if case.choices.shield:
        return "an electrostatic shield is asked for, and it stands between two separate windings"
    return _usually_isolated(case) if case.choices.arrangement is None else None


def _usually_isolated(case: Case) -> str | None:
    """Why the trade gives loads windings of their own, unless somebody insists on something else."""
    back = next((load for load in case.loads if load.feeds_back), None)
    if back is not None:
        return f"power flows back from {back.label}, which gets windings and a ground reference of its own"
    imaging = next((load for load in case.loads if load.kind == "imaging"), None)
    if imaging is not None and case.choices.shield is None:
        return f"{imaging.label} is imaging equipment, which gets a shielded unit of its own"
    return None


def in_line_wish(case: Case, name: str, common_neutral: bool = False) -> VoltageSystem | NotServed:
    """Return the one system that all loads ask for, where a winding in series with the line can serve it.

    A secondary that is insisted on takes its place where the loads can run on it.

    name            the arrangement, for the message
    common_neutral  the neutral of a four-wire supply may pass through to the loads
    """
    reason = asks_isolation(case)
    if reason is not None:
        message = f"{name} has no separate winding: {reason}."
        return NotServed(code="needs-isolation", message=message, known="common practice")
    first = case.loads[0].system
    for load in case.loads:
        if load.system.phases != first.phases or not same_volts(load.system.line_v, first.line_v):
            both = f"{case.loads[0].label} and {load.label}"
            message = f"{name} gives one voltage; {both} ask for two."
            return NotServed(code="several-voltages", message=message, known="computed")
        if asks_neutral(load) and not (common_neutral and _neutral_passes(case, load.system)):
            return _no_new_neutral(name, load.label, case.supply.system)
    return _secondary(case, name, first, common_neutral)


def _secondary(
    case: Case, name: str, wished: VoltageSystem, common_neutral: bool
) -> VoltageSystem | NotServed:
    """Return what the loads wish, or the secondary that is insisted on, where the supply has the phases for it."""
    chosen = case.choices.secondary
    output = wished if chosen is None else chosen
    if output.phases == 3 and case.supply.system.phases != 3:
        message = f"{name} gives no more phases than the supply has."
        return NotServed(code="phases", message=message, known="computed")
    if chosen is not None:
        if not all(accepts(chosen, load) for load in case.loads) or chosen.phases != wished.phases:
            message = f"{name} gives what the loads ask for and nothing more; {chosen.text} is insisted on."
            return NotServed(code="secondary-does-not-serve", message=message, known="computed")
        if chosen.neutral_v is not None and not (common_neutral and _neutral_passes(case, chosen)):
            return _no_new_neutral(name, f"the {chosen.text} secondary", case.supply.system)
    return output


def _neutral_passes(case: Case, output: VoltageSystem) -> bool:
    """A neutral can be shared where both sides are wyes and the supply brings its own."""
    return (
        output.connection == "wye"
        and case.supply.system.connection == "wye"
        and case.supply.system.neutral_v is not None
        and case.supply.grounding in (None, "solid")
    )


def _no_new_neutral(name: str, who: str, supply: VoltageSystem) -> NotServed:
    has = "has none to share" if supply.neutral_v is None else "has one at another voltage"
    return NotServed(
        code="no-new-neutral",
        message=f"{name} makes no new neutral: {who} needs one, the supply ({supply.text}) {has}.",
        known="computed",
    )


def accepted(loads: tuple[CaseLoad, ...]) -> Accepted:
    """Return the volts that every load accepts, by the range about its nameplate. [V]

    Source: NEMA MG 1 for motors; common practice for other equipment
    """
    within = float(table("equipment_limits").newest().row(key="motor_voltage_pct").number("value"))
    plates = [float(load.nameplate_v) for load in loads]
    low = max(plates) * (1 - within / 100)
    high = min(plates) * (1 + within / 100)
    return Accepted(low, high, sum(plates) / len(plates), within)
