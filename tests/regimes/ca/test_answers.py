"""Whole Canadian jobs: the mill at 600 V, motors, step-down and step-up."""

from turnwright.intake import job_from_mapping
from turnwright.narrow import select


def answer(**tables):
    return select(job_from_mapping({"regime": "ca", **tables}, "job"), ledger_open=False, ask=False)


MILL = {
    "supply": {"system": "600Y/347", "frequency": "60 Hz"},
    "load": [
        {"name": "saw", "system": "460 3ph", "hp": "50 hp", "kind": "motor"},
        {"name": "conveyor", "system": "460 3ph", "hp": "25 hp", "kind": "motor"},
    ],
    "site": {"conditions": ["dust"]},
    "circuit": {"terminals": "75 degC"},
}


def test_motors_by_table_44_with_125_pct_of_the_largest():
    """Table 44: 65 A and 34 A at 460 V, on 480 V 54.0 + 28.3 kVA; 28-108: 125 % of the larger."""
    blocks = answer(**MILL).blocks
    assert round(blocks.demand.kva, 1) == 82.3
    assert round(blocks.demand.kva_required, 1) == round((65 * 1.25 + 34) * 480 * 3**0.5 / 1000, 1) == 95.8
    assert (blocks.pick.kva, blocks.pick.primary, blocks.pick.vector_group) == (112.5, "600 delta", "Dyn1")


def test_575_v_motors_come_first_and_dust_and_certification_are_named():
    codes = {finding.code for finding in answer(**MILL).findings}
    assert {"motor-voltage", "dust", "certified"} <= codes


def test_motors_of_575_v_belong_on_the_supply():
    loads = [{"system": "575 3ph", "hp": "50 hp", "kind": "motor"}]
    codes = {finding.code for finding in answer(**{**MILL, "load": loads}).findings}
    assert "motor-voltage" not in codes


def test_both_sides_have_conductors_of_125_pct():
    blocks = answer(**MILL).blocks
    assert blocks.conductors.primary.ampacity_a >= 1.25 * blocks.currents.primary_rated_a
    assert blocks.conductors.secondary.ampacity_a >= 1.25 * blocks.currents.secondary_rated_a
