"""A unit at other volts and hertz than its own: flux, what it may still carry, its impedance, what it gives out."""

from __future__ import annotations

from typing import NamedTuple

from turnwright.model.unit import Impedance
from turnwright.working import Ledger, formula


@formula("(V / f) / (V_rated / f_rated) · 100", "%")
def flux_pct(applied_v: float, applied_hz: float, rated_v: float, rated_hz: float) -> float:
    """Return the flux in a core in percent of the rated one. [%]

    applied_v  : across the winding [V]
    applied_hz : of the supply [Hz]
    rated_v    : of the winding, at the tap in use [V]
    rated_hz   : of the nameplate [Hz]
    Source: flux goes with volts over hertz

    Example:
        >>> flux_pct(applied_v=400.0, applied_hz=50.0, rated_v=480.0, rated_hz=60.0)
        100.0
    """
    return (applied_v / applied_hz) / (rated_v / rated_hz) * 100


@formula("S_rated · min(V / V_rated, 1)", "kVA")
def usable_kva(rated_kva: float, applied_v: float, rated_v: float) -> float:
    """Return what a unit may carry at lower volts than its own: the current stays as rated. [kVA]

    rated_kva : of the nameplate [kVA]
    applied_v : across the winding [V]
    rated_v   : of the winding, at the tap in use [V]
    Source: rated current of the windings

    Example:
        >>> usable_kva(rated_kva=75.0, applied_v=400.0, rated_v=480.0)
        62.5
    """
    return rated_kva * min(applied_v / rated_v, 1.0)


@formula("V · V_2 / V_1", "V")
def turns_output_v(applied_v: float, fed_v: float, other_v: float) -> float:
    """Return the no-load volts of one winding from those across the other. [V]

    applied_v : across the winding that is fed [V]
    fed_v     : its rated volts, at the tap in use where it has taps [V]
    other_v   : rated volts of the other winding [V]
    Source: turns ratio

    Example:
        >>> round(turns_output_v(applied_v=400.0, fed_v=480.0, other_v=208.0), 1)
        173.3
    """
    return applied_v * other_v / fed_v


class AtSupply(NamedTuple):
    """A unit as this supply runs it.

    rated_v  of the winding that is fed, at the tap in use
    ratio    applied over that
    """

    applied_v: float
    rated_v: float
    rated_hz: float
    output_v: float
    flux_pct: float
    usable_kva: float
    tap_pct: float | None

    @property
    def ratio(self) -> float:
        """Applied volts over rated ones."""
        return self.applied_v / self.rated_v


def nearest_hz(rated_hz: tuple[float, ...], supply_hz: float) -> float:
    """Return the rated frequency that counts: the supply's where the plate has it, else the lowest of the plate.

    Example:
        >>> nearest_hz((50.0, 60.0), 60.0), nearest_hz((60.0,), 50.0)
        (60.0, 60.0)
    """
    return supply_hz if supply_hz in rated_hz else min(rated_hz)


def scaled_impedance(
    z: Impedance, at: AtSupply, rated_kva: float, used_kva: float, supply_hz: float
) -> Impedance:
    """Return the impedance in percent of the kVA and volts the unit is used at; the ohms stay, X goes with hertz."""
    to_base = used_kva / rated_kva / at.ratio**2
    return Impedance(
        float(z.resistance_pct * to_base),
        float(z.reactance_pct * to_base * supply_hz / at.rated_hz),
    )


def at_supply(
    kva: float,
    fed_v: float,
    other_v: float,
    rated_hz: float,
    applied_v: float,
    supply_hz: float,
    tap_pct: float | None,
    tapped_side_fed: bool,
    work: Ledger,
) -> AtSupply:
    """Return how a supply runs a unit.

    fed_v, other_v   : rated volts of the winding that is fed, and of the other [V]
    tap_pct          : tap in use, of the marked primary; None: no taps are known [%]
    tapped_side_fed  : the marked primary is fed; else the tap is on the output
    """
    factor = 1 + (tap_pct or 0.0) / 100
    rated_v = fed_v * factor if tapped_side_fed else fed_v
    out_v = other_v if tapped_side_fed else other_v * factor
    return AtSupply(
        applied_v=applied_v,
        rated_v=rated_v,
        rated_hz=rated_hz,
        output_v=work.calc("vet.output_v", turns_output_v, applied_v=applied_v, fed_v=rated_v, other_v=out_v),
        flux_pct=work.calc(
            "vet.flux_pct",
            flux_pct,
            applied_v=applied_v,
            applied_hz=supply_hz,
            rated_v=rated_v,
            rated_hz=rated_hz,
        ),
        usable_kva=work.calc(
            "vet.usable_kva", usable_kva, rated_kva=kva, applied_v=applied_v, rated_v=rated_v
        ),
        tap_pct=tap_pct,
    )
