"""Which voltage system the loads can share: what each system offers, what each load takes."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from math import sqrt

from turnwright.arrangements.proposal import NominalSystem
from turnwright.model.case import Case, CaseLoad
from turnwright.quantities import VoltageSystem, parse_system
from turnwright.reference import load as table

WHOLE_VOLTS = 0.01  # a neutral voltage may be called by the whole number next to it
SAME_VOLTAGE = 0.02  # nominal voltages closer than this are one nominal voltage (120·√3 = 207.8 and 208)


@lru_cache(maxsize=512)
def winding(text: str) -> VoltageSystem:
    """Return a winding, or a system, of the notation: `480 delta`, `240 1ph`, `208Y/120`."""
    system = parse_system(text, where="winding")
    assert isinstance(system, VoltageSystem)
    return system


def delta_of(case: Case, line_v: float) -> VoltageSystem:
    """Return the delta output of a line voltage: with its corner grounded where that is insisted on, or on a plate."""
    chosen = case.choices.secondary
    asked = (chosen,) if chosen is not None else tuple(load.system for load in case.loads)
    corner = " corner" if any(system.grounding == "corner" for system in asked) else ""
    return winding(f"{line_v:g} delta{corner}")


def wye_of(line_v: float) -> VoltageSystem:
    """Return the wye of a line voltage, its neutral volts in whole volts where these are near enough.

    Example:
        >>> wye_of(480.0).text, wye_of(10.0).text
        ('480Y/277', '10Y/5.774')
    """
    neutral_v = line_v / sqrt(3)
    whole = round(neutral_v)
    near = abs(whole - neutral_v) <= WHOLE_VOLTS * neutral_v
    return winding(f"{line_v:g}Y/{whole if near else format(neutral_v, '.4g')}")


def same_volts(a_v: float, b_v: float, within: float = SAME_VOLTAGE) -> bool:
    """Return whether two nominal voltages are the same one, or differ by no more than `within` of the larger.

    Example:
        >>> same_volts(208, 120 * 3**0.5), same_volts(220, 240)
        (True, False)
    """
    return abs(a_v - b_v) <= within * max(a_v, b_v)


def offers(system: VoltageSystem, load: CaseLoad) -> bool:
    """Return whether a voltage system has what the nameplate of a load asks for.

    Example:
        >>> from turnwright.quantities import parse_system
        >>> wye = parse_system("208Y/120", where="example")
        >>> takes(wye, parse_system("120 1ph", where="example"), neutral=None)
        True
    """
    if load.grounded_wye and system.connection != "wye":
        return False
    return takes(system, load.system, load.neutral) and _has_lines(system, load.lines)


def accepts(system: VoltageSystem, load: CaseLoad) -> bool:
    """Return whether a load can run on a system that somebody insists on: phases, neutral, volts within its range."""
    within = table("equipment_limits").newest().row(key="motor_voltage_pct").number("value") / 100
    if load.grounded_wye and system.connection != "wye":
        return False
    return takes(system, load.system, load.neutral, within) and _has_lines(system, load.lines)


def _has_lines(system: VoltageSystem, lines: str | None) -> bool:
    """A load fixed to the third line needs a system that has one."""
    return lines is None or "C" not in lines or system.phases == 3


def takes(
    system: VoltageSystem, wanted: VoltageSystem, neutral: bool | None, within: float = SAME_VOLTAGE
) -> bool:
    """Return whether `system` offers the voltages, phases and neutral of `wanted`; direct current none does."""
    if wanted.direct:
        return False
    if wanted.phases == 3:
        return (
            system.phases == 3
            and same_volts(system.line_v, wanted.line_v, within)
            and _neutral_fits(system, wanted, neutral, within)
        )
    if wanted.wires == 3:
        return _has_mid_wire(system, wanted.line_v, within)
    return _two_wire_fits(system, wanted.line_v, neutral, within)


def _neutral_fits(system: VoltageSystem, wanted: VoltageSystem, neutral: bool | None, within: float) -> bool:
    if not (wanted.has_neutral or neutral):
        return True
    if system.neutral_v is None:
        return False
    if wanted.neutral_v is None:
        return not system.high_leg
    return same_volts(system.neutral_v, wanted.neutral_v, within) and system.high_leg == wanted.high_leg


def _has_mid_wire(system: VoltageSystem, line_v: float, within: float) -> bool:
    return (
        system.neutral_v is not None
        and same_volts(system.line_v, line_v, within)
        and same_volts(system.neutral_v, line_v / 2, within)
    )


def _two_wire_fits(system: VoltageSystem, volts: float, neutral: bool | None, within: float) -> bool:
    between_lines = same_volts(system.line_v, volts, within)
    to_neutral = system.neutral_v is not None and same_volts(system.neutral_v, volts, within)
    return to_neutral if neutral and system.phases == 3 else between_lines or to_neutral


def shared_outputs(case: Case, nominal: tuple[NominalSystem, ...]) -> tuple[NominalSystem, ...]:
    """Return the voltage systems that serve every load, the most fitting first.

    The system a nameplate names comes before a usual one, a system with neutral before one without where the trade
    has it (480Y/277 for 480 V motors), and no system offers more voltages than are needed without being preferred.
    A secondary that is insisted on is the only one, and none where a load cannot run on it.
    """
    chosen = case.choices.secondary
    if chosen is not None:
        if not all(accepts(chosen, load) for load in case.loads):
            return ()
        return (NominalSystem(chosen, winding_of(chosen), False),)
    seen: dict[str, NominalSystem] = {}
    for candidate in candidates(case.loads, nominal):
        if candidate.system.text not in seen and all(offers(candidate.system, load) for load in case.loads):
            seen[candidate.system.text] = candidate
    return tuple(sorted(seen.values(), key=lambda each: _only_for_its_neutral(each, case.loads)))


def _only_for_its_neutral(candidate: NominalSystem, loads: tuple[CaseLoad, ...]) -> bool:
    """Return whether an unusual wye, named by no plate, would serve a load to neutral that asks for none.

    240 V equipment hangs between two lines of 240 V, not on the neutral of 415Y/240.
    """
    system = candidate.system
    if candidate.preferred or system.connection != "wye" or any(load.system.has_neutral for load in loads):
        return False
    return any(
        load.system.phases == 1 and not load.neutral and not same_volts(system.line_v, load.system.line_v)
        for load in loads
    )


def candidates(loads: tuple[CaseLoad, ...], nominal: tuple[NominalSystem, ...]) -> Iterator[NominalSystem]:
    """Yield the systems to look at for these loads, the most fitting first."""
    stated = [load.system for load in loads if load.system.has_neutral]
    yield from (NominalSystem(system, winding_of(system), False) for system in stated)
    yield from ordered(nominal)
    plain = [load.system for load in loads if not load.system.has_neutral]
    yield from (NominalSystem(system, winding_of(system), False) for system in plain)
    for load in loads:
        if load.system.phases == 3 and (load.grounded_wye or load.neutral) and not load.system.has_neutral:
            yield NominalSystem(wye_of(float(load.system.line_v)), "wye", False)


@lru_cache(maxsize=16)
def ordered(nominal: tuple[NominalSystem, ...]) -> tuple[NominalSystem, ...]:
    """Return nominal systems, preferred ones first, those with more wires before others."""
    return tuple(sorted(nominal, key=_order))


def _order(candidate: NominalSystem) -> tuple[bool, bool, int]:
    system = candidate.system
    return (not candidate.preferred, system.high_leg, -(system.wires or 0))


def winding_of(system: VoltageSystem) -> str:
    """Return "wye", "delta" or "single" by what the notation says; three lines alone are taken as a delta."""
    if system.phases != 3:
        return "single"
    return "wye" if system.connection == "wye" else "delta"
