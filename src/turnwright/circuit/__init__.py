"""Networks of sources, coils on cores and loads, solved as the circuits they are."""

from turnwright.circuit.elements import conductors, delta_load, load, supply1, supply3, wye_load
from turnwright.circuit.network import (
    EARTH,
    Core,
    CurrentLoad,
    Impedance,
    Injection,
    Network,
    PowerLoad,
    Source1,
    Source3,
    Winding,
)
from turnwright.circuit.solution import HarmonicSolution, Solution, Undetermined
from turnwright.circuit.solve import solve, solve_harmonics

__all__ = [
    "EARTH",
    "Core",
    "CurrentLoad",
    "HarmonicSolution",
    "Impedance",
    "Injection",
    "Network",
    "PowerLoad",
    "Solution",
    "Source1",
    "Source3",
    "Undetermined",
    "Winding",
    "conductors",
    "delta_load",
    "load",
    "solve",
    "solve_harmonics",
    "supply1",
    "supply3",
    "wye_load",
]
