"""One unit of a fleet in depth: its rows out of the profiles, followed as the question `year` does."""

from __future__ import annotations

from pathlib import Path

from turnwright.errors import InputError
from turnwright.examine.course import Course
from turnwright.examine.course_file import Rows, course_of
from turnwright.examine.of_units import examine_unit
from turnwright.examine.options import Options
from turnwright.examine.records import Study
from turnwright.fleet.records import FleetOptions
from turnwright.quantities import Quantity


def year_of_unit(
    profiles: str | Path,
    units: str | Path,
    name: str,
    options: FleetOptions | None = None,
    price_kwh: Quantity | None = None,
) -> Study:
    """Return what a metered load did to one unit of a fleet, with its curves.

    profiles, units, options : as `run_fleet` takes them
    name                     : of the unit
    price_kwh                : price of energy, for its cost

    Raises:
        InputError: FLT-01, FLT-02 to FLT-05 for the files, FLT-11 where the unit is not in them; YEAR-03 to YEAR-08.
        MissingExtra: FLT-15 where a reader is not installed.
    """
    from turnwright.fleet.unit_list import read_plate

    how = options or FleetOptions()
    given = Options(
        load=_course(profiles, name),
        price_kwh=price_kwh,
        standard=how.standard,
        ageing=how.ageing,
        cooling=how.cooling,
    )
    return examine_unit("year", (read_plate(units, name),), given)


def _course(profiles: str | Path, name: str) -> Course:
    from turnwright.fleet.profile_files import rows_of_unit

    columns, first = rows_of_unit(profiles, name)
    if not columns:
        raise InputError(
            "FLT-11", name, "the profiles hold no rows of it.", "Name a unit that has a profile."
        )
    return course_of(Rows(columns, first), name, None)
