"""What there is to say of a unit beside the rules: its volts at the load, its tap, how its arrangement behaves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from turnwright.model.case import Case
from turnwright.model.result import Blocks, Finding
from turnwright.regimes.common.rules.supply import reads_other_system
from turnwright.regimes.regime import Regime
from turnwright.selection.derating import derating_remarks
from turnwright.selection.heat import heat_remarks
from turnwright.selection.low_rise import rise_remarks
from turnwright.selection.screen import Sized
from turnwright.selection.tap import tap_for, tapped_output_v
from turnwright.selection.volts import Range, ranges

SAID_BY_RULE = {
    "ask-nameplate-range": "plate-208-230",
    "grounding-contradiction": "to-ground-says",
    "grounding-measured": "to-ground-says",
    "reverse-floating": "output-grounding",
    "no-device-of-its-own": "grounding-autotransformer",
}
"""Remark -> the rule of a regime that says the same with its clause; where the rule speaks the remark is left out."""


def unsaid(remarks: Iterable[Finding], findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the remarks that no rule has made already."""
    said = {finding.code for finding in findings}
    return tuple(remark for remark in remarks if SAID_BY_RULE.get(remark.code) not in said)


def remarks_of(case: Case, sized: Sized, blocks: Blocks, regime: Regime) -> Iterator[Finding]:
    """Yield what there is to say of a unit in its arrangement."""
    if sized.proposal.remarks is not None:
        yield from sized.proposal.remarks()
    yield from derating_remarks(case.site, sized.unit.rise_k, sized.unit.insulation_c)
    yield from heat_remarks(case, sized, regime)
    yield from rise_remarks(case, sized, regime)
    contradicted = reads_other_system(case.supply.measured_v, case.supply.line_v)
    if not sized.proposal.shunt and sized.proposal.winding_v is None and not contradicted:
        yield from _volts_at_load(case, sized, blocks, regime)


def _volts_at_load(case: Case, sized: Sized, blocks: Blocks, regime: Regime) -> Iterator[Finding]:
    """The output without load and at this load, at the tap for the supply as measured, against the standard."""
    proposal, unit = sized.proposal, sized.unit
    regulation = blocks.voltage.regulation_pct
    nominal_v = float((proposal.load_system or proposal.output).line_v)
    known = ranges(nominal_v, regime.volt_ranges)
    if regulation is None or (not known and not case.supply.measured_v):
        return
    at = tap_for(case, unit.taps_pct, float(proposal.primary.line_v))
    empty_v = tapped_output_v(
        at.supply_v, float(proposal.primary.line_v), float(proposal.output.line_v), at.tap_pct
    )
    full_v = empty_v * (1 - regulation / 100)
    where = ""
    if at.measured:
        where = f" with the supply at {at.supply_v:.4g} V"
        where += (
            f" on the {at.tap_pct:+g} % tap" if at.tap_pct else (" on the 0 % tap" if unit.taps_pct else "")
        )
    message = f"The output is {empty_v:.1f} V without load and {full_v:.1f} V at this load{where}"
    if not known:
        yield Finding(
            code="voltage-range",
            severity="note",
            message=f"{message}.",
            known="computed",
            value=full_v,
            unit="V",
        )
        return
    yield _judged(message, empty_v, full_v, known)


def _judged(message: str, empty_v: float, full_v: float, known: tuple[Range, ...]) -> Finding:
    inside = next((one for one in known if one.low_v <= full_v and empty_v <= one.high_v), None)
    least = known[0]
    span = f"{least.low_v:.0f} to {least.high_v:.0f} V"
    if inside is least:
        said, severity = f"inside {least.title} for equipment ({span})", "note"
    elif inside is not None:
        said = f"outside {least.title} for equipment ({span}), inside the wider {inside.title.removeprefix('the ')}"
        severity = "caution"
    else:
        both = f"outside both ranges for equipment ({least.name}: {span})"
        said, severity = f"{both}: another tap, or less drop", "caution"
    low = full_v < least.low_v
    return Finding(
        code="voltage-range",
        severity="caution" if severity == "caution" else "note",
        message=f"{message}: {said}.",
        clause=least.clause,
        known=least.row.source.known,
        value=full_v if low or empty_v <= least.high_v else empty_v,
        limit=least.low_v if low or empty_v <= least.high_v else least.high_v,
        unit="V",
    )
