"""What is to be said of a fleet beside its rows: faults, assumptions, units without a profile."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence

from turnwright.fleet.even_steps import HOUR_NS
from turnwright.fleet.forms.choosing import COMPILED_FROM_STEPS, is_kept
from turnwright.fleet.records import FleetFault, FleetOptions, FleetUnit, Form
from turnwright.fleet.sums import UnitSums
from turnwright.model.result import Finding

NAMED = 5
"""So many units are named in a sentence; the number of all of them stands beside."""


def findings_of(
    units: dict[str, FleetUnit],
    done: Sequence[tuple[FleetUnit, UnitSums]],
    faults: Iterable[FleetFault],
    options: FleetOptions,
    form: Form,
) -> tuple[Finding, ...]:
    """Return the findings: what was left out first, then what stands in, then how it was calculated."""
    faults = tuple(faults)
    return (
        *(_fault(each) for each in faults),
        *_without_profile(units, done, faults),
        *_coarse(done),
        *_assumed(unit for unit, _ in done),
        *_basis(done, options, form),
    )


def _fault(fault: FleetFault) -> Finding:
    message = f"{fault.where}: {fault.what} {fault.fix} [{fault.code}]"
    return Finding(code="left-out", severity="caution", message=message, known="given")


def _without_profile(
    units: dict[str, FleetUnit], done: Sequence[tuple[FleetUnit, UnitSums]], faults: Iterable[FleetFault]
) -> Iterator[Finding]:
    seen = {unit.name for unit, _ in done} | {fault.unit for fault in faults}
    idle = [name for name in units if name not in seen]
    if idle:
        message = f"No profile was found for {_named(idle)} of the list."
        yield Finding(code="no-profile", severity="note", message=message, known="given")


def _coarse(done: Sequence[tuple[FleetUnit, UnitSums]]) -> Iterator[Finding]:
    coarse = [unit.name for unit, sums in done if sums.step_ns / HOUR_NS > unit.model.time_constant_h]
    if coarse:
        message = (
            f"The steps of {_named(coarse)} are longer than the time constant: peaks inside a step are not "
            "seen, and the hot spot may have been higher."
        )
        yield Finding(code="coarse-steps", severity="caution", message=message, known="computed")


def _assumed(done: Iterable[FleetUnit]) -> Iterator[Finding]:
    for_what: dict[tuple[str, str], list[str]] = defaultdict(list)
    for unit in done:
        for key, stands_in in unit.assumed.items():
            for_what[key, stands_in].append(unit.name)
    for (key, stands_in), names in for_what.items():
        message = f"{key} is not known for {_named(names)}; in its place stands {stands_in}."
        yield Finding(code="assumed", severity="note", message=message, known="assumed")


def _basis(
    done: Sequence[tuple[FleetUnit, UnitSums]], options: FleetOptions, form: Form
) -> Iterator[Finding]:
    if not done:
        return
    model = done[0][0].model
    rises = "; ".join(sorted({unit.rise.source for unit, _ in done}))
    message = (
        f"Hot-spot rises by {rises}; with load by IEC 60076-12, clause 5, to the power {model.exponent:g}."
    )
    yield Finding(code="hot-spot-rise", severity="note", message=message, known="memory")
    known = {unit.model.law.known for unit, _ in done}
    laws = "; ".join(sorted({unit.model.law.source for unit, _ in done}))
    message = f"Life by {laws}; the normal life is {model.law.normal_life_h:,.0f} h."
    if options.standard == "ieee":
        message += " IEEE C57.96 has life curves of its own, which are not carried here."
    weakest = next(
        each for each in ("assumed", "common practice", "memory", "computed", "seen") if each in known
    )
    yield Finding(code="ageing-law", severity="note", message=message, known=weakest)
    cooled = "self-cooled" if options.cooling == "AN" else "forced air"
    message = (
        "Before its first step each unit is taken to have carried that load for long. "
        f"Altitude up to 1000 m; {cooled}."
    )
    yield Finding(code="start", severity="note", message=message, known="assumed")
    steps = sum(sums.steps for _, sums in done)
    if options.form == "auto" and form == "arrays" and steps >= COMPILED_FROM_STEPS:
        message = (
            'Without numba this took longer than it needs to. Install it: pip install "turnwright[fleet]"'
        )
        yield Finding(code="form", severity="note", message=message, known="computed")
    if not is_kept(form):
        message = (
            "Compiled code could not be kept on disk: set NUMBA_CACHE_DIR to a folder that can be written."
        )
        yield Finding(code="form", severity="note", message=message, known="computed")


def _named(names: Sequence[str]) -> str:
    shown = ", ".join(names[:NAMED])
    rest = len(names) - NAMED
    return (
        f"{shown} and {rest} more units" if rest > 0 else f"{'unit' if len(names) == 1 else 'units'} {shown}"
    )
