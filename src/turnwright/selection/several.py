"""Several units for one job: equal pieces on their own, a second transformer, and what the supply carries in all."""

from __future__ import annotations

from cmath import rect
from collections import Counter
from collections.abc import Sequence
from math import radians
from typing import TYPE_CHECKING

from msgspec.structs import replace

from turnwright.arrangements.wishes import start_of
from turnwright.model.case import Case, CaseLoad
from turnwright.model.result import Alternative, Blocks, Currents, Finding
from turnwright.quantities import figure
from turnwright.selection.grouping import Group
from turnwright.thermal.sound import combined_dba

if TYPE_CHECKING:
    from turnwright.selection.choose import Decision

PAIRS = ("AB", "BC", "CA")
PAIR_DEG = {"AB": 30.0, "BC": -90.0, "CA": 150.0}


def combined(case: Case, decided: Sequence[tuple[Group, Decision]], direct: tuple[CaseLoad, ...]) -> Decision:
    """Return the answers of several groups as one: the first is the pick, the others stand in `also`."""
    answered = [(group, _with_pieces(group, decision)) for group, decision in decided]
    failed = [(group, decision) for group, decision in answered if decision.blocks is None]
    if failed:
        return _refused(answered, failed, direct)
    first = answered[0][1]
    also = tuple(_also(group, decision) for group, decision in answered[1:])
    findings = list(first.findings)
    said = {(one.code, one.message) for one in findings}
    for _, other in answered[1:]:  # what stops something, or has to be decided, is said of the whole job too
        findings += [
            one for one in other.findings if one.severity != "note" and (one.code, one.message) not in said
        ]
    findings += _supply_total(case, [decision for _, decision in answered])
    findings += _sound_in_all(case, [decision for _, decision in answered])
    findings += [_cascade(answered[0], other) for other in answered[1:] if other[0].pieces == 1]
    return replace(first, findings=tuple(findings), also=(*also, *(_stays(case, load) for load in direct)))


def _refused(
    answered: Sequence[tuple[Group, Decision]],
    failed: Sequence[tuple[Group, Decision]],
    direct: tuple[CaseLoad, ...],
) -> Decision:
    """One group cannot be served: refused, with the rest complete as what can be done instead."""
    findings = tuple(one for _, decision in failed for one in decision.findings)
    served = [(group, decision) for group, decision in answered if decision.blocks is not None]
    instead = [other for _, decision in failed for other in decision.instead]
    if served:
        group, first = served[0]
        assert first.blocks is not None
        left_out = " and ".join(load.label for other, _ in failed for load in other.case.loads)
        instead.insert(
            0,
            Alternative(
                what=f"{_unit_words(first.blocks)} for {_listed(group)}, without {left_out}.",
                why="That part of the job can be done; the rest needs another way.",
                blocks=first.blocks,
                findings=first.findings,
                also=tuple(_also(other, decision) for other, decision in served[1:]),
            ),
        )
    return replace(
        failed[0][1],
        blocks=None,
        options=tuple(option for _, decision in failed for option in decision.options),
        findings=findings,
        instead=tuple(instead),
    )


def _also(group: Group, decision: Decision) -> Alternative:
    assert decision.blocks is not None
    return Alternative(
        what=f"{_unit_words(decision.blocks)} for {_listed(group)}.",
        why="No single secondary gives all the loads what they ask for."
        if group.pieces == 1
        else "Each piece gets a unit of its own.",
        blocks=decision.blocks,
        findings=decision.findings,
    )


def _stays(case: Case, load: CaseLoad) -> Alternative:
    return Alternative(
        what=f"{start_of(load.label)} stays on the supply, without a transformer.",
        why=f"It asks for {load.system.text}, which {case.supply.system.text} has already.",
    )


def _unit_words(blocks: Blocks) -> str:
    pick = blocks.pick
    several = f"{pick.units} × " if pick.units > 1 else ""
    return f"{several}{pick.kva:g} kVA, {pick.primary} to {pick.secondary},"


def _listed(group: Group) -> str:
    return ", ".join(load.label for load in group.case.loads)


def _with_pieces(group: Group, decision: Decision) -> Decision:
    """Put the pieces of a group on the lines of the supply: as many units, each pair of lines in turn."""
    if group.pieces == 1 or decision.blocks is None:
        return decision
    blocks = decision.blocks
    lines = lines_of(group, blocks)
    pick = replace(blocks.pick, units=blocks.pick.units * group.pieces, lines=lines)
    totals = line_totals(group, blocks.currents, lines)
    currents = replace(blocks.currents, line_load_a=totals)
    spread = Finding(
        code="spread-lines",
        severity="note",
        message=(
            f"The {len(lines)} units hang on {', '.join(f'{pair} ({n})' for pair, n in Counter(lines).items())}; "
            f"together the supply carries {_by_line(totals)}."
        ),
        known="computed",
        value=float(max(totals)),
        unit="A",
    )
    findings = (
        *(one for one in decision.findings if one.code != "two-lines"),
        spread,
        *_shifted_pairs(group),
    )
    return replace(decision, blocks=replace(blocks, pick=pick, currents=currents), findings=findings)


def _shifted_pairs(group: Group) -> tuple[Finding, ...]:
    """Equal pieces behind six-pulse bridges: half of them shifted by 30 degrees take the 5th and 7th off the supply."""
    orders = {order for load in group.case.loads for order, percent in load.harmonics if percent > 0}
    if group.case.supply.system.phases != 3 or not {5, 7} <= orders:
        return ()
    message = (
        f"{group.pieces} equal pieces: with half of them behind delta-delta units and half behind delta-wye ones, 30 "
        "degrees apart and of one impedance, the 5th, 7th, 17th and 19th of the like part of their loads cancel on the "
        "supply. Each winding carries its own all the same, and a delta output gives no neutral."
    )
    return (Finding(code="shifted-pairs", severity="note", message=message, known="memory"),)


def _by_line(currents: Sequence[float]) -> str:
    return ", ".join(f"{line} {current_a:.1f} A" for line, current_a in zip("ABC", currents, strict=False))


def lines_of(group: Group, blocks: Blocks) -> tuple[str, ...]:
    """Return the supply lines of each piece, spread over the three pairs where the supply has them."""
    if group.case.supply.system.phases == 1:
        return ("AB",) * group.pieces
    if sum(current_a > 0 for current_a in blocks.currents.line_load_a) > 2:
        return ("ABC",) * group.pieces
    return tuple(PAIRS[number % len(PAIRS)] for number in range(group.pieces))


def line_totals(group: Group, currents: Currents, lines: tuple[str, ...]) -> tuple[float, ...]:
    """Return the line currents of the supply with all pieces running, times their demand factor. [A]

    Equal pieces draw at one angle each behind the volts of their own pair of lines, so their currents add as phasors.

    Source: geometry of the line voltages
    """
    factor = group.demand_factor
    if lines[0] not in PAIRS or len(currents.line_load_a) != 3:
        return tuple(factor * group.pieces * current_a for current_a in currents.line_load_a)
    each_a = max(currents.line_load_a)
    total = {"A": 0j, "B": 0j, "C": 0j}
    for pair, count in Counter(lines).items():
        phasor = rect(factor * count * each_a, radians(PAIR_DEG[pair]))
        total[pair[0]] += phasor
        total[pair[1]] -= phasor
    return tuple(abs(phasor) for phasor in total.values())


def _cascade(first: tuple[Group, Decision], other: tuple[Group, Decision]) -> Finding:
    """What it means to feed the second unit from the first one's output instead of the supply."""
    one, two = first[1].blocks, other[1].blocks
    assert one is not None and two is not None
    total = one.demand.kva_with_growth + two.demand.kva_with_growth
    return Finding(
        code="cascade",
        severity="note",
        message=(
            f"The {two.pick.kva:g} kVA unit for {_listed(other[0])} may hang on the {one.pick.secondary} output "
            f"instead of the supply, where that saves a run: the first unit then carries {total:.1f} kVA, with both "
            "drops and both impedances in series."
        ),
        known="computed",
        value=float(total),
        unit="kVA",
    )


def _sound_in_all(case: Case, decisions: Sequence[Decision]) -> list[Finding]:
    """How loud all units are together where they stand side by side, near people who want to hear nothing."""
    if "quiet" not in case.site.conditions and case.site.place != "ceiling":
        return []
    picks = [decision.blocks.pick for decision in decisions if decision.blocks is not None]
    levels = [pick.sound_limit_db for pick in picks for _ in range(pick.units)]
    known = [level_db for level_db in levels if level_db is not None]
    if len(levels) < 2 or 0 < len(known) < len(levels):
        return []
    if known:
        together_db = combined_dba(known)
        counted = " and ".join(f"{count} of {level_db:g} dB" for level_db, count in Counter(known).items())
        message = (
            f"{len(known)} units side by side, {counted}, are {figure(together_db)} dB together: "
            f"{figure(together_db - max(known))} dB over the loudest."
        )
    else:
        together_db = combined_dba([0.0] * len(levels))
        message = (
            f"{len(levels)} units side by side are up to {figure(together_db)} dB louder than the loudest."
        )
    return [
        Finding(
            code="sound-of-all",
            severity="caution",
            message=f"{message} Set apart they add less.",
            clause="sum of sound powers",
            known="computed",
            value=together_db,
            unit="dB",
        )
    ]


def _supply_total(case: Case, decisions: Sequence[Decision]) -> list[Finding]:
    """What all units together draw from each line of the supply, and whether its panel has the room."""
    if len(decisions) < 2:
        return []
    each = [decision.blocks.currents.line_load_a for decision in decisions if decision.blocks is not None]
    totals = [sum(currents) for currents in zip(*each, strict=True)]
    supply = case.supply
    spare_a, room = None, ""
    if supply.panel_rating_a is not None and supply.panel_load_a is not None:
        spare_a = float(supply.panel_rating_a) - float(supply.panel_load_a)
        room = f"; its panel has {spare_a:g} A to spare"
    elif supply.panel_rating_a is not None:
        spare_a = float(supply.panel_rating_a)
        room = f"; its panel is rated {spare_a:g} A, and what it carries already is not known"
    short = spare_a is not None and max(totals) > spare_a * (1 + 1e-9)
    return [
        Finding(
            code="supply-total",
            severity="stop" if short else "note",
            message=(
                f"All units together draw up to {_by_line(totals)} from the supply with growth, magnitudes added{room}."
            ),
            known="computed",
            value=float(max(totals)),
            limit=spare_a,
            unit="A",
        )
    ]
