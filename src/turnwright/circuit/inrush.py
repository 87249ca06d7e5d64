"""Switching on a saturable core: the current in time, for a core curve of two slopes.

One loop: e(t) = R i + L di/dt + dq/dt with i = f(q), e(t) = √2 V sin(ωt + φ), flux linkage q(0) given, no
hysteresis. On each stretch of the curve i = s q + c, so the equation is linear and its solution known:

    q(t) = Q sin(ωt + φ - ψ) - d / b + K e^(-b (t - t0)),   b = R s / (1 + L s),  d = R c / (1 + L s)
    Q = √2 V / ((1 + L s) √(ω² + b²)),  ψ = atan2(ω, b)

Only the moments at which the flux passes a knee are searched for.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator
from math import atan2, exp, hypot, isfinite, pi, radians, sin, sqrt
from typing import NamedTuple

from msgspec import Struct

from turnwright.errors import InputError

STEPS_PER_CYCLE = 200
MOST_CYCLES = 2000
# five-point Gauss-Legendre quadrature on (-1, 1)
GAUSS = (
    (0.0, 128 / 225),
    *[
        (sign * sqrt(5 + root * sqrt(10 / 7) * 2) / 3, (322 - root * 13 * sqrt(70)) / 900)
        for root in (-1, 1)
        for sign in (-1, 1)
    ],
)


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


class _Stretch(NamedTuple):
    """A piece of the solution that starts at `start_s`, and i = slope q + shift on it."""

    start_s: float
    slope: float
    shift: float
    size: float
    angle: float
    offset: float
    decay: float
    start_part: float
    omega: float

    def flux(self, t: float) -> float:
        fading = self.start_part * exp(-self.decay * (t - self.start_s))
        return self.size * sin(self.omega * t + self.angle) + self.offset + fading

    def flux_slope(self, t: float) -> float:
        fading = self.start_part * exp(-self.decay * (t - self.start_s))
        return self.size * self.omega * sin(self.omega * t + self.angle + pi / 2) - self.decay * fading


class Peak(NamedTuple):
    """The largest current of one cycle, with its sign, and when."""

    current_a: float
    t_s: float


class Inrush(Struct, frozen=True):
    """The current and flux after closing, exact at any time up to the end."""

    case: Energizing
    stretches: tuple[_Stretch, ...]

    def flux_wb(self, t_s: float) -> float:
        """Return the flux linkage at a time after closing, weber-turns."""
        return self._at(t_s).flux(t_s)

    def current_a(self, t_s: float) -> float:
        """Return the current at a time after closing, A."""
        stretch = self._at(t_s)
        return stretch.slope * stretch.flux(t_s) + stretch.shift

    def peaks(self, cycles: int) -> tuple[Peak, ...]:
        """Return the largest current, by size, of each of the first cycles.

        Raises:
            InputError: CIR-01, the solution does not reach that far.
        """
        period = 1 / self.case.hz
        if not 0 <= cycles * period <= self.case.t_end_s * (1 + 1e-9):
            raise InputError(
                "CIR-01", "cycles", f"{cycles} cycles do not fit in the time.", "Follow it longer."
            )
        return tuple(self._peak(k * period, min((k + 1) * period, self.case.t_end_s)) for k in range(cycles))

    @property
    def i2t_a2s(self) -> float:
        """Return the integral of the squared current over the whole time, A²s."""
        total = 0.0
        ends = [*[stretch.start_s for stretch in self.stretches[1:]], self.case.t_end_s]
        for stretch, end in zip(self.stretches, ends, strict=True):
            for left, right in _steps(stretch.start_s, end, self.case.hz):
                half, middle = (right - left) / 2, (left + right) / 2
                total += half * sum(
                    weight * (stretch.slope * stretch.flux(middle + half * at) + stretch.shift) ** 2
                    for at, weight in GAUSS
                )
        return total

    def _at(self, t_s: float) -> _Stretch:
        if not 0 <= t_s <= self.case.t_end_s * (1 + 1e-9):
            raise InputError("CIR-01", "t_s", f"{t_s} s is outside the time followed.", "Follow it longer.")
        return self.stretches[bisect_right(self.stretches, t_s, key=lambda stretch: stretch.start_s) - 1]

    def _peak(self, start: float, end: float) -> Peak:
        times = [start, end]
        for left, right in _steps(start, end, self.case.hz):
            if self._at(left).flux_slope(left) * self._at(right).flux_slope(right) < 0:
                times.append(_root(lambda t: self._at(t).flux_slope(t), left, right))
        best = max(times, key=lambda t: abs(self.current_a(t)))
        return Peak(self.current_a(best), best)


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
    stretches: list[_Stretch] = []
    t, q = 0.0, case.residual_wb
    region = 0 if abs(q) < case.knee_wb else (1 if q > 0 else -1)
    while True:
        stretch = _stretch(case, region, t, q)
        stretches.append(stretch)
        found = _leaves(case, stretch, region)
        if found is None:
            return Inrush(case, tuple(stretches))
        t, level = found
        q = level * case.knee_wb
        region = 0 if region else level


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
    numbers = (kva, voltage_v, frequency_hz, magnetizing_pct)
    if not all(isfinite(value) and value > 0 for value in numbers):
        raise InputError(
            "CIR-01",
            "unit",
            f"kVA, volts, hertz and magnetizing current are {numbers}.",
            "Each is above zero.",
        )
    base = voltage_v**2 / (kva * 1e3)
    omega = 2 * pi * frequency_hz
    peak_wb = sqrt(2) * voltage_v / omega
    return Energizing(
        frequency_hz,
        voltage_v,
        closing_angle_deg,
        cycles / frequency_hz,
        source_ohm.real + resistance_pct / 100 * base,
        (source_ohm.imag + reactance_pct / 100 * base) / omega,
        knee_pu * peak_wb,
        base * 100 / magnetizing_pct / omega,
        saturated_pu * base / omega,
        residual_pu * peak_wb,
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


def _stretch(case: Energizing, region: int, t: float, q: float) -> _Stretch:
    slope = 1 / (case.l_sat_h if region else case.l_unsat_h)
    shift = region * case.knee_wb * (1 / case.l_unsat_h - 1 / case.l_sat_h)
    omega = 2 * pi * case.hz
    share = 1 / (1 + case.l_h * slope)
    decay = case.r_ohm * slope * share
    size = sqrt(2) * case.volts * share / hypot(omega, decay)
    angle = radians(case.closing_angle_deg) - atan2(omega, decay)
    offset = -shift / slope if decay else 0.0
    start_part = q - offset - size * sin(omega * t + angle)
    return _Stretch(t, slope, shift, size, angle, offset, decay, start_part, omega)


def _leaves(case: Energizing, stretch: _Stretch, region: int) -> tuple[float, int] | None:
    """Return when the flux leaves a stretch of the curve and through which knee, or None when it does not."""

    def room(t: float) -> float:
        q = stretch.flux(t)
        return region * q - case.knee_wb if region else case.knee_wb - abs(q)

    # a start exactly on the knee counts as inside until the flux has moved
    for left, right in _steps(stretch.start_s, case.t_end_s, case.hz):
        inside = left
        if stretch.flux_slope(left) * stretch.flux_slope(right) < 0:
            turn = _root(stretch.flux_slope, left, right)
            if room(turn) < 0:
                right = turn
            else:
                inside = turn
        if room(right) < 0:
            t = (
                _root(room, inside, right)
                if room(inside) > 0
                else max(inside, stretch.start_s + 1e-9 / case.hz)
            )
            return t, region or (1 if stretch.flux(t) > 0 else -1)
    return None


def _steps(start: float, end: float, hz: float) -> Iterator[tuple[float, float]]:
    if end <= start:
        return
    count = max(1, int((end - start) * hz * STEPS_PER_CYCLE) + 1)
    width = (end - start) / count
    for k in range(count):
        yield start + k * width, (start + (k + 1) * width if k + 1 < count else end)


def _root(function: Callable[[float], float], left: float, right: float) -> float:
    """Return where a function changes sign between two times."""
    low = function(left)
    for _ in range(200):
        middle = (left + right) / 2
        if middle in (left, right):
            break
        if (function(middle) < 0) == (low < 0):
            left = middle
        else:
            right = middle
    return (left + right) / 2
