"""Which voltage system the loads can share: what each system offers, what each load takes."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.arrangements.proposal import NominalSystem
from turnwright.model.case import Case, CaseLoad
from turnwright.quantities import VoltageSystem

SAME_VOLTAGE = 0.02  # nominal voltages closer than this are one nominal voltage (120·√3 = 207.8 and 208)


def same_volts(a_v: float, b_v: float) -> bool:
    """Return whether two nominal voltages are the same one.

    Example:
        >>> same_volts(208, 120 * 3**0.5), same_volts(220, 240)
        (True, False)
    """
    return abs(a_v - b_v) <= SAME_VOLTAGE * max(a_v, b_v)


def offers(system: VoltageSystem, load: CaseLoad) -> bool:
    """Return whether a voltage system has what the nameplate of a load asks for.

    Example:
        >>> from turnwright.quantities import parse_system
        >>> wye = parse_system("208Y/120", where="example")
        >>> takes(wye, parse_system("120 1ph", where="example"), neutral=None)
        True
    """
    return takes(system, load.system, load.neutral) and _has_lines(system, load.lines)


def _has_lines(system: VoltageSystem, lines: str | None) -> bool:
    """A load fixed to the third line needs a system that has one."""
    return lines is None or "C" not in lines or system.phases == 3


def takes(system: VoltageSystem, wanted: VoltageSystem, neutral: bool | None) -> bool:
    """Return whether `system` offers the voltages, phases and neutral of `wanted`."""
    if wanted.phases == 3:
        return (
            system.phases == 3
            and same_volts(system.line_v, wanted.line_v)
            and _neutral_fits(system, wanted, neutral)
        )
    if wanted.wires == 3:
        return _has_mid_wire(system, wanted.line_v)
    return _two_wire_fits(system, wanted.line_v, neutral)


def _neutral_fits(system: VoltageSystem, wanted: VoltageSystem, neutral: bool | None) -> bool:
    if not (wanted.has_neutral or neutral):
        return True
    if system.neutral_v is None:
        return False
    if wanted.neutral_v is None:
        return not system.high_leg
    return same_volts(system.neutral_v, wanted.neutral_v) and system.high_leg == wanted.high_leg


def _has_mid_wire(system: VoltageSystem, line_v: float) -> bool:
    return (
        system.neutral_v is not None
        and same_volts(system.line_v, line_v)
        and same_volts(system.neutral_v, line_v / 2)
    )


def _two_wire_fits(system: VoltageSystem, volts: float, neutral: bool | None) -> bool:
    between_lines = same_volts(system.line_v, volts)
    to_neutral = system.neutral_v is not None and same_volts(system.neutral_v, volts)
    return to_neutral if neutral and system.phases == 3 else between_lines or to_neutral


def shared_outputs(case: Case, nominal: tuple[NominalSystem, ...]) -> tuple[NominalSystem, ...]:
    """Return the voltage systems that serve every load, the most fitting first.

    The system a nameplate names comes before a usual one, a system with neutral before one without where the trade
    has it (480Y/277 for 480 V motors), and no system offers more voltages than are needed without being preferred.
    """
    if case.choices.secondary is not None:
        return (NominalSystem(case.choices.secondary, _winding(case.choices.secondary), False),)
    seen: dict[str, NominalSystem] = {}
    for candidate in _candidates(case, nominal):
        if candidate.system.text not in seen and all(offers(candidate.system, load) for load in case.loads):
            seen[candidate.system.text] = candidate
    return tuple(seen.values())


def _candidates(case: Case, nominal: tuple[NominalSystem, ...]) -> Iterator[NominalSystem]:
    stated = [load.system for load in case.loads if load.system.has_neutral]
    yield from (NominalSystem(system, _winding(system), False) for system in stated)
    yield from sorted(nominal, key=_order)
    plain = [load.system for load in case.loads if not load.system.has_neutral]
    yield from (NominalSystem(system, _winding(system), False) for system in plain)


def _order(candidate: NominalSystem) -> tuple[bool, bool, int]:
    system = candidate.system
    return (not candidate.preferred, system.high_leg, -(system.wires or 0))


def _winding(system: VoltageSystem) -> str:
    if system.phases != 3:
        return "single"
    return "wye" if system.connection == "wye" else "delta"
