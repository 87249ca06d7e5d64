"""Harmonics as a job file gives them.

``JOB-09`` harmonics that are no spectrum.
"""

from __future__ import annotations

from collections.abc import Mapping

from turnwright.errors import InputError
from turnwright.intake.refusals import wrong_type
from turnwright.model.job import Spectrum
from turnwright.model.key import Key
from turnwright.quantities import UNKNOWN, Quantity, Unknown, is_unknown, parse_quantity
from turnwright.quantities.spelling import quoted

HIGHEST_ORDER = 100


def read_spectrum(key: Key, given: object, where: str) -> Spectrum | Unknown:
    """Return harmonic currents in percent of the fundamental, by order; {} is a sine.

    Raises:
        InputError: JOB-02, JOB-09, or a percentage that cannot be read.
    """
    if is_unknown(given):
        return UNKNOWN
    if not isinstance(given, Mapping):
        fix = f"Write {key.name} = {key.sample}: {key.says}; one of the table of spectra goes under spectrum."
        raise wrong_type(given, where, "a table", fix)
    found: dict[int, Quantity] = {}
    for name, percent in given.items():
        order = _order(key, name, percent, where)
        if order in found:
            raise InputError("JOB-09", where, f"order {order} stands twice.", "Keep one of them.")
        each = parse_quantity(percent, "percent", where=f"{where}.{order}", bare_unit="%")
        if each.high is not None and key.most is not None and each.high > key.most:
            what = f"{quoted(percent)} of order {order} is more than the fundamental itself."
            fix = f"Write percent of the fundamental: {key.name} = {key.sample}."
            raise InputError("JOB-09", where, what, fix)
        found[order] = each
    return Spectrum(tuple(sorted(found.items())))


def _order(key: Key, name: object, percent: object, where: str) -> int:
    text = f"{name}.{next(iter(percent), '')}" if isinstance(percent, Mapping) else str(name)
    known = text.isascii() and text.isdigit() and len(text) <= 4
    if known and 2 <= int(text) <= HIGHEST_ORDER:
        return int(text)
    if text == "1":
        what, fix = "order 1 is the fundamental, 100 % by itself.", "Leave it out."
    else:
        what = f"{quoted(text)} is no harmonic order: orders are whole numbers from 2 to {HIGHEST_ORDER}."
        fix = "Leave out what lies between them."
    raise InputError("JOB-09", where, what, f"{fix} A sample: {key.name} = {key.sample}.")
