"""Which arrangement a unit permits: two separate windings, a bank of several, or in series with the line."""

from __future__ import annotations

from msgspec.structs import replace

from turnwright.arrangements import Proposal
from turnwright.arrangements.buck_boost import NAME as BUCK_BOOST
from turnwright.arrangements.buck_boost import Pair
from turnwright.arrangements.buck_boost import connect as in_series
from turnwright.model.case import Case
from turnwright.vetting.flux import AtSupply, flux_pct, nearest_hz
from turnwright.vetting.joined import Joined, join
from turnwright.vetting.plate import Plate
from turnwright.vetting.supply_side import output_volts
from turnwright.working import CLOSED, Ledger

SERIES_SHARE = 1 / 3
"""A winding of at most this share of the other may be meant to stand in series with a line."""
BANK, OPEN_DELTA = 3, 2


def how_many(plates: tuple[Plate, ...], case: Case) -> int:
    """Return how many single-phase units make a bank for three-phase loads: 3, 2 (open delta), else 1."""
    three = any(load.system.phases == 3 for load in case.loads) and case.supply.system.phases == 3
    if not three or any(plate.unit.phases != 1 for plate in plates):
        return 1
    here = len(plates) if len(plates) > 1 else (plates[0].unit.on_hand or 1)
    if case.choices.arrangement == "open delta" and here >= OPEN_DELTA:
        return OPEN_DELTA
    return BANK if here >= BANK else OPEN_DELTA if here == OPEN_DELTA else 1


def connect(plate: Plate, case: Case, units: int, work: Ledger) -> Joined:
    """Return the way the unit serves the case best: by its turns ratio, or in series with the line."""
    asked = case.choices.arrangement == BUCK_BOOST
    as_series = _as_series(plate, case, asked) if plate.unit.phases == 1 else None
    if as_series is not None and (asked or not _serves(join(plate, case, units, CLOSED), case)):
        return as_series
    return join(plate, case, units, work)


def _serves(joined: Joined, case: Case) -> bool:
    return all(one.ok for one in output_volts(joined, case))


def _as_series(plate: Plate, case: Case, asked: bool) -> Joined | None:
    unit = plate.unit
    high, low = float(unit.primary.line_v), float(unit.secondary.line_v)
    if low > SERIES_SHARE * high:
        return None
    coils = (low, low / 2) if unit.secondary.wires == 3 else (low,)
    pairs = tuple(Pair(high, series, float(unit.kva), float(unit.kva)) for series in coils)
    found = in_series(case, pairs, asked)
    if not isinstance(found, Proposal):
        return None
    supply_hz = float(case.supply.frequency_hz)
    rated_hz = nearest_hz(plate.hz, supply_hz)
    applied_v = min(float(found.primary.line_v), float(found.output.line_v))
    at = AtSupply(
        applied_v=applied_v,
        rated_v=high,
        rated_hz=rated_hz,
        output_v=float(found.output.line_v),
        flux_pct=flux_pct(applied_v, supply_hz, high, rated_hz),
        usable_kva=float(unit.kva),
        tap_pct=None,
    )
    used = replace(unit, primary=found.primary, secondary=found.secondary)
    return Joined(plate=plate, proposal=found, unit=used, at=at, reversed_=False, units=found.units)
