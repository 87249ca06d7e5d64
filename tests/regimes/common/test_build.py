"""How large, heavy and warm a unit is, by hand from the bands of the trade and the factors of its build."""

import pytest
from msgspec.structs import replace

from turnwright.regimes.common.build import build_of, loss_ratio, usual_build, usual_rises_k


@pytest.fixture(scope="module")
def ordinary(facts_in):
    """A ventilated three-phase unit of 30 kVA with aluminum windings and 150 K."""
    unit = facts_in("us", {}).unit
    plain = {"winding": None, "k_rating": 1.0, "rise_k": 150.0, "mass_kg": None, "enclosure": None}
    return replace(unit, phases=3, kva=30.0, **plain)


def test_an_ordinary_unit_of_30_kva(ordinary):
    """110 to 230 kg, to 720 mm wide, 390 to 580 mm deep, 580 to 920 mm high, losses of 2.5 to 4 % of its rating."""
    build = build_of(ordinary)
    assert (build.mass_low_kg, build.mass_high_kg) == pytest.approx((110, 230))
    assert (build.width_high_m, build.depth_low_m, build.depth_high_m) == pytest.approx((0.72, 0.39, 0.58))
    assert (build.height_low_m, build.height_high_m) == pytest.approx((0.58, 0.92))
    assert (build.loss_low_w, build.loss_high_w) == pytest.approx((750, 1200))
    assert build.least_footprint_m2 == pytest.approx(0.1521)


def test_factors_of_a_build_are_multiplied(ordinary):
    """Cast 1.1 to 1.5 of the mass, 1.25 of the size, 1 to 1.3 of the loss; K-13 1.05 to 1.35, 1.15, 0.9 to 1.1."""
    build = build_of(replace(ordinary, enclosure="cast", k_rating=13.0))
    assert build.mass_low_kg == pytest.approx(110 * 1.1 * 1.05)
    assert build.mass_high_kg == pytest.approx(230 * 1.5 * 1.35)
    assert build.width_high_m == pytest.approx(0.72 * 1.25 * 1.15)
    assert build.depth_high_m == pytest.approx(0.58 * 1.25 * 1.15)
    assert build.height_high_m == pytest.approx(0.92 * 1.25 * 1.15)
    assert (build.depth_low_m, build.height_low_m) == pytest.approx((0.39, 0.58))
    assert build.loss_low_w == pytest.approx(750 * 0.9)
    assert build.loss_high_w == pytest.approx(1200 * 1.3 * 1.1)


@pytest.mark.parametrize(("k_rating", "heavier"), [(None, False), (4.0, False), (9.0, True), (13.0, True)])
def test_windings_for_harmonics_begin_at_k_9(ordinary, k_rating, heavier):
    build = build_of(replace(ordinary, k_rating=k_rating))
    assert (build.mass_high_kg > 230) == heavier


def test_a_mass_that_is_known_takes_the_place_of_the_band(ordinary):
    build = build_of(replace(ordinary, mass_kg=175.0))
    assert (build.mass_low_kg, build.mass_high_kg) == (175, 175)


@pytest.mark.parametrize(("kva", "mass_high_kg"), [(30.0, 230), (30.1, 290), (1000.0, 3150), (2500.0, 3150)])
def test_a_size_belongs_to_the_band_that_ends_with_it(kva, mass_high_kg):
    assert usual_build(3, kva).mass_high_kg == mass_high_kg


def test_the_loss_of_another_build_over_that_of_the_unit(ordinary):
    """80 K loses 0.55 to 0.8 of an ordinary unit; back again the inverse; what both have cancels."""
    cool = replace(ordinary, rise_k=80.0)
    assert loss_ratio(ordinary, cool) == pytest.approx((0.55, 0.8))
    assert loss_ratio(cool, ordinary) == pytest.approx((1 / 0.8, 1 / 0.55))
    warmer = replace(ordinary, rise_k=115.0)
    assert loss_ratio(cool, warmer) == pytest.approx((0.8 / 0.8, 0.95 / 0.55))
    both = [replace(unit, enclosure="cast") for unit in (ordinary, cool)]
    assert loss_ratio(*both) == pytest.approx((0.55, 0.8))
    assert usual_rises_k() == (115, 80)
