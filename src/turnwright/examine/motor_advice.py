"""What a dip means: limits, contactors, the rule of thumb, a gentler way of starting."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from msgspec import Struct

from turnwright.examine.motor_cases import METHODS, Motor, Started
from turnwright.examine.motor_sizes import direct_share_pct, starts_direct
from turnwright.examine.subject import Subject
from turnwright.examine.words import by_row, kva_words, pct
from turnwright.model.result import Finding
from turnwright.regimes.said import said

WITHIN = 1 + 1e-9


class Limit(Struct, frozen=True, kw_only=True):
    """The largest dip that is allowed, and where it comes from. key: of the trade's practice, None where given."""

    pct: float
    words: str
    key: str | None


def limit_of(subject: Subject, motors: tuple[Motor, ...]) -> Limit:
    """Return the limit of the job, else that of the trade for a shared or a dedicated bus."""
    given = [load.start_dip_limit_pct for load in subject.case.loads if load.start_dip_limit_pct is not None]
    if given:
        return Limit(pct=float(min(given)), words=f"dip limit {min(given):g} % as given", key=None)
    shared = len(subject.sized.picture.loads) > 1 or not motors
    key = "dip_shared_pct" if shared else "dip_dedicated_pct"
    value = subject.practice(key)
    kind = "a bus shared with other loads" if shared else "a bus of its own"
    return Limit(pct=float(value), words=f"dip limit {value:g} %, usual for {kind}", key=key)


def findings_of(
    subject: Subject,
    motor: Motor | None,
    starts: Mapping[str, Started],
    limit: Limit,
    answers: dict[str, Any],
) -> tuple[Finding, ...]:
    """Return what there is to say, most severe first."""
    if motor is None:
        return ()
    own = starts[motor.method]
    return (
        *_over(subject, motor, own, limit),
        *_contactors(subject, motor, own),
        *_gentler(motor, starts, limit),
        *_thumb(subject, motor),
    )


def _over(subject: Subject, motor: Motor, own: Started, limit: Limit) -> Iterator[Finding]:
    if own.dip_pct <= limit.pct * WITHIN:
        return
    message = (
        f"{motor.label.capitalize()} dips the bus by {pct(own.dip_pct, 'up')}: more than {pct(limit.pct)}."
    )
    if limit.key is None:
        yield said("start-dip", "stop", message, known="given", value=own.dip_pct, limit=limit.pct, unit="%")
        return
    row = subject.regime.practice.row(key=limit.key)
    yield by_row("start-dip", "caution", message, row, value=own.dip_pct, limit=limit.pct, unit="%")


def _contactors(subject: Subject, motor: Motor, own: Started) -> Iterator[Finding]:
    high = subject.regime.practice.row(key="contactor_hold_high_pct")
    low = subject.practice("contactor_hold_low_pct")
    if own.left_pct >= high.number("value"):
        return
    surely = "will" if own.left_pct < low else "may"
    yield by_row(
        "contactors",
        "caution",
        f"{pct(own.left_pct, 'down')} of rated voltage are left while {motor.label} starts: contactors {surely} "
        f"drop out ({low:g}-{high.number('value'):g} %).",
        high,
        value=own.left_pct,
        limit=float(high.number("value")),
        unit="%",
    )


def _gentler(motor: Motor, starts: Mapping[str, Started], limit: Limit) -> Iterator[Finding]:
    """Other ways of starting that keep the limit, where the job's own does not."""
    if starts[motor.method].dip_pct <= limit.pct * WITHIN:
        return
    fitting = [one for one in METHODS if starts[one].dip_pct <= limit.pct * WITHIN]
    if fitting:
        ways = ", ".join(f"{one} {pct(starts[one].dip_pct, 'up')}" for one in fitting)
        yield said("gentler-start", "note", f"Within the limit: {ways}.")
    else:
        yield said("gentler-start", "note", "No usual way of starting keeps the limit on this unit.")


def _thumb(subject: Subject, motor: Motor) -> Iterator[Finding]:
    """The trade's rule for the largest motor across the line."""
    if not starts_direct(motor):
        return
    high = subject.regime.practice.row(key="largest_motor_share_high_pct")
    low = subject.practice("largest_motor_share_low_pct")
    share = direct_share_pct(subject, motor)
    if share <= low:
        return
    over = share > high.number("value")
    yield by_row(
        "largest-motor-share",
        "caution" if over else "note",
        f"The motor is {pct(share, 'up')} of the {kva_words(subject.passes_kva)} that the unit passes; "
        f"{low:g}-{high.number('value'):g} % is the usual most across the line.",
        high,
        value=share,
        limit=float(high.number("value")),
        unit="%",
    )
