"""Cables for the devices chosen: I_B ≤ I_n ≤ I_z and I_2 ≤ 1.45 I_z (IEC 60364-4-43), capacity by 5-52."""

from __future__ import annotations

from turnwright.reference import load
from turnwright.regimes.common.clauses import under
from turnwright.regimes.common.conductors import (
    MOST_SETS,
    fewest_sets,
    no_conductor,
    run_drop_pct,
    voltage_drop_pct,
)
from turnwright.regimes.common.devices import SAME
from turnwright.regimes.iec import capacity as of
from turnwright.regimes.iec.capacity import Cable
from turnwright.regimes.iec.numbers import limit
from turnwright.regimes.procedures import RunNeed, RunPlan
from turnwright.working import Ledger, Number, formula

ASSUMED = (("B2", 2), ("E", MOST_SETS))
"""Where nobody says how cables are laid: the method, and how many are still laid that way side by side."""


@formula("ρ_1 · 1000 / S", "ohm/km", "IEC 60364-5-52 Annex G")
def resistance_ohm_per_km(resistivity: float, area_mm2: float) -> float:
    """Return the resistance of a conductor in service. [ohm/km]

    resistivity : in service [ohm·mm²/m]
    area_mm2    : of one conductor [mm²]
    Source: IEC 60364-5-52 Annex G

    Example:
        >>> resistance_ohm_per_km(resistivity=0.0225, area_mm2=25.0)
        0.9
    """
    return resistivity * 1000 / area_mm2


@formula("multiple · I_n / 1.45", "A", "IEC 60364-4-43 433.1")
def least_by_tripping_a(device_a: float, multiple: float, overload_factor: float) -> float:
    """Return the least capacity that a device protects against overload, by its tripping current. [A]

    device_a        : rated current of the device [A]
    multiple        : conventional tripping current over rated current [-]
    overload_factor : by which that current may exceed the capacity [-]
    Source: IEC 60364-4-43 433.1 (I_2 ≤ 1.45 I_z)

    Example:
        >>> round(least_by_tripping_a(device_a=63.0, multiple=1.6, overload_factor=1.45), 2)
        69.52
    """
    return device_a * multiple / overload_factor


class Conductors:
    """The procedure: `Conductors()(need, work)`. Areas are in mm²."""

    def __init__(self) -> None:
        self.drop = under("IEC 60364-5-52 Annex G", voltage_drop_pct)
        self.parallel_least_mm2 = limit("parallel_min_mm2")
        self.largest_mm2 = limit("largest_cable_mm2")
        self.source = load("iec_ampacity").newest().rows[0].source

    def __call__(self, need: RunNeed, work: Ledger) -> RunPlan:
        """Return the fewest cables of the smallest size that carry load and device.

        Where nobody says how they are laid: in conduit on a wall, and on a tray what that cannot carry.
        """
        ways = ASSUMED if need.installation is None else ((of.method_of(need.installation), MOST_SETS),)
        for method, most_sets in ways:
            plan = self._laid(need, _Laid(need, method), most_sets, work)
            if plan is not None:
                return plan
        return no_conductor(need, self.source)

    def _laid(self, need: RunNeed, laid: _Laid, most_sets: int, work: Ledger) -> RunPlan | None:
        if laid.temperature is None:
            return None
        least_a = self._least_a(need, laid, work)
        found = fewest_sets(
            lambda _: laid.cables,
            lambda cable, sets: laid.capacity_a(cable, sets) * sets >= least_a * (1 - SAME),
            self.largest_mm2,
            self.parallel_least_mm2,
            most_sets,
        )
        if found is None:
            return None
        cable, sets = found
        return RunPlan(
            size=cable.size,
            sets=sets,
            metal=need.metal,
            ampacity_a=_record(need, laid, cable, sets, work),
            total_area=cable.area * sets,
            set_area=cable.area,
            raceway=None,
            drop_pct=self._drop_pct(need, cable, sets, work),
            findings=(),
        )

    def _least_a(self, need: RunNeed, laid: _Laid, work: Ledger) -> float:
        """I_B ≤ I_z and I_n ≤ I_z; I_2 ≤ 1.45 I_z; a cable without a device of its own relies on the one before."""
        asked_a = laid.harmonic.asked_a(max(need.load_a, need.design_a), need.third_harmonic_pct)
        device_a = need.before_a if need.relies_on_before and need.before_a is not None else need.device_a
        if device_a <= 0:
            return asked_a
        by_tripping_a: float = work.calc(
            f"conductors.{need.side}.least_by_tripping_a",
            least_by_tripping_a,
            device_a=device_a,
            multiple=of.tripping_multiple(need.device_kind, device_a),
            overload_factor=limit("overload_factor"),
        )
        return max(asked_a, device_a, by_tripping_a)

    def _drop_pct(self, need: RunNeed, cable: Cable, sets: int, work: Ledger) -> float | None:
        if need.length_m is None:
            return None
        r = work.calc(
            f"conductors.{need.side}.r_ohm_per_km",
            resistance_ohm_per_km,
            resistivity=limit(f"resistivity_{need.metal}"),
            area_mm2=cable.area,
        )
        x = limit("reactance")
        return run_drop_pct(need, sets, r, x, work, self.drop)


class _Laid:
    """How a run is laid: its table, and the factors on it."""

    def __init__(self, need: RunNeed, method: str) -> None:
        self.method = method
        insulation = need.insulation or "PVC"
        if need.terminals_c is not None and need.terminals_c < of.NINETY_C:
            insulation = "PVC"  # the cable may be no warmer than its terminals
        self.insulation = insulation
        loaded = 3 if need.phases == 3 else 2
        least = limit("aluminum_min_mm2") if need.metal == "aluminum" else 0.0
        self.cables = tuple(
            cable for cable in of.cables(self.method, insulation, loaded, need.metal) if cable.area >= least
        )
        ground_c = need.ambient_c if need.ground_c is None else need.ground_c
        self.temperature: Number | None = of.temperature_factor(
            self.method, insulation, float(need.ambient_c), float(ground_c)
        )
        self.harmonic = of.harmonic(float(need.third_harmonic_pct))

    def capacity_a(self, cable: Cable, sets: int) -> float:
        """Return the capacity of one cable among so many. [A]"""
        grouping = of.grouping_factor(self.method, sets) or 0.0
        return of.capacity_a(cable.table_a, self.temperature or 0.0, grouping, self.harmonic.factor)


def _record(need: RunNeed, laid: _Laid, cable: Cable, sets: int, work: Ledger) -> float:
    one_a = work.calc(
        f"conductors.{need.side}.capacity_a",
        of.capacity_a,
        table_a=cable.table_a,
        temperature_factor=laid.temperature,
        grouping_factor=of.grouping_factor(laid.method, sets),
        harmonic_factor=laid.harmonic.factor,
    )
    total_a: float = work.calc(
        f"conductors.{need.side}.ampacity_a", of.together_a, capacity_a=one_a, cables=sets
    )
    return total_a
