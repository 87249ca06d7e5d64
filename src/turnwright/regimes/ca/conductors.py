"""Conductors: CEC 26-256 (to 2015: 26-258), 4-004, 4-006, 8-104, 14-104, voltage drop by Table D3."""

from __future__ import annotations

from turnwright.quantities import ConductorSize, parse_conductor_size
from turnwright.reference import load
from turnwright.regimes.common.ampacity import (
    METALS,
    ColumnAmpacities,
    Surroundings,
    Wire,
    corrected_ampacity_a,
    sets_ampacity_a,
    terminal_column_c,
)
from turnwright.regimes.common.clauses import under
from turnwright.regimes.common.conductors import (
    fewest_sets,
    no_conductor,
    run_drop_pct,
)
from turnwright.regimes.common.devices import SAME
from turnwright.regimes.procedures import RunNeed, RunPlan
from turnwright.working import Ledger, Number, formula

PF_OF_COLUMN = 0.8
"""Power factor of the second column of Table D3."""
SINE_OF_COLUMN = 0.6


@formula("I_rated · share / 100", "A")
def least_by_rated_a(rated_a: float, share_pct: float) -> float:
    """Return the least ampacity of conductors that join a transformer. [A]

    rated_a   : rated current of the transformer on this side [A]
    share_pct : by the code [%]
    Source: the share carries it, as CEC 26-258

    Example:
        >>> least_by_rated_a(rated_a=100.0, share_pct=125.0)
        125.0
    """
    return rated_a * share_pct / 100


@formula("(k_80 − 0.8 · k_unity) / 0.6", "ohm/km", "CEC Table D3: k = R·cosφ + X·sinφ")
def reactance_ohm_per_km(unity_ohm_per_km: float, at_80_ohm_per_km: float) -> float:
    """Return the reactance behind two columns of the table of drop factors; never below zero. [ohm/km]

    unity_ohm_per_km : factor at unity power factor [ohm/km]
    at_80_ohm_per_km : factor at 80 % power factor [ohm/km]
    Source: CEC Table D3

    Example:
        >>> round(reactance_ohm_per_km(unity_ohm_per_km=0.396, at_80_ohm_per_km=0.415), 4)
        0.1637
    """
    return max((at_80_ohm_per_km - PF_OF_COLUMN * unity_ohm_per_km) / SINE_OF_COLUMN, 0.0)


def area_mm2(size: str) -> float:
    """Return the area of a conductor by its definition. [mm²]

    Example:
        >>> round(area_mm2("1/0 AWG"), 1)
        53.5
    """
    found = parse_conductor_size(size, where="ca_ampacity")
    assert isinstance(found, ConductorSize)
    return found.area_mm2


class Conductors:
    """The procedure for one edition: `Conductors("2024")(need, work)`."""

    def __init__(self, edition: str) -> None:
        table = load("ca_ampacity").at(edition)
        ambient, count = load("ca_ambient_factors").at(edition), load("ca_count_factors").at(edition)
        limits = load("ca_limits").at(edition)
        terminals = limits.row(key="terminals_60c_max_a")
        cited = ", ".join(each.rows[0].source.cite() for each in (table, ambient, count))
        self.ampacities = ColumnAmpacities(
            table=table,
            ambient=ambient,
            count=count,
            small=load("ca_small_conductors").at(edition),
            area_of=area_mm2,
            formulas=(
                under(cited, corrected_ampacity_a),
                under(terminals.source.cite(), sets_ampacity_a),
            ),
        )
        self.small_terminals_a = terminals.number("value")
        self.rated_share = limits.row(key="conductor_rated_pct").number("value")
        self.by_rated = under(self.rated_share.step.source, least_by_rated_a)
        self.next_size_up_through_a = limits.row(key="round_up_max_a").number("value")
        largest = load("trade_practice").newest().row(key="largest_single_conductor_cmil").number("value")
        self.largest_mm2 = area_mm2(f"{largest / 1000:g} kcmil")
        least = load("ca_parallel_conductors").at(edition).row(key="parallel_conductors")
        self.parallel_least_mm2 = {metal: area_mm2(least.text(METALS[metal])) for metal in METALS}
        self.drops = load("ca_drop_factors").at(edition)
        ratings = load("ca_device_ratings").at(edition)
        self.standard_a = tuple(row.number("rating_a") for row in ratings.rows if row.yes("breaker"))

    def __call__(self, need: RunNeed, work: Ledger) -> RunPlan:
        """Return the fewest sets of the smallest conductor that carry load, device and the share of the rating."""
        column_c = terminal_column_c(need.terminals_c, need.device_a, self.small_terminals_a)
        around = Surroundings(need.metal, column_c, need.ambient_c, need.counted)
        least_a = self._least_a(need, work)
        wires = self.ampacities.wires(around)
        found = fewest_sets(
            lambda _: wires,
            lambda wire, sets: self._carries(need, wire, sets, least_a),
            self.largest_mm2,
            self.parallel_least_mm2[need.metal],
        )
        if found is None:
            return no_conductor(need, self.ampacities.table.rows[0].source)
        wire, sets = found
        return RunPlan(
            size=wire.size,
            sets=sets,
            metal=need.metal,
            ampacity_a=self.ampacities.record(need.side, wire, sets, around, work),
            total_area=wire.area * sets,
            set_area=wire.area,
            raceway=None,
            drop_pct=self._drop_pct(need, wire, sets, work),
            findings=(),
        )

    def _least_a(self, need: RunNeed, work: Ledger) -> float:
        """26-256: 125 % of the rated current; 8-104, 28-108: what load and motors ask for."""
        if need.rated_a is None:
            return max(need.load_a, need.design_a)
        by_rated_a: float = work.calc(
            f"conductors.{need.side}.least_by_rated_a",
            self.by_rated,
            rated_a=need.rated_a,
            share_pct=self.rated_share,
        )
        return max(need.load_a, need.design_a, by_rated_a)

    def _carries(self, need: RunNeed, wire: Wire, sets: int, least_a: float) -> bool:
        ampacity_a = sets * min(wire.terminal_a, wire.corrected_a)
        if ampacity_a < least_a * (1 - SAME):
            return False
        before_a = need.before_a if need.relies_on_before and need.before_a is not None else 0.0
        if wire.device_max_a is not None and max(need.device_a, before_a) > wire.device_max_a * (1 + SAME):
            return False
        allowed_a = self._device_allowed_a(ampacity_a) * (1 + SAME)
        if need.relies_on_before and not self._covered_by_before(need, allowed_a):
            return False
        return need.device_a <= allowed_a

    def _covered_by_before(self, need: RunNeed, allowed_a: float) -> bool:
        """26-256(4): by their own ampacity; with 125 % of the rated current it carries a device of 26-254(1) too."""
        return need.before_a is None or need.rated_a is None or need.before_a <= allowed_a

    def _device_allowed_a(self, ampacity_a: float) -> float:
        """14-104(1)(a): the next rating of Table 13 above the ampacity, up to 800 A."""
        above = next((a for a in self.standard_a if a >= ampacity_a * (1 - SAME)), ampacity_a)
        return above if above <= self.next_size_up_through_a else ampacity_a

    def _drop_pct(self, need: RunNeed, wire: Wire, sets: int, work: Ledger) -> float | None:
        if need.length_m is None:
            return None
        r, at_80 = self._drop_factors(wire.size, METALS[need.metal])
        if r is None or at_80 is None:
            return None
        x = work.calc(
            f"conductors.{need.side}.x_ohm_per_km",
            reactance_ohm_per_km,
            unity_ohm_per_km=r,
            at_80_ohm_per_km=at_80,
        )
        return run_drop_pct(need, sets, r, x, work)

    def _drop_factors(self, size: str, metal: str) -> tuple[Number | None, Number | None]:
        row = next((row for row in self.drops.rows if row.text("size") == size), None)
        if row is None:
            return None, None
        return row.optional(f"{metal}_unity_ohm_per_km"), row.optional(f"{metal}_80_ohm_per_km")
