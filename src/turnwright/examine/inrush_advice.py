"""What the inrush asks of the device before the unit, and of a source that is not the utility."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from turnwright.examine.inrush_fed import Fed
from turnwright.examine.subject import Subject
from turnwright.examine.tables import study_row
from turnwright.examine.words import amps, by_row
from turnwright.model.result import Finding
from turnwright.quantities import figure
from turnwright.reference import EditionTable
from turnwright.regimes.said import said

WITHIN = 1 + 1e-9


def findings_of(subject: Subject, answers: dict[str, Any], fed: Fed | None) -> tuple[Finding, ...]:
    """Return what there is to say, most severe first."""
    practice = subject.regime.practice
    return (
        *_held(answers),
        *_device(subject, answers),
        *(_low_side(practice) if fed is not None and fed.low_side else ()),
        *_source(subject),
    )


def findings_of_unit(practice: EditionTable, answers: dict[str, Any], fed: Fed) -> tuple[Finding, ...]:
    """Return what there is to say of a unit without a job around it."""
    return (*_held(answers), *(_low_side(practice) if fed.low_side else ()))


def _held(answers: dict[str, Any]) -> Iterator[Finding]:
    """Points of the device at which more may flow than it holds."""
    for row in answers["hold_off"]:
        if not row["holds"]:
            yield said(
                "inrush-trips",
                "caution",
                f"The device holds {amps(row['holds_a'], 'down')} for {row['time_s']:g} s; switching on may ask for "
                f"{amps(row['solved_a'], 'up')}.",
                value=row["solved_a"],
                limit=row["holds_a"],
                unit="A",
            )


def _device(subject: Subject, answers: dict[str, Any]) -> Iterator[Finding]:
    """The point of the trade against the instantaneous trip a breaker usually has."""
    high = answers["points"][1]
    over, kind = high["device_multiple"], subject.blocks.protection.kind
    if over is None:
        return
    if kind == "fuse":
        yield by_row(
            "inrush-fuse",
            "note",
            f"The fuse must not melt at {amps(high['current_a'], 'up')} in {high['time_s']:g} s: a time-delay fuse.",
            subject.regime.practice.row(key="inrush_high_multiple"),
            value=high["current_a"],
            unit="A",
        )
        return
    row = study_row("instantaneous_high_multiple")
    low = study_row("instantaneous_low_multiple").number("value")
    above = over > row.number("value") * WITHIN
    yield by_row(
        "inrush-device",
        "caution" if above else "note",
        f"Set its instantaneous trip above {figure(over, rounding='up')} times the rating of {answers['device_a']:g} A"
        + (
            f": more than the {low:g}-{row.number('value'):g} times that are usual; take a larger device within the "
            "limit, or one with a higher setting."
            if above
            else f" ({low:g}-{row.number('value'):g} times are usual)."
        ),
        row,
        value=over,
        limit=float(row.number("value")),
    )


def _low_side(practice: EditionTable) -> Iterator[Finding]:
    """A unit fed from its low side draws more."""
    row = practice.row(key="backfed_inrush_multiple")
    yield by_row(
        "inrush-step-up",
        "caution",
        f"A unit fed from its low side may draw {row.number('value'):g} times its rated current: order one that is "
        "built as a step-up.",
        row,
        value=float(row.number("value")),
    )


def _source(subject: Subject) -> Iterator[Finding]:
    """A generator or UPS feels the inrush of the whole unit."""
    source = subject.case.supply.source
    practice = subject.regime.practice
    if source == "generator":
        row = practice.row(key="generator_inrush_high_multiple")
        kva = float(row.number("value")) * float(subject.sized.unit.kva)
        yield by_row(
            "inrush-generator",
            "caution",
            f"At closing the generator may see up to {figure(kva, rounding='up')} kVA: its voltage must bear that.",
            row,
            value=kva,
            unit="kVA",
        )
    if source in ("ups", "inverter"):
        row = practice.row(key="ups_current_low_multiple")
        yield by_row(
            "inrush-ups",
            "caution",
            f"The {source.upper() if source == 'ups' else source} limits its current at about "
            f"{row.number('value'):g} times rated: closing the unit may make it shut down.",
            row,
        )
