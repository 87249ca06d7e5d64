"""Switching on one saturable core: the current in time, for a core curve of two slopes.

One loop: e(t) = R i + L di/dt + dq/dt with i = f(q), e(t) = √2 V sin(ωt + φ), flux linkage q(0) given, no
hysteresis. Several cores on one supply stand in `inrush_banks`.
"""

from __future__ import annotations

from cmath import rect
from math import isfinite, pi, radians, sqrt

from msgspec import Struct

from turnwright.circuit.inrush_solution import MOST_CYCLES, Coils, Curve, Peak, Stretch, Switched, switch_on
from turnwright.errors import InputError

LOOP = "loop"


class Energizing(Struct, frozen=True):
    """A core about to be switched on.

    hz, volts             of the source, rms
    closing_angle_deg     angle of the sine at the moment of closing; 0 is voltage zero, rising
    t_end_s               how long to follow it
    r_ohm, l_h            of source and winding in series with the core
    knee_wb               flux linkage at the knee, weber-turns
    l_unsat_h, l_sat_h    dq/di below and above the knee
    residual_wb           flux linkage left in the core before closing
    """

    hz: float
    volts: float
    closing_angle_deg: float
    t_end_s: float
    r_ohm: float
    l_h: float
    knee_wb: float
    l_unsat_h: float
    l_sat_h: float
    residual_wb: float


class Inrush(Struct, frozen=True):
    """The current and flux after closing, exact at any time up to the end."""

    case: Energizing
    solved: Switched

    @property
    def stretches(self) -> tuple[Stretch, ...]:
        """The pieces of the solution, each on one slope of the core curve."""
        return self.solved.stretches

    def flux_wb(self, t_s: float) -> float:
        """Return the flux linkage at a time after closing, weber-turns."""
        return self.solved.flux_wb(0, t_s)

    def current_a(self, t_s: float) -> float:
        """Return the current at a time after closing, A."""
        return self.solved.current_a(LOOP, t_s)

    def peaks(self, cycles: int) -> tuple[Peak, ...]:
        """Return the largest current, by size, of each of the first cycles.

        Raises:
            InputError: CIR-01, the solution does not reach that far.
        """
        return self.solved.peaks(LOOP, cycles)

    @property
    def i2t_a2s(self) -> float:
        """Return the integral of the squared current over the whole time, A²s."""
        return self.solved.i2t_a2s(LOOP)


def energize(case: Energizing) -> Inrush:
    """Return the current after closing on a core.

    Raises:
        InputError: CIR-01, a value that cannot be; CIR-06, more than `MOST_CYCLES` cycles.

    Example:
        >>> still = energize(Energizing(60.0, 480.0, 90.0, 0.05, 0.1, 1e-4, 2.2, 1.6, 0.006, 0.0))
        >>> round(max(abs(peak.current_a) for peak in still.peaks(3)), 2)
        1.13
    """
    _check(case)
    curve = Curve(case.knee_wb, case.l_unsat_h, case.l_sat_h)
    coils = Coils(
        hz=case.hz,
        curves=(curve,),
        magnetizing=((1.0,),),
        resistance_ohm=((case.r_ohm,),),
        inductance_henry=((case.l_h,),),
        driven_v=(rect(sqrt(2) * case.volts, radians(case.closing_angle_deg)),),
        start_a=(curve.current_a(case.residual_wb),),
        taken={LOOP: (1.0,)},
    )
    return Inrush(case, switch_on(coils, case.t_end_s))


def energizing(
    kva: float,
    voltage_v: float,
    frequency_hz: float,
    resistance_pct: float,
    reactance_pct: float,
    magnetizing_pct: float,
    knee_pu: float,
    saturated_pu: float,
    residual_pu: float,
    source_ohm: complex = 0j,
    closing_angle_deg: float = 0.0,
    cycles: float = 6.0,
) -> Energizing:
    """Return the case of a single-phase unit with its secondary open, from per-unit data.

    resistance_pct, reactance_pct  of the winding that is switched on, on `kva`
    magnetizing_pct                current at rated volts below the knee
    knee_pu, residual_pu           of the peak flux linkage at rated volts, √2 V / ω
    saturated_pu                   reactance of the winding above the knee, per unit

    Example:
        >>> round(energizing(25.0, 480.0, 60.0, 1.2, 1.5, 1.5, 1.2, 0.25, 0.6, 0.02 + 0.03j).l_sat_h, 9)
        0.00611155
    """
    base, peak_wb, curve = core_of(kva, voltage_v, frequency_hz, magnetizing_pct, knee_pu, saturated_pu)
    return Energizing(
        frequency_hz,
        voltage_v,
        closing_angle_deg,
        cycles / frequency_hz,
        source_ohm.real + resistance_pct / 100 * base,
        (source_ohm.imag + reactance_pct / 100 * base) / (2 * pi * frequency_hz),
        curve.knee_wb,
        curve.l_unsat_h,
        curve.l_sat_h,
        residual_pu * peak_wb,
    )


def core_of(
    kva: float,
    voltage_v: float,
    frequency_hz: float,
    magnetizing_pct: float,
    knee_pu: float,
    saturated_pu: float,
) -> tuple[float, float, Curve]:
    """Return base impedance, peak flux linkage at rated volts and the curve of a core; ohm, weber-turns.

    Raises:
        InputError: CIR-01, a value that cannot be.

    Example:
        >>> round(core_of(25.0, 480.0, 60.0, 1.5, 1.2, 0.25)[0], 9)
        9.216
    """
    values = (kva, voltage_v, frequency_hz, magnetizing_pct, knee_pu, saturated_pu)
    if not all(isfinite(value) and value > 0 for value in values):
        named = f"kVA, volts, hertz, magnetizing current, knee and saturated reactance are {values}."
        raise InputError("CIR-01", "unit", named, "Each is above zero.")
    base, omega = voltage_v**2 / (kva * 1e3), 2 * pi * frequency_hz
    peak_wb = sqrt(2) * voltage_v / omega
    return (
        base,
        peak_wb,
        Curve(knee_pu * peak_wb, base * 100 / magnetizing_pct / omega, saturated_pu * base / omega),
    )


def _check(case: Energizing) -> None:
    for field in case.__struct_fields__:
        value = getattr(case, field)
        if field in ("closing_angle_deg", "residual_wb"):
            good, allowed = True, "any number"
        elif field in ("r_ohm", "l_h"):
            good, allowed = value >= 0, "not below zero"
        else:
            good, allowed = value > 0, "above zero"
        if not (isfinite(value) and good):
            raise InputError("CIR-01", field, f"it is {value}.", f"It must be {allowed}.")
    if case.t_end_s * case.hz > MOST_CYCLES:
        raise InputError(
            "CIR-06", "t_end_s", f"{case.t_end_s} s is too long.", f"At most {MOST_CYCLES} cycles."
        )
