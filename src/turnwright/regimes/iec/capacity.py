"""Current-carrying capacity of cables: IEC 60364-5-52 Annex B by method, with temperature, grouping, harmonics."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from turnwright.errors import InputError, TableError, nearest
from turnwright.reference import Row, all_at_least, from_below, load, over_through
from turnwright.working import Number, formula

METHODS = {
    "A1": ("iec_ampacity", "enclosed"),
    "A2": ("iec_ampacity", "enclosed"),
    "B1": ("iec_ampacity", "enclosed"),
    "B2": ("iec_ampacity", "enclosed"),
    "C": ("iec_ampacity", "surface"),
    "D1": ("iec_ampacity", "duct"),
    "D2": ("iec_ampacity", "ground"),
    "E": ("iec_ampacity_air", "tray"),
    "F": ("iec_ampacity_air", "tray"),
    "G": ("iec_ampacity_air", "tray"),
}
"""Reference method -> the table of its capacity, and how parallel cables lie beside each other."""
WORSE_OF = {"A": "A2", "B": "B2", "D": "D1"}
"""A letter without its number: the one of the two that carries less."""
IN_GROUND = ("D1", "D2")
NINETY_C = 90.0


@formula("I_table · F_temperature · F_grouping · F_harmonic", "A", "IEC 60364-5-52 Annex B, Annex E")
def capacity_a(
    table_a: float, temperature_factor: float, grouping_factor: float, harmonic_factor: float
) -> float:
    """Return the capacity of one cable as it is laid. [A]

    table_a            : entry of the table of the method [A]
    temperature_factor : by the temperature of air or ground [-]
    grouping_factor    : by the number of cables bunched [-]
    harmonic_factor    : by the third-harmonic content [-]
    Source: IEC 60364-5-52 Annex B, Annex E

    Example:
        >>> round(capacity_a(144.0, 0.87, 0.8, 1.0), 1)
        100.2
    """
    return table_a * temperature_factor * grouping_factor * harmonic_factor


@formula("cables · I_z", "A", "IEC 60364-5-52 523")
def together_a(capacity_a: float, cables: float) -> float:
    """Return the capacity of parallel cables that share the current. [A]

    capacity_a : of one cable as it is laid [A]
    cables     : in parallel [-]

    Example:
        >>> together_a(capacity_a=100.0, cables=2)
        200.0
    """
    return capacity_a * cables


@formula("3 · share / 100 · I_line", "A", "IEC 60364-5-52 Annex E")
def neutral_third_harmonic_a(line_a: float, content_pct: float) -> float:
    """Return the neutral current of a balanced load with third harmonics. [A]

    line_a      : line current [A]
    content_pct : third-harmonic content of the line current [%]
    Source: IEC 60364-5-52 Annex E

    Example:
        >>> round(neutral_third_harmonic_a(line_a=39.0, content_pct=40.0), 1)
        46.8
    """
    return 3 * content_pct / 100 * line_a


class Harmonic(NamedTuple):
    """What third harmonics ask of a four-core cable: its factor, and the current that sizes it."""

    factor: Number
    sized_by: str

    def asked_a(self, line_a: float, content_pct: float) -> float:
        """Return the current whose capacity, after the factor, the cable must have. [A]"""
        return line_a if self.sized_by == "line" else neutral_third_harmonic_a(line_a, content_pct)


@lru_cache(maxsize=256)
def harmonic(content_pct: float) -> Harmonic:
    """Return factor and basis by third-harmonic content.

    Source: IEC 60364-5-52 Annex E

    Example:
        >>> harmonic(20.0).factor, harmonic(40.0).sized_by
        (0.86, 'neutral')
    """
    row = over_through(
        load("iec_third_harmonic").newest(), "content_over_pct", "content_through_pct", content_pct
    )
    return Harmonic(row.number("factor"), row.text("sized_by"))


class Cable(NamedTuple):
    """One size of cable in one method, with its entry in the table."""

    size: str
    area: float
    row: Row
    column: str

    @property
    def table_a(self) -> Number:
        """Entry of the table. [A]"""
        return self.row.number(self.column)


def method_of(text: str) -> str:
    """Return the reference method of a text.

    Raises:
        InputError: REG-03, not a method of the tables.

    Example:
        >>> method_of("b"), method_of("E")
        ('B2', 'E')
    """
    name = text.strip().upper()
    name = WORSE_OF.get(name, name)
    if name not in METHODS:
        close = nearest(name, METHODS)
        fix = f"Known: {', '.join(METHODS)}." + (f' Did you mean "{close}"?' if close else "")
        raise InputError("REG-03", "circuit.installation", f'"{text}" is no method of IEC 60364-5-52.', fix)
    return name


@lru_cache(maxsize=64)
def cables(method: str, insulation: str, loaded: int, metal: str) -> tuple[Cable, ...]:
    """Return every size of one method, ascending; two single cores spaced apart count as touching ones.

    method     : reference method, A1 to G
    insulation : PVC or XLPE
    loaded     : loaded conductors, 2 or 3
    metal      : copper or aluminum
    """
    if method == "G" and loaded == 2:
        method = "F"
    column = f"{method.lower()}_a"
    rows = load(METHODS[method][0]).newest().where(insulation=insulation, loaded=loaded, metal=metal).rows
    return tuple(
        Cable(row.text("size"), float(row.number("area_mm2")), row, column)
        for row in rows
        if row.optional(column) is not None
    )


@lru_cache(maxsize=256)
def temperature_factor(method: str, insulation: str, air_c: float, ground_c: float) -> Number | None:
    """Return the factor by the temperature around the cable; None where it is too hot for it.

    Example:
        >>> temperature_factor("C", "PVC", 40.0, 25.0), temperature_factor("D1", "PVC", 40.0, 25.0)
        (0.87, 0.95)
    """
    medium, degrees = ("ground", ground_c) if method in IN_GROUND else ("air", air_c)
    table = load("iec_temperature_factors").newest().where(medium=medium)
    try:
        row = over_through(table, "temperature_over_c", "temperature_through_c", degrees)
    except TableError:
        return None
    return row.optional(insulation.lower())


@lru_cache(maxsize=64)
def grouping_factor(method: str, circuits: int) -> Number | None:
    """Return the factor of so many cables side by side; between two rows the lower one, None beyond the table.

    Example:
        >>> grouping_factor("B2", 10), grouping_factor("C", 2), grouping_factor("D1", 9)
        (0.45, 0.85, None)
    """
    rows = all_at_least(
        load("iec_grouping_factors").newest().where(laid=METHODS[method][1]), "circuits", float(circuits)
    )
    return rows[0].number("factor") if rows else None


@lru_cache(maxsize=64)
def tripping_multiple(kind: str, rating_a: float) -> Number:
    """Return the conventional tripping current of a device over its rating. [-]

    Source: IEC 60898-1, IEC 60269-1

    Example:
        >>> tripping_multiple("breaker", 63.0), tripping_multiple("fuse", 10.0)
        (1.45, 1.9)
    """
    table = load("iec_conventional_tripping").newest().where(kind=kind)
    return from_below(table, "rating_from_a", "rating_below_a", rating_a).number("multiple")
