"""The fewest sets of the smallest conductor that will do, and the voltage drop of a run in SI units."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import sqrt
from typing import Protocol, TypeVar

from turnwright.reference import Source
from turnwright.regimes.common.devices import SAME
from turnwright.regimes.procedures import RunNeed, RunPlan
from turnwright.regimes.said import cited
from turnwright.working import Ledger, formula

MOST_SETS = 12


class Conductor(Protocol):
    """What the search looks at: the area of one conductor, in the unit of the regime's tables."""

    @property
    def area(self) -> float:
        """Area of one conductor."""
        ...


C = TypeVar("C", bound=Conductor)


def fewest_sets(
    sizes: Callable[[int], Iterable[C]],
    carries: Callable[[C, int], bool],
    largest_area: float,
    parallel_least_area: float,
    most_sets: int = MOST_SETS,
) -> tuple[C, int] | None:
    """Return the smallest conductor of the fewest parallel sets that carries, and how many; None: none does.

    sizes               : number of sets -> conductors, ascending
    carries             : (conductor, sets) -> it will do
    largest_area        : of a conductor that is still pulled
    parallel_least_area : of a conductor that may be run in parallel
    most_sets           : that are still laid
    """
    for sets in range(1, most_sets + 1):
        for one in sizes(sets):
            if one.area > largest_area * (1 + SAME):
                break
            if sets > 1 and one.area < parallel_least_area:
                continue
            if carries(one, sets):
                return one, sets
    return None


@formula("factor · I · (R·cosφ + X·sinφ) · L / V · 100", "%")
def voltage_drop_pct(
    load_a: float,
    r_ohm_per_km: float,
    x_ohm_per_km: float,
    power_factor: float,
    length_m: float,
    voltage_v: float,
    factor: float,
) -> float:
    """Return the voltage drop of one run in percent of the line voltage. [%]

    load_a       : current of one conductor [A]
    r_ohm_per_km : resistance in service [ohm/km]
    x_ohm_per_km : reactance [ohm/km]
    power_factor : of the load, lagging [-]
    length_m     : one-way length [m]
    voltage_v    : between lines [V]
    factor       : √3 for three-phase, 2 for single-phase [-]
    Source: voltage drop of a series impedance, first order

    Example:
        >>> round(voltage_drop_pct(100, 0.9, 0.08, 0.8, 50, 400, 3**0.5), 3)
        1.663
    """
    impedance = r_ohm_per_km * power_factor + x_ohm_per_km * sqrt(1 - power_factor**2)
    return factor * load_a * impedance * length_m / 1000 / voltage_v * 100


def worst_power_factor(r_ohm: float, x_ohm: float) -> float:
    """Return the power factor at which a run drops most: the drop is then I · |Z|. [-]

    Example:
        >>> worst_power_factor(4.0, 3.0)
        0.8
    """
    return r_ohm / sqrt(r_ohm**2 + x_ohm**2)


def run_drop_pct(
    need: RunNeed,
    sets: int,
    r_ohm_per_km: float,
    x_ohm_per_km: float,
    work: Ledger,
    drop: Callable[..., float] = voltage_drop_pct,
) -> float:
    """Return the voltage drop of a run of known length, recorded under its side. [%]

    sets         : conductors in parallel, which share the load evenly
    r_ohm_per_km : resistance of one conductor in service [ohm/km]
    x_ohm_per_km : its reactance [ohm/km]
    drop         : the formula, under the clause of a regime
    """
    power_factor = need.power_factor
    found: float = work.calc(
        f"conductors.{need.side}.drop_pct",
        drop,
        load_a=need.load_a / sets,
        r_ohm_per_km=r_ohm_per_km,
        x_ohm_per_km=x_ohm_per_km,
        power_factor=worst_power_factor(r_ohm_per_km, x_ohm_per_km) if power_factor is None else power_factor,
        length_m=need.length_m,
        voltage_v=need.voltage_v,
        factor=3**0.5 if need.phases == 3 else 2.0,
    )
    return found


def no_conductor(need: RunNeed, source: Source) -> RunPlan:
    """Return the plan that says no conductor will do."""
    return RunPlan(
        size="none",
        sets=0,
        metal=need.metal,
        ampacity_a=0.0,
        total_area=0.0,
        set_area=0.0,
        raceway=None,
        drop_pct=None,
        findings=(
            cited(
                f"no-{need.side}-conductor",
                "stop",
                f"No {need.metal} conductor of the table carries {need.device_a:g} A at {need.ambient_c:g} °C "
                "ambient: a cooler route, or bus, is needed.",
                source,
                value=need.device_a,
                unit="A",
            ),
        ),
    )
