"""What the faults mean: panels, devices, the unit itself, the first ground fault."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from turnwright.examine.ends import ends_of
from turnwright.examine.fault_cases import END, LARGEST, LEAST, TERMINALS, Found, unlimited
from turnwright.examine.fault_formulas import fault_multiple, withstand_s
from turnwright.examine.interrupting import Duty, classes_of
from turnwright.examine.site import rated_windings_a, site_of
from turnwright.examine.subject import Subject
from turnwright.examine.tables import study_row
from turnwright.examine.words import amps, by_row, ratio
from turnwright.model.result import Finding, Severity
from turnwright.quantities import figure
from turnwright.reference import load
from turnwright.regimes.said import cited, said
from turnwright.working import Ledger

NARROW = 1.0 + 1e-9


def findings_of(
    subject: Subject,
    found: tuple[Found, ...],
    duties: tuple[Duty, ...],
    answers: dict[str, Any],
    work: Ledger,
) -> tuple[Finding, ...]:
    """Return what there is to say, most severe first."""
    return (
        *_panel(subject, duties),
        *_unrated(duties, found),
        *_weak_faults(subject, found),
        *_first_peaks(subject, duties),
        *_ungrounded(subject),
        *_through(subject, found, answers, work),
        *_shifted(subject, found),
    )


def _panel(subject: Subject, duties: tuple[Duty, ...]) -> Iterator[Finding]:
    """The panel before the unit against its own rating."""
    rating, needed = subject.case.supply.panel_fault_rating_a, duties[0].fault_a
    if rating is None or needed is None or needed <= rating * NARROW:
        return
    message = f"The panel before the unit is rated {amps(rating, 'down')} and sees {amps(needed, 'up')}."
    row = next((row for row in subject.regime.rule_table.rows if row.key == "panel-fault-rating"), None)
    if row is None:
        yield said("panel-fault-rating", "stop", message, value=needed, limit=rating, unit="A")
        return
    yield cited("panel-fault-rating", "stop", message, row.source, value=needed, limit=rating, unit="A")


def _unrated(duties: tuple[Duty, ...], found: tuple[Found, ...]) -> Iterator[Finding]:
    if unlimited(found):
        yield said(
            "straight-line",
            "caution",
            "A line passes straight through the unit: the devices after it cannot be rated until the fault current of "
            "the supply is known.",
            clause="circuit theory",
        )
    if duties[0].fault_a is None:
        yield said(
            "supply-fault-unknown",
            "caution",
            "The device before the unit cannot be rated until the fault current of the supply is known.",
        )


def _weak_faults(subject: Subject, found: tuple[Found, ...]) -> Iterator[Finding]:
    """Faults that a device after the unit does not clear at once."""
    devices = subject.blocks.protection.secondary_devices_a
    here = [one for one in found if one.condition == LEAST]
    if not devices or not here:
        return
    least, device_a = min(here, key=lambda one: one.fault.current_a), max(devices)
    row = study_row("instantaneous_high_multiple")
    multiple = least.fault.current_a / device_a
    if multiple >= row.number("value"):
        return
    yield by_row(
        "weakest-fault",
        "caution" if multiple < study_row("instantaneous_low_multiple").number("value") else "note",
        f"The weakest fault ({least.kind}, {least.where}) is {figure(multiple, rounding='down')} times the "
        f"{device_a:g} A device: check on its curve how soon it opens.",
        row,
        value=multiple,
        limit=float(row.number("value")),
    )


def _first_peaks(subject: Subject, duties: tuple[Duty, ...]) -> Iterator[Finding]:
    """Faults that peak higher than the test of a device."""
    for duty in duties:
        if duty.needed_a is None or duty.fault_a is None or duty.needed_a <= duty.fault_a * NARROW:
            continue
        row = classes_of(duty.device, subject.regime.name)[0]
        yield by_row(
            "first-peak",
            "note",
            f"{duty.where.capitalize()}: X/R {ratio(duty.x_over_r)} peaks higher than in the test of such a "
            f"{duty.device}; {amps(duty.fault_a, 'up')} ask for a rating of {amps(duty.needed_a, 'up')}.",
            row,
            value=duty.needed_a,
            limit=duty.fault_a,
            unit="A",
        )


def _ungrounded(subject: Subject) -> Iterator[Finding]:
    output = subject.sized.proposal.output
    if subject.earthed:
        return
    if output.grounding == "corner":
        yield said(
            "corner-grounded",
            "note",
            "One line is grounded: a fault of another line to ground is a fault between the two lines.",
        )
        return
    yield said(
        "first-ground-fault",
        "note",
        f"The {output.text} side has no grounded point: the first fault to ground draws next to nothing, trips "
        "nothing, and must be found by ground detection before the second.",
        known="common practice",
    )


def _through(
    subject: Subject, found: tuple[Found, ...], answers: dict[str, Any], work: Ledger
) -> Iterator[Finding]:
    """How long the winding that is worst off bears its through-fault."""
    constants = load("dry_type_constants").newest()
    limit = constants.row(key="through_fault_max_multiple")
    answers["through_fault_multiple"] = answers["through_fault_s"] = None
    if subject.sized.proposal.shunt:
        return
    current_a, rated_a, worst = _worst_winding(subject, found)
    multiple = work.calc(
        "answers.through_fault_multiple",
        fault_multiple,
        fault_a=work.note(
            "winding.fault_a", current_a, "A", f"solved circuit: {worst.kind}, winding worst off", "computed"
        ),
        rated_a=rated_a,
    )
    answers["through_fault_multiple"] = multiple
    most = limit.number("value")
    times = figure(multiple, rounding="up")
    severity: Severity
    if multiple > most * NARROW:
        severity = "caution"
        message = (
            f"At the low end of its impedance a winding carries {times} times its rated current in a fault "
            f"({worst.kind}): above the {most:g} times that dry types are built for. Ask for a higher impedance, or "
            "for a unit built for it."
        )
    else:
        severity = "note"
        longest_s = work.calc(
            "answers.through_fault_s",
            withstand_s,
            constant_s=constants.row(key="through_fault_i2t_s").number("value"),
            multiple=multiple,
        )
        answers["through_fault_s"] = longest_s
        within = figure(longest_s, digits=2, rounding="down")
        message = (
            f"A winding carries up to {times} times its rated current in a fault ({worst.kind}): the device before "
            f"the unit must clear it within {within} s."
        )
    yield by_row("through-fault", severity, message, limit, value=multiple, limit=float(most))


def _worst_winding(subject: Subject, found: tuple[Found, ...]) -> tuple[float, float, Found]:
    """The winding whose current is the largest multiple of its rated one, in the largest faults."""
    rated = rated_windings_a(site_of(subject, ends_of(subject).low, None))
    rows = [
        (current / rated[name], current, rated[name], one)
        for one in found
        if (one.where, one.condition) == (TERMINALS, LARGEST)
        for name, current in one.fault.windings_a.items()
    ]
    _, current_a, rated_a, worst = max(rows, key=lambda row: row[0])
    return current_a, rated_a, worst


def _shifted(subject: Subject, found: tuple[Found, ...]) -> Iterator[Finding]:
    """A ground fault after a delta shows less on the supply side than a three-phase one."""
    if not subject.balanced or "delta" not in subject.sized.proposal.primary.text:
        return
    at = {one.kind: one.fault for one in found if (one.where, one.condition) == (TERMINALS, LARGEST)}
    whole, ground = at.get("three-phase"), at.get("line-ground")
    if whole is None or ground is None or not ground.current_a:
        return
    per_unit = (max(ground.supply_lines_a.values()) / ground.current_a) / (
        max(whole.supply_lines_a.values()) / whole.current_a
    )
    if per_unit > 0.99:
        return
    end = [one for one in found if (one.where, one.condition, one.kind) == (END, LEAST, "line-ground")]
    least = (
        end[0]
        if end
        else next(
            one for one in found if (one.where, one.condition, one.kind) == (TERMINALS, LEAST, "line-ground")
        )
    )
    seen_a = max(least.fault.supply_lines_a.values())
    yield said(
        "ground-fault-behind-delta",
        "note",
        f"A line-to-ground fault shows {figure(per_unit, digits=2)} of its share in the supply lines: at the "
        f"{least.where} it may be only {amps(seen_a, 'down')} there.",
        clause="circuit theory",
        value=per_unit,
    )
