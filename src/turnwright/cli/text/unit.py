"""A unit on both its sides as lines of the terminal."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from turnwright.cli.text.layout import SIDES_AT, entry, sides
from turnwright.documents.words import phrases
from turnwright.documents.words.sides import facts_below, side_rows
from turnwright.model.result import Blocks


def unit_lines(blocks: Blocks, job: Mapping[str, Any]) -> list[str]:
    """Return the table of sides of a unit and, below it, what belongs to neither side."""
    regime = str(job.get("regime") or "")
    lines = sides(side_rows(blocks, phrases.fact(job, "supply.system"), regime))
    for name, text in facts_below(blocks, regime):
        lines += entry(name, text, at=SIDES_AT) if text else []
    return lines
