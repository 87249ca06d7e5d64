"""From a nameplate of the list to a unit that is ready to be followed."""

from __future__ import annotations

from turnwright.errors import InputError
from turnwright.fleet.forms.constants import constants_of
from turnwright.fleet.rated import rated_current_a
from turnwright.fleet.records import FleetOptions, FleetUnit
from turnwright.model.job import Nameplate
from turnwright.thermal.nameplate import Basis, heat_of


def fleet_unit(plate: Nameplate, name: str, where: str, options: FleetOptions) -> FleetUnit:
    """Return a unit ready to be followed; of a half-known fact the end that makes it hotter or older.

    Raises:
        InputError: FLT-12 without rated kVA; HEAT-02, HEAT-04 for a rise or class out of range.

    Example:
        >>> from turnwright.intake.unit_file import unit_from_mapping
        >>> row = {"unit": "T-1", "kva": "75", "secondary": "208Y/120", "rise": "150 K", "time_constant": "1 h"}
        >>> unit = fleet_unit(unit_from_mapping(row), "T-1", "row 2", FleetOptions())
        >>> round(unit.rated_current_a, 1), unit.model.hot_spot_rise_k, sorted(unit.assumed)
        (208.2, 180.0, ['insulation', 'k_rating', 'load_loss', 'no_load_loss', 'p_ecr'])
    """
    basis = Basis(standard=options.standard, ageing=options.ageing, cooling=options.cooling)
    if plate.kva is None or plate.kva.low is None:
        raise InputError("FLT-12", where, f"the rated kVA of {name} is not known.", "Fill the column kva.")
    heat = heat_of(plate, name, where, basis)
    return FleetUnit(
        name=name,
        kva=heat.kva,
        rated_current_a=rated_current_a(plate, heat.kva),
        rise=heat.rise,
        model=heat.model,
        constants=constants_of(heat.model),
        assumed=heat.assumed,
    )
