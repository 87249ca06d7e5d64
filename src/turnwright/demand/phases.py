"""What the loads draw through each winding, line conductor and neutral of one kind of secondary."""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Mapping, Sequence

from msgspec import Struct

from turnwright.demand import phasor_formulas as f
from turnwright.demand.account import Account, stated
from turnwright.demand.board import Pieces
from turnwright.demand.layouts import Layout, Spot, spots_of
from turnwright.demand.records import DemandTables, LoadDemand, Placement
from turnwright.demand.spectra import LoadSpectrum
from turnwright.demand.sum_formulas import total_kva
from turnwright.quantities import VoltageSystem
from turnwright.working import Ledger


class Standing(Struct, frozen=True):
    """A load, its position among those that run, and how many of its pieces stand on each spot."""

    position: int
    load: LoadDemand
    spots: tuple[tuple[str, int], ...]

    @property
    def pieces(self) -> int:
        """All its pieces."""
        return sum(count for _, count in self.spots)


class Asked(Struct, frozen=True):
    """The loads of one set and their sums. `in_line_deg`: angle of the part of the sum that has one."""

    loads: tuple[LoadDemand, ...]
    spectra: tuple[LoadSpectrum, ...]
    kva_with_growth: float
    code_kva: float
    growth_pct: float
    in_line_deg: float
    tables: DemandTables


class Term(Struct, frozen=True):
    """What stands on one spot at one angle. `lag_deg` None: the angle is not known."""

    spot: str
    kva: float
    lag_deg: float | None


class Volts(Struct, frozen=True):
    """The nominal volts of a secondary; to neutral as they are called: 120, 277, 230."""

    line_v: float
    neutral_v: float | None


def volts_of(secondary: VoltageSystem, work: Ledger) -> Volts:
    """Return the nominal volts of a secondary, recorded under `secondary`."""
    text = f"nominal volts of {secondary.text}"
    line_v = stated(work, "secondary.line_v", secondary.line_v, "V", text)
    called_v = secondary.neutral_nominal_v or secondary.neutral_v
    neutral_v = None if called_v is None else stated(work, "secondary.neutral_v", called_v, "V", text)
    return Volts(line_v, neutral_v)


def stand(
    loads: Sequence[LoadDemand], layout: Layout, secondary: str, in_line_deg: float
) -> tuple[Standing, ...]:
    """Return where every load stands: fixed lines respected, free single-phase pieces spread.

    in_line_deg : angle of the sum of the loads whose angle is known [deg]
    Raises: InputError DEM-03.
    """
    free: dict[int, Pieces] = {}
    fixed: list[Pieces] = []
    spots = [spots_of(load.index, load.place, load.lines, layout, secondary) for load in loads]
    for position, load in enumerate(loads):
        count = _whole(load.pieces)
        if count and load.running_kva > 0.0:
            pieces = Pieces(count, load.running_kva / count, load.phase_angle_deg, spots[position])
            if len(spots[position]) > 1:
                free[position] = pieces
            else:
                fixed.append(pieces)
    counts: Mapping[int, list[int]] = {}
    if free:
        from turnwright.demand.placing import place  # many a job has no load to spread

        counts = dict(
            zip(free, place(list(free.values()), _gathered(fixed), layout, in_line_deg), strict=True)
        )
    return tuple(
        Standing(position, load, _taken(spots[position], counts.get(position), _whole(load.pieces)))
        for position, load in enumerate(loads)
    )


def _whole(pieces: float) -> int:
    """Return whole pieces; a part of a piece stands somewhere as one."""
    return -int(-pieces // 1)


def _gathered(fixed: Sequence[Pieces]) -> list[Pieces]:
    """Return what stands already, with pieces of one spot and angle as one."""
    sums: dict[tuple[tuple[str, ...], float | None], float] = {}
    for one in fixed:
        key = (one.spots, one.lag_deg)
        sums[key] = sums.get(key, 0.0) + one.kva * one.number
    return [Pieces(1, kva, lag_deg, spots) for (spots, lag_deg), kva in sums.items()]


def _taken(spots: tuple[str, ...], counts: Sequence[int] | None, pieces: int) -> tuple[tuple[str, int], ...]:
    if counts is None:
        return ((spots[0], pieces),)
    return tuple((spot, count) for spot, count in zip(spots, counts, strict=True) if count)


def placements_of(standing: Sequence[Standing]) -> tuple[Placement, ...]:
    """Return where the pieces of single-phase loads stand, as lines of the secondary."""
    return tuple(
        Placement(one.load.index, spot.replace("+", ""), count)
        for one in standing
        if one.load.place != "three-phase"
        for spot, count in one.spots
        if count
    )


def terms_of(
    standing: Sequence[Standing],
    account: Account,
    label: str,
    kva_of: Callable[[Standing], float],
    angles: bool = True,
) -> tuple[Term, ...]:
    """Return the load on each spot at each angle, without growth.

    label  : name of the quantity in the working: demand.at[A].<label>
    kva_of : kVA of all pieces of a load
    angles : False takes every angle as not known
    """
    sums: dict[tuple[str, float | None], dict[str, float]] = {}
    lags: dict[float | None, float | None] = {None: None}
    for one in standing:
        whole, pieces = kva_of(one), one.pieces
        lag_deg = one.load.phase_angle_deg if angles else None
        lags.setdefault(lag_deg, lag_deg)
        for spot, count in one.spots:
            name = f"load[{one.load.index}].at[{spot}]."
            part = whole if count == pieces else _part(account.single, name, label, whole, count, one)
            sums.setdefault((spot, lag_deg), {})[name + label] = part
    if account.long:
        return _merged(sums, account, label)
    terms = []
    for (spot, lag_deg), parts in sums.items():
        angle = "in line" if lag_deg is None else f"{lag_deg:.6g} deg"
        kva = account.total(f"demand.at[{spot}, {angle}].{label}", total_kva, parts)
        terms.append(Term(spot, kva, lags[lag_deg]))
    return tuple(terms)


def _merged(
    sums: Mapping[tuple[str, float | None], Mapping[str, float]], account: Account, label: str
) -> tuple[Term, ...]:
    """Return one term for the known angles of each spot of a long list, and one for the others."""
    known: dict[str, complex] = {}
    in_line: dict[str, float] = {}
    for (spot, lag_deg), parts in sums.items():
        kva = total_kva(**parts)
        if lag_deg is None:
            in_line[spot] = kva
        else:
            known[spot] = known.get(spot, 0j) + cmath.rect(kva, -math.radians(lag_deg))
    text = "phasor sum of the loads, which are not listed one by one"
    terms = [
        Term(
            spot,
            account.work.note(f"demand.at[{spot}].{label}", abs(phasor), "kVA", text, "computed"),
            account.work.note(
                f"demand.at[{spot}].lag_deg", -math.degrees(cmath.phase(phasor)), "deg", text, "computed"
            ),
        )
        for spot, phasor in known.items()
    ]
    for spot, kva in in_line.items():
        name = f"demand.at[{spot}, in line].{label}"
        terms.append(Term(spot, account.work.note(name, kva, "kVA", text, "computed"), None))
    return tuple(terms)


def _part(work: Ledger, name: str, label: str, whole: float, count: int, one: Standing) -> float:
    source = "spread so that the most loaded winding is loaded least"
    here = work.note(f"{name}pieces", count, "", source, "computed")
    pieces = one.load.pieces
    if pieces != one.pieces:
        text = f"{pieces:g} pieces stand as {one.pieces}"
        pieces = work.note(f"load[{one.load.index}].pieces", one.pieces, "", text, "computed")
    part: float = work.calc(f"{name}{label}", f.placed_kva, running_kva=whole, pieces=here, all_pieces=pieces)
    return part


def winding_terms(terms: Sequence[Term], layout: Layout, winding: str) -> dict[str, float]:
    """Return the named terms of `winding_kva`."""
    named: dict[str, float] = {}
    for term in terms:
        part = layout.spots[term.spot].windings.get(winding)
        if part is not None:
            _name(named, term, part.share, part.turn_deg, None)
    return named


def line_terms(terms: Sequence[Term], layout: Layout, line: str, volts: Volts) -> dict[str, float]:
    """Return the named terms of `line_current_a`."""
    named: dict[str, float] = {}
    for term in terms:
        spot = layout.spots[term.spot]
        part = spot.lines.get(line)
        if part is not None:
            _name(named, term, part.share, part.turn_deg, spot_v(spot, volts))
    return named


def neutral_terms(terms: Sequence[Term], layout: Layout, volts: Volts) -> dict[str, float]:
    """Return the named terms of the neutral current."""
    named: dict[str, float] = {}
    for term in terms:
        spot = layout.spots[term.spot]
        for part in spot.neutral:
            _name(named, term, part.share, part.turn_deg, spot_v(spot, volts))
    return named


def spot_v(spot: Spot, volts: Volts) -> float:
    """Return the volts that amperes at a spot are counted at."""
    return volts.neutral_v if spot.to_neutral and volts.neutral_v is not None else volts.line_v


def _name(named: dict[str, float], term: Term, share: float, turn_deg: float, line_v: float | None) -> None:
    angle = "in line" if term.lag_deg is None else f"{term.lag_deg:.6g} deg"
    what = f"{term.spot}, {angle}"
    while f"{what}.share" in named:
        what += "'"
    named[f"{what}.in_line_kva" if term.lag_deg is None else f"{what}.kva"] = term.kva
    named[f"{what}.share"] = share
    named[f"{what}.turn_deg"] = turn_deg
    if term.lag_deg is not None:
        named[f"{what}.lag_deg"] = term.lag_deg
    if line_v is not None:
        named[f"{what}.line_v"] = line_v
