"""A size somebody proposed, judged: the pick stays free."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from turnwright.model.case import Case
from turnwright.model.result import Finding

if TYPE_CHECKING:
    from turnwright.selection.choose import Decision


def judge_proposed(case: Case, decision: Decision) -> Iterator[Finding]:
    """Yield whether the proposed size would do, against the pick."""
    proposed, blocks = case.choices.proposed_kva, decision.blocks
    if proposed is None or blocks is None:
        return
    own = blocks.pick.arrangement
    option = next((o for o in decision.options if o.kva == proposed and o.arrangement == own), None)
    if option is None:
        return
    loading = option.loading_pct or 0.0
    if option.status == "fits":
        message = f"The proposed {proposed:g} kVA would do: loaded to {loading:.0f} %."
        if proposed > blocks.pick.kva:
            message += f" {blocks.pick.kva:g} kVA is enough."
        yield _finding("note", message, proposed, blocks.demand.kva_required)
    else:
        running, needed = blocks.demand.kva_with_growth, blocks.demand.kva_required
        message = f"The proposed {proposed:g} kVA is too small: {needed:.1f} kVA is needed."
        if running <= proposed:
            message = (
                f"{proposed:g} kVA carries the running load of {running:.1f} kVA but not the {needed:.1f} kVA needed "
                f"(basis: {blocks.demand.basis}; heat counts 125 % of the largest motor)."
            )
        yield _finding("caution", message, proposed, needed)


def _finding(severity: str, message: str, value: float, limit: float) -> Finding:
    return Finding(
        code="proposed-size",
        severity="note" if severity == "note" else "caution",
        message=message,
        known="computed",
        value=float(value),
        limit=float(limit),
        unit="kVA",
    )
