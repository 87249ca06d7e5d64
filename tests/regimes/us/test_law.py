"""The efficiency law against the arithmetic of its own table."""

import pytest
from msgspec.structs import replace

from turnwright.regimes import LawNeed
from turnwright.regimes.us.law import EfficiencyLaw
from turnwright.working import CLOSED

LAW = EfficiencyLaw()
PLAIN = LawNeed(
    phases=3,
    kva=75.0,
    primary_v=480.0,
    secondary_v=208.0,
    frequency_hz=60.0,
    manufactured="2026-06-01",
    arrangement="isolation",
    taps_pct=(5.0, 2.5, 0.0, -2.5, -5.0),
    enclosure="ventilated",
    k_rating=1.0,
)


def test_75_kva_by_date_of_manufacture():
    """10 CFR 431.196(a): 98.0 % from 2007, 98.60 % from 2016; 372.7 W at 35 % load by the definition of efficiency."""
    assert LAW(replace(PLAIN, manufactured="2010-01-01"), CLOSED).law_pct == 98.0
    now = LAW(PLAIN, CLOSED)
    assert now.law_pct == 98.60
    assert now.loss_ceiling_w == pytest.approx(372.7, abs=0.05)
    later = LAW(replace(PLAIN, manufactured="2029-05-01"), CLOSED)
    assert later.law_pct > 98.60
    assert later.loss_ceiling_w == pytest.approx(297.3, abs=3)


def test_between_two_ratings_on_a_straight_line():
    """100 kVA, 2016: 98.693 %, a reading of a US national laboratory's rule notes."""
    assert LAW(replace(PLAIN, kva=100.0), CLOSED).law_pct == pytest.approx(98.693, abs=0.0005)


@pytest.mark.parametrize(
    "other",
    [{"kva": 9.0}, {"kva": 1500.0}, {"arrangement": "autotransformer"}, {"frequency_hz": 50.0},
     {"enclosure": "nonventilated"}, {"primary_v": 690.0}],
)  # fmt: skip
def test_outside_the_scope_nothing_is_asked(other):
    assert LAW(replace(PLAIN, **other), CLOSED).law is None


def test_a_tap_range_of_20_pct_is_outside():
    assert LAW(replace(PLAIN, taps_pct=(10.0, 0.0, -10.0)), CLOSED).law is None


def test_before_the_first_level_nothing_is_asked_and_a_month_counts_to_its_end():
    assert LAW(replace(PLAIN, manufactured="2003"), CLOSED).law is None
    assert (
        LAW(replace(PLAIN, manufactured="2029-04"), CLOSED).law_pct
        > LAW(replace(PLAIN, manufactured="2029-03"), CLOSED).law_pct
    )
