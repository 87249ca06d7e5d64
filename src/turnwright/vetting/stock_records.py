"""What vetting a list answers: what fits, alone or joined, and why the rest does not."""

from __future__ import annotations

from typing import Any

from msgspec import Struct

from turnwright.model.result import Finding, Question, Tool
from turnwright.vetting.records import Verdict, Vetting


class Price(Struct, frozen=True, order=True):
    """An amount in one currency; prices are never converted."""

    currency: str
    amount: float


class Piece(Struct, frozen=True, kw_only=True):
    """So many units of one row of a list."""

    unit: str
    row: int | None
    pieces: int


class StockFit(Struct, frozen=True, kw_only=True):
    """A unit of a list that does the job, or several that do it together.

    unit         its name; of several the names, joined by " + "
    pieces       the units it takes, by row
    joined       "" for one unit; else "bank", "open delta" or "parallel"
    verdict      fit, or fit-with-conditions
    met          every criterion is met
    remarks      codes of what has to be decided
    vetting      the evaluation; None for a unit that stands behind those that were asked for in full
    spare_kva    load that may be added before the first criterion is no longer met [kVA]
    margin_pct   of the criterion that binds [%]
    loading_pct  of the most loaded winding [%]
    price        of all of them together; None where one of them has none
    on_hand      of a single unit; None where the list does not say
    """

    unit: str
    pieces: tuple[Piece, ...]
    joined: str
    verdict: Verdict
    met: bool
    remarks: frozenset[str]
    vetting: Vetting | None
    spare_kva: float | None
    margin_pct: float | None
    loading_pct: float | None
    price: Price | None
    on_hand: int | None


class Rejected(Struct, frozen=True, kw_only=True):
    """A row that does not do the job alone, or that cannot be used.

    row, column  where the file is at fault or the unit stands; None where it comes from no file
    read         False: the row cannot be used, `why` says what is wrong there
    """

    unit: str
    why: str
    row: int | None = None
    column: str | None = None
    read: bool = True


class StockVetting(Struct, frozen=True, kw_only=True):
    """The units of a list that fit, best first, and why the others do not."""

    fits: tuple[StockFit, ...]
    rejected: tuple[Rejected, ...]
    findings: tuple[Finding, ...]
    questions: tuple[Question, ...]
    tool: Tool

    @property
    def verdict(self) -> str:
        """fit, fit-with-conditions, unfit where nothing fits, needs-input where the job does not say enough."""
        if self.fits:
            return str(self.fits[0].verdict)
        return "needs-input" if self.questions else "unfit"

    def to_json(self) -> dict[str, Any]:
        """Return the answer as a dict of plain values, the structure that `vet --stock` prints."""
        from turnwright.vetting.as_json import stock_to_json

        return stock_to_json(self)
