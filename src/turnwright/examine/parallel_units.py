"""Units that are to work in parallel: what is known of each, and whether they may be joined at all."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from msgspec import Struct

from turnwright.errors import InputError
from turnwright.examine.subject import Subject
from turnwright.model.case import Case
from turnwright.model.job import Nameplate, QuantityFact
from turnwright.model.result import Finding
from turnwright.model.unit import Impedance
from turnwright.quantities import VoltageSystem, figure
from turnwright.regimes import Regime
from turnwright.regimes.said import said

ORDINARY_K = 1.0
CLOCK_DEG = 30.0
USUAL_STEP_PCT = 2.5
SAME_V = 1e-3
"""Share by which volts of two windings may differ and be the same winding."""


class Member(Struct, frozen=True, kw_only=True):
    """One unit: its secondary without load at the volts of the supply, and the ends of its impedance.

    displacement_deg  by how much its secondary lags
    stated            its impedance is known; tolerance: how far the true one may lie from it, as a share
    """

    name: str
    kva: float
    phases: int
    primary: VoltageSystem
    secondary: VoltageSystem
    no_load_v: float
    low: Impedance
    high: Impedance
    displacement_deg: float
    stated: bool
    tap_step_pct: float

    @property
    def middle(self) -> Impedance:
        """The impedance in the middle of its ends."""
        return Impedance(
            (self.low.resistance_pct + self.high.resistance_pct) / 2,
            (self.low.reactance_pct + self.high.reactance_pct) / 2,
        )


def doubled(subject: Subject) -> tuple[Member, ...]:
    """Return the pick twice: equal on paper, each anywhere within its tolerance."""
    unit, proposal = subject.sized.unit, subject.sized.proposal
    z = unit.nominal
    if z is None:
        low, high = unit.for_faults, unit.for_drop
    else:
        share = unit.impedance_tolerance_pct / 100
        low, high = _times(z, 1 - share), _times(z, 1 + share)
    return tuple(
        Member(
            name=f"unit {number}",
            kva=float(unit.kva),
            phases=proposal.phases,
            primary=proposal.primary,
            secondary=proposal.output,
            no_load_v=float(proposal.output.line_v),
            low=low,
            high=high,
            displacement_deg=displacement_deg(proposal.primary, proposal.output),
            stated=z is not None,
            tap_step_pct=tap_step_pct(unit.taps_pct),
        )
        for number in (1, 2)
    )


def tap_step_pct(taps_pct: tuple[float, ...]) -> float:
    """Return the smallest step between taps; 2.5 where there are none to tell it. [%]

    Example:
        >>> tap_step_pct((5.0, 2.5, 0.0, -5.0)), tap_step_pct(())
        (2.5, 2.5)
    """
    steps = [abs(b - a) for a, b in pairwise(sorted(taps_pct)) if abs(b - a) > 1e-9]
    return float(min(steps, default=USUAL_STEP_PCT))


def existing(case: Case, regime: Regime, plates: tuple[Nameplate, ...]) -> tuple[Member, ...]:
    """Return the units of a file.

    Raises:
        InputError: EXM-06, a unit whose kVA or windings are not known.
    """
    pieces = [
        (plate, number)
        for number, plate in enumerate(plates)
        for _ in range(int(middle_of(plate.quantity) or 1))
    ]
    names = [plate.unit or f"unit {number + 1}" for plate, number in pieces]
    return tuple(
        _member(case, regime, plate, number, _own_name(names, position))
        for position, (plate, number) in enumerate(pieces)
    )


def _own_name(names: list[str], position: int) -> str:
    """A name of its own for every unit of a kind."""
    name = names[position]
    return name if names.count(name) == 1 else f"{name} ({names[: position + 1].count(name)})"


def _member(case: Case, regime: Regime, plate: Nameplate, number: int, name: str) -> Member:
    where = f"unit[{number}]"
    kva = middle_of(plate.kva)
    if kva is None:
        raise InputError(
            "EXM-06", f"{where}.kva", "the rated kVA is not known.", "Read it off the nameplate."
        )
    primary, secondary = (
        _winding(plate.primary, where, "primary"),
        _winding(plate.secondary, where, "secondary"),
    )
    phases = secondary.phases or 3
    low, high = impedances_of(plate, regime, kva, phases)
    ratio = float(case.supply.line_v) / float(primary.line_v)
    return Member(
        name=name,
        kva=kva,
        phases=phases,
        primary=primary,
        secondary=secondary,
        no_load_v=float(secondary.line_v) * ratio,
        low=low,
        high=high,
        displacement_deg=displacement_deg(primary, secondary),
        stated=middle_of(plate.impedance) is not None,
        tap_step_pct=tap_step_pct(
            tuple(one.low for one in plate.taps if one.low is not None)
            or regime.usual_unit(phases, kva, ORDINARY_K).taps_pct
        ),
    )


def middle_of(given: QuantityFact) -> float | None:
    """Return the middle of what a nameplate says; None where it says nothing. [any]"""
    if given is None or given.low is None or given.high is None:
        return None
    return (given.low + given.high) / 2


def _winding(given: object, where: str, key: str) -> VoltageSystem:
    if isinstance(given, VoltageSystem):
        return given
    raise InputError("EXM-06", f"{where}.{key}", "the winding is not known.", "Read it off the nameplate.")


def impedances_of(plate: Nameplate, regime: Regime, kva: float, phases: int) -> tuple[Impedance, Impedance]:
    """Return the ends of the impedance, as stated or usual; its resistance as stated, by the loss, or usual."""
    usual = regime.usual_unit(phases, kva, middle_of(plate.k_rating) or ORDINARY_K)
    given = plate.impedance
    if given is None or given.low is None or given.high is None:
        return usual.for_faults, usual.for_drop
    resistance = middle_of(plate.resistance)
    loss_w = middle_of(plate.load_loss)
    if resistance is None and loss_w is not None:
        resistance = loss_w / (10 * kva)
    ratios = (float(usual.x_over_r[1]), float(usual.x_over_r[0]))
    return _split(given.low, resistance, ratios[0]), _split(given.high, resistance, ratios[1])


def _split(magnitude_pct: float, resistance_pct: float | None, x_over_r: float) -> Impedance:
    if resistance_pct is None:
        resistance_pct = magnitude_pct / (1 + x_over_r**2) ** 0.5
    resistance_pct = min(resistance_pct, magnitude_pct)
    return Impedance(resistance_pct, max(magnitude_pct**2 - resistance_pct**2, 0.0) ** 0.5)


def _times(z: Impedance, factor: float) -> Impedance:
    return Impedance(z.resistance_pct * factor, z.reactance_pct * factor)


def displacement_deg(primary: VoltageSystem, secondary: VoltageSystem) -> float:
    """Return by how much a secondary lags: 30 degrees between delta and wye, the higher voltage ahead. [deg]

    Source: ANSI C57.12 practice

    Example:
        >>> from turnwright.quantities import parse_system
        >>> system = lambda text: parse_system(text, where="example")
        >>> displacement_deg(system("480 delta"), system("208Y/120")), displacement_deg(
        ...     system("480 delta"), system("240 delta")
        ... )
        (30.0, 0.0)
    """
    if primary.phases != 3 or secondary.phases != 3:
        return 0.0
    if (primary.connection == "wye") == (secondary.connection == "wye"):
        return 0.0
    return CLOCK_DEG if primary.line_v >= secondary.line_v else -CLOCK_DEG


def cannot_join(case: Case, members: tuple[Member, ...]) -> Iterator[Finding]:
    """Yield why units must not be joined on either side, whatever they carry."""
    first = members[0]
    for other in members[1:]:
        if other.phases != first.phases:
            yield _stop(
                "phases-differ", f"{first.name} has {first.phases} phases, {other.name} {other.phases}."
            )
        elif abs(other.displacement_deg - first.displacement_deg) > 1e-9:
            apart = abs(other.displacement_deg - first.displacement_deg)
            yield _stop(
                "displacement-differs",
                f"{first.name} ({_windings(first)}) and {other.name} ({_windings(other)}) are {apart:g} degrees "
                "apart: joining them is next to a short circuit, whatever their impedances.",
            )
    for member in members:
        if member.primary.phases == 3 and case.supply.system.phases == 1:
            yield _stop("needs-three-phases", f"{member.name} needs a three-phase supply.")


def _windings(member: Member) -> str:
    return f"{member.primary.text} to {member.secondary.text}"


def _stop(code: str, message: str) -> Finding:
    return said(code, "stop", message, clause="circuit theory")


def volts_differ(members: tuple[Member, ...]) -> Iterator[Finding]:
    """Yield units whose secondaries are different systems: no circulating current is worth computing."""
    first = members[0]
    for other in members[1:]:
        share = abs(other.no_load_v - first.no_load_v) / first.no_load_v
        if share > SAME_V:
            yield said(
                "ratio-differs",
                "caution",
                f"{first.name} gives {figure(first.no_load_v, digits=4)} V without load, {other.name} "
                f"{figure(other.no_load_v, digits=4)} V: a current circulates all the time.",
                value=100 * share,
                unit="%",
            )
