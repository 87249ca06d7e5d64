"""What an arrangement answers when it is asked about a case."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from turnwright.circuit.connections import Connection
from turnwright.model.case import Case
from turnwright.quantities import VoltageSystem
from turnwright.working import Known

Build = Callable[[float, float, float], Connection]


class NominalSystem(Struct, frozen=True):
    """A voltage system of the regime. `winding` is "wye" or "delta" for three-phase, "single" otherwise."""

    system: VoltageSystem
    winding: str
    preferred: bool


class Proposal(Struct, frozen=True, kw_only=True):
    """One way to serve the loads, without a size.

    phases        of one unit
    units         number of units; all other values are of one unit
    primary       winding on the supply side
    secondary     winding on the load side
    output        voltage system that the loads get
    lines         lines of the supply it is connected to
    derived       the output is a separately derived system
    covered       its secondary conductors may rely on the device before the transformer
    step_up       the load side has the higher voltage
    why           when this is the right way, in a sentence
    rank          smaller is preferred where several serve equally
    build         (kva, resistance_pct, reactance_pct) -> the coils and nodes, for the circuit and for drawings
    """

    arrangement: str
    phases: int
    units: int
    primary: VoltageSystem
    secondary: VoltageSystem
    output: VoltageSystem
    lines: tuple[str, ...]
    vector_group: str | None
    derived: bool
    covered: bool
    why: str
    rank: int
    build: Build

    @property
    def step_up(self) -> bool:
        """The load side has the higher voltage."""
        return self.secondary.line_v > self.primary.line_v * (1 + 1e-9)


class NotServed(Struct, frozen=True, kw_only=True):
    """Why an arrangement does not serve a case."""

    code: str
    message: str
    clause: str | None = None
    known: Known


class Arrangement(Struct, frozen=True, kw_only=True):
    """A way in which a transformer can stand between supply and loads."""

    name: str
    says: str
    propose: Callable[[Case, tuple[NominalSystem, ...]], tuple[Proposal, ...] | NotServed]
