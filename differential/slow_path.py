"""The same questions answered another way: every size in turn, every way of spreading the loads, each circuit solved by
the OpenDSS engine (dss-python).

Nothing of the tool is used here. A unit is large enough when no winding carries more than its rated current, and when
its rating carries the whole load and the allowance for the largest motor. Sizes: the preferred ratings of dry-type
units (10 CFR 431.196(a) and the smaller ones of the trade; for the IEC world every second of the series R10 of ISO 3 up
to 16 kVA and each above).
"""

from __future__ import annotations

import itertools
from cmath import rect
from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import acos, hypot, sqrt

from dss import DSS

from differential.random_jobs import Facts, Load, lines_of

THREE_PHASE_KVA = (3, 6, 9, 15, 30, 45, 75, 112.5, 150, 225, 300, 500, 750, 1000)
R10_KVA = (
    1,
    1.6,
    2.5,
    4,
    6.3,
    10,
    16,
    20,
    25,
    31.5,
    40,
    50,
    63,
    80,
    100,
    125,
    160,
    200,
    250,
    315,
    400,
    500,
    630,
    800,
    1000,
)
SINGLE_PHASE_KVA = (1, 1.5, 2, 3, 5, 7.5, 10, 15, 25, 37.5, 50, 75, 100, 167, 250, 333)
MOTOR_ALLOWANCE = 0.25
"""Of the largest motor, after NEC 430.24."""
STIFF_PCT = 1e-3
"""An impedance that moves no voltage: what the windings carry is then a matter of the connection alone."""
NODES = {"A": "1", "B": "2", "C": "3"}
CLOSE = 1e-6


@dataclass(frozen=True)
class Answer:
    """What the slow path finds. Currents and volts with the given impedance, only where the lines are fixed."""

    kva: float | None
    total_kva: float
    worst_kva: float
    neutral_a: float | None
    line_a: tuple[float, ...]
    loaded_v: float | None
    fault_a: float | None
    ground_fault_a: float | None


def answer(facts: Facts) -> Answer:
    """Return the smallest size that does it, and what it does there."""
    worst, spread = min(
        ((_worst_kva(way), way) for way in _ways(facts)), key=lambda found: found[0], default=(0.0, facts)
    )
    total = abs(sum(_complex_kva(load) for load in facts.loads)) * (1 + facts.growth / 100)
    motor = max((load.kva for load in facts.loads if load.motor), default=0.0)
    needed = max(worst, total + MOTOR_ALLOWANCE * motor)
    kva = next((size for size in _sizes(facts) if size * (1 + CLOSE) >= needed), None)
    if kva is None:
        return Answer(None, total, worst, None, (), None, None, None)
    circuit = Circuit(spread, kva, facts.resistance_pct, facts.impedance_pct)
    loaded, stiff = circuit.loaded(), Circuit(spread, 1e4, STIFF_PCT / 2, STIFF_PCT).loaded()
    fault = circuit.fault({"Ii": "1.0", "Iin": "1.2"}.get(facts.output.joined, "1.2.3"))
    ground = None if facts.output.joined in ("Dd", "Ii") else circuit.fault("1.0")
    return Answer(kva, total, worst, stiff.neutral_a, loaded.line_a, loaded.lowest_v, fault, ground)


def _sizes(facts: Facts) -> tuple[float, ...]:
    if facts.output.regime == "iec":
        return R10_KVA
    return THREE_PHASE_KVA if _three_phase(facts) else SINGLE_PHASE_KVA


def _three_phase(facts: Facts) -> bool:
    return facts.output.joined in ("Dyn", "Dd")


def _complex_kva(load: Load) -> complex:
    return load.pieces * rect(load.kva, acos(load.power_factor))


def _ways(facts: Facts) -> Iterator[Facts]:
    """Yield the job with its free pieces on lines, in every way."""
    fixed = [load for load in facts.loads if load.place == "3" or load.lines]
    free = [
        replace(load, pieces=1)
        for load in facts.loads
        if load.place != "3" and not load.lines
        for _ in range(load.pieces)
    ]
    for spots in itertools.product(*(lines_of(facts.output, load.place) for load in free)):
        hung = [replace(load, lines=spot) for load, spot in zip(free, spots, strict=True)]
        yield replace(facts, loads=(*fixed, *hung))


def _worst_kva(facts: Facts) -> float:
    """Return the rating that the most loaded winding asks of the whole unit."""
    return Circuit(facts, 1e4, STIFF_PCT / 2, STIFF_PCT).loaded().worst_kva


@dataclass(frozen=True)
class Loaded:
    """Under load: what the most loaded winding asks of the unit [kVA], neutral and lines [A], lowest line volts."""

    worst_kva: float
    neutral_a: float | None
    line_a: tuple[float, ...]
    lowest_v: float


class Circuit:
    """One unit between a source and its loads."""

    def __init__(self, facts: Facts, kva: float, resistance_pct: float, impedance_pct: float) -> None:
        self.facts, self.kva = facts, kva
        self.r_pct = resistance_pct
        self.x_pct = sqrt(impedance_pct**2 - resistance_pct**2)

    def _open(self, stiff: bool) -> None:
        output, hz = self.facts.output, 50 if self.facts.output.regime == "iec" else 60
        phases = 3 if _three_phase(self.facts) else 1
        raised = 1 if stiff else self._factor_c()
        z = output.supply_v / sqrt(phases) / self.facts.fault_a * (1e-9 if stiff else raised)
        r = z / hypot(1, self.facts.x_over_r)
        x = r * self.facts.x_over_r
        bus = "p.1.2.3" if phases == 3 else "p.1"
        self._say(
            "clear",
            f"set defaultbasefrequency={hz}",
            f"new circuit.c phases={phases} bus1={bus} basekv={output.supply_v / 1e3} pu={raised} "
            f"R1={r} X1={x} R0={r} X0={x}",
            self._unit(),
        )

    def _unit(self) -> str:
        output = self.facts.output
        high, low = output.supply_v / 1e3, output.secondary_v / 1e3
        halves = f"%Rs=({self.r_pct / 2} {self.r_pct / 2}) xhl={self.x_pct}"
        rest = "%noloadloss=0 %imag=0 ppm_antifloat=0"
        if output.joined == "Iin":
            return (
                f"new transformer.t phases=1 windings=3 buses=(p.1.0 s.1.0 s.0.2) conns=(wye wye wye) "
                f"kVs=({high} {low / 2} {low / 2}) kVAs=({self.kva} {self.kva} {self.kva}) "
                f"%Rs=({self.r_pct / 2} {self.r_pct} {self.r_pct}) "
                f"xhl={1.2 * self.x_pct} xht={1.2 * self.x_pct} xlt={0.8 * self.x_pct} {rest}"
            )
        if output.joined == "Ii":
            return (
                f"new transformer.t phases=1 windings=2 buses=(p.1.0 s.1.0) conns=(wye wye) kVs=({high} {low}) "
                f"kVAs=({self.kva} {self.kva}) {halves} {rest}"
            )
        second, float_ppm = ("wye", 0) if output.joined == "Dyn" else ("delta", 1)
        star = "s.1.2.3.0" if second == "wye" else "s.1.2.3"
        return (
            f"new transformer.t phases=3 windings=2 buses=(p.1.2.3 {star}) conns=(delta {second}) "
            f"kVs=({high} {low}) kVAs=({self.kva} {self.kva}) {halves} {rest} ppm_antifloat={float_ppm}"
        )

    def _factor_c(self) -> float:
        """By which IEC 60909-0 raises the driving voltage of the largest fault; the supply's current has it in it."""
        return 1.10 if self.facts.output.regime == "iec" else 1.0

    @staticmethod
    def _say(*commands: str) -> None:
        for command in commands:
            DSS.Text.Command = command

    def _solve(self) -> None:
        self._say("set controlmode=off", "set tolerance=1e-8", "set maxiterations=400", "solve")
        if not DSS.ActiveCircuit.Solution.Converged:
            raise RuntimeError(f"does not converge: {self.facts}")

    def loaded(self) -> Loaded:
        """Return what the unit carries, the supply stiff."""
        self._open(stiff=True)
        for at, load in enumerate(self.facts.loads):
            self._say(self._load(at, load))
        self._solve()
        return Loaded(self._worst_kva(), self._neutral_a(), self._line_a(), self._lowest_v())

    def _load(self, at: int, load: Load) -> str:
        output, growth = self.facts.output, 1 + self.facts.growth / 100
        kv = output.secondary_v / 1e3
        phases = 1
        if load.place == "3":
            phases, bus = 3, "s.1.2.3" + (".0" if output.joined == "Dyn" else "")
        elif load.place == "LN":
            bus, kv = f"s.{NODES[load.lines]}.0", kv / (sqrt(3) if output.joined == "Dyn" else 2)
        else:
            bus = "s.1.0" if output.joined == "Ii" else "s." + ".".join(NODES[line] for line in load.lines)
        conn = "wye" if phases == 1 or output.joined == "Dyn" else "delta"
        return (
            f"new load.l{at} phases={phases} bus1={bus} conn={conn} kv={kv:.15g} "
            f"kva={load.kva * load.pieces * growth:.15g} pf={load.power_factor} model=5 vminpu=0.05 vmaxpu=5"
        )

    def _windings(self) -> list[tuple[float, float]]:
        """Current and rated current of each winding."""
        output = self.facts.output
        count, phases = (3 if output.joined == "Iin" else 2), (3 if _three_phase(self.facts) else 1)
        units = DSS.ActiveCircuit.Transformers
        units.Name = "t"
        values = units.WdgCurrents
        star = output.secondary_v / sqrt(3)
        volts = {
            "Dyn": (output.supply_v, star),
            "Dd": (output.supply_v, output.secondary_v),
            "Ii": (output.supply_v, output.secondary_v),
            "Iin": (output.supply_v, output.secondary_v, output.secondary_v),
        }[output.joined]
        found = []
        for phase in range(phases):
            for winding in range(count):
                at = 4 * (phase * count + winding)
                rated = self.kva * 1000 / phases / volts[winding]
                found.append((hypot(values[at], values[at + 1]), rated))
        return found

    def _worst_kva(self) -> float:
        return max(current / rated for current, rated in self._windings()) * self.kva

    def _terminal_a(self, element: str) -> list[complex]:
        DSS.ActiveCircuit.SetActiveElement(element)
        flat = DSS.ActiveCircuit.ActiveCktElement.Currents
        return [complex(flat[k], flat[k + 1]) for k in range(0, len(flat), 2)]

    def _neutral_a(self) -> float | None:
        """Current that returns in the neutral: the sum of what the lines carry out."""
        output = self.facts.output
        if "n" not in output.joined:
            return None
        found = self._terminal_a("transformer.t")
        if output.joined == "Dyn":
            return abs(sum(found[4:7]))
        return abs(found[2] + found[5])

    def _line_a(self) -> tuple[float, ...]:
        count = 3 if _three_phase(self.facts) else 1
        return tuple(abs(current) for current in self._terminal_a("vsource.source")[:count])

    def _lowest_v(self) -> float:
        flat, names = DSS.ActiveCircuit.AllBusVolts, DSS.ActiveCircuit.AllNodeNames
        volts = {name: complex(flat[2 * k], flat[2 * k + 1]) for k, name in enumerate(names)}
        nodes = [volts[name] for name in volts if name.startswith("s.")]
        nodes += [0j] if self.facts.output.joined == "Ii" else []
        return min(abs(a - b) for a, b in itertools.combinations(nodes, 2))

    def fault(self, nodes: str) -> float:
        """Return the current of a bolted fault between nodes of the secondary, nothing else on. [A]"""
        self._open(stiff=False)
        first, *others = nodes.split(".")
        for k, other in enumerate(others):
            self._say(f"new reactor.f{k} phases=1 bus1=s.{first} bus2=s.{other} R=1e-9 X=1e-9")
        self._solve()
        legs = [self._terminal_a(f"reactor.f{k}")[0] for k in range(len(others))]
        return max(*(abs(leg) for leg in legs), abs(sum(legs)))
