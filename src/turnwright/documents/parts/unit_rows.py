"""The transformer schedule, and the devices and conductors of each unit, as rows of sheets."""

from __future__ import annotations

from math import sqrt

from turnwright.documents.brief import Brief, PaperUnit, units_of
from turnwright.documents.parts.origins import Origins
from turnwright.documents.parts.reference_rows import impedance_band_pct
from turnwright.documents.sheets import HEAD_ROWS, Entry, Formula, Num, Sheet, above, below
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import bare
from turnwright.documents.words.sides import bond_words
from turnwright.model.result import Blocks, ConductorRun, Pick


def transformers(brief: Brief) -> Sheet:
    """Return the transformer schedule; rated currents are formulas of kVA and volts."""
    columns = (
        ("mark", 6), ("units", 6), ("kVA", 8), ("phases", 7), ("Hz", 6),
        ("primary", 14), ("primary V", 9), ("secondary", 14), ("secondary V", 10), ("connection", 14),
        ("primary rated A", 10), ("secondary rated A", 10), ("load kVA with growth", 10), ("loading %", 9),
        ("impedance %", 10), ("rise K", 7), ("K rating", 7), ("shield", 8), ("tap", 7), ("enclosure", 14),
        ("sound dB", 7), ("heat W", 8), ("mass to plan for kg", 10), ("place", 10), ("bond of neutral", 22),
        ("remarks", 34),
    )  # fmt: skip
    rows = tuple(_transformer(unit, brief) for unit in units_of(brief.result))
    notes = (
        "Rated currents are computed in this sheet from kVA and volts; loading is that of the most loaded phase.",
    )
    return Sheet(name="transformers", title="Transformer schedule", columns=columns, rows=rows, notes=notes)


def _transformer(unit: PaperUnit, brief: Brief) -> tuple[Entry, ...]:
    pick, blocks = unit.blocks.pick, unit.blocks
    place = Origins(brief.result).fact("site.place")
    bond = bond_words(blocks.grounding, brief.traits.words)
    primary_v, secondary_v = _line_v(pick.primary), _line_v(pick.secondary)
    return (
        unit.mark,
        Num(pick.units, 0),
        _size(pick.kva),
        Num(pick.phases, 0),
        _size(pick.frequency_hz),
        pick.primary,
        _size(primary_v),
        pick.secondary,
        _size(secondary_v),
        ", ".join(text for text in (pick.arrangement, pick.vector_group or "") if text),
        _rated_a("G", pick, primary_v, blocks.currents.primary_rated_a),
        _rated_a("I", pick, secondary_v, blocks.currents.secondary_rated_a),
        above(blocks.demand.kva_with_growth, 1),
        _loading(above(blocks.demand.kva_with_growth, 1), blocks),
        _impedance(pick, brief),
        _size(pick.rise_k),
        _size(pick.k_rating),
        {True: "yes", False: "no", None: ""}[pick.shield],
        pick.tap or "",
        pick.enclosure or "",
        _size(pick.sound_limit_db),
        None if pick.heat_w is None else above(pick.heat_w, 0),
        None if pick.mass_kg is None else above(pick.mass_kg, 0),
        str(place["value"]) + (" (assumed)" if place["known"] == "assumed" else "") if place else "",
        bond if bond else "none in this answer",
        ", ".join(text for text in (unit.what, pick.availability or "") if text),
    )


def _rated_a(column: str, pick: Pick, volts: float | None, rated_a: float) -> Entry:
    """Return a rated current: a formula where it follows from kVA and volts, else the number of the answer."""
    if volts is None:
        return Num(rated_a)
    plain_a = pick.kva * 1000 / (volts * (sqrt(3) if pick.phases == 3 else 1.0))
    if abs(plain_a - rated_a) > 1e-6 * rated_a:
        return Num(rated_a)
    return Formula(f"=C{{r}}*1000/({column}{{r}}*IF(D{{r}}=3,SQRT(3),1))", rated_a)


def _impedance(pick: Pick, brief: Brief) -> Entry:
    """Return the impedance, or the band of what is usual where it is left to the maker."""
    if pick.impedance_pct is not None:
        return _size(pick.impedance_pct)
    band = impedance_band_pct(brief.traits.impedance_bands, pick.phases, pick.kva)
    return None if band is None else f"{bare(band[0])} to {bare(band[1])} usual"


def _loading(load: Num, blocks: Blocks) -> Entry:
    """Return the loading: a formula where the load is even and nothing is derated, else the number of the answer."""
    kva, found = blocks.pick.kva * blocks.pick.units, above(blocks.demand.loading_pct, 1)
    if abs(blocks.demand.kva_with_growth / kva * 100 - blocks.demand.loading_pct) > 1e-6:
        return found
    return Formula("=ROUNDUP(M{r}/(B{r}*C{r})*100,1)", above(load.value / kva * 100, 1).value, 1)


def _line_v(text: str) -> float | None:
    system = phrases.system_of(text)
    return None if system is None else float(system.line_v)


def _size(value: float | None) -> Num | None:
    """Return a number with the decimals it has."""
    return None if value is None else Num(value, len(bare(value).partition(".")[2]))


def circuits(brief: Brief) -> Sheet:
    """Return devices and conductors of both sides of each unit."""
    columns = (
        ("mark", 6), ("side", 10), ("load A", 9), ("device A", 9), ("largest allowed A", 10), ("device", 9),
        ("interrupting at least A", 12), ("sets", 6), ("size", 12), ("metal", 10), ("ampacity A", 10),
        ("ampacity / load", 10), ("rated A", 9), ("device % of rated", 10), ("raceway", 18), ("length", 10),
        ("drop %", 8), ("neutral", 18),
        ("equipment conductor", 12), ("bonding jumper", 12), ("system bonding jumper", 12), ("electrode", 12),
    )  # fmt: skip
    units = enumerate(units_of(brief.result), start=HEAD_ROWS + 1)
    rows = tuple(row for at, unit in units for row in _both_sides(unit, brief, at))
    notes = (
        "Ampacity is that of all sets together, after correction. Load is with growth.",
        "The interrupting rating is by the fault current at the terminals of the supply, and of the transformer.",
    )
    return Sheet(name="circuits", title="Devices and conductors", columns=columns, rows=rows, notes=notes)


def _both_sides(unit: PaperUnit, brief: Brief, unit_row: int) -> tuple[tuple[Entry, ...], ...]:
    """Return the rows of both sides; `unit_row` is that of the unit in the transformer schedule."""
    blocks = unit.blocks
    devices, runs, wires, currents = blocks.protection, blocks.conductors, blocks.grounding, blocks.currents
    supply = (
        unit.mark,
        "supply",
        above(currents.primary_load_a, 1),
        _size(devices.primary_a),
        _size(devices.primary_limit_a),
        devices.kind,
        None if blocks.fault.primary_a is None else above(blocks.fault.primary_a, 0),
        *_run(runs.primary, currents.primary_load_a),
        *_rated("K", unit_row, currents.primary_rated_a, devices.primary_a),
        *_way(runs.primary, _length(brief, "circuit.primary_length")),
        "",
        wires.equipment_conductor or "",
        "",
        "",
        "",
    )
    load = (
        unit.mark,
        "load",
        above(currents.secondary_load_a, 1),
        _size(devices.secondary_a),
        _size(devices.secondary_max_a),
        devices.kind,
        None if devices.interrupting_min_a is None else above(devices.interrupting_min_a, 0),
        *_run(runs.secondary, currents.secondary_load_a),
        *_rated("L", unit_row, currents.secondary_rated_a, devices.secondary_a),
        *_way(runs.secondary, _length(brief, "circuit.secondary_length")),
        f"{runs.neutral.sets} × {runs.neutral.size}" if runs.neutral else "",
        wires.load_equipment_conductor or "",
        wires.bonding_jumper or "",
        wires.system_bonding_jumper or "",
        wires.electrode_conductor or "",
    )
    return supply, load


def _length(brief: Brief, key: str) -> str:
    fact = Origins(brief.result).fact(key)
    return str(fact["value"]) if fact else ""


def _rated(column: str, row: int, rated_a: float, device_a: float | None) -> tuple[Entry, ...]:
    """Return the rated current out of the transformer schedule, and the device in percent of it."""
    rated = Formula(f"=transformers!{column}{row}", rated_a)
    return rated, None if device_a is None else Formula("=D{r}/M{r}*100", device_a / rated_a * 100, 0)


def _way(run: ConductorRun | None, length: str) -> tuple[Entry, ...]:
    """Return raceway, length, drop."""
    if run is None:
        return ("", length, None)
    return run.raceway or "", length, None if run.drop_pct is None else above(run.drop_pct, 2)


def _run(run: ConductorRun | None, load_a: float) -> tuple[Entry, ...]:
    """Return sets, size, metal, ampacity, ampacity over load."""
    if run is None:
        return ("", "", "", None, None)
    load, ampacity = above(load_a, 1), below(run.ampacity_a, 1)
    return (
        Num(run.sets, 0),
        run.size,
        run.metal,
        ampacity,
        Formula("=K{r}/C{r}", ampacity.value / load.value, 2) if load.value else None,
    )
