"""A transformer, in one record: a standard candidate, a row of a stock list, an offer, a nameplate found."""

from __future__ import annotations

from msgspec import Struct

from turnwright.quantities import VoltageSystem


class Impedance(Struct, frozen=True):
    """Series impedance of a unit in percent of its own rating, resistance and reactance."""

    resistance_pct: float
    reactance_pct: float

    @property
    def magnitude_pct(self) -> float:
        """Impedance as a nameplate states it, in percent."""
        return float((self.resistance_pct**2 + self.reactance_pct**2) ** 0.5)


class Unit(Struct, frozen=True, kw_only=True):
    """One transformer.

    kva         rated kVA of the unit
    primary     winding on the supply side
    secondary   winding on the load side
    for_faults  the low end of what its impedance may be; for_drop: the high end; equal where it is stated
    nominal     the stated impedance, None where only the usual band is known
    impedance_tolerance_pct  how far below the stated impedance the unit may turn out; 0 for a measured one
    """

    name: str = ""
    phases: int
    kva: float
    primary: VoltageSystem
    secondary: VoltageSystem
    frequencies_hz: tuple[float, ...]
    nominal: Impedance | None
    for_faults: Impedance
    for_drop: Impedance
    impedance_tolerance_pct: float
    rise_k: float | None
    k_rating: float | None
    winding: str | None
    shield: bool | None
    enclosure: str | None
    outdoor: bool | None
    built_as: str | None
    taps_pct: tuple[float, ...]
    no_load_loss_w: float | None = None
    load_loss_w: float | None = None
    insulation_c: float | None = None
    sound_db: float | None = None
    mass_kg: float | None = None
    price: float | None = None
    on_hand: int | None = None
