"""Bonding and grounding conductors against Table 16 and the rules of the editions."""

import pytest
from msgspec.structs import replace

from turnwright.regimes import GroundingNeed
from turnwright.regimes.ca.conductors import area_mm2
from turnwright.regimes.ca.grounding import GroundingSizes
from turnwright.working import CLOSED, Ledger

PLAIN = GroundingNeed(
    primary_device_a=125.0,
    secondary_device_a=150.0,
    metal="copper",
    set_area=area_mm2("2/0 AWG"),
    total_area=area_mm2("2/0 AWG"),
    primary_set_area=area_mm2("1/0 AWG"),
    secondary_set_area=area_mm2("2/0 AWG"),
    neutral_bonded=True,
    derived=True,
    secondary_ampacity_a=175.0,
)


def sizes(edition="2024", **change):
    return GroundingSizes(edition)(replace(PLAIN, **change), CLOSED)


def test_bonding_by_the_device():
    """Table 16: 125 A and 150 A lie in the row of 200 A, 6 AWG copper, 4 AWG aluminum."""
    found = sizes()
    assert (found.equipment_conductor, found.load_equipment_conductor, found.system_bonding_jumper) == (
        "6 AWG",
    ) * 3
    assert sizes(metal="aluminum").equipment_conductor == "4 AWG"
    assert found.bonding_jumper is None


def test_never_larger_than_the_conductors_of_the_circuit():
    """10-616(5): 600 A would ask for 1 AWG; the circuit has 3 AWG."""
    found = sizes(primary_device_a=600.0, primary_set_area=area_mm2("3 AWG"))
    assert found.equipment_conductor == "3 AWG"


def test_groups_in_parallel_share_the_rating():
    """10-616(4): 800 A over two raceways is 400 A each, 3 AWG instead of 1/0 AWG."""
    assert (
        sizes(primary_device_a=800.0, primary_set_area=area_mm2("500 kcmil")).equipment_conductor == "1/0 AWG"
    )
    both = sizes(primary_device_a=800.0, primary_sets=2, primary_set_area=area_mm2("500 kcmil"))
    assert both.equipment_conductor == "3 AWG"


def test_conductors_that_rely_on_the_primary_device_are_bonded_by_it_through_the_ratio():
    """Appendix B to 10-616: the voltage ratio is applied to the device rating; 125 A at 600/208 is 361 A."""
    found = sizes(secondary_device_a=None, secondary_before_a=125 * 600 / 208)
    assert found.load_equipment_conductor == "3 AWG"


@pytest.mark.parametrize(
    ("edition", "size"), [("2015", "3 AWG"), ("2018", "6 AWG"), ("2021", "6 AWG"), ("2024", "6 AWG")]
)
def test_grounding_conductor_by_edition(edition, size):
    """Table 17 by ampacity up to 2015 (memory; a trade forum reads 6 AWG for 105 A in it), 6 AWG copper since."""
    assert sizes(edition).electrode_conductor == size
    assert sizes("2015", secondary_ampacity_a=105.0).electrode_conductor == "6 AWG"


def test_no_neutral_no_jumper():
    found = sizes(neutral_bonded=False)
    assert (found.system_bonding_jumper, found.electrode_conductor) == (None, None)


def test_the_clause_is_that_of_the_edition():
    ledger = Ledger()
    GroundingSizes("2018")(PLAIN, ledger)
    assert ledger.steps["grounding.equipment_conductor"].source == "CEC 2018 10-614, Table 16"


@pytest.mark.parametrize(
    ("device_a", "copper", "aluminum"),
    [
        # Table 16
        (20, "14 AWG", "12 AWG"), (20.1, "12 AWG", "10 AWG"), (30, "12 AWG", "10 AWG"), (60, "10 AWG", "8 AWG"),
        (100, "8 AWG", "6 AWG"), (200, "6 AWG", "4 AWG"), (200.1, "4 AWG", "2 AWG"), (1200, "3/0 AWG", "250 kcmil"),
    ],
)  # fmt: skip
def test_bonding_conductors_by_table_16(device_a, copper, aluminum):
    for metal, size in (("copper", copper), ("aluminum", aluminum)):
        found = sizes(
            metal=metal,
            primary_device_a=device_a,
            secondary_device_a=device_a,
            primary_set_area=1000.0,
            secondary_set_area=1000.0,
            total_area=1000.0,
        )
        assert (
            found.equipment_conductor == found.load_equipment_conductor == found.system_bonding_jumper == size
        )


def test_no_grounding_conductor_is_larger_than_the_conductors_of_the_system():
    assert sizes(total_area=area_mm2("6 AWG")).electrode_conductor == "6 AWG"
    assert sizes(total_area=area_mm2("8 AWG")).electrode_conductor == "8 AWG"


def test_a_shared_winding_has_bonding_conductors_only():
    found = sizes(derived=False)
    assert found.equipment_conductor == found.load_equipment_conductor == "6 AWG"
    assert (found.system_bonding_jumper, found.electrode_conductor) == (None, None)
