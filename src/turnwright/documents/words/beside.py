"""Several answers to one job side by side, as rows: what each set of rules picks, permits and asks."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from turnwright.documents.words import phrases
from turnwright.documents.words.figures import amperes, bare, fault_current
from turnwright.documents.words.sides import bond_words, device_words, run_words
from turnwright.model.result import Blocks, Result
from turnwright.quantities import fixed
from turnwright.regimes import Words, traits_of

Row = tuple[str, tuple[str, ...]]
NOTHING = "–"


def beside(results: Sequence[Result]) -> list[Row]:
    """Return the rows of a table with one column for each answer; rows that nobody fills are left out."""
    rows: list[Row] = [
        ("", tuple(phrases.code_edition(one.job) for one in results)),
        ("verdict", tuple(one.verdict for one in results)),
    ]
    for name, text in _ROWS:
        cells = tuple(text(one.blocks, _words(one)) if one.blocks is not None else NOTHING for one in results)
        if any(cell not in ("", NOTHING) for cell in cells):
            rows.append((name, tuple(cell or NOTHING for cell in cells)))
    for severity, name in (("stop", "stops"), ("caution", "to decide"), ("note", "notes")):
        counts = [sum(finding.severity == severity for finding in one.findings) for one in results]
        rows.append((name, tuple(str(count) for count in counts)))
    return rows


def only_here(results: Sequence[Result]) -> list[tuple[str, str]]:
    """Return, for each answer, which stops and decisions it alone has, by code."""
    codes = [
        dict.fromkeys(one.code for one in result.findings if one.severity != "note") for result in results
    ]
    found = []
    for number, result in enumerate(results):
        others = {code for at, each in enumerate(codes) if at != number for code in each}
        own = [code for code in codes[number] if code not in others]
        found.append((phrases.code_edition(result.job), ", ".join(own) or "nothing"))
    return found


def _words(result: Result) -> Words:
    return traits_of(str(result.job.get("regime") or "")).words


def _unit(blocks: Blocks, words: Words) -> str:
    pick = blocks.pick
    several = f"{pick.units} × " if pick.units > 1 else ""
    return " ".join(part for part in (f"{several}{bare(pick.kva)} kVA", pick.vector_group or "") if part)


def _law(blocks: Blocks, words: Words) -> str:
    law = blocks.efficiency.law_pct
    return "no level" if law is None else f"≥ {bare(law)} %"


def _drop(blocks: Blocks, words: Words) -> str:
    drop = blocks.voltage.regulation_pct
    return "" if drop is None else f"{fixed(drop, 1, 'up')} %"


_ROWS: tuple[tuple[str, Callable[[Blocks, Words], str]], ...] = (
    ("unit", _unit),
    ("windings", lambda blocks, words: f"{blocks.pick.primary} – {blocks.pick.secondary}"),
    ("average rise", lambda blocks, words: "" if not blocks.pick.rise_k else f"{bare(blocks.pick.rise_k)} K"),
    ("loading", lambda blocks, words: f"{fixed(blocks.demand.loading_pct, 0, 'up')} %"),
    ("rated before", lambda blocks, words: amperes((blocks.currents.primary_rated_a,))[0]),
    ("rated after", lambda blocks, words: amperes((blocks.currents.secondary_rated_a,))[0]),
    (
        "device before",
        lambda blocks, words: device_words(blocks.protection.primary_a, blocks.protection.primary_limit_a),
    ),
    (
        "device after",
        lambda blocks, words: device_words(blocks.protection.secondary_a, blocks.protection.secondary_max_a),
    ),
    ("wires before", lambda blocks, words: run_words(blocks.conductors.primary)),
    ("wires after", lambda blocks, words: run_words(blocks.conductors.secondary)),
    ("case, before", lambda blocks, words: blocks.grounding.equipment_conductor or ""),
    ("case, after", lambda blocks, words: blocks.grounding.load_equipment_conductor or ""),
    ("new neutral", lambda blocks, words: bond_words(blocks.grounding, words)),
    ("to electrode", lambda blocks, words: blocks.grounding.electrode_conductor or ""),
    ("largest fault", lambda blocks, words: fault_current(blocks.fault.maximum_a)),
    ("unit's drop", _drop),
    ("efficiency", _law),
)
"""Name of a row, and what an answer has there."""
