"""Units of a list that do a job together: banks of single-phase units, open deltas, pairs in parallel."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import islice
from math import inf
from typing import NamedTuple

from msgspec.structs import replace

from turnwright.model.case import Case
from turnwright.model.job import Job, Nameplate
from turnwright.model.result import Finding
from turnwright.quantities import VoltageSystem
from turnwright.vetting.connecting import BANK, OPEN_DELTA
from turnwright.vetting.in_parallel import impedance_limit_pct
from turnwright.vetting.plate import Plate
from turnwright.vetting.records import Criterion, Vetting
from turnwright.vetting.stock_alone import FITTING, margin_pct, told_by
from turnwright.vetting.stock_list import StockRow
from turnwright.vetting.stock_records import Piece, Price, StockFit
from turnwright.vetting.stock_screen import Screen
from turnwright.vetting.vet import vet

MOST_TRIED = 60
"""Of each kind so many are evaluated, the cheapest and smallest first."""
MOST_SHOWN = 5
PARTNERS = 25
"""With each unit so many others are paired, the smallest that are large enough first."""


class Member(NamedTuple):
    """A row that does not do the job alone.

    same  its nameplate without name, price and number on hand: equal units have equal ones
    """

    row: StockRow
    plate: Plate
    same: Nameplate
    price: Price | None

    @property
    def here(self) -> int:
        """How many there are; one where the list does not say."""
        quantity = self.row.plate.quantity
        return 1 if quantity is None or quantity.low is None else int(quantity.low)

    @property
    def stated(self) -> bool:
        """Whether its impedance is known."""
        impedance = self.same.impedance
        return impedance is not None and impedance.low is not None

    @property
    def impedance_pct(self) -> float:
        """Its impedance, or the low end of the usual band. [%]"""
        return (self.plate.unit.nominal or self.plate.unit.for_faults).magnitude_pct

    @property
    def order(self) -> tuple[object, ...]:
        """Which of two would be taken first: the cheaper one."""
        price = ("", inf) if self.price is None else (self.price.currency, self.price.amount)
        return (self.price is None, *price, self.row.name, self.row.row or 0)


Set = tuple[Member, ...]


class Joining:
    """Looks for units that do one job together."""

    def __init__(self, job: Job, case: Case, screen: Screen, members: Sequence[Member]) -> None:
        self._job = job
        self._case = case
        self._screen = screen
        self._members = sorted(members, key=lambda one: (float(one.plate.unit.kva), one.order))
        self._limit = 1 + impedance_limit_pct() / 100

    def found(self, cheapest: dict[str, float], none_fits: bool) -> list[StockFit]:
        """Return the sets that do the job, only cheaper ones than a single unit that does.

        cheapest : price of the cheapest single unit by currency
        """
        if not none_fits and not cheapest:
            return []

        def worth(units: Set) -> bool:
            price = price_of(units)
            return none_fits or (price is not None and price.amount < cheapest.get(price.currency, 0.0))

        found: list[StockFit] = []
        for joined, sets in (("bank", self._banks()), ("parallel", self._pairs())):
            tried = sorted((units for units in sets if worth(units)), key=_order)[:MOST_TRIED]
            judged = (self._judged(units, joined) for units in tried)
            found += islice((one for one in judged if one is not None), MOST_SHOWN)
        return found

    def _judged(self, units: Set, joined: str) -> StockFit | None:
        """Evaluate a set by the circuit; of a bank with each of its kinds in the first place, the worst counts."""
        if joined == "bank" and self._screen.too_small(tuple(one.plate for one in units)) is not None:
            return None
        firsts = {one.same: number for number, one in enumerate(units)}.values() if joined == "bank" else (0,)
        found: list[Vetting] = []
        for first in sorted(firsts):
            turned = (units[first], *units[:first], *units[first + 1 :])
            named = [replace(one.row.plate, unit=one.row.name, quantity=None) for one in turned]
            vetting = vet(self._job, named, ledger_open=False)
            if vetting.verdict not in FITTING:
                return None
            found.append(vetting)
        worst = min(found, key=lambda one: (one.verdict == "fit", margin_pct(one) or 0.0))
        return _fit(units, joined, worst)

    def _banks(self) -> Iterator[Set]:
        """Yield, of each kind of single-phase unit, the cheapest three for a bank and two for an open delta."""
        case = self._case
        three = any(load.system.phases == 3 for load in case.loads) and case.supply.system.phases == 3
        if not three:
            return
        kinds: dict[object, list[Member]] = defaultdict(list)
        for member in self._members:
            if member.plate.unit.phases == 1:
                kinds[_kind(member, with_kva=True)].append(member)
        for members in kinds.values():
            for count in (OPEN_DELTA,) if case.choices.arrangement == "open delta" else (BANK, OPEN_DELTA):
                units = self._alike(members, count)
                if units is not None:
                    yield units

    def _alike(self, members: list[Member], count: int) -> Set | None:
        """Return the cheapest so many pieces whose impedances are near enough."""
        pieces = [one for one in members for _ in range(min(one.here, count))]
        pieces.sort(key=lambda one: (one.impedance_pct, one.order))
        best: Set | None = None
        for start, first in enumerate(pieces):
            end = start
            while end < len(pieces) and pieces[end].impedance_pct <= first.impedance_pct * self._limit:
                end += 1
            units = tuple(sorted(pieces[start:end], key=lambda one: one.order)[:count])
            if len(units) == count and (best is None or _order(units) < _order(best)):
                best = units
        return best

    def _pairs(self) -> Iterator[Set]:
        """Yield pairs that are large enough together: of one ratio, connection and set of taps, near in impedance."""
        kinds: dict[object, list[Member]] = defaultdict(list)
        for member in self._members:
            if self._screen.unserved(member.same) is None:
                kinds[_kind(member, with_kva=False)].append(member)
        for members in kinds.values():
            rises = {member.plate.unit.rise_k: member for member in members}
            need_kva = min(self._screen.heat_kva(member.plate) for member in rises.values())
            sizes = [float(member.plate.unit.kva) for member in members]
            for number, member in enumerate(members):
                if member.here >= 2 and 2 * sizes[number] >= need_kva:
                    yield member, member
                start = max(bisect_left(sizes, need_kva - sizes[number]), number + 1)
                near = (other for other in islice(members, start, None) if self._near(member, other))
                for other in islice(near, PARTNERS):
                    yield member, other

    def _near(self, one: Member, other: Member) -> bool:
        """Unknown impedances are near only where the units are the same."""
        if not (one.stated and other.stated):
            return one.same == other.same
        low, high = sorted((one.impedance_pct, other.impedance_pct))
        return high <= low * self._limit


def _kind(member: Member, with_kva: bool) -> tuple[object, ...]:
    """What has to be equal: kVA in a bank, windings, frequency, taps; in a bank of unknown impedance all of it."""
    unit = member.plate.unit
    alike = (_winding(unit.primary), _winding(unit.secondary), member.plate.hz, unit.taps_pct)
    if not with_kva:
        return alike
    return (*alike, float(unit.kva), None if member.stated else member.same)


def _winding(system: VoltageSystem) -> tuple[object, ...]:
    connection = "delta" if system.phases == 3 and system.connection == "unknown" else system.connection
    return float(system.line_v), system.phases, system.wires, connection, system.high_leg


def price_of(units: Set) -> Price | None:
    """Return what units cost together; None where one has no price, or they have several currencies."""
    prices = [one.price for one in units if one.price is not None]
    if len(prices) < len(units) or len({one.currency for one in prices}) > 1:
        return None
    return Price(prices[0].currency, sum(one.amount for one in prices))


def _order(units: Set) -> tuple[object, ...]:
    price = price_of(units)
    shown = ("", inf) if price is None else (price.currency, price.amount)
    total_kva = sum(float(one.plate.unit.kva) for one in units)
    return (price is None, *shown, total_kva, *(one.order for one in units))


def _fit(units: Set, joined: str, vetting: Vetting) -> StockFit:
    ordered = sorted(units, key=lambda one: one.order)
    pieces: dict[tuple[str, int | None], int] = defaultdict(int)
    for one in ordered:
        pieces[one.row.name, one.row.row] += 1
    if not all(one.stated for one in units):
        vetting = replace(
            vetting,
            verdict="fit-with-conditions",
            criteria=(*vetting.criteria, _unstated()),
            findings=(*vetting.findings, _measure_first()),
        )
    told = told_by(vetting)
    arrangement = "open delta" if joined == "bank" and len(units) == OPEN_DELTA else joined
    return StockFit(
        unit=" + ".join(name for name, _ in pieces),
        pieces=tuple(Piece(unit=name, row=row, pieces=count) for (name, row), count in pieces.items()),
        joined=arrangement,
        verdict=vetting.verdict,
        met=not told.unmet,
        remarks=told.remarks,
        vetting=vetting,
        spare_kva=vetting.spare_kva,
        margin_pct=margin_pct(vetting),
        loading_pct=None if vetting.blocks is None else float(vetting.blocks.demand.loading_pct),
        price=price_of(units),
        on_hand=None,
    )


_UNSTATED = "The list does not state their impedance: whether they share the load evenly is not known."


def _unstated() -> Criterion:
    return Criterion(
        name="stated impedance",
        value=None,
        limit="stated",
        measure="",
        margin_pct=None,
        ok=False,
        says=_UNSTATED,
        condition="their plates, or a measurement",
    )


def _measure_first() -> Finding:
    return Finding(
        code="impedance-not-stated",
        severity="caution",
        message=f"{_UNSTATED} Read their plates, or measure, before they are joined.",
        known="computed",
    )
