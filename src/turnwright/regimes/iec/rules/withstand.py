"""Rules about conductors in a short circuit: the adiabatic check of IEC 60364-4-43 434.5.2 and 5-54 543.1.2."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from turnwright.quantities import ConductorSize, figure, parse_conductor_size
from turnwright.reference import load
from turnwright.regimes.common.rules import plain
from turnwright.regimes.iec.numbers import limit
from turnwright.regimes.rule import Facts, Lacks, Rule, Said
from turnwright.working import formula

EARTHED_SUPPLIES = ("TN-S", "TN-C-S", "TN-C")
"""Supplies whose fault to earth comes near that between lines; elsewhere electrodes limit it."""


@formula("√(I² · t) / k", "mm²", "IEC 60364-4-43 434.5.2, 5-54 543.1.2")
def least_for_withstand_mm2(fault_a: float, time_s: float, k: float) -> float:
    """Return the least conductor that survives a short circuit without giving off heat. [mm²]

    fault_a : short-circuit current [A]
    time_s  : until it is cleared, 0.1 to 5 s [s]
    k       : by metal and insulation [A·√s/mm²]
    Source: IEC 60364-4-43 434.5.2, IEC 60364-5-54 543.1.2

    Example:
        >>> round(least_for_withstand_mm2(fault_a=10000.0, time_s=0.1, k=115.0), 1)
        27.5
    """
    return fault_a * float(time_s**0.5) / k


@formula("(k · S)²", "A²s", "IEC 60364-4-43 434.5.2, 5-54 543.1.2")
def stands_a2s(area_mm2: float, k: float) -> float:
    """Return the let-through energy that a conductor stands. [A²s]

    area_mm2 : of the conductor [mm²]
    k        : by metal and insulation [A·√s/mm²]
    Source: IEC 60364-4-43 434.5.2

    Example:
        >>> stands_a2s(area_mm2=16.0, k=115.0)
        3385600.0
    """
    return (k * area_mm2) ** 2


class Stressed(NamedTuple):
    """A conductor with the short circuit at its beginning."""

    what: str
    size: str
    area_mm2: float
    fault_a: float
    k: float

    def least_mm2(self, time_s: float) -> float:
        """Return the least area that stands it for so long. [mm²]"""
        return least_for_withstand_mm2(self.fault_a, time_s, self.k)


def k_of(metal: str, insulation: str, role: str) -> float:
    """Return k of a line conductor, or of a protective one that lies in the same cable. [A·√s/mm²]

    Source: IEC 60364-4-43 Table 43A, IEC 60364-5-54 Table A.54.4

    Example:
        >>> k_of("copper", "PVC", "line"), k_of("aluminum", "XLPE", "protective")
        (115.0, 94.0)
    """
    table = load("iec_withstand").newest()
    return float(table.row(role=role, metal=metal, insulation=insulation).number("k"))


def _area_mm2(size: str) -> float:
    found = parse_conductor_size(size, where="cable")
    assert isinstance(found, ConductorSize)
    return float(found.area_mm2)


def lines(facts: Facts) -> Iterator[Stressed]:
    """Yield the line conductors of both sides whose short circuit is known."""
    runs, insulation = facts.blocks.conductors, facts.case.circuit.insulation
    for what, run, fault_a in (
        ("primary cable", runs.primary, facts.case.supply.fault_current_a),
        ("secondary cable", runs.secondary, facts.blocks.fault.maximum_a),
    ):
        if run is not None and run.sets > 0 and fault_a is not None:
            size = f"{run.sets} × {run.size}" if run.sets > 1 else run.size
            k = k_of(run.metal, insulation, "line")
            yield Stressed(what, size, _area_mm2(run.size) * run.sets, float(fault_a), k)


def protective(facts: Facts) -> Iterator[Stressed]:
    """Yield the protective conductors of both sides whose fault to earth is known."""
    wires, supply, insulation = facts.blocks.grounding, facts.case.supply, facts.case.circuit.insulation
    before_a = supply.fault_current_a if supply.earthing in EARTHED_SUPPLIES else None
    for what, size, run, fault_a in (
        ("primary", wires.equipment_conductor, facts.blocks.conductors.primary, before_a),
        (
            "secondary",
            wires.load_equipment_conductor,
            facts.blocks.conductors.secondary,
            facts.blocks.fault.line_ground_a,
        ),
    ):
        if size is not None and run is not None and fault_a is not None:
            k = k_of(run.metal, insulation, "protective")
            yield Stressed(
                f"{what} protective conductor", size, _area_mm2(size) * run.sets, float(fault_a), k
            )


def _judged(stressed: list[Stressed]) -> Iterator[Said]:
    """Say which conductors need a device that limits, or that all stand it."""
    time_s = float(limit("short_circuit_time_s"))
    short = [one for one in stressed if one.area_mm2 < one.least_mm2(time_s) * (1 - plain.SAME)]
    for one in short:
        least_mm2 = one.least_mm2(time_s)
        through = figure(stands_a2s(one.area_mm2, one.k) / 1e6, rounding="down", digits=3)
        yield Said(
            message=(
                f"{plain.start(one.what)}: {figure(one.fault_a / 1000, rounding='up')} kA for {time_s:g} s would ask "
                f"for {figure(least_mm2, rounding='up')} mm² (k {one.k:g}); {one.size} stands {through}·10⁶ A²s. The "
                "device "
                "before it must let through less: a limiting breaker or fuse, by its maker's curve."
            ),
            value=one.area_mm2,
            limit=least_mm2,
            unit="mm²",
        )
    if stressed and not short:
        tight = max(stressed, key=lambda one: one.least_mm2(time_s) / one.area_mm2)
        least_mm2 = tight.least_mm2(time_s)
        yield Said(
            message=(
                f"{plain.start(tight.what)} {tight.size}: {figure(tight.fault_a / 1000, rounding='up')} kA asks for "
                f"{figure(least_mm2, rounding='up')} mm² where it lasts {time_s:g} s (k {tight.k:g}), which is assumed "
                "for a device that trips at once: it holds. A slower device is checked by its let-through."
            ),
            value=tight.area_mm2,
            limit=least_mm2,
            unit="mm²",
        )


def cable_withstand(facts: Facts) -> Iterator[Said | Lacks]:
    """434.5.2: (k S)² against I² t of the short circuit at the start of each cable."""
    if facts.case.supply.fault_current_a is None:
        yield Lacks(("supply.fault_current",))
    yield from _judged(list(lines(facts)))


def protective_withstand(facts: Facts) -> Iterator[Said]:
    """543.1.2: S ≥ √(I² t) / k of the protective conductors that Table 54.2 has chosen."""
    yield from _judged(list(protective(facts)))


RULES = (
    Rule(
        id="cable-withstand",
        severity="note",
        check=cable_withstand,
    ),
    Rule(
        id="protective-withstand",
        severity="note",
        check=protective_withstand,
        trips={},
        clean={"load": [{"system": "275 3ph", "kva": "20 kVA"}], "supply": {"earthing": "TT"}},
    ),
)
