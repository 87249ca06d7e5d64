"""The inputs of a circuit in JSON: their records, and the network they describe."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf
from typing import Any

import msgspec
from msgspec import Struct, field

from turnwright.circuit.elements import source_impedance_ohm
from turnwright.circuit.network import (
    EARTH,
    Core,
    Impedance,
    Injection,
    Network,
    Source,
    Source1,
    Source3,
    Winding,
)
from turnwright.errors import InputError, UnknownKey, nearest

Pair = tuple[float, float]
SHUNT = "across the terminals of winding 2"
EARTHED, NOT_EARTHED = "wye, star point solidly earthed", "wye, star point not earthed"
# a stated impedance may be rounded, but not contradict the stated fault current
AGREEMENT = 0.05


class Source3Input(Struct, frozen=True, tag_field="phases", tag=3):
    """A three-phase source; without `z1_ohm` its impedance follows from the fault current and X/R."""

    name: str
    nodes: tuple[str, str, str]
    line_to_line_v: float
    phase_1_to_earth_angle_deg: float = 0.0
    z1_ohm: Pair | None = None
    z0_ohm: Pair | None = None
    short_circuit_ka_3ph: float | None = None
    x_over_r: float | None = None
    z0_over_z1: float | None = None
    connection: str = EARTHED


class Source1Input(Struct, frozen=True, tag_field="phases", tag=1):
    """A single-phase source between a node and earth."""

    name: str
    nodes: tuple[str]
    voltage_v: float
    angle_deg: float = 0.0
    z1_ohm: Pair | None = None
    short_circuit_ka: float | None = None
    x_over_r: float | None = None
    connection: str = "node to earth"


class WindingInput(Struct, frozen=True):
    """One winding of a unit."""

    rated_v: float
    dot: str
    other: str
    percent_r: float


class UnitInput(Struct, frozen=True):
    """One core."""

    name: str
    kva_base: float
    windings: list[WindingInput]
    percent_x: dict[str, float]
    bank: str | None = None
    noload_loss_percent: float = 0.0
    magnetizing_percent: float = 0.0
    shunt_position: str = SHUNT


class ImpedanceInput(Struct, frozen=True, rename={"start": "from", "end": "to"}):
    """One impedance."""

    name: str
    start: str
    end: str
    r_ohm: float
    x_ohm: float = 0.0
    role: str = "load"


class DrawInput(Struct, frozen=True, rename={"start": "from", "end": "to"}):
    """One current drawn at one harmonic order."""

    name: str
    start: str
    end: str
    harmonic: int
    amps: float
    angle_deg: float = 0.0


class CircuitInputs(Struct, frozen=True):
    """All inputs of a phasor or harmonic case; `transformers` only describes and is not computed with."""

    frequency_hz: float
    sources: list[Source3Input | Source1Input]
    transformer_units: list[UnitInput] = []
    impedances: list[ImpedanceInput] = []
    harmonic_current_draws: list[DrawInput] = []
    harmonics: list[int] | None = None
    transformers: list[Any] = field(default_factory=list)

    def orders(self) -> list[int]:
        """Return the harmonic orders to solve."""
        if self.harmonics:
            return list(dict.fromkeys(self.harmonics))
        return sorted({1, *(draw.harmonic for draw in self.harmonic_current_draws)})


KNOWN: dict[str, Sequence[type[Struct]]] = {
    "sources": (Source3Input, Source1Input),
    "transformer_units": (UnitInput,),
    "windings": (WindingInput,),
    "impedances": (ImpedanceInput,),
    "harmonic_current_draws": (DrawInput,),
}


def circuit_inputs(inputs: dict[str, Any], path: str) -> CircuitInputs:
    """Return the inputs of a case, checked.

    Raises:
        InputError: CIR-10, something is missing or of the wrong kind.
        UnknownKey: CIR-11, a key that looks like a misspelt one. Other extra keys are remarks and are left
        alone.
    """
    _check_keys(inputs, (CircuitInputs,), path)
    try:
        read = msgspec.convert(inputs, CircuitInputs)
    except (msgspec.ValidationError, OverflowError) as wrong:
        what, _, at = str(wrong).partition(" - at `")
        place = path + at.rstrip("`").removeprefix("$")
        raise InputError("CIR-10", place, f"{what}.", "Look at the place named.") from None
    if read.transformers and not read.transformer_units:
        raise InputError(
            "CIR-10",
            f"{path}.transformer_units",
            "the windings of the transformers are missing.",
            "Add them.",
        )
    return read


def _check_keys(record: dict[str, Any], kinds: Sequence[type[Struct]], path: str) -> None:
    known = [*{key: None for kind in kinds for key in (*kind.__struct_encode_fields__, "phases")}]
    for key, value in record.items():
        if key not in known:
            close = nearest(key, known)
            if close:
                raise UnknownKey("CIR-11", f"{path}.{key}", "is no known key.", f"Did you mean {close}?")
        elif key in KNOWN and isinstance(value, list):
            for at, item in enumerate(value):
                if isinstance(item, dict):
                    _check_keys(item, KNOWN[key], f"{path}.{key}[{at}]")


def network_of(read: CircuitInputs, path: str) -> Network:
    """Return the network that the inputs describe.

    Raises:
        InputError: CIR-10, values that contradict each other or leave something out.
    """
    return Network(
        read.frequency_hz,
        tuple(_source(source, f"{path}.sources[{at}]") for at, source in enumerate(read.sources)),
        tuple(
            _core(unit, f"{path}.transformer_units[{at}]") for at, unit in enumerate(read.transformer_units)
        ),
        tuple(Impedance(z.name, z.start, z.end, z.r_ohm, z.x_ohm, z.role) for z in read.impedances),
        tuple(
            Injection(d.name, d.start, d.end, d.harmonic, d.amps, d.angle_deg)
            for d in read.harmonic_current_draws
        ),
    )


def _source(source: Source3Input | Source1Input, path: str) -> Source:
    if isinstance(source, Source1Input):
        if source.connection != "node to earth":
            raise _not_known(path, "connection", source.connection, "node to earth")
        z1 = _impedance(source.z1_ohm, source.voltage_v, source.short_circuit_ka, source.x_over_r, path)
        return Source1(source.name, source.nodes[0], EARTH, source.voltage_v, z1, source.angle_deg)
    if source.connection not in (EARTHED, NOT_EARTHED):
        raise _not_known(path, "connection", source.connection, f"{EARTHED} or {NOT_EARTHED}")
    volts = source.line_to_line_v / 3**0.5
    z1 = _impedance(source.z1_ohm, volts, source.short_circuit_ka_3ph, source.x_over_r, path)
    ratio = 1.0 if source.z0_over_z1 is None else source.z0_over_z1
    z0 = z1 * ratio if source.z0_ohm is None else complex(*source.z0_ohm)
    if source.z0_over_z1 is not None and abs(z0 - z1 * ratio) > AGREEMENT * abs(z1 * ratio):
        raise InputError("CIR-10", path, "z0_ohm contradicts z0_over_z1.", "Keep one of them.")
    angle = source.phase_1_to_earth_angle_deg
    star = EARTH if source.connection == EARTHED else None
    return Source3(source.name, source.nodes, source.line_to_line_v, z1, z0, angle, star)


def _impedance(
    given: Pair | None, volts: float, fault_ka: float | None, ratio: float | None, path: str
) -> complex:
    derived = None
    if fault_ka is not None and ratio is not None:
        derived = source_impedance_ohm(volts, fault_ka * 1e3, ratio)
    if given is None:
        if derived is None:
            raise InputError(
                "CIR-10", path, "z1_ohm is missing.", "Give it, or the fault current and x_over_r."
            )
        return derived
    z = complex(*given)
    if derived is not None and abs(z - derived) > AGREEMENT * abs(derived) < inf:
        raise InputError(
            "CIR-10", path, "z1_ohm contradicts the fault current and x_over_r.", "Keep one of them."
        )
    return z


def _core(unit: UnitInput, path: str) -> Core:
    if unit.shunt_position != SHUNT:
        raise _not_known(path, "shunt_position", unit.shunt_position, SHUNT)
    count = len(unit.windings)
    wanted = [f"{i}-{j}" for i in range(1, count) for j in range(i + 1, count + 1)]
    if set(unit.percent_x) != set(wanted):
        raise InputError(
            "CIR-10",
            f"{path}.percent_x",
            f"has {', '.join(unit.percent_x) or 'nothing'} for {count} windings.",
            f"Give each pair once: {', '.join(wanted)}.",
        )
    return Core(
        unit.name,
        unit.kva_base,
        tuple(Winding(w.dot, w.other, w.rated_v, w.percent_r) for w in unit.windings),
        tuple(unit.percent_x[pair] for pair in wanted),
        unit.noload_loss_percent,
        unit.magnetizing_percent,
        unit.bank,
    )


def _not_known(path: str, key: str, value: str, known: str) -> InputError:
    return InputError("CIR-10", f"{path}.{key}", f"{value!r} is not known here.", f"Write: {known}.")
