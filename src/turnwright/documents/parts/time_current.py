"""The time-current plot of a unit: what the code permits, what the unit withstands, what switching on asks for.

Everything is in amperes of the supply side. Curves of devices are drawn only from points that were given; beside them
stands the band of a standard or of the trade, which says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from turnwright.documents.brief import Brief, PaperUnit
from turnwright.documents.drawing import plot
from turnwright.documents.report import Figure
from turnwright.documents.words.figures import amperes, bare
from turnwright.documents.words.phrases import system_of
from turnwright.examine.records import Study
from turnwright.examine.tables import study_row
from turnwright.examine.withstand import shifted, withstand_of
from turnwright.model.result import Blocks
from turnwright.quantities import fixed
from turnwright.reference import load
from turnwright.regimes import Regime
from turnwright.regimes.traits import TripBand
from turnwright.working import Ledger

LEAST_S, MOST_S = 0.005, 1000.0
BAND_S = 0.03
"""How high a band of instantaneous tripping is drawn: what trips at once does not wait so long."""
WITHIN = 1 + 1e-9
ROMAN = {1: "I", 2: "II", 3: "III"}


def time_current(unit: PaperUnit, brief: Brief, regime: Regime, switching: Study | None) -> Figure | None:
    """Return the time-current plot of a unit, or None where its current is not that of two windings.

    regime     whose practice and devices
    switching  the study of its switching on; None: the points of the trade alone
    """
    blocks = unit.blocks
    rated = blocks.currents.primary_rated_a
    if blocks.pick.arrangement in ("buck-boost", "zig-zag") or not rated > 0:
        return None
    unit_curves = list(_withstand(blocks, rated, regime.voltage_factor))
    most = max(x for x, _ in unit_curves[0].points)
    limits = [*_limits(blocks, rated, regime.traits.device_clause), *_fault(blocks, rated, most)]
    curves = [*unit_curves, *_device_points(brief)]
    marks = [*_trade_points(regime, rated), *_solved(switching)]
    values = [
        *(one.at for one in limits),
        *(x for one in curves for x, _ in one.points),
        *(one.x for one in marks),
    ]
    low, high = min(values) * 0.7, max(values) * 1.4
    x = plot.Axis(low, high, f"current on the supply side, {_volts(blocks)}", "A", log=True)
    y = plot.Axis(LEAST_S, MOST_S, "time", "s", log=True)
    shown = plot.Plot(x, y, curves, limits, marks, list(_bands(blocks, regime.traits.trip_band)))
    caption = f"{unit.mark}: time over current of the supply side. Filled: solved; open: points of the trade"
    return plot.figure(shown, caption)


def _volts(blocks: Blocks) -> str:
    system = system_of(blocks.pick.primary)
    return f"{system.line_v:g} V" if system is not None else "rated volts"


def _limits(blocks: Blocks, rated: float, clause: str) -> Iterator[plot.Limit]:
    devices = blocks.protection
    yield plot.Limit(rated, f"rated current {amperes((rated,), 'nearest')[0]}", "6 3")
    permitted = devices.primary_most_a
    if permitted is not None:
        with_secondary = permitted == devices.primary_with_secondary_max_a
        beside = " with a device after the unit" if with_secondary else ""
        share = fixed(100 * permitted / rated, 0, "down")
        yield plot.Limit(
            permitted, f"largest device{beside} {bare(permitted)} A ({share} % of rated{clause})"
        )
    if devices.primary_a is not None:
        yield plot.Limit(devices.primary_a, f"{devices.kind} {bare(devices.primary_a)} A", "")
    if devices.secondary_max_a is not None:
        ratio = rated / blocks.currents.secondary_rated_a
        share = fixed(100 * devices.secondary_max_a * ratio / rated, 0, "down")
        yield plot.Limit(
            devices.secondary_max_a * ratio,
            f"largest device after the unit {bare(devices.secondary_max_a)} A there ({share} % of rated{clause})",
        )


def _fault(blocks: Blocks, rated: float, most: float) -> Iterator[plot.Limit]:
    """The three-phase fault behind the unit as the supply side sees it; `most` is where the curve of the unit ends."""
    if blocks.fault.secondary_a is None or blocks.pick.phases != 3:
        return
    seen = blocks.fault.secondary_a * rated / blocks.currents.secondary_rated_a
    beyond = ", beyond the curve of the unit" if seen > most * WITHIN else ""
    here = amperes((seen,), "up")[0]
    yield plot.Limit(seen, f"three-phase fault behind the unit, {here} here{beyond}", "8 2 2 2")


def _withstand(blocks: Blocks, rated: float, voltage_factor: float) -> Iterator[plot.Curve]:
    pick = blocks.pick
    least_pct = _impedance_pct(blocks, blocks.fault.infinite_source_a, voltage_factor)
    with_supply = _impedance_pct(blocks, blocks.fault.secondary_a, voltage_factor)
    found = withstand_of(
        pick.phases, pick.kva, least_pct, Ledger(), max((with_supply or 0.0) - (least_pct or 0.0), 0.0)
    )
    name = f"through-fault withstand, category {ROMAN[found.category]} (IEEE C57.12.59)"
    thermal = tuple((rated * multiple, time) for multiple, time in found.thermal)
    yield plot.Curve(thermal, name, "", 1.8)
    if found.mechanical:
        points = tuple((rated * multiple, time) for multiple, time in found.mechanical)
        yield plot.Curve(points, "the same where faults are frequent", "8 2 2 2", 1.4)
    group = pick.vector_group or ""
    if group[:1] == "D" and "y" in group:
        points = tuple((rated * multiple, time) for multiple, time in shifted(found.thermal))
        yield plot.Curve(points, "the same for a line-ground fault, as this side sees it (58 %)", "6 3", 1.2)


def _impedance_pct(blocks: Blocks, fault_a: float | None, voltage_factor: float) -> float | None:
    """The impedance behind a fault current at the terminals, on the rating of the unit."""
    return None if not fault_a else 100 * voltage_factor * blocks.currents.secondary_rated_a / fault_a


def _trade_points(regime: Regime, rated: float) -> Iterator[plot.Mark]:
    practice = regime.practice
    for multiple_key, time_key in (
        ("inrush_low_multiple", "inrush_time_s"),
        ("inrush_high_multiple", "inrush_time_s"),
        ("inrush_half_cycle_multiple", "inrush_half_cycle_time_s"),
    ):
        multiple, time = (float(practice.row(key=key).number("value")) for key in (multiple_key, time_key))
        last = multiple_key != "inrush_low_multiple"
        label = f"inrush {multiple:g} ×" if last else f"{multiple:g} ×"
        yield plot.Mark(multiple * rated, time, label, place="right" if last else "above")


def _solved(switching: Study | None) -> Iterator[plot.Mark]:
    if switching is None or switching.answers.get("first_peak_a") is None:
        return
    answers: dict[str, Any] = switching.answers
    high = answers["cores"][0]
    hz = float(switching.pick.frequency_hz) if switching.pick is not None else 60.0
    yield plot.Mark(high["peaks_a"][0] / 2**0.5, 0.5 / hz, "first peak over √2", open_=False, place="left")
    cycles = len(high["peaks_a"])
    rms = (float(answers["i2t_a2s"]) / (cycles / hz)) ** 0.5
    yield plot.Mark(rms, cycles / hz, f"rms of {cycles} cycles", open_=False, place="left")


def _device_points(brief: Brief) -> Iterator[plot.Curve]:
    """The curve of the device, where its points were given."""
    if brief.hold_off:
        yield plot.Curve(brief.hold_off, "device before the unit: the points given", "10 4", 1.6)


def _bands(blocks: Blocks, band: TripBand) -> Iterator[plot.Band]:
    """The band in which breakers of a kind trip at once; it is not that of the device that is chosen."""
    rating, kind = blocks.protection.primary_a, blocks.protection.kind
    if rating is None or kind != "breaker":
        return
    rows = [
        study_row(key) if band.table is None else load(band.table).newest().row(key=key)
        for key in (band.low_key, band.high_key)
    ]
    low, high = (float(row.number("value")) for row in rows)
    label = f"{band.words}, {low:g}-{high:g} × ({rows[0].source.document})"
    yield plot.Band(low * rating, high * rating, LEAST_S, BAND_S, label)
