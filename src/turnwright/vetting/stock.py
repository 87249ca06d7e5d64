"""Which units of a list do a job, each by itself or joined: best first, and why not for the rest."""

from __future__ import annotations

from collections.abc import Iterable
from math import inf
from typing import NamedTuple

from msgspec.structs import replace

from turnwright.intake import case_of
from turnwright.model.case import Case, NeedsInput
from turnwright.model.job import Job, Nameplate
from turnwright.model.result import Question
from turnwright.narrow.select import regime_for, select, tool
from turnwright.vetting.plate import Plate
from turnwright.vetting.stock_alone import Alone, Look, technical, told_by
from turnwright.vetting.stock_joined import Joining, Member
from turnwright.vetting.stock_list import StockList, StockRow, Unread
from turnwright.vetting.stock_records import Piece, Price, Rejected, StockFit, StockVetting
from turnwright.vetting.stock_screen import Screen

IN_FULL = 20
"""So many of what fits are evaluated in full, the first ones."""


def vet_stock(
    job: Job, units: StockList | Iterable[Nameplate], *, in_full: int | None = IN_FULL
) -> StockVetting:
    """Return which units do a job, best first, and why the others do not.

    Of what fits, single units stand first, then what fits without conditions (what a new unit of the right size is told
    as well is none), what has the least to spare, the lowest price, the highest loading. Banks of single-phase units
    and pairs in parallel are looked for where no unit does it alone, and where they cost less than any that does.

    job     : the facts as given
    units   : nameplates, or a list as `load_stock_list` returns it
    in_full : so many of what fits carry their whole evaluation; None: each does, and is judged one by one
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
    look = Look(Screen(case, regime), one_by_one=in_full is None)
    fits, rejected = _sorted_out(job, case, listed, look)
    usual = _usual_remarks(job)
    ranked = sorted(fits, key=lambda one: _rank(one.fit, usual))
    shown = tuple(_in_full(one, look) for one in ranked[:in_full])
    if any(_seen(one) != (one.verdict, one.met, one.remarks) for one in shown):
        return vet_stock(job, listed, in_full=None)  # what was concluded from units beside it did not hold
    return StockVetting(
        fits=(*shown, *(one.fit for one in ranked[len(shown) :])),
        rejected=tuple(sorted([*rejected, *unread], key=_place)),
        findings=listed.findings,
        questions=(),
        tool=tool(),
    )


class _Ranked(NamedTuple):
    """A fit and, of a single unit, the kind it is of."""

    fit: StockFit
    same: Nameplate | None = None
    plate: Plate | None = None


def _sorted_out(job: Job, case: Case, listed: StockList, look: Look) -> tuple[list[_Ranked], list[Rejected]]:
    """Return what fits, alone and joined, and the rows that do not."""
    here = [(row, technical(row.plate)) for row in listed.rows if not _none_here(row)]
    known = look.all(same for _, same in here)
    found = [(row, same, known[same]) for row, same in here]
    fits = [_Ranked(_fit(row, one), same, one.plate) for row, same, one in found if one.fits]
    members = [
        Member(row, one.plate, same, price_of(row.plate))
        for row, same, one in found
        if not one.fits and one.plate is not None
    ]
    joined = Joining(job, case, look.screen, members).found(_cheapest(one.fit for one in fits), not fits)
    done = {one.pieces[0].row or one.unit for one in joined if len(one.pieces) == 1}
    why = [(row, one.why) for row, _, one in found if not one.fits]
    why += [(row, "None is on hand.") for row in listed.rows if _none_here(row)]
    rejected = [
        Rejected(unit=row.name, why=said, row=row.row)
        for row, said in why
        if (row.row or row.name) not in done
    ]
    return [*fits, *map(_Ranked, joined)], rejected


def _in_full(one: _Ranked, look: Look) -> StockFit:
    if one.same is None or one.plate is None:
        return one.fit
    vetting = look.vetting(one.same, one.plate)
    named = tuple({**unit, "unit": one.fit.unit} for unit in vetting.units)
    return replace(one.fit, vetting=replace(vetting, units=named))


def _seen(one: StockFit) -> tuple[object, ...]:
    """What the whole evaluation says."""
    assert one.vetting is not None
    told = told_by(one.vetting)
    return told.verdict, not told.unmet, told.remarks


def _listed(units: Iterable[Nameplate]) -> StockList:
    rows = [StockRow(name=one.unit or f"unit {number}", plate=one) for number, one in enumerate(units, 1)]
    return StockList(origin="", rows=tuple(rows))


def _unread(one: Unread) -> Rejected:
    why = f"{one.error.what} {one.error.fix}"
    return Rejected(unit=one.name, why=why, row=one.row, column=one.column, read=False)


def _place(one: Rejected) -> int:
    return one.row or 0


def _none_here(row: StockRow) -> bool:
    return row.plate.quantity is not None and row.plate.quantity.high == 0


def price_of(plate: Nameplate) -> Price | None:
    """Return the price of one unit, of a range its upper end."""
    price = plate.price
    if price is None or price.high is None:
        return None
    return Price(price.unit_written, float(price.high))


def _fit(row: StockRow, alone: Alone) -> StockFit:
    assert alone.told is not None
    quantity = row.plate.quantity
    return StockFit(
        unit=row.name,
        pieces=(Piece(unit=row.name, row=row.row, pieces=1),),
        joined="",
        verdict=alone.told.verdict,
        met=not alone.told.unmet,
        remarks=alone.told.remarks,
        vetting=None,
        spare_kva=alone.spare_kva,
        margin_pct=alone.margin_pct,
        loading_pct=alone.loading_pct,
        price=price_of(row.plate),
        on_hand=None if quantity is None or quantity.low is None else int(quantity.low),
    )


def _cheapest(fits: Iterable[StockFit]) -> dict[str, float]:
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
    price = ("", inf) if one.price is None else (one.price.currency, one.price.amount)
    return (
        bool(one.joined),
        not one.met or bool(one.remarks - usual),
        inf if one.margin_pct is None else float(round(one.margin_pct)),
        one.price is None,
        *price,
        -(one.loading_pct or 0.0),
        one.unit,
        one.pieces[0].row or 0,
    )
