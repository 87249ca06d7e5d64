"""What must fit together between the facts of one file.

==========  ==========================================================================
code        what is wrong
==========  ==========================================================================
``JOB-04``  two facts where one is asked for
``JOB-05``  no load, no unit
``JOB-06``  never_with does not name exactly one other load
``JOB-07``  lines that the load cannot have
``JOB-12``  facts that exclude each other
==========  ==========================================================================
"""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

from turnwright.errors import InputError, nearest
from turnwright.intake.places import Places
from turnwright.intake.toml_lines import join
from turnwright.model.job import Job, Load, Nameplate, Supply
from turnwright.model.keys import SIZE_KEYS
from turnwright.quantities import UNKNOWN, Quantity, VoltageSystem
from turnwright.quantities.spelling import quoted


def check_job(job: Job) -> None:
    """Refuse a job of which the facts do not fit together.

    Raises:
        InputError: JOB-04 to JOB-07, JOB-12.
    """
    places = Places(job.origin, job.lines)
    if not job.load:
        fix = 'Write at least one, as in [[load]], then system = "208Y/120" and kva = "22 kVA".'
        raise InputError("JOB-05", places.origin, "there is no load: a [[load]] table is missing.", fix)
    _check_supply(job.supply, places)
    names = Counter(load.name for load in job.load)
    for index, load in enumerate(job.load):
        path = f"load[{index}]"
        _check_size(load, path, places)
        _check_lines(load, path, places)
        if load.never_with is not None:
            _check_never_with(index, load, names, places)
    _check_ambient(job, places)
    _check_impedance(job.choices.impedance, job.choices.resistance, "choices", places)
    for index, offer in enumerate(job.offer):
        _check_impedance(offer.impedance, offer.resistance, f"offer[{index}]", places)
    _check_currencies(job, places)


def check_unit(unit: Nameplate, path: str, places: Places) -> None:
    """Refuse a nameplate of which the facts do not fit together.

    Raises:
        InputError: JOB-12.
    """
    _check_impedance(unit.impedance, unit.resistance, path, places)


def _check_size(load: Load, path: str, places: Places) -> None:
    sizes = [
        name for name in SIZE_KEYS if (size := getattr(load, name)) is not None and size.form != "unknown"
    ]
    if len(sizes) > 1:
        shown = " and ".join(f"{name} = {quoted(getattr(load, name).text)}" for name in sizes)
        what = f"this load has {len(sizes)} sizes: {shown}."
        fix = "Keep exactly one of current, kva, kw, hp; the others belong under note."
        raise InputError("JOB-04", places.at(f"{path}.{sizes[-1]}"), what, fix)
    if load.harmonics is not None and load.harmonics is not UNKNOWN and load.spectrum is not None:
        what = f"this load has harmonics and spectrum = {quoted(load.spectrum)}."
        fix = "Keep one: harmonics for measured currents, spectrum for a row of the table of spectra."
        raise InputError("JOB-04", places.at(f"{path}.spectrum"), what, fix)


def _check_lines(load: Load, path: str, places: Places) -> None:
    lines, system = load.lines, load.system
    if not isinstance(lines, str) or not isinstance(system, VoltageSystem):
        return
    place = places.at(f"{path}.lines")
    if system.phases == 3:
        what = (
            f"lines = {quoted(lines)} does not fit a three-phase load, {quoted(system.text)}: it takes all."
        )
        raise InputError("JOB-07", place, what, "Leave lines out, or correct the system of the load.")
    if system.wires == 3 and len(lines) == 1:
        what = f"lines = {quoted(lines)} does not fit a three-wire load, {quoted(system.text)}: it takes two."
        raise InputError("JOB-07", place, what, 'Write lines = "AB", "BC" or "CA".')


def _check_never_with(index: int, load: Load, names: Counter[str | None], places: Places) -> None:
    place, other = places.at(f"load[{index}].never_with"), load.never_with or ""
    if names[other] > 1:
        what = f"{quoted(other)} is the name of {names[other]} loads."
        raise InputError("JOB-06", place, what, "Give each load a name of its own.")
    if not names[other]:
        known = [name for name in names if name and name != load.name][:50]
        near = nearest(other, known)
        hint = f'Did you mean "{near}"? ' if near else ""
        listed = ", ".join(quoted(name) for name in known)
        fix = f"{hint}Names of the other loads: {listed}." if listed else "Give the other load a name first."
        raise InputError("JOB-06", place, f"no load has the name {quoted(other)}.", fix)
    if load.name == other:
        what = f"{quoted(other)} is this load itself."
        raise InputError("JOB-06", place, what, "Name the load that never runs at the same time.")


def _check_supply(supply: Supply, places: Places) -> None:
    system, grounding = supply.system, supply.grounding
    if isinstance(system, VoltageSystem) and isinstance(grounding, str):
        _check_grounding(system, grounding, places)
    for name, counts, said in (
        ("measured", (1, 3), "one or three"),
        ("measured_to_ground", (1, 2, 3), "one to three"),
    ):
        number = len(getattr(supply, name))
        if number and number not in counts:
            what = f"this list has {number} voltages; {said} are expected."
            fix = "Between the lines of three phases there are three, of one phase one."
            raise InputError("JOB-12", places.at(f"supply.{name}"), what, fix)


def _check_grounding(system: VoltageSystem, grounding: str, places: Places) -> None:
    said = system.grounding
    clash = said is not None and grounding not in (said, "solid")
    needs_delta = grounding in ("corner", "mid-tap") and system.connection == "wye"
    if clash or needs_delta:
        what = f"grounding = {quoted(grounding)} does not fit the system {quoted(system.text)}."
        fix = (
            f'Write grounding = "{said}", or correct the system.'
            if said
            else "Only a delta is grounded there."
        )
        raise InputError("JOB-12", places.at("supply.grounding"), what, fix)


def _check_ambient(job: Job, places: Places) -> None:
    site = job.site
    rising = [
        (name, size)
        for name in ("ambient_lowest", "ambient_average", "ambient_peak")
        if (size := getattr(site, name)) is not None and size.low is not None
    ]
    for (lower, first), (higher, second) in pairwise(rising):
        if first.low > second.high:
            what = f"{lower} = {quoted(first.text)} is above {higher} = {quoted(second.text)}."
            fix = "Check both; the lowest, the average and the peak stand in this order."
            raise InputError("JOB-12", places.at(f"site.{higher}"), what, fix)


def _check_currencies(job: Job, places: Places) -> None:
    """All prices of a job are in one currency: none is converted."""
    prices = [("choices.price_kwh", job.choices.price_kwh)]
    prices += [(f"offer[{index}].price", offer.price) for index, offer in enumerate(job.offer)]
    given = [
        (path, price.unit_written) for path, price in prices if price is not None and price.low is not None
    ]
    for path, currency in given:
        if currency != given[0][1]:
            what = f"this price is in {currency}, another one of this job in {given[0][1]}."
            fix = "Write all in one currency: prices are not converted."
            raise InputError("JOB-12", places.at(path), what, fix)


def _check_impedance(z: Quantity | None, r: Quantity | None, path: str, places: Places) -> None:
    if z is None or r is None or z.high is None or r.low is None or r.low <= z.high:
        return
    what = f"resistance = {quoted(r.text)} is above impedance = {quoted(z.text)}, of which it is a part."
    raise InputError(
        "JOB-12", places.at(join(path, "resistance")), what, "Check both; a nameplate states the impedance."
    )
