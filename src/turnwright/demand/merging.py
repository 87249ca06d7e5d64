"""One picture out of those of the sets of loads that may run together: of each number the largest."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from msgspec.structs import replace

from turnwright.demand.phasor_formulas import largest
from turnwright.demand.records import LoadPicture
from turnwright.working import Ledger

_NUMBERS = (
    "kva",
    "kva_with_growth",
    "motor_allowance_kva",
    "kva_heat",
    "on_kva",
    "worst_phase_kva",
    "neutral_a",
    "neutral_fundamental_a",
    "neutral_harmonic_a",
    "k_factor",
    "continuous_kva",
    "noncontinuous_kva",
    "motors_kva",
    "measured_kva",
    "code_kva",
)


def merged(pictures: Sequence[LoadPicture], common: dict[str, Any], work: Ledger) -> LoadPicture:
    """Return one picture with the largest of each number, recorded under its own name.

    common : what holds for all loads together, whatever runs
    """
    if len(pictures) == 1:
        return replace(pictures[0], **common)
    numbers: dict[str, Any] = {}
    for name in _NUMBERS:
        values = [getattr(one, name) for one in pictures]
        if values[0] is not None:
            named = {f"set[{number}].demand.{name}": value for number, value in enumerate(values)}
            numbers[name] = work.calc(f"demand.{name}", largest, **named)
    for name in ("line_a", "design_line_a"):
        numbers[name] = tuple(
            max(values) for values in zip(*(getattr(one, name) for one in pictures), strict=True)
        )
    by_kva = max(pictures, key=lambda one: one.kva)
    by_motor = max(pictures, key=lambda one: one.motor_allowance_kva)
    by_on = max(pictures, key=lambda one: one.on_kva)
    by_phase = max(pictures, key=lambda one: one.worst_phase_kva)
    by_k = max(pictures, key=lambda one: one.k_factor)
    return replace(
        by_phase,
        counted=by_kva.counted,
        power_factor=by_kva.power_factor,
        on_power_factor=by_on.on_power_factor,
        largest_motor=by_motor.largest_motor,
        spectrum=by_k.spectrum,
        **(numbers | common),
    )
