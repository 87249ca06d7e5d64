"""Harmonic currents of a load: measured ones, or a row group of the table of spectra.

``JOB-16`` a spectrum that is not in the table.
"""

from __future__ import annotations

from turnwright.errors import InputError, UnknownKey, nearest
from turnwright.intake.facts import Facts
from turnwright.model.job import Load, Spectrum
from turnwright.model.keys import LOAD
from turnwright.quantities import UNKNOWN, is_unknown
from turnwright.quantities.spelling import quoted
from turnwright.working import Number, Step

_KEY = next(key for key in LOAD if key.name == "harmonics")
Harmonics = tuple[tuple[int, float], ...]


def harmonics_of(path: str, load: Load, facts: Facts) -> Harmonics:
    """Return percent of the fundamental by order; empty for a sine, and where nothing is known.

    Raises:
        InputError: JOB-16.
    """
    if isinstance(load.harmonics, Spectrum):
        return _given(f"{path}.harmonics", load.harmonics, facts)
    if load.harmonics is UNKNOWN:
        facts.note(f"{path}.harmonics", "none counted", "assumed", "the file says they are not known")
    elif load.spectrum is not None and is_unknown(load.spectrum):
        facts.note(f"{path}.spectrum", "none counted", "assumed", "the file says it is not known")
    elif load.spectrum is not None:
        return _from_table(f"{path}.spectrum", load.spectrum, facts)
    return ()


def _given(path: str, spectrum: Spectrum, facts: Facts) -> Harmonics:
    if not spectrum.percent_by_order:
        facts.note(path, "none", "given", "the current is a sine")
    found: list[tuple[int, float]] = []
    for order, percent in spectrum.percent_by_order:
        number = facts.size(f"{path}.{order}", percent, _KEY)
        if number is None:
            facts.note(f"{path}.{order}", "not counted", "assumed", "the file says it is not known")
        else:
            found.append((order, number))
    return tuple(found)


def _from_table(path: str, name: str, facts: Facts) -> Harmonics:
    # The table is opened only for a job that names a spectrum.
    from turnwright.reference import load as load_table

    table = load_table("spectra").newest()
    try:
        rows = table.where(name=name).rows
    except UnknownKey:
        raise _no_such_spectrum(path, name, sorted(set(table.words("name"))), facts) from None
    facts.note(path, name, "given")
    by_order = {int(row.number("order")): row.number("current_pct") for row in rows}
    base = float(by_order.pop(1, 100.0))
    if base == 100.0:
        return tuple(sorted(by_order.items()))
    return tuple(
        (order, _of_fundamental(path, order, value, base)) for order, value in sorted(by_order.items())
    )


def _of_fundamental(path: str, order: int, value: Number, base: float) -> Number:
    percent = value / base * 100.0
    source = f"{value.step.source}, in percent of order 1 ({base:g})"
    return Number(percent, Step(f"{path}.{order}", percent, "%", "", {}, source, value.step.known))


def _no_such_spectrum(path: str, name: str, known: list[str], facts: Facts) -> InputError:
    near = nearest(name, known)
    hint = f'Did you mean "{near}"? ' if near else ""
    what = f"{quoted(name)} is not in the table of spectra."
    return InputError("JOB-16", facts.places.at(path), what, f"{hint}Known: {', '.join(known)}.")
