"""Which units of a list do a job, each by itself or joined: best first, and why not for the rest."""

from __future__ import annotations

from collections.abc import Iterable
from math import inf
from typing import NamedTuple

from msgspec.structs import replace

from turnwright.intake import case_of
from turnwright.model.case import NeedsInput
from turnwright.model.job import Job, Nameplate
from turnwright.model.result import Question
from turnwright.narrow.select import regime_for, select, tool
from turnwright.vetting.plate import Plate
from turnwright.vetting.records import Vetting
from turnwright.vetting.stock_joined import Joining, Member, margin_pct
from turnwright.vetting.stock_list import StockList, StockRow, Unread
from turnwright.vetting.stock_records import Piece, Price, Rejected, StockFit, StockVetting
from turnwright.vetting.stock_screen import Screen
from turnwright.vetting.vet import vet

FITTING = ("fit", "fit-with-conditions")


class Alone(NamedTuple):
    """One unit by itself: its evaluation, or why it needs none; the unit as read where its windings serve."""

    vetting: Vetting | None
    why: str
    plate: Plate | None


def vet_stock(job: Job, units: StockList | Iterable[Nameplate]) -> StockVetting:
    """Return which units do a job, best first, and why the others do not.

    Of what fits, single units stand first, then what fits without conditions (what a new unit of the right size is told
    as well is none), what has the least to spare, the lowest price, the highest loading. Banks of single-phase units
    and pairs in parallel are looked for where no unit does it alone, and where they cost less than any that does.

    job   : the facts as given
    units : nameplates, or a list as `load_stock_list` returns it
    Raises InputError for a job that cannot be used; a row that cannot be used is among the rejected.
    """
    listed = units if isinstance(units, StockList) else _listed(units)
    regime = regime_for(job)
    case = case_of(job, regime.defaults)
    unread = [_unread(one) for one in listed.unread]
    if isinstance(case, NeedsInput):
        questions = tuple(
            Question(key=one.key, ask=one.what, assumed=None, why="Without it no unit can be judged.")
            for one in case.missing
        )
        return StockVetting(
            fits=(), rejected=tuple(unread), findings=listed.findings, questions=questions, tool=tool()
        )
    look = _Look(job, Screen(case, regime))
    alone = [(row, look.alone(row.plate)) for row in listed.rows]
    fits = [_fit(row, one.vetting) for row, one in alone if one.vetting and one.vetting.verdict in FITTING]
    members = [
        Member(row, one.plate, technical(row.plate), price_of(row.plate))
        for row, one in alone
        if one.plate is not None and not (one.vetting and one.vetting.verdict in FITTING)
    ]
    joined = Joining(job, case, look.screen, members).found(_cheapest(fits), not fits)
    done = {one.pieces[0].row or one.unit for one in joined if len(one.pieces) == 1}
    rejected = [
        Rejected(unit=row.name, why=one.why, row=row.row)
        for row, one in alone
        if one.why and (row.row or row.name) not in done
    ]
    usual = _usual_remarks(job)
    return StockVetting(
        fits=tuple(sorted((*fits, *joined), key=lambda one: _rank(one, usual))),
        rejected=tuple(sorted([*rejected, *unread], key=_place)),
        findings=listed.findings,
        questions=(),
        tool=tool(),
    )


def _listed(units: Iterable[Nameplate]) -> StockList:
    rows = [StockRow(name=one.unit or f"unit {number}", plate=one) for number, one in enumerate(units, 1)]
    return StockList(origin="", rows=tuple(rows))


def _unread(one: Unread) -> Rejected:
    why = f"{one.error.what} {one.error.fix}"
    return Rejected(unit=one.name, why=why, row=one.row, column=one.column, read=False)


def _place(one: Rejected) -> int:
    return one.row or 0


def technical(plate: Nameplate) -> Nameplate:
    """Return a nameplate without what has no part in doing the job: rows that are equal then share an evaluation."""
    return replace(plate, unit=None, price=None, quantity=None, note=None)


def price_of(plate: Nameplate) -> Price | None:
    """Return the price of one unit, of a range its upper end."""
    price = plate.price
    if price is None or price.high is None:
        return None
    return Price(price.unit_written, float(price.high))


class _Look:
    """Judges units by themselves, equal ones once."""

    def __init__(self, job: Job, screen: Screen) -> None:
        self._job = job
        self.screen = screen
        self._known: dict[Nameplate, Alone] = {}

    def alone(self, plate: Nameplate) -> Alone:
        if plate.quantity is not None and plate.quantity.high == 0:
            return Alone(None, "None is on hand.", None)
        same = technical(plate)
        if same not in self._known:
            self._known[same] = self._judged(same)
        return self._known[same]

    def _judged(self, plate: Nameplate) -> Alone:
        unserved = self.screen.unserved(plate)
        joins = unserved is None or unserved.name == "phases"  # single-phase units may make a bank
        if unserved is not None and not joins:
            return Alone(None, unserved.says, None)
        read = self.screen.plate(plate)
        if not isinstance(read, Plate):
            return Alone(None, read.ask, None)
        unmet = unserved or self.screen.too_small((read,))
        if unmet is not None:
            return Alone(None, unmet.says, read)
        found = vet(self._job, plate, ledger_open=False)
        return Alone(found, "" if found.verdict in FITTING else _why(found), read)


def _why(found: Vetting) -> str:
    unmet = next((one for one in found.criteria if one.name == found.binds and not one.ok), None)
    if unmet is not None:
        return unmet.says
    return found.questions[0].ask if found.questions else "It cannot be judged."


def _fit(row: StockRow, vetting: Vetting) -> StockFit:
    quantity = row.plate.quantity
    named = tuple({**unit, "unit": row.name} for unit in vetting.units)
    return StockFit(
        unit=row.name,
        pieces=(Piece(unit=row.name, row=row.row, pieces=1),),
        joined="",
        vetting=replace(vetting, units=named),
        margin_pct=margin_pct(vetting),
        loading_pct=None if vetting.blocks is None else float(vetting.blocks.demand.loading_pct),
        price=price_of(row.plate),
        on_hand=None if quantity is None or quantity.low is None else int(quantity.low),
    )


def _cheapest(fits: list[StockFit]) -> dict[str, float]:
    """Return the lowest price of what fits, by currency."""
    found: dict[str, float] = {}
    for one in fits:
        if one.price is not None:
            found[one.price.currency] = min(found.get(one.price.currency, inf), one.price.amount)
    return found


def _usual_remarks(job: Job) -> frozenset[str]:
    """Return the codes of what the unit that would be ordered new is told."""
    answer = select(job, ledger_open=False, ask=False)
    return frozenset() if answer.pick is None else frozenset(one.code for one in answer.findings)


def _rank(one: StockFit, usual: frozenset[str]) -> tuple[object, ...]:
    vetting = one.vetting
    remarks = {each.code for each in vetting.findings if each.severity in ("stop", "caution")}
    price = ("", inf) if one.price is None else (one.price.currency, one.price.amount)
    return (
        bool(one.joined),
        not all(each.ok for each in vetting.criteria) or bool(remarks - usual),
        inf if one.margin_pct is None else float(round(one.margin_pct)),
        one.price is None,
        *price,
        -(one.loading_pct or 0.0),
        one.unit,
        one.pieces[0].row or 0,
    )
