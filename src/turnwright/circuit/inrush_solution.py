"""Saturable cores switched on: the currents in time, exact between the moments at which a core passes its knee.

On each stretch every core stays on one slope of its curve, the circuit is linear and its solution known (see
`inrush_modes`). The flux linkage of a core on slope r (-1, 0, +1) is q = D m + r (q_knee - D m_knee) with its
magnetizing current m; the currents have no jumps, so a stretch begins with those that the last one ended with.
"""

from __future__ import annotations

from bisect import bisect_right
from cmath import exp as phasor
from cmath import phase
from collections.abc import Callable, Iterator, Sequence
from functools import cached_property
from math import exp, pi, sin

from msgspec import Struct

from turnwright.circuit.inrush_modes import Modes, Rows, Vector, modes
from turnwright.errors import InputError

STEPS_PER_CYCLE = 72
MOST_CYCLES = 2000
MOST_STRETCHES = 400_000
ON_THE_KNEE = 1e-12
GAUSS = (
    (0.0, 128 / 225),
    *[
        (sign * ((5 + root * (10 / 7) ** 0.5 * 2) ** 0.5) / 3, (322 - root * 13 * 70**0.5) / 900)
        for root in (-1, 1)
        for sign in (-1, 1)
    ],
)
"""Five-point quadrature on (-1, 1)."""


class Curve(Struct, frozen=True):
    """A core curve of two slopes: flux linkage at the knee, dq/di below and above it."""

    knee_wb: float
    l_unsat_h: float
    l_sat_h: float

    @property
    def knee_a(self) -> float:
        """Magnetizing current at the knee, A."""
        return self.knee_wb / self.l_unsat_h

    def current_a(self, flux_wb: float) -> float:
        """Return the magnetizing current of a flux linkage, A."""
        over = max(abs(flux_wb) - self.knee_wb, 0.0)
        size = (abs(flux_wb) - over) / self.l_unsat_h + over / self.l_sat_h
        return size if flux_wb >= 0 else -size

    def flux_wb(self, current_a: float) -> float:
        """Return the flux linkage of a magnetizing current, weber-turns."""
        over = max(abs(current_a) - self.knee_a, 0.0)
        size = (abs(current_a) - over) * self.l_unsat_h + over * self.l_sat_h
        return size if current_a >= 0 else -size


class Coils(Struct, frozen=True):
    """Coils on saturable cores, ready to be switched on.

    hz                of the source
    curves            of each core
    magnetizing       G: magnetizing current of each core by independent current
    resistance_ohm    R in series with the independent currents
    inductance_henry      L in series, without the cores
    driven_v          voltage phasor that drives each independent current, peak; v(t) = Im(V e^jωt)
    start_a           the independent currents at the moment of closing
    taken             name -> currents that are asked for, as sums of the independent ones
    """

    hz: float
    curves: tuple[Curve, ...]
    magnetizing: Rows
    resistance_ohm: Rows
    inductance_henry: Rows
    driven_v: tuple[complex, ...]
    start_a: Vector
    taken: dict[str, Vector]


class Wave(Struct, frozen=True):
    """size sin(ωt + angle) + Σ part e^(-rate (t - start))."""

    start_s: float
    omega_rad_s: float
    size: float
    angle_rad: float
    fading: tuple[tuple[float, float], ...]

    def at(self, t_s: float) -> float:
        """Return the value at a time. [A]"""
        value = self.size * sin(self.omega_rad_s * t_s + self.angle_rad)
        for part, rate in self.fading:
            value += part * exp(rate * (self.start_s - t_s))
        return value

    def slope(self, t_s: float) -> float:
        """Return the slope at a time. [A/s]"""
        value = self.size * self.omega_rad_s * sin(self.omega_rad_s * t_s + self.angle_rad + pi / 2)
        for part, rate in self.fading:
            value -= part * rate * exp(rate * (self.start_s - t_s))
        return value


class Stretch(Struct, frozen=True):
    """A piece of the solution from `start_s` on; the slope each core is on, -1, 0 or +1."""

    start_s: float
    sides: tuple[int, ...]
    coils: Coils
    modes: Modes
    steady: tuple[complex, ...]
    parts: Vector

    def wave(self, taken: Sequence[float]) -> Wave:
        """Return a sum of the independent currents as a function of time."""
        steady, fading = 0j, []
        for shape, phasor_, part, rate in zip(
            self.modes.shapes, self.steady, self.parts, self.modes.rates, strict=True
        ):
            share = sum(a * b for a, b in zip(shape, taken, strict=True))
            steady += share * phasor_
            if share * part:
                fading.append((share * part, rate))
        return Wave(self.start_s, 2 * pi * self.coils.hz, abs(steady), phase(steady), tuple(fading))

    def currents_a(self, t_s: float) -> Vector:
        """Return the independent currents at a time, A."""
        turn = phasor(2j * pi * self.coils.hz * t_s)
        amounts = [
            (phasor_ * turn).imag + part * exp(rate * (self.start_s - t_s))
            for phasor_, part, rate in zip(self.steady, self.parts, self.modes.rates, strict=True)
        ]
        columns = zip(*self.modes.shapes, strict=True)
        return tuple(sum(a * b for a, b in zip(column, amounts, strict=True)) for column in columns)


class Peak(Struct, frozen=True):
    """The largest current of one cycle, with its sign, and when."""

    current_a: float
    t_s: float


class Switched(Struct, frozen=True, dict=True):
    """The currents and fluxes after closing, exact at any time up to the end."""

    coils: Coils
    t_end_s: float
    stretches: tuple[Stretch, ...]

    @cached_property
    def starts_s(self) -> tuple[float, ...]:
        """Where each stretch begins."""
        return tuple(stretch.start_s for stretch in self.stretches)

    def current_a(self, name: str, t_s: float) -> float:
        """Return a named current at a time after closing, A."""
        return self.waves(name)[self.position(t_s)].at(t_s)

    def flux_wb(self, core: int, t_s: float) -> float:
        """Return the flux linkage of a core at a time after closing, weber-turns."""
        stretch = self.stretches[self.position(t_s)]
        row = self.coils.magnetizing[core]
        current = sum(a * b for a, b in zip(row, stretch.currents_a(t_s), strict=True))
        return self.coils.curves[core].flux_wb(current)

    def waves(self, name: str) -> tuple[Wave, ...]:
        """Return a named current on each stretch.

        Raises:
            InputError: CIR-08, no such current.
        """
        known: dict[str, tuple[Wave, ...]] = self.__dict__.setdefault("_waves", {})
        if name not in known:
            if name not in self.coils.taken:
                names = ", ".join(self.coils.taken)
                raise InputError("CIR-08", name, "there is no such current.", f"Known are {names}.")
            known[name] = tuple(stretch.wave(self.coils.taken[name]) for stretch in self.stretches)
        return known[name]

    def peaks(self, name: str, cycles: int) -> tuple[Peak, ...]:
        """Return the largest size of a current in each of the first cycles.

        Raises:
            InputError: CIR-01, the solution does not reach that far.
        """
        period = 1 / self.coils.hz
        if not 0 <= cycles * period <= self.t_end_s * (1 + 1e-9):
            raise InputError(
                "CIR-01", "cycles", f"{cycles} cycles do not fit in the time.", "Follow it longer."
            )
        ends = [(k * period, min((k + 1) * period, self.t_end_s)) for k in range(cycles)]
        return tuple(self.peak(name, start, end) for start, end in ends)

    def peak(self, name: str, start_s: float, end_s: float) -> Peak:
        """Return the largest size of a current between two times."""
        best = Peak(0.0, start_s)
        for wave, left, right in self._pieces(name, start_s, end_s):
            times = [left, right]
            before = wave.slope(left)
            for low, high in steps(left, right, self.coils.hz):
                after = wave.slope(high)
                if before * after < 0:
                    times.append(root(wave.slope, low, high))
                before = after
            for t in times:
                value = wave.at(t)
                if abs(value) > abs(best.current_a):
                    best = Peak(value, t)
        return best

    def i2t_a2s(self, name: str, end_s: float | None = None) -> float:
        """Return the integral of a squared current from closing to `end_s`, A²s; None: to the end."""
        total = 0.0
        for wave, left, right in self._pieces(name, 0.0, self.t_end_s if end_s is None else end_s):
            for low, high in steps(left, right, self.coils.hz):
                half, middle = (high - low) / 2, (low + high) / 2
                total += half * sum(weight * wave.at(middle + half * at) ** 2 for at, weight in GAUSS)
        return total

    def _pieces(self, name: str, start: float, end: float) -> Iterator[tuple[Wave, float, float]]:
        waves, starts = self.waves(name), self.starts_s
        for at in range(max(bisect_right(starts, start) - 1, 0), len(waves)):
            left = max(start, starts[at])
            right = min(end, starts[at + 1] if at + 1 < len(starts) else self.t_end_s)
            if left >= end:
                return
            if right > left:
                yield waves[at], left, right

    def position(self, t_s: float) -> int:
        """Return the number of the stretch that a time lies on.

        Raises:
            InputError: CIR-01, the solution does not reach that far.
        """
        if not 0 <= t_s <= self.t_end_s * (1 + 1e-9):
            raise InputError("CIR-01", "t_s", f"{t_s} s is outside the time followed.", "Follow it longer.")
        return bisect_right(self.starts_s, t_s) - 1


def switch_on(coils: Coils, t_end_s: float) -> Switched:
    """Return what flows after closing.

    Raises:
        InputError: CIR-05, a current that meets no inductance; CIR-06, too long a time.
    """
    if t_end_s * coils.hz > MOST_CYCLES:
        raise InputError("CIR-06", "t_end_s", f"{t_end_s} s is too long.", f"At most {MOST_CYCLES} cycles.")
    known: dict[tuple[int, ...], Modes] = {}
    t, currents = 0.0, coils.start_a
    sides = tuple(
        _side(sum(a * b for a, b in zip(row, currents, strict=True)), curve)
        for row, curve in zip(coils.magnetizing, coils.curves, strict=True)
    )
    stretches: list[Stretch] = []
    while len(stretches) < MOST_STRETCHES:
        if sides not in known:
            known[sides] = modes(_inductance(coils, sides), coils.resistance_ohm)
        stretch = _stretch(coils, known[sides], sides, t, currents)
        stretches.append(stretch)
        left = _leaves(coils, stretch, t_end_s)
        if left is None:
            return Switched(coils, t_end_s, tuple(stretches))
        t, core, side = left
        currents = stretch.currents_a(t)
        sides = (*sides[:core], side, *sides[core + 1 :])
    raise InputError("CIR-06", "t_end_s", "the cores pass their knees too often.", "Follow it for less time.")


def _side(current_a: float, curve: Curve) -> int:
    return 0 if abs(current_a) < curve.knee_a else (1 if current_a > 0 else -1)


def _inductance(coils: Coils, sides: tuple[int, ...]) -> Rows:
    """Return L + Gᵀ D G."""
    slopes = [
        curve.l_sat_h if side else curve.l_unsat_h for curve, side in zip(coils.curves, sides, strict=True)
    ]
    weighed = [[d * g for g in row] for d, row in zip(slopes, coils.magnetizing, strict=True)]
    return tuple(
        tuple(
            entry + sum(row[i] * scaled[j] for row, scaled in zip(coils.magnetizing, weighed, strict=True))
            for j, entry in enumerate(series)
        )
        for i, series in enumerate(coils.inductance_henry)
    )


def _stretch(coils: Coils, of_sides: Modes, sides: tuple[int, ...], t: float, currents: Vector) -> Stretch:
    omega = 2 * pi * coils.hz
    turn = phasor(1j * omega * t)
    steady, parts = [], []
    for rate, shape, into in zip(of_sides.rates, of_sides.shapes, of_sides.into, strict=True):
        drive = sum((a * v for a, v in zip(shape, coils.driven_v, strict=True)), 0j)
        steady.append(drive / complex(rate, omega))
        start = sum(a * i for a, i in zip(into, currents, strict=True))
        parts.append(start - (steady[-1] * turn).imag)
    return Stretch(t, sides, coils, of_sides, tuple(steady), tuple(parts))


def _leaves(coils: Coils, stretch: Stretch, end: float) -> tuple[float, int, int] | None:
    """Return when the first core leaves its slope, which, and the slope it goes to; None when none does."""
    rooms = [
        _Room(stretch.wave(row), side, curve.knee_a)
        for row, side, curve in zip(coils.magnetizing, stretch.sides, coils.curves, strict=True)
    ]
    for left, right in steps(stretch.start_s, end, coils.hz):
        found = [(t, core) for core, room in enumerate(rooms) if (t := room.gone(left, right)) is not None]
        if found:
            t, core = min(found)
            return t, core, rooms[core].beyond(t)
    return None


class _Room:
    """How far the magnetizing current of a core is from the end of its slope, A."""

    def __init__(self, wave: Wave, side: int, knee_a: float) -> None:
        self.wave, self.side, self.knee_a = wave, side, knee_a
        self.slope_right: tuple[float, float] | None = None

    def left_over(self, t: float) -> float:
        current = self.wave.at(t)
        return self.side * current - self.knee_a if self.side else self.knee_a - abs(current)

    def beyond(self, t: float) -> int:
        if self.side:
            return 0
        return 1 if self.wave.at(t) > 0 else -1

    def gone(self, left: float, right: float) -> float | None:
        """Return when the end is passed between two times; None when it is not."""
        known = self.slope_right
        before = known[1] if known is not None and known[0] == left else self.wave.slope(left)
        after = self.wave.slope(right)
        self.slope_right = (right, after)
        inside = left
        if before * after < 0:
            turn = root(self.wave.slope, left, right)
            if self.left_over(turn) < -ON_THE_KNEE * self.knee_a:
                right = turn
            else:
                inside = turn
        if self.left_over(right) >= -ON_THE_KNEE * self.knee_a:
            return None
        return root(self.left_over, inside, right) if self.left_over(inside) > 0 else inside


def steps(start_s: float, end_s: float, hz: float) -> Iterator[tuple[float, float]]:
    """Yield the parts of a time that are each short beside a cycle."""
    if end_s <= start_s:
        return
    count = int((end_s - start_s) * hz * STEPS_PER_CYCLE) + 1
    width = (end_s - start_s) / count
    left = start_s
    for k in range(1, count):
        right = start_s + k * width
        yield left, right
        left = right
    yield left, end_s


def root(function: Callable[[float], float], left: float, right: float) -> float:
    """Return where a function changes sign between two times: secants and, every third time, half the bracket. [s]

    Example:
        >>> round(root(lambda t: t * t - 2.0, 0.0, 2.0), 12)
        1.414213562373
    """
    low, high = function(left), function(right)
    for turn in range(200):
        at = (
            (left + right) / 2 if turn % 3 == 2 or low == high else left - low * (right - left) / (high - low)
        )
        if not left < at < right:
            at = (left + right) / 2
        if at in (left, right):
            break
        value = function(at)
        if value == 0.0:
            return at
        if (value < 0) == (low < 0):
            left, low = at, value
        else:
            right, high = at, value
        if right - left <= 4e-16 * abs(right):
            break
    return (left + right) / 2


def flux_that_fits(fluxes_wb: Sequence[float], curves: Sequence[Curve]) -> Vector:
    """Return residual fluxes moved by one amount so that the magnetizing currents sum to nothing.

    A star point without a way back lets no other currents flow: it settles so at the moment of closing.

    Example:
        >>> [round(q, 9) for q in flux_that_fits((0.5, 0.1, 0.0), (Curve(1.0, 2.0, 0.1),) * 3)]
        [0.3, -0.1, -0.2]
    """
    reach = 2 * max(map(abs, fluxes_wb))

    def rest(shift: float) -> float:
        return sum(curve.current_a(q - shift) for q, curve in zip(fluxes_wb, curves, strict=True))

    shift = root(rest, -reach, reach)
    return tuple(q - shift for q in fluxes_wb)
