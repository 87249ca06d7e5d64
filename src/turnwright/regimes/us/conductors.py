"""Conductors for exactly the devices chosen: NEC 215.2, 240.4, 240.21(C), 310.10(G), voltage drop by Chapter 9."""

from __future__ import annotations

from math import sqrt

from turnwright.reference import load
from turnwright.regimes.common.conductors import fewest_sets, no_conductor, worst_power_factor
from turnwright.regimes.common.devices import SAME
from turnwright.regimes.procedures import RunNeed, RunPlan
from turnwright.regimes.us.ampacity import METALS, Ampacities, Surroundings, Wire, terminal_column_c
from turnwright.regimes.us.raceways import Raceways
from turnwright.working import Ledger, formula

FEET_PER_METRE = 1 / 0.3048


@formula("factor · I · (R·cosφ + X·sinφ) · L / V · 100", "%", "NEC Chapter 9 Table 9 note 2")
def voltage_drop_pct(
    load_a: float,
    r_ohm_per_kft: float,
    x_ohm_per_kft: float,
    power_factor: float,
    length_ft: float,
    voltage_v: float,
    factor: float,
) -> float:
    """Return the voltage drop of one run in percent of the line voltage. [%]

    load_a        : current of one conductor [A]
    r_ohm_per_kft : ac resistance to neutral per 1000 ft [ohm/kft]
    x_ohm_per_kft : reactance to neutral per 1000 ft [ohm/kft]
    power_factor  : of the load, lagging [-]
    length_ft     : one-way length [ft]
    voltage_v     : between lines [V]
    factor        : √3 for three-phase, 2 for single-phase [-]
    Source: NEC Chapter 9 Table 9 note 2

    Example:
        >>> round(voltage_drop_pct(100, 0.2, 0.05, 1.0, 100, 480, 3**0.5), 3)
        0.722
    """
    impedance = r_ohm_per_kft * power_factor + x_ohm_per_kft * sqrt(1 - power_factor**2)
    return factor * load_a * impedance * length_ft / 1000 / voltage_v * 100


class Conductors:
    """The procedure for one edition: `Conductors("2023")(need, work)`."""

    def __init__(self, edition: str) -> None:
        self.ampacities = Ampacities(edition)
        self.raceways = Raceways(edition)
        self.impedances = load("nec_ch9_t9").at(edition)
        limits = load("nec_limits").at(edition)
        self.next_size_up_through_a = limits.row(key="round_up_max_a").number("value")
        self.largest_single = (
            load("trade_practice").at(edition).row(key="largest_single_conductor_cmil").number("value")
        )
        lengths = load("nec_240_21c").at(edition)
        self.ten_foot, self.twenty_five_foot = lengths.row(rule="C2"), lengths.row(rule="C6")
        smallest = load("nec_conductor_limits").at(edition).row(key="parallel_conductors")
        self.parallel_least = {"copper": smallest.text("cu"), "aluminum": smallest.text("al")}
        self.standard_a = tuple(
            r.number("rating_a") for r in load("nec_240_6a").at(edition).rows if r.yes("breaker")
        )

    def __call__(self, need: RunNeed, work: Ledger) -> RunPlan:
        """Return the fewest sets of the smallest conductor that carry load and device."""
        around = Surroundings(
            need.metal, terminal_column_c(need.terminals_c, need.device_a), need.ambient_c, need.counted
        )
        found = self._smallest(need, around)
        if found is None:
            return no_conductor(need, self.ampacities.table.rows[0].source)
        wire, sets = found
        ampacity_a = self.ampacities.record(need.side, wire, sets, around, work)
        raceway = self.raceways.smallest(wire.size, need.conductors, need.raceway)
        return RunPlan(
            size=wire.size,
            sets=sets,
            metal=need.metal,
            ampacity_a=ampacity_a,
            total_area=wire.area * sets,
            set_area=wire.area,
            raceway=raceway,
            drop_pct=self._drop_pct(need, wire, sets, work),
            findings=(),
        )

    def _smallest(self, need: RunNeed, around: Surroundings) -> tuple[Wire, int] | None:
        wires = self.ampacities.wires(around)
        return fewest_sets(
            lambda _: wires,
            lambda wire, sets: self._carries(need, wire, sets),
            self.largest_single,
            self._parallel_least_cmil(need.metal, wires),
        )

    def _parallel_least_cmil(self, metal: str, wires: tuple[Wire, ...]) -> float:
        return next(wire.area for wire in wires if wire.size == self.parallel_least[metal])

    def _carries(self, need: RunNeed, wire: Wire, sets: int) -> bool:
        """215.2(A)(1): uncorrected for load with its continuous share, corrected for the load; 240.4 for the device."""
        terminal_a = wire.terminal_a * sets
        ampacity_a = sets * min(wire.terminal_a, wire.corrected_a)
        least_a = max(need.load_a, self._tap_least_a(need))
        if terminal_a < need.design_a * (1 - SAME) or ampacity_a < least_a * (1 - SAME):
            return False
        if wire.device_max_a is not None and need.device_a > wire.device_max_a * (1 + SAME):
            return False
        return need.device_a <= self._device_allowed_a(ampacity_a, need.next_size_up) * (1 + SAME)

    def _tap_least_a(self, need: RunNeed) -> float:
        """240.21(C): a tenth of the device before the transformer up to 10 ft, a third beyond and where unknown."""
        if need.before_a is None:
            return 0.0
        length_ft = None if need.length_m is None else need.length_m * FEET_PER_METRE
        short = length_ft is not None and length_ft <= self.ten_foot.number("max_length_ft") * (1 + SAME)
        rule = self.ten_foot if short else self.twenty_five_foot
        return need.before_a / rule.number("primary_device_max_multiple")

    def _device_allowed_a(self, ampacity_a: float, next_size_up: bool) -> float:
        """240.4(B): the next standard rating above the ampacity, up to 800 A; 240.4(C) and 240.21(C): the ampacity."""
        if not next_size_up:
            return ampacity_a
        above = next((a for a in self.standard_a if a >= ampacity_a * (1 - SAME)), ampacity_a)
        return above if above <= self.next_size_up_through_a else ampacity_a

    def _drop_pct(self, need: RunNeed, wire: Wire, sets: int, work: Ledger) -> float | None:
        if need.length_m is None:
            return None
        row = next((row for row in self.impedances.rows if row.text("size") == wire.size), None)
        reactance = "x_steel_ohm_per_kft" if need.raceway == "steel" else "x_pvc_aluminum_ohm_per_kft"
        resistance = f"r_{METALS[need.metal]}_{need.raceway}_ohm_per_kft"
        if row is None or row.optional(resistance) is None:
            return None
        r, x = row.number(resistance), row.number(reactance)
        power_factor = need.power_factor
        drop: float = work.calc(
            f"conductors.{need.side}.drop_pct",
            voltage_drop_pct,
            load_a=need.load_a / sets,
            r_ohm_per_kft=r,
            x_ohm_per_kft=x,
            power_factor=worst_power_factor(r, x) if power_factor is None else power_factor,
            length_ft=need.length_m * FEET_PER_METRE,
            voltage_v=need.voltage_v,
            factor=3**0.5 if need.phases == 3 else 2.0,
        )
        return drop
