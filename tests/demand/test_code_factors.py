"""Demand factors of the code, by hand from NEC 220.44 and 220.56."""

import pytest

from turnwright.intake import job_from_mapping
from turnwright.narrow import select


def kva(*loads):
    job = {"supply": {"system": "480Y/277"}, "load": [{"system": "208Y/120"} | load for load in loads]}
    return select(job_from_mapping(job), ledger_open=False, ask=False).demand.kva


def test_receptacles_count_in_full_up_to_10_kva_and_half_above():
    """30 kVA: 10 + 20 · 50 % = 20 kVA (NEC 220.44), whether on one line or on several."""
    assert kva({"kva": "30 kVA", "demand_rule": "receptacles"}) == pytest.approx(20.0)
    lines = [{"kva": "15 kVA", "demand_rule": "receptacles"}, {"kva": "15 kVA", "demand_rule": "receptacles"}]
    assert kva(*lines) == pytest.approx(20.0)
    assert kva({"kva": "9 kVA", "demand_rule": "receptacles"}) == pytest.approx(9.0)


def test_kitchen_equipment_counts_by_the_number_of_pieces():
    """Six pieces of 10 kVA: 65 % of 60 kVA = 39 kVA (NEC Table 220.56)."""
    assert kva({"kva": "10 kVA", "quantity": 6, "demand_rule": "kitchen"}) == pytest.approx(39.0)


def test_kitchen_equipment_never_below_its_two_largest_pieces():
    """30 + 20 and four of 1 kVA: 65 % of 54 is 35.1 kVA, the two largest are 50 kVA (NEC 220.56)."""
    loads = [{"kva": f"{size} kVA", "demand_rule": "kitchen"} for size in (30, 20, 1, 1, 1, 1)]
    assert kva(*loads) == pytest.approx(50.0)


def test_without_being_asked_no_factor_of_the_code_is_taken():
    assert kva({"kva": "30 kVA"}) == pytest.approx(30.0)
