"""The Canadian efficiency rule against the official tables and its differences from the neighbour's."""

import pytest
from msgspec.structs import replace

from turnwright.reference import load
from turnwright.regimes import LawNeed
from turnwright.regimes.ca.law import EfficiencyLaw
from turnwright.working import CLOSED

LAW = EfficiencyLaw()
PLAIN = LawNeed(
    phases=3,
    kva=75.0,
    primary_v=600.0,
    secondary_v=208.0,
    frequency_hz=60.0,
    manufactured="2026-06-01",
    arrangement="isolation",
    taps_pct=(5.0, 2.5, 0.0, -2.5, -5.0),
    enclosure="ventilated",
    k_rating=1.0,
)


def test_the_table_equals_the_federal_one_of_2016_south_of_the_border():
    """A state code and the Canadian regulation were compared row by row: all 20 rows agree."""
    there = load("us_doe_lvdt_efficiency").at("2016-01-01")
    rows = load("ca_efficiency").newest().rows
    assert len(rows) == 20
    for row in rows:
        twin = there.row(phases=float(row.number("phases")), kva=float(row.number("kva")))
        assert row.number("min_efficiency_pct") == twin.number("min_efficiency_pct")


def test_75_kva_may_lose_372_7_w_at_35_pct():
    found = LAW(PLAIN, CLOSED)
    assert found.law_pct == 98.60
    assert found.loss_ceiling_w == pytest.approx(372.7, abs=0.05)
    assert found.law.startswith("SOR/2016-311")


def test_taps_do_not_take_a_unit_out_and_2029_changes_nothing():
    """No tap exclusion and no level of 2029 in the consolidation of 2025-10-09."""
    assert LAW(replace(PLAIN, taps_pct=(10.0, 0.0, -10.0)), CLOSED).law_pct == 98.60
    assert LAW(replace(PLAIN, manufactured="2030-01-01"), CLOSED).law_pct == 98.60


@pytest.mark.parametrize(
    "other",
    [{"kva": 9.0}, {"kva": 8000.0}, {"arrangement": "autotransformer"}, {"frequency_hz": 50.0},
     {"enclosure": "nonventilated"}, {"manufactured": "2014"}],
)  # fmt: skip
def test_outside_the_scope_or_what_was_read_nothing_is_said(other):
    assert LAW(replace(PLAIN, **other), CLOSED).law is None
