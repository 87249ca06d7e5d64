"""Transformers switched on together on one supply: three cores each, in delta or wye, or one on two lines.

Every leg saturates on its own; they act on each other through the impedance of the supply they share, through a star
point without a way back, through windings on them that are closed in a delta and carry what the sum of their voltages
drives, and, where they are legs of one three-legged core, through the flux that closes outside of it.

Legs of one core stand between the same two yokes. With the magnetic drop U between these, N i = mmf(q) + U for each
leg, and the fluxes that do not cancel close through the air: U = R Σ q / N. So each winding carries, beside what its
own leg asks for, the same current Σ q / L, with L the inductance of the way through the air: what a lossless ring of
that inductance around the three legs would carry. In zero sequence each phase then meets ω L / 3.
"""

from __future__ import annotations

from cmath import rect
from collections.abc import Sequence
from math import isfinite, pi, radians, sqrt
from typing import NamedTuple

from msgspec import Struct

from turnwright.circuit.inrush import core_of
from turnwright.circuit.inrush_modes import Rows, Vector
from turnwright.circuit.inrush_solution import Coils, Curve, Switched, flux_that_fits, switch_on
from turnwright.errors import InputError

LINES = ("A", "B", "C")
NEUTRAL = "N"
CANCELS = 1e-6
"""Sum of residual fluxes, per unit, that counts as nothing."""
STAR = "star"
"""A star point that is joined to nothing else."""


class Supply(Struct, frozen=True):
    """What switches a bank on: a three-phase source in star, or one between two lines.

    hz                 frequency
    line_v             rms volts between lines behind the impedance
    phases             3, or 1: the voltage stands between A and B alone
    z_ohm              impedance of each line
    neutral_ohm        impedance of the way back through the neutral; (Z0 - Z1) / 3 of a source
    closing_angle_deg  angle of the sine from A to the star point, or from A to B, at the moment of closing
    """

    hz: float
    line_v: float
    phases: int = 3
    z_ohm: complex = 0j
    neutral_ohm: complex = 0j
    closing_angle_deg: float = 0.0


class ClosedDelta(Struct, frozen=True):
    """Windings on the three cores joined in a ring, in percent on the rating of a core."""

    resistance_pct: float
    reactance_pct: float


class Bank(Struct, frozen=True):
    """One unit, or a number of equal ones that are closed together, as one of their common rating.

    name             currents are reported as ``name.1``, ``name.2``, ``name.3`` and ``name.A``, ``name.B``, ``name.C``
    kva              of each core
    voltage_v        rated volts of the winding that is switched on
    windings         (dotted end, other end) of each core: "A", "B", "C", "N", or "star"
    resistance_pct, reactance_pct  of that winding alone
    magnetizing_pct  current at rated volts below the knee
    knee_pu          flux at the knee, of the peak flux at rated volts
    saturated_pu     reactance of the winding with its core saturated, per unit
    residual_pu      flux left in each core, of the peak flux at rated volts
    closed           windings on the other side that form a ring; None: nothing closes there
    outside_pct      reactance of each phase in zero sequence, through the air beside the legs of one core, in percent
                     on the rating of a leg; None: three cores, each closed in itself
    """

    name: str
    kva: float
    voltage_v: float
    windings: tuple[tuple[str, str], ...]
    resistance_pct: float
    reactance_pct: float
    magnetizing_pct: float
    knee_pu: float
    saturated_pu: float
    residual_pu: tuple[float, ...]
    closed: ClosedDelta | None = None
    outside_pct: float | None = None

    @property
    def rings(self) -> tuple[ClosedDelta, ...]:
        """What closes around all legs: windings in a delta, and the air beside the legs."""
        air = None if self.outside_pct is None else ClosedDelta(0.0, self.outside_pct)
        return tuple(ring for ring in (self.closed, air) if ring is not None)


def delta(lines: Sequence[str] = LINES) -> tuple[tuple[str, str], ...]:
    """Return three windings in delta, each from a line to the next but one: A to C, B to A, C to B.

    Example:
        >>> delta()
        (('A', 'C'), ('B', 'A'), ('C', 'B'))
    """
    return tuple((lines[k], lines[k - 1]) for k in range(3))


def wye(star: str = STAR) -> tuple[tuple[str, str], ...]:
    """Return three windings in wye, from each line to `star` ("N": to the neutral of the supply).

    Example:
        >>> wye("N")
        (('A', 'N'), ('B', 'N'), ('C', 'N'))
    """
    return tuple((line, star) for line in LINES)


class BankInrush(Struct, frozen=True):
    """What flows after closing: in the lines of the supply, "A", "B", "C", and in windings and lines of each unit."""

    supply: Supply
    banks: tuple[Bank, ...]
    solved: Switched

    @property
    def lines(self) -> tuple[str, ...]:
        """The lines of the supply."""
        return LINES[: 3 if self.supply.phases == 3 else 2]

    def terminal_v(self, line: str, other: str, t_s: float) -> float:
        """Return the voltage between two lines at the terminals at a time after closing, V."""
        return self._to_star(line, t_s) - self._to_star(other, t_s)

    def _to_star(self, line: str, t_s: float) -> float:
        emf = _emf(self.supply)[LINES.index(line)]
        omega = 2 * pi * self.supply.hz
        wave = self.solved.waves(line)[self.solved.position(t_s)]
        drop = self.supply.z_ohm.real * wave.at(t_s) + self.supply.z_ohm.imag / omega * wave.slope(t_s)
        return (emf * rect(1.0, omega * t_s)).imag - drop


def switch_on_banks(supply: Supply, banks: Sequence[Bank], cycles: float) -> BankInrush:
    """Return what flows after a supply is closed on units without load.

    cycles  how long to follow it

    Raises:
        InputError: CIR-01, a value that cannot be; CIR-02, a name that is used twice; CIR-03, a winding between
        ends that are no lines; CIR-05, a current that meets no inductance; CIR-06, too many cycles.

    Example:
        >>> unit = Bank("T1", 25.0, 480.0, delta(), 1.0, 1.5, 2.0, 1.2, 0.2, (0.6, -0.3, -0.3))
        >>> found = switch_on_banks(Supply(60.0, 480.0, z_ohm=0.01 + 0.06j), [unit], 2.0)
        >>> [round(abs(found.solved.peaks(line, 1)[0].current_a)) for line in found.lines]
        [582, 292, 383]
    """
    _check(supply, banks)
    firsts, count = [], 0
    for bank in banks:
        firsts.append(count)
        count += _currents(bank)
    parts = [_part(supply.hz, bank, first, count) for bank, first in zip(banks, firsts, strict=True)]
    coils = _coils(supply, dict(zip((bank.name for bank in banks), parts, strict=True)))
    return BankInrush(supply, tuple(banks), switch_on(coils, cycles / supply.hz))


def _coils(supply: Supply, parts: dict[str, _Part]) -> Coils:
    lines = [_summed([part.lines[k] for part in parts.values()]) for k in range(3)]
    named = LINES[: _line_count(supply)]
    taken = dict(zip(named, lines, strict=False))
    for name, part in parts.items():
        taken |= {f"{name}.{k}": row for k, row in enumerate(part.windings, 1)}
        taken |= {f"{name}.{line}": row for line, row in zip(named, part.lines, strict=False)}
    series = [(supply.z_ohm, row) for row in lines]
    series.append((supply.neutral_ohm, _summed([part.neutral for part in parts.values()])))
    series += [one for part in parts.values() for one in part.series]
    omega, columns = 2 * pi * supply.hz, zip(*lines, strict=True)
    return Coils(
        hz=supply.hz,
        curves=tuple(curve for part in parts.values() for curve in part.curves),
        magnetizing=tuple(row for part in parts.values() for row in part.cores),
        resistance_ohm=_weighed([(z.real, row) for z, row in series]),
        inductance_henry=_weighed([(z.imag / omega, row) for z, row in series]),
        driven_v=tuple(
            sum((v * share for v, share in zip(_emf(supply), column, strict=True)), 0j) for column in columns
        ),
        start_a=tuple(a for part in parts.values() for a in part.start_a),
        taken=taken,
    )


class _Part(NamedTuple):
    """One bank by the independent currents of all: its windings, cores, lines and neutral, what lies in series."""

    windings: list[Vector]
    cores: list[Vector]
    lines: list[Vector]
    neutral: Vector
    series: list[tuple[complex, Vector]]
    curves: list[Curve]
    start_a: Vector


def _currents(bank: Bank) -> int:
    """How many currents of a bank are independent: of each winding and ring, less one for a star with no way back."""
    return len(bank.windings) - _has_star(bank) + len(bank.rings)


def _has_star(bank: Bank) -> bool:
    return any(STAR in ends for ends in bank.windings)


def _part(hz: float, bank: Bank, first: int, count: int) -> _Part:
    base, peak_wb, curve = core_of(
        bank.kva, bank.voltage_v, hz, bank.magnetizing_pct, bank.knee_pu, bank.saturated_pu
    )
    legs = len(bank.windings)
    windings = [_unit(first + k, count) for k in range(legs - _has_star(bank))]
    if _has_star(bank):
        windings.append(tuple(-value for value in _summed(windings)))
    cores, z = windings, complex(bank.resistance_pct, bank.reactance_pct) / 100 * base
    series = [(z, row) for row in windings]
    for at, closed in enumerate(bank.rings, first + legs - _has_star(bank)):
        ring = _unit(at, count)
        around = complex(closed.resistance_pct, closed.reactance_pct) / 100 * base * legs
        series.append((around, ring))
        cores = [_summed([row, ring]) for row in cores]
    return _Part(
        windings=windings,
        cores=cores,
        lines=[_at(line, bank, windings, count) for line in LINES],
        neutral=_at(NEUTRAL, bank, windings, count),
        series=series,
        curves=[curve] * legs,
        start_a=_start(bank, [residual * peak_wb for residual in bank.residual_pu], curve),
    )


def _start(bank: Bank, fluxes_wb: list[float], curve: Curve) -> Vector:
    """The independent currents at closing: what the residual fluxes ask for, without a ring and with no way back."""
    curves = [curve] * len(fluxes_wb)
    asked = [curve.current_a(q) for q in fluxes_wb]
    rings = [0.0 for _ in bank.rings]
    if not _has_star(bank):
        return (*asked, *rings)
    if bank.closed is None:
        fitting = [curve.current_a(q) for q in flux_that_fits(fluxes_wb, curves)]
        return (*fitting[:-1], *rings)
    rings[0] = sum(asked) / len(asked)
    return (*(a - rings[0] for a in asked[:-1]), *rings)


def _at(end: str, bank: Bank, windings: list[Vector], count: int) -> Vector:
    """The current out of a line into the windings that end there."""
    signs = [(start == end) - (other == end) for start, other in bank.windings]
    return _summed(
        [tuple(sign * value for value in row) for sign, row in zip(signs, windings, strict=True)]
        or [(0.0,) * count]
    )


def _unit(at: int, count: int) -> Vector:
    return tuple(float(k == at) for k in range(count))


def _summed(rows: Sequence[Vector]) -> Vector:
    return tuple(sum(column) for column in zip(*rows, strict=True))


def _weighed(series: Sequence[tuple[float, Vector]]) -> Rows:
    """Return Σ weight · rowᵀ row."""
    count = len(series[0][1])
    return tuple(
        tuple(sum(weight * row[i] * row[j] for weight, row in series if row[i]) for j in range(count))
        for i in range(count)
    )


def _line_count(supply: Supply) -> int:
    return 3 if supply.phases == 3 else 2


def _emf(supply: Supply) -> tuple[complex, complex, complex]:
    """Return the voltage phasors of the lines to the star point, peak; of one phase all of it on A."""
    closing = radians(supply.closing_angle_deg)
    if supply.phases != 3:
        return rect(sqrt(2) * supply.line_v, closing), 0j, 0j
    size = sqrt(2 / 3) * supply.line_v
    first, second, third = (rect(size, closing - 2 * pi / 3 * k) for k in range(3))
    return first, second, third


def _check(supply: Supply, banks: Sequence[Bank]) -> None:
    numbers = (supply.hz, supply.line_v)
    if not all(isfinite(value) and value > 0 for value in numbers):
        raise _bad("supply", f"hertz and volts are {numbers}", "above zero")
    for z in (supply.z_ohm, supply.neutral_ohm):
        if not (isfinite(z.real) and isfinite(z.imag) and z.real >= 0 and z.imag >= 0):
            raise _bad("supply", f"an impedance is {z}", "not below zero")
    if not isfinite(supply.closing_angle_deg):
        raise _bad("supply", f"closing_angle_deg is {supply.closing_angle_deg}", "a number")
    if not banks:
        raise InputError("CIR-01", "banks", "there is nothing to switch on.", "Name one unit at least.")
    names = [bank.name for bank in banks]
    for bank in banks:
        if names.count(bank.name) > 1:
            raise InputError("CIR-02", bank.name, "the name is used twice.", "Give each unit its own.")
        _check_bank(bank, LINES[: _line_count(supply)])


def _check_bank(bank: Bank, lines: Sequence[str]) -> None:
    ends = {end for pair in bank.windings for end in pair}
    if not bank.windings or not ends <= {*lines, NEUTRAL, STAR}:
        known = ", ".join((*lines, NEUTRAL, STAR))
        raise InputError("CIR-03", bank.name, f"its windings end at {sorted(ends)}.", f"Ends are {known}.")
    if any(start == end or start in (NEUTRAL, STAR) for start, end in bank.windings):
        raise InputError(
            "CIR-03",
            bank.name,
            "a winding does not begin at a line, or ends where it begins.",
            "Begin at a line.",
        )
    if _has_star(bank) and not (len(bank.windings) > 1 and all(STAR in pair for pair in bank.windings)):
        raise InputError(
            "CIR-03",
            bank.name,
            "its star point does not join all windings, or one alone.",
            "Join all, or none.",
        )
    if len(bank.residual_pu) != len(bank.windings) or not all(map(isfinite, bank.residual_pu)):
        raise _bad(bank.name, f"residual_pu is {bank.residual_pu}", "one number for each core")
    percents: tuple[float, ...] = (bank.resistance_pct, bank.reactance_pct)
    if bank.closed is not None:
        percents += (bank.closed.resistance_pct, bank.closed.reactance_pct)
    if not all(isfinite(value) and value >= 0 for value in percents):
        raise _bad(bank.name, f"its percentages are {percents}", "not below zero")
    if bank.outside_pct is not None:
        _check_legs(bank, bank.outside_pct)


def _check_legs(bank: Bank, outside_pct: float) -> None:
    """Legs of one core: three, and what is left in them closes in the core, below its knee."""
    if len(bank.windings) != len(LINES):
        what = f"{len(bank.windings)} windings stand on no core of three legs."
        raise InputError("CIR-03", bank.name, what, "Leave outside_pct out.")
    if not (isfinite(outside_pct) and outside_pct > 0):
        raise _bad(bank.name, f"outside_pct is {outside_pct}", "above zero")
    if abs(sum(bank.residual_pu)) > CANCELS or max(map(abs, bank.residual_pu)) > bank.knee_pu:
        raise _bad(bank.name, f"residual_pu is {bank.residual_pu}", "in sum nothing, and below the knee")


def _bad(where: str, what: str, allowed: str) -> InputError:
    return InputError("CIR-01", where, f"{what}.", f"It must be {allowed}.")
