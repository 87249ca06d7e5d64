"""The answer of vetting as other programs read it."""

from __future__ import annotations

from typing import Any

from turnwright.model.as_json import BLOCKS, SCHEMA, plain, working_line
from turnwright.model.result import Blocks
from turnwright.vetting.records import Vetting
from turnwright.vetting.stock_records import StockFit, StockVetting


def vet_to_json(vetting: Vetting) -> dict[str, Any]:
    """Return the answer as a dict that any JSON writer takes; same answer, same dict.

    Raises:
        ValueError: a number of the answer is not finite.
    """
    blocks = vetting.blocks
    return {
        "schema": SCHEMA,
        "verdict": str(vetting.verdict),
        "units": [plain(unit, "units") for unit in vetting.units],
        "arrangement": vetting.arrangement,
        "criteria": plain(vetting.criteria, "criteria"),
        "binds": vetting.binds,
        "spare_kva": plain(vetting.spare_kva, "spare_kva"),
        "pick": None if blocks is None else plain(blocks.pick, "pick"),
        **_block_values(blocks),
        "findings": plain(vetting.findings, "findings"),
        "questions": plain(vetting.questions, "questions"),
        "working": [working_line(line) for line in vetting.working],
        "tool": plain(vetting.tool),
        "job": plain(vetting.job, "job"),
    }


def _block_values(blocks: Blocks | None) -> dict[str, Any]:
    if blocks is None:
        return {name: dict.fromkeys(record.__struct_encode_fields__) for name, record in BLOCKS.items()}
    return {name: plain(getattr(blocks, name), name) for name in BLOCKS}


def stock_to_json(found: StockVetting) -> dict[str, Any]:
    """Return which units of a list fit, best first, and why the others do not."""
    return {
        "schema": SCHEMA,
        "verdict": found.verdict,
        "fits": [_fit(one) for one in found.fits],
        "rejected": [
            {"unit": one.unit, "why": one.why, "row": one.row, "column": one.column, "read": one.read}
            for one in found.rejected
        ],
        "findings": plain(found.findings, "findings"),
        "questions": plain(found.questions, "questions"),
        "working": [],
        "tool": plain(found.tool),
    }


def _fit(one: StockFit) -> dict[str, Any]:
    """A unit that fits; what only its whole evaluation says is null where it was not asked for."""
    vetting = one.vetting
    return {
        "unit": one.unit,
        "verdict": one.verdict,
        "joined": one.joined or None,
        "units": [{"unit": each.unit, "row": each.row, "pieces": each.pieces} for each in one.pieces],
        "binds": None if vetting is None else vetting.binds,
        "margin_pct": plain(one.margin_pct, "margin_pct"),
        "loading_pct": plain(one.loading_pct, "loading_pct"),
        "price": None if one.price is None else plain(one.price.amount, "price"),
        "currency": None if one.price is None else one.price.currency,
        "on_hand": one.on_hand,
        "spare_kva": plain(one.spare_kva, "spare_kva"),
        "to_decide": sorted(one.remarks),
        "in_full": vetting is not None,
        **_evaluated(vetting),
    }


def _evaluated(vetting: Vetting | None) -> dict[str, Any]:
    if vetting is None:
        return dict.fromkeys(("arrangement", "pick", "criteria", "findings", "questions"))
    return {
        "arrangement": vetting.arrangement,
        "pick": None if vetting.blocks is None else plain(vetting.blocks.pick, "pick"),
        "criteria": plain(vetting.criteria, "criteria"),
        "findings": plain(vetting.findings, "findings"),
        "questions": plain(vetting.questions, "questions"),
    }
