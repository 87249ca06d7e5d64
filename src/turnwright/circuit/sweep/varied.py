"""Which numbers of a network vary: `load1.r_ohm`, `SUP.line_v`, `T1.kva`, `T1.w2.rated_v`, with a value a variant."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, TypeAlias, cast

import numpy as np
from msgspec.structs import replace
from numpy.typing import ArrayLike, NDArray

from turnwright.circuit.network import Core, Impedance, Injection, Network, Source1, Source3
from turnwright.errors import InputError, UnknownKey, nearest

Values: TypeAlias = NDArray[np.complex128] | NDArray[np.float64]
Element: TypeAlias = Source3 | Source1 | Core | Impedance | Injection
Changes: TypeAlias = dict[str, dict[str, Values]]
FIELDS: dict[type, tuple[str, ...]] = {
    Impedance: ("r_ohm", "x_ohm", "xc_ohm"),
    Source1: ("voltage_v", "angle_deg", "z_ohm"),
    Source3: ("line_v", "angle_deg", "z1_ohm", "z0_ohm"),
    Injection: ("current_a", "angle_deg"),
    Core: ("kva", "resistance_pct", "reactance_pct", "no_load_loss_pct", "magnetizing_pct"),
}
WINDING_FIELDS = ("rated_v", "resistance_pct")
COMPLEX = ("z_ohm", "z1_ohm", "z0_ohm")
SIGNED = ("x_ohm", "angle_deg", "current_a")
NO_LOAD = ("no_load_loss_pct", "magnetizing_pct")
ABOVE_ZERO = ("kva", "rated_v")


def changes_of(network: Network, varied: Mapping[str, ArrayLike]) -> tuple[Changes, int]:
    """Return element -> field -> values, and how many variants there are.

    Raises:
        InputError: CIR-08, no such element; CIR-15, values that cannot be, or of different lengths.
        UnknownKey: CIR-15, a field that does not vary.
    """
    elements = elements_of(network)
    found: Changes = {}
    count: int | None = None
    for key, given in varied.items():
        name, field = split(key, elements)
        values = _checked(key, field, given)
        _refuse_without_shunt(key, elements[name], field)
        if count not in (None, len(values)):
            raise InputError(
                "CIR-15", key, f"has {len(values)} values, others {count}.", "Give as many to each."
            )
        count = len(values)
        found.setdefault(name, {})[field] = values
    if count is None:
        raise InputError("CIR-15", "sweep", "nothing varies.", "Name one number at least, as load1.r_ohm.")
    return found, count


def elements_of(network: Network) -> dict[str, Element]:
    """Return every element that may vary, by its name."""
    listed: Sequence[Element] = (
        *network.sources,
        *network.cores,
        *network.impedances,
        *network.injections,
    )
    return {element.name: element for element in listed}


def split(key: str, elements: Mapping[str, Element]) -> tuple[str, str]:
    """Return element and field of a name such as "T1.1.w2.rated_v".

    Raises:
        InputError: CIR-08, no such element.
        UnknownKey: CIR-15, a field that does not vary.
    """
    fits = [name for name in elements if key.startswith(f"{name}.")]
    if not fits:
        word = key.split(".")[0]
        close = nearest(word, elements)
        hint = f"Did you mean {close}?" if close else f"Known are {', '.join(list(elements)[:12])}."
        raise InputError("CIR-08", key, f"there is no element {word}.", hint)
    name = max(fits, key=len)
    field = key[len(name) + 1 :]
    known = fields_of(elements[name])
    if field not in known:
        close = nearest(field, known)
        hint = f"Did you mean {close}?" if close else f"What varies: {', '.join(known)}."
        raise UnknownKey("CIR-15", key, f"{field} of {name} does not vary.", hint)
    return name, field


def fields_of(element: Element) -> tuple[str, ...]:
    """Return the fields of an element that may vary.

    Example:
        >>> fields_of(Impedance("z", "a", "0", 1.0))
        ('r_ohm', 'x_ohm', 'xc_ohm')
    """
    fields = FIELDS[type(element)]
    if not isinstance(element, Core):
        return fields
    windings = range(1, len(element.windings) + 1)
    pairs = tuple(f"reactance_pct.{i}-{j}" for i in windings for j in windings if i < j)
    return (*fields, *pairs, *(f"w{k}.{field}" for k in windings for field in WINDING_FIELDS))


def _refuse_without_shunt(key: str, element: Element, field: str) -> None:
    """A core that is ideal has no branch whose loss could vary."""
    if (
        isinstance(element, Core)
        and field in NO_LOAD
        and not (element.no_load_loss_pct or element.magnetizing_pct)
    ):
        fix = "Give the core some no-load loss or magnetizing current first."
        raise InputError("CIR-15", key, f"{element.name} has no no-load branch.", fix)


def _checked(key: str, field: str, given: ArrayLike) -> Values:
    word = field.rpartition(".")[2]
    kind: Any = np.complex128 if word in COMPLEX else np.float64
    try:
        values = cast(Values, np.ascontiguousarray(given, dtype=kind))
    except (TypeError, ValueError):
        raise InputError("CIR-15", key, "its values are no numbers.", "Give a list of numbers.") from None
    if values.ndim != 1 or not len(values):
        raise InputError("CIR-15", key, "its values are no list, or an empty one.", "Give a list of numbers.")
    sizes = values.real
    good = np.isfinite(values)
    if word in ABOVE_ZERO:
        good &= sizes > 0
    elif word not in SIGNED:
        good &= sizes >= 0
    if not good.all():
        at = int(np.argmin(good))
        fix = "Numbers must be finite, ratings above zero, resistances and percentages not below zero."
        raise InputError("CIR-15", key, f"value {at + 1} is {values[at]}.", fix)
    return values


def variant_of(network: Network, changes: Changes, variant: int) -> Network:
    """Return the network of one variant, numbered from 0."""
    elements = elements_of(network)
    made: dict[str, Any] = {
        name: _changed(elements[name], fields, variant) for name, fields in changes.items()
    }
    return replace(
        network,
        sources=tuple(made.get(one.name, one) for one in network.sources),
        cores=tuple(made.get(one.name, one) for one in network.cores),
        impedances=tuple(made.get(one.name, one) for one in network.impedances),
        injections=tuple(made.get(one.name, one) for one in network.injections),
    )


def _changed(element: Element, fields: Mapping[str, Values], variant: int) -> Element:
    values = {field: array[variant].item() for field, array in fields.items()}
    if not isinstance(element, Core):
        return replace(element, **values)
    return replace(
        element,
        kva=values.get("kva", element.kva),
        no_load_loss_pct=values.get("no_load_loss_pct", element.no_load_loss_pct),
        magnetizing_pct=values.get("magnetizing_pct", element.magnetizing_pct),
        reactance_pct=_reactances(element, values),
        windings=tuple(
            replace(
                winding,
                rated_v=values.get(f"w{k}.rated_v", winding.rated_v),
                resistance_pct=values.get(
                    f"w{k}.resistance_pct", values.get("resistance_pct", winding.resistance_pct)
                ),
            )
            for k, winding in enumerate(element.windings, 1)
        ),
    )


def _reactances(core: Core, values: Mapping[str, Any]) -> tuple[float, ...]:
    count = len(core.windings)
    pairs = [(i, j) for i in range(1, count) for j in range(i + 1, count + 1)]
    own = zip(pairs, core.reactance_pct, strict=True)
    return tuple(values.get(f"reactance_pct.{i}-{j}", values.get("reactance_pct", x)) for (i, j), x in own)
