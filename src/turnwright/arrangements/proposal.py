"""What an arrangement answers when it is asked about a case."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from turnwright.circuit.connections import Connection
from turnwright.demand import LoadPicture
from turnwright.model.case import Case
from turnwright.model.result import Finding
from turnwright.quantities import VoltageSystem
from turnwright.working import Known, Ledger

Build = Callable[[float, float, float], Connection]


class NominalSystem(Struct, frozen=True):
    """A voltage system of the regime. `winding` is "wye" or "delta" for three-phase, "single" otherwise."""

    system: VoltageSystem
    winding: str
    preferred: bool


class Ask(Struct, frozen=True, kw_only=True):
    """What one part of an arrangement asks of the rating of each unit.

    basis    "heat" or "neutral", as in the result
    why      the part, in a few words
    formula  (derating, **inputs) -> kVA of one unit
    running  (**inputs, derating) without the allowance for a motor's start, for the loading; None: the same
    """

    basis: str
    why: str
    formula: Callable[..., float]
    inputs: dict[str, float]
    running: dict[str, float] | None = None


class Proposal(Struct, frozen=True, kw_only=True, eq=False):
    """One way to serve the loads, without a size.

    phases        of the system it serves
    unit_phases   of one unit
    units         number of units; kVA, windings and nameplate are of one unit, currents of all together
    primary       winding, or system where there is none of its own, on the supply side
    secondary     the same on the load side
    output        voltage system that the loads get
    load_system   system the loads are counted on, where their rated volts differ from `output`; None: `output`
    lines         lines of the supply it is connected to; "N" is the neutral
    derived       the output is a separately derived system
    covered       its secondary conductors may rely on the device before the transformer
    why           when this is the right way, in a sentence
    rank          smaller is preferred where several serve equally
    on_request    an option that is picked only where somebody asks for it
    build         (kva of one unit, resistance_pct, reactance_pct) -> coils and nodes, for circuit and drawings
    nodes         line of the load side -> its node; None: A, B, C are X1, X2, X3
    share         rating of one unit over the load that all carry together when it is balanced
    drop_share    rating of one unit that a voltage drop asks for, over that of a single ordinary unit
    impedance_share  usual impedance of such a unit, as `build` takes it, over that of two separate windings
    size_limits_kva  smallest and largest unit there is; None: the whole series
    load_current  (kva, voltage_v) -> rated current of the load side; None: by the number of phases
    asks          load -> what heat and neutral ask of one unit; None: as of an ordinary unit, times `share`
    adapt         load as demand sees it -> as this arrangement carries it; None: unchanged
    winding_v     windings of a buck-boost unit as they are connected; None for others
    shunt         it stands beside the line: only its own current flows through it
    tapped        the unit has the usual taps
    remarks       what there is to say about it, where it is picked
    """

    arrangement: str
    phases: int
    unit_phases: int
    units: int
    primary: VoltageSystem
    secondary: VoltageSystem
    output: VoltageSystem
    load_system: VoltageSystem | None = None
    lines: tuple[str, ...]
    vector_group: str | None
    derived: bool
    covered: bool
    why: str
    rank: int
    on_request: bool = False
    build: Build
    nodes: dict[str, str] | None = None
    share: float = 1.0
    drop_share: float = 1.0
    impedance_share: float = 1.0
    size_limits_kva: tuple[float, float] | None = None
    load_current: Callable[..., float] | None = None
    asks: Callable[[LoadPicture], tuple[Ask, ...]] | None = None
    adapt: Callable[[LoadPicture, Ledger], LoadPicture] | None = None
    winding_v: tuple[float, float] | None = None
    shunt: bool = False
    tapped: bool = True
    remarks: Callable[[], tuple[Finding, ...]] | None = None

    @property
    def step_up(self) -> bool:
        """The load side has the higher voltage."""
        return self.secondary.line_v > self.primary.line_v * (1 + 1e-9)


class NotServed(Struct, frozen=True, kw_only=True):
    """Why an arrangement does not serve a case. `shown`: worth a line among the options."""

    code: str
    message: str
    clause: str | None = None
    known: Known
    shown: bool = True


class Arrangement(Struct, frozen=True, kw_only=True):
    """A way in which a transformer can stand between supply and loads.

    asked  whether a case asks for it, where it is picked only then; None: it is always looked at
    """

    name: str
    says: str
    asked: Callable[[Case], bool] | None = None
    propose: Callable[[Case, tuple[NominalSystem, ...]], tuple[Proposal, ...] | NotServed]
