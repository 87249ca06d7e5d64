"""The records of a network: sources, coils on cores, impedances, and what draws current.

A node is a name; node ``"0"`` is earth. Phasors are rms volts and amperes with time factor exp(+jwt). A
transformer is a list of cores; nothing here knows what a delta is.
"""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

EARTH = "0"


class Source3(Struct, frozen=True):
    """A three-phase source in star, sequence 1-2-3, behind its own impedances.

    name       its terminals are reported as ``name:node``, current out of the source
    nodes      the three line terminals
    line_v     line-to-line voltage behind the impedance, V
    z1_ohm     positive (and negative) sequence impedance, ohm
    z0_ohm     zero-sequence impedance, ohm; without effect when the star point is not connected
    angle_deg  angle of the voltage from the star point to the first node
    star       node of the star point; None when it is not brought out
    """

    name: str
    nodes: tuple[str, str, str]
    line_v: float
    z1_ohm: complex
    z0_ohm: complex
    angle_deg: float = 0.0
    star: str | None = EARTH


class Source1(Struct, frozen=True):
    """A single-phase source between two nodes: `voltage_v` at `angle_deg` behind `z_ohm`."""

    name: str
    node: str
    other: str
    voltage_v: float
    z_ohm: complex
    angle_deg: float = 0.0


Source = Source3 | Source1


class Impedance(Struct, frozen=True):
    """A constant impedance: a load, a conductor, a bond, a fault. Zero ohm is allowed.

    r_ohm, x_ohm  at the network's frequency; the reactance grows with the order of a harmonic, the
                  resistance does not
    xc_ohm        reactance of a capacitor in series, as a positive number; it falls with the order
    role          what it is, in words
    """

    name: str
    start: str
    end: str
    r_ohm: float
    x_ohm: float = 0.0
    role: str = "load"
    xc_ohm: float = 0.0


class Injection(Struct, frozen=True):
    """A current of one harmonic order drawn from `start` and returned to `end`."""

    name: str
    start: str
    end: str
    harmonic: int
    current_a: float
    angle_deg: float


class PowerLoad(Struct, frozen=True):
    """A load that draws the same power at any voltage (order 1 only; open to harmonics)."""

    name: str
    start: str
    end: str
    power_w: float
    reactive_var: float = 0.0


class CurrentLoad(Struct, frozen=True):
    """A load that draws the same current, `lag_deg` behind its voltage (order 1 only; open to harmonics)."""

    name: str
    start: str
    end: str
    current_a: float
    lag_deg: float = 0.0


Load = PowerLoad | CurrentLoad


class Winding(Struct, frozen=True):
    """One coil: dotted and other terminal, rated volts (its turns), % resistance on the core's kVA.

    rated_a  the current it is made for; None: the whole kVA of the core over its rated volts, which is too
             much for one of several coils in series
    """

    dot: str
    other: str
    rated_v: float
    resistance_pct: float
    rated_a: float | None = None


class Core(Struct, frozen=True):
    """Coils on one core.

    name              windings are reported as ``name.w1``, ``name.w2``, current into the dotted terminal
    kva               base of all percentages, each on the winding's own rated volts
    windings          two or more
    reactance_pct     leakage reactance of each pair of windings: 1-2, 1-3, ... 1-n, 2-3, ...
    no_load_loss_pct  core loss at rated volts; None of it (0.0) leaves the core ideal
    magnetizing_pct   magnetizing current at rated volts; it falls with the order of a harmonic
    bank              name of the bank the core belongs to

    The no-load branch is connected across the terminals of winding 2 and reported as ``name.shunt``.
    """

    name: str
    kva: float
    windings: tuple[Winding, ...]
    reactance_pct: tuple[float, ...]
    no_load_loss_pct: float = 0.0
    magnetizing_pct: float = 0.0
    bank: str | None = None


class Network(Struct, frozen=True):
    """Everything that is connected, at one frequency.

    Example:
        >>> supply = Source1("SUP", "A", "0", 240.0, 0.05 + 0.1j)
        >>> network = Network(60.0, (supply,)).with_(impedances=[Impedance("heater", "A", "0", 5.76)])
        >>> network.impedances[0].r_ohm
        5.76
    """

    frequency_hz: float
    sources: tuple[Source, ...] = ()
    cores: tuple[Core, ...] = ()
    impedances: tuple[Impedance, ...] = ()
    injections: tuple[Injection, ...] = ()
    loads: tuple[Load, ...] = ()

    def with_(
        self,
        sources: Iterable[Source] = (),
        cores: Iterable[Core] = (),
        impedances: Iterable[Impedance] = (),
        injections: Iterable[Injection] = (),
        loads: Iterable[Load] = (),
    ) -> Network:
        """Return the same network with more elements connected."""
        return Network(
            self.frequency_hz,
            (*self.sources, *sources),
            (*self.cores, *cores),
            (*self.impedances, *impedances),
            (*self.injections, *injections),
            (*self.loads, *loads),
        )


def pair_position(count: int, first: int, second: int) -> int:
    """Return where the pair of windings (numbered from 1) stands in `Core.reactance_pct`.

    Example:
        >>> [pair_position(3, 1, 2), pair_position(3, 1, 3), pair_position(3, 3, 2)]
        [0, 1, 2]
    """
    low, high = min(first, second), max(first, second)
    return (low - 1) * (2 * count - low) // 2 + high - low - 1
