"""How a number came about: values with their step, formulas that declare themselves, the ledger."""

from turnwright.working.ledger import CLOSED, ClosedLedger, Formula, Ledger, formula, formula_of
from turnwright.working.number import Known, Number, Step, Word, step_of

__all__ = [
    "CLOSED",
    "ClosedLedger",
    "Formula",
    "Known",
    "Ledger",
    "Number",
    "Step",
    "Word",
    "formula",
    "formula_of",
    "step_of",
]
