"""The list of units: a CSV or XLSX file with the keys of a nameplate as columns, and `unit` as the name."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from turnwright.errors import InputError, MissingExtra
from turnwright.fleet.records import FleetOptions, FleetUnit
from turnwright.fleet.unit_model import fleet_unit
from turnwright.intake.list_file import ListFile, load_list
from turnwright.intake.unit_file import unit_from_mapping
from turnwright.model.job import Nameplate
from turnwright.quantities.spelling import named

Line = tuple[int, dict[str, str]]
_FIX = "Write a CSV or XLSX file with the columns unit, kva, primary, secondary, rise and what else is known."
_OF_THE_LIST = ("FILE-07", "FILE-09", "FILE-10", "FILE-11")


def read_units(path: str | Path, options: FleetOptions) -> dict[str, FleetUnit]:
    """Return the units of a list by name.

    Raises:
        InputError: FLT-01 or FLT-12 for the file, and what the intake of nameplates refuses, by row.
        MissingExtra: FLT-15 where XLSX files cannot be read.
    """
    place = Path(path)
    if not place.is_file():
        raise InputError("FLT-01", str(path), "there is no such list of units.", _FIX)
    units: dict[str, FleetUnit] = {}
    for number, values in _lines(_list(place)):
        where = f"{place.name}, row {number}"
        name = " ".join(values.get("unit", "").split())
        if not name:
            raise InputError("FLT-12", where, "this unit has no name.", "Fill the column unit.")
        if name in units:
            fix = "Give each unit a name of its own."
            raise InputError("FLT-12", where, f'a unit "{name}" stands above already.', fix)
        units[name] = fleet_unit(unit_from_mapping({**values, "unit": name}, where), name, where, options)
    if not units:
        raise InputError("FLT-12", place.name, "there is no unit in this list.", _FIX)
    return units


def read_plate(path: str | Path, name: str) -> Nameplate:
    """Return the nameplate of one unit of a list.

    Raises:
        InputError: FLT-01, FLT-12; FLT-11 where the list has no unit of that name.
        MissingExtra: FLT-15 where XLSX files cannot be read.
    """
    place = Path(path)
    if not place.is_file():
        raise InputError("FLT-01", str(path), "there is no such list of units.", _FIX)
    for number, values in _lines(_list(place)):
        if values.get("unit") == name:
            return unit_from_mapping(values, f"{place.name}, row {number}")
    raise InputError("FLT-11", place.name, f"{name} is not in the list of units.", "Name one that is.")


def _list(place: Path) -> ListFile:
    try:
        return load_list(place, "list of units")
    except MissingExtra as error:
        raise MissingExtra("FLT-15", error.where, error.what, error.fix) from None
    except InputError as error:
        code = "FLT-12" if error.code in _OF_THE_LIST else error.code
        raise InputError(code, error.where, error.what, error.fix) from None


def _lines(listed: ListFile) -> Iterator[Line]:
    """Yield number and values by key of each row."""
    if "unit" not in listed.columns:
        what = f"there is no column unit; the columns are: {named(listed.columns)}."
        raise InputError("FLT-12", listed.name, what, _FIX)
    for row in listed.rows:
        if row.beyond:
            fix = "Put texts with a comma in quotes."
            raise InputError(
                "FLT-12", f"{listed.name}, row {row.number}", "it has more cells than the head.", fix
            )
        yield row.number, row.cells
