"""Variants of a circuit file in words: "load1.r_ohm=0.5..2.0:1000", with the names and keys that the file has.

::

    NAME.KEY=FROM..TO:COUNT      so many values, evenly spaced, both ends among them
    NAME.KEY=1,2,5               the values listed
    A.KEY+B.KEY=FROM..TO:COUNT   several that take the same value

Several such texts give every combination. Keys are those of the file: r_ohm, x_ohm of an impedance; line_to_line_v,
short_circuit_ka_3ph, x_over_r, z0_over_z1 of a source; kva_base, percent_r, percent_x of a unit, "w2.rated_v" of one
of its windings, "percent_x.1-3" of a pair of them; amps, angle_deg of a drawn current.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import isfinite, prod
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from turnwright.circuit.file_inputs import (
    CircuitInputs,
    DrawInput,
    ImpedanceInput,
    Source1Input,
    Source3Input,
)
from turnwright.circuit.network import Network, Source1, Source3
from turnwright.circuit.sweep.run import MOST_VARIANTS
from turnwright.circuit.sweep.varied import Values
from turnwright.errors import InputError, nearest

Floats = NDArray[np.float64]
FORM = "Write it as load1.r_ohm=0.5..2.0:1000, or load1.r_ohm=1,2,5."
SOURCE_KEYS = ("short_circuit_ka_3ph", "short_circuit_ka", "x_over_r", "z0_over_z1")
PLAIN: dict[Any, dict[str, str]] = {
    ImpedanceInput: {"r_ohm": "r_ohm", "x_ohm": "x_ohm"},
    DrawInput: {"amps": "current_a", "angle_deg": "angle_deg"},
    Source1Input: {"voltage_v": "voltage_v", "angle_deg": "angle_deg"},
    Source3Input: {"line_to_line_v": "line_v", "phase_1_to_earth_angle_deg": "angle_deg"},
}
OF_UNIT = {
    "kva_base": "kva",
    "percent_r": "resistance_pct",
    "percent_x": "reactance_pct",
    "noload_loss_percent": "no_load_loss_pct",
    "magnetizing_percent": "magnetizing_pct",
}


class Axis(NamedTuple):
    """One thing that varies: the names that take the same value, and the values."""

    names: tuple[str, ...]
    values: Floats


def axis_of(text: str) -> Axis:
    """Return what a text lets vary.

    Raises:
        InputError: CIR-15, a text of another form, or too many values.

    Example:
        >>> axis_of("load1.r_ohm+load2.r_ohm=1..2:3")
        Axis(names=('load1.r_ohm', 'load2.r_ohm'), values=array([1. , 1.5, 2. ]))
    """
    left, equals, right = text.partition("=")
    names = tuple(name.strip() for name in left.split("+"))
    if not equals or not all("." in name for name in names):
        raise _not_so(text)
    return Axis(names, _spread(text, right) if ".." in right else _listed(text, right))


def _spread(text: str, right: str) -> Floats:
    ends, colon, count = right.partition(":")
    low, _, high = ends.partition("..")
    if not colon or not count.strip().isdecimal():
        raise _not_so(text)
    number = int(count)
    if not 2 <= number <= MOST_VARIANTS:
        raise InputError("CIR-15", text, f"{number} values cannot be spread.", f"Take 2 to {MOST_VARIANTS}.")
    return np.linspace(_number(text, low), _number(text, high), number)


def _listed(text: str, right: str) -> Floats:
    return np.array([_number(text, part) for part in right.split(",")])


def _number(text: str, part: str) -> float:
    try:
        value = float(part)
    except ValueError:
        raise _not_so(text) from None
    if not isfinite(value):
        raise _not_so(text)
    return value


def _not_so(text: str) -> InputError:
    return InputError("CIR-15", f"--vary {text}", "says not what varies, or not how.", FORM)


def every_combination(axes: Sequence[Axis]) -> dict[str, Floats]:
    """Return name -> value in each variant, the last axis changing quickest.

    Raises:
        InputError: CIR-06, too many; CIR-15, a name that stands twice.

    Example:
        >>> every_combination([Axis(("a.r_ohm",), np.array([1.0, 2.0])), Axis(("b.r_ohm",), np.array([5.0, 6.0]))])
        {'a.r_ohm': array([1., 1., 2., 2.]), 'b.r_ohm': array([5., 6., 5., 6.])}
    """
    count = prod(len(axis.values) for axis in axes)
    if count > MOST_VARIANTS:
        raise InputError(
            "CIR-06", "--vary", f"{count} variants are more than {MOST_VARIANTS}.", "Take fewer steps."
        )
    names = [name for axis in axes for name in axis.names]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise InputError("CIR-15", twice, "stands twice.", "Let it vary once.")
    grids = np.meshgrid(*[axis.values for axis in axes], indexing="ij")
    return {
        name: np.ascontiguousarray(values.reshape(-1))
        for axis, values in zip(axes, grids, strict=True)
        for name in axis.names
    }


def in_network(read: CircuitInputs, network: Network, spoken: Mapping[str, Floats]) -> dict[str, Values]:
    """Return what varies by the fields of the network that a file describes.

    Raises:
        InputError: CIR-08, no such element; CIR-15, a key that does not vary, or values that cannot be.
    """
    records: dict[str, Any] = {
        one.name: one
        for one in (
            *read.sources, *read.transformer_units, *read.impedances, *read.harmonic_current_draws
        )
    }  # fmt: skip
    found: dict[str, Values] = {}
    of_sources: dict[str, dict[str, Floats]] = {}
    for spoken_name, values in spoken.items():
        name, key = _split(spoken_name, records)
        record = records[name]
        if key in SOURCE_KEYS and isinstance(record, Source1Input | Source3Input):
            of_sources.setdefault(name, {})[key] = values
        else:
            found[f"{name}.{_field(record, key, spoken_name)}"] = values
    known = {source.name: source for source in network.sources}
    for name, varied in of_sources.items():
        volts = found.get(f"{name}.line_v", found.get(f"{name}.voltage_v"))
        found |= _impedances(records[name], known[name], varied, volts)
    return found


def _split(spoken: str, records: Mapping[str, Any]) -> tuple[str, str]:
    fits = [name for name in records if spoken.startswith(f"{name}.")]
    if fits:
        name = max(fits, key=len)
        return name, spoken[len(name) + 1 :]
    word = spoken.split(".")[0]
    close = nearest(word, records)
    hint = f"Did you mean {close}?" if close else f"Known are {', '.join(list(records)[:12])}."
    raise InputError("CIR-08", spoken, f"the circuit has no {word}.", hint)


def _field(record: Any, key: str, spoken: str) -> str:
    """Return the field of the network behind a key of the file."""
    if type(record) in PLAIN:
        known = PLAIN[type(record)]
        if key in known:
            return known[key]
        allowed = [*known, *(SOURCE_KEYS if hasattr(record, "connection") else ())]
    else:
        head, dot, tail = key.partition(".")
        if not dot and key in OF_UNIT:
            return OF_UNIT[key]
        if head == "percent_x":
            return f"reactance_pct.{tail}"
        if head[:1] == "w" and tail in ("rated_v", "percent_r"):
            return f"{head}.{'rated_v' if tail == 'rated_v' else 'resistance_pct'}"
        allowed = [*OF_UNIT, "w1.rated_v", "w1.percent_r", "percent_x.1-2"]
    close = nearest(key, allowed)
    hint = f"Did you mean {close}?" if close else f"What varies: {', '.join(allowed)}."
    raise InputError("CIR-15", spoken, f"{key} does not vary.", hint)


def _impedances(
    record: Any, source: Source1 | Source3, varied: Mapping[str, Floats], volts: Values | None
) -> dict[str, Values]:
    """Return the impedances of a source whose fault current, X/R or Z0/Z1 varies."""
    three = isinstance(source, Source3)
    ka = varied.get("short_circuit_ka_3ph", varied.get("short_circuit_ka"))
    if ka is None:
        ka = record.short_circuit_ka_3ph if three else record.short_circuit_ka
    ratio = varied.get("x_over_r", record.x_over_r)
    if ka is None or ratio is None or not (np.all(np.asarray(ka) > 0) and np.all(np.asarray(ratio) >= 0)):
        fix = "Give both in the file, the fault current above zero."
        raise InputError("CIR-15", source.name, "its fault current or X/R is not known, or cannot be.", fix)
    if isinstance(source, Source3):
        behind_v = (source.line_v if volts is None else volts) / 3**0.5
    else:
        behind_v = source.voltage_v if volts is None else volts
    size = behind_v / (np.asarray(ka) * 1e3)
    r = size / np.sqrt(1 + np.asarray(ratio) ** 2)
    count = len(next(iter(varied.values())))
    z1: Values = np.broadcast_to(r * (1 + 1j * np.asarray(ratio)), count).astype(complex)
    if not isinstance(source, Source3):
        return {f"{source.name}.z_ohm": z1}
    zero = varied.get("z0_over_z1", source.z0_ohm / source.z1_ohm if source.z1_ohm else 1.0)
    z0: Values = np.asarray(z1 * zero, dtype=np.complex128)
    return {f"{source.name}.z1_ohm": z1, f"{source.name}.z0_ohm": z0}
