"""A unit switched on: its legs solved together in time, the worst line in the worst moment of closing."""

from __future__ import annotations

from math import cos, log, pi, radians, sqrt
from typing import NamedTuple

from msgspec.structs import replace

from turnwright.circuit.inrush_banks import LINES, NEUTRAL, STAR, Bank, BankInrush, Supply, switch_on_banks
from turnwright.examine.inrush_fed import Fed
from turnwright.examine.tables import study_row

CYCLES = 6
SAMPLES_PER_CYCLE = 96
CLOSINGS_DEG = tuple(15.0 * k for k in range(12))
"""Moments of closing that are tried; the other half wave mirrors them."""
UNIT = "unit"


class Peaks(NamedTuple):
    """A unit switched on with one kind of core: the worst line of the moment of closing.

    name       which end of what the core may be
    outside_pct  reactance beside the legs of one core; None: cores closed in themselves
    peaks_a    of each cycle
    half_life  cycles in which the peaks fall to half, from the first and the last of them
    """

    name: str
    outside_pct: float | None
    closing_deg: float
    line: str
    peaks_a: tuple[float, ...]
    i2t_a2s: float
    half_life: float | None
    solved: BankInrush

    @property
    def times_s(self) -> tuple[float, ...]:
        """Times at which the current is shown. [s]"""
        hz = self.solved.supply.hz
        return tuple(k / SAMPLES_PER_CYCLE / hz for k in range(CYCLES * SAMPLES_PER_CYCLE + 1))

    @property
    def current_a(self) -> tuple[float, ...]:
        """The current of the line at these times. [A]"""
        return tuple(self.solved.solved.current_a(self.line, t) for t in self.times_s)


def ends_of_core(fed: Fed, closing_deg: float | None, residual_pu: float) -> tuple[Peaks, Peaks]:
    """Return the unit switched on with the core that draws most, and with the one that draws least.

    closing_deg  moment of closing; None: the worst one for the first peak
    residual_pu  size of the flux left in a core, of the peak flux at rated volts
    """
    high = float(study_row("core_saturated_high_pu").number("value"))
    most = [
        peaks_of(fed, "high end", fed.low_end_pu, way, closing_deg, residual_pu) for way in fed.outside_pct
    ]
    least = [peaks_of(fed, "low end", high, way, closing_deg, residual_pu) for way in fed.outside_pct]
    return max(most, key=_first), min(least, key=_first)


def _first(one: Peaks) -> float:
    return one.peaks_a[0]


def peaks_of(
    fed: Fed,
    name: str,
    saturated_pu: float,
    outside_pct: float | None,
    closing_deg: float | None,
    residual_pu: float,
    cycles: float = CYCLES,
) -> Peaks:
    """Return a unit switched on with one kind of core."""

    def closed(at_deg: float, for_cycles: float) -> BankInrush:
        return switched(fed, saturated_pu, outside_pct, at_deg, residual_pu, for_cycles)

    if closing_deg is None:
        closing_deg = max(CLOSINGS_DEG, key=lambda one: _first_peak_a(closed(one, 1.0)))
    found = closed(closing_deg, max(cycles, CYCLES))
    line = max(found.lines, key=lambda one: abs(found.solved.peaks(one, 1)[0].current_a))
    peaks = tuple(abs(peak.current_a) for peak in found.solved.peaks(line, CYCLES))
    return Peaks(
        name=name,
        outside_pct=outside_pct,
        closing_deg=closing_deg,
        line=line,
        peaks_a=peaks,
        i2t_a2s=found.solved.i2t_a2s(line, CYCLES / fed.supply.hz),
        half_life=_half_life(peaks),
        solved=found,
    )


def _half_life(peaks_a: tuple[float, ...]) -> float | None:
    first, last = peaks_a[0], peaks_a[-1]
    return (len(peaks_a) - 1) * log(2) / log(first / last) if first > last > 0 else None


def _first_peak_a(found: BankInrush) -> float:
    return max(abs(found.solved.peaks(line, 1)[0].current_a) for line in found.lines)


def switched(
    fed: Fed,
    saturated_pu: float,
    outside_pct: float | None,
    closing_deg: float,
    residual_pu: float,
    cycles: float,
) -> BankInrush:
    """Return what flows when the units are closed together; they count as one of their common rating."""
    supply = replace(fed.supply, closing_angle_deg=closing_deg)
    bank = Bank(
        name=UNIT,
        kva=fed.core_kva * fed.together,
        voltage_v=fed.rated_v,
        windings=fed.windings,
        resistance_pct=fed.unit.resistance_pct / 2,
        reactance_pct=fed.unit.reactance_pct / 2,
        magnetizing_pct=float(study_row("core_magnetizing_pct").number("value")),
        knee_pu=float(study_row("core_knee_pu").number("value")),
        saturated_pu=saturated_pu,
        residual_pu=tuple(residual_pu * helping(supply, *ends) for ends in fed.windings),
        closed=fed.ring,
        outside_pct=outside_pct,
    )
    return switch_on_banks(supply, [bank], cycles)


def helping(supply: Supply, start: str, end: str) -> float:
    """Return the share of the residual flux of a core that helps its first swing: cosine of its voltage at closing. [-]

    Over three cores the shares sum to nothing, as the fluxes of three legs must.

    Example:
        >>> round(helping(Supply(60.0, 480.0, closing_angle_deg=-30.0), "A", "B"), 9)
        1.0
    """
    if supply.phases != 3:
        return cos(radians(supply.closing_angle_deg))
    angle = {line: -2 * pi / 3 * k for k, line in enumerate(LINES)}
    first = angle[start]
    if end in (NEUTRAL, STAR):
        return cos(radians(supply.closing_angle_deg) + first)
    # e_a - e_b stands sqrt 3 over a line voltage to neutral, half way between its own angle and that of -e_b
    at = radians(supply.closing_angle_deg)
    return (cos(at + first) - cos(at + angle[end])) / sqrt(3)
