"""A unit that exists, read from the file of its nameplate or from a row of a list."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from turnwright.errors import InputError
from turnwright.intake.checks import check_unit
from turnwright.intake.places import Places
from turnwright.intake.refusals import wrong_type
from turnwright.intake.tables import layout, read_record, read_table
from turnwright.intake.text_file import file_name, read_text
from turnwright.intake.toml_lines import key_lines
from turnwright.intake.toml_text import parse_toml
from turnwright.model.job import Nameplate
from turnwright.model.keys import UNIT_TABLES

if TYPE_CHECKING:
    from pathlib import Path

_LAYOUT = layout("a unit file", UNIT_TABLES, {"unit": Nameplate}, several=("unit",))
MOST_UNITS = 1000


def load_unit(path: str | Path) -> tuple[Nameplate, ...]:
    """Return the units of a TOML file; several of them run in parallel.

    Raises:
        InputError: FILE-01 to FILE-05, and those of `read_unit`.
    """
    return read_unit(read_text(path, "unit file"), file_name(path))


def read_unit(text: str, origin: str = "unit") -> tuple[Nameplate, ...]:
    """Return the units of a TOML text: one [unit], or several [[unit]] that run in parallel.

    Raises:
        InputError: the first thing that cannot be used, with line and key path.

    Example:
        >>> (unit,) = read_unit('[unit]\\nkva = "75 kVA"\\nprimary = "480 delta"\\nsecondary = "208Y/120"')
        >>> unit.kva.value, unit.secondary.text
        (75.0, '208Y/120')
    """
    data = parse_toml(text, origin)
    places = Places(origin, key_lines(text))
    one = data.pop("unit") if isinstance(data.get("unit"), Mapping) else None
    values = read_table(_LAYOUT, "", data, "", places)
    units: tuple[Nameplate, ...] = values.get("unit", ())
    if one is not None:
        units = (read_record(_LAYOUT, "unit", one, "unit", places),)
    if not units:
        fix = 'Write [unit], then kva = "75 kVA", primary = "480 delta", secondary = "208Y/120".'
        raise InputError("JOB-05", origin, "there is no unit: a [unit] table is missing.", fix)
    if len(units) > MOST_UNITS:
        what = f"this file has {len(units)} units, and {MOST_UNITS} are the most that run in parallel here."
        raise InputError("JOB-02", origin, what, "A stock list is a CSV or XLSX file.")
    for number, unit in enumerate(units):
        check_unit(unit, "unit" if one is not None else f"unit[{number}]", places)
    return units


def unit_from_mapping(data: Mapping[str, object], origin: str = "unit") -> Nameplate:
    """Return the unit of a mapping by key, as a row of a list gives it; None and "": no such key.

    Raises:
        InputError: the first thing that cannot be used, with its key.

    Example:
        >>> row = {"unit": "T-14", "kva": "75", "primary": "480 delta", "secondary": "208Y/120", "sound": ""}
        >>> unit_from_mapping(row, "stock.csv, row 3").kva.value
        75.0
    """
    places = Places(origin, {})
    if not isinstance(data, Mapping):
        raise wrong_type(data, origin, "a table", "A unit is a table with the keys of a nameplate.")
    filled = {key: given for key, given in data.items() if not (isinstance(given, str) and not given.strip())}
    unit: Nameplate = read_record(_LAYOUT, "unit", filled, "", places)
    check_unit(unit, "", places)
    return unit
