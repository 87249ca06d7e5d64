"""Where an ordinary unit carries a distorted current: usual service to 5 %, and the derating of IEEE C57.110."""

from math import sqrt

import pytest

from turnwright.intake import job_from_mapping
from turnwright.narrow import select


def answer(kva, harmonics, regime="us", **choices):
    load = {"name": "supplies", "system": "208Y/120", "kva": kva, "kind": "computing", "harmonics": harmonics}
    supply = {"system": "480Y/277"}
    if regime == "iec":
        load |= {"system": "400Y/230"}
        supply = {"system": "690Y/400", "earthing": "TN-S"}
    job = {"regime": regime, "supply": supply, "load": [load], "choices": choices}
    found = select(job_from_mapping(job), ask=False)
    return found, next(one for one in found.findings if one.code == "harmonic-heating")


def factor(harmonics):
    """F_HL by hand: Σ I_h² h² / Σ I_h²."""
    squares = {1: 1.0} | {int(h): (p / 100) ** 2 for h, p in harmonics.items()}
    return sum(s * h * h for h, s in squares.items()) / sum(squares.values())


@pytest.mark.parametrize("regime", ["us", "ca"])
def test_a_k_rating_is_not_needed_to_5_percent(regime):
    """Usual service of IEEE C57.12.01 (memory): up to 0.05 per unit of harmonics in the load current."""
    spectrum = {"5": 4, "7": 3}
    found, told = answer("50 kVA", spectrum, regime)
    assert (found.pick.kva, found.pick.k_rating, found.demand.basis) == (75, 1, "heat")
    assert told.value == pytest.approx(factor(spectrum)) and "no K rating is needed" in told.message


def test_over_5_percent_it_is_and_the_ordinary_unit_is_told():
    found, told = answer("50 kVA", {"5": 5, "7": 3})
    assert found.pick.k_rating == 4 and "It would carry this load too" in told.message


def test_the_derating_counts_where_the_size_has_no_room_for_it():
    """45 kVA carry 45 / sqrt((1 + F · 0.08) / 1.08) at an eddy share of 8 %, the high end: IEEE C57.110."""
    spectrum = {"5": 4, "7": 3}
    most = 45 / sqrt((1 + factor(spectrum) * 0.08) / 1.08)
    below, _ = answer(f"{most * 0.999} kVA", spectrum)
    above, told = answer(f"{most * 1.001} kVA", spectrum)
    assert (below.pick.kva, below.pick.k_rating) == (45, 1)
    assert (above.pick.kva, above.pick.k_rating) == (45, 4) and "too little for this load" in told.message


def test_high_orders_within_5_percent_are_counted_too():
    """5 % of the 25th: F = (1 + 625 · 0.0025) / 1.0025 = 2.556, largest current 0.947 at an eddy share of 8 %."""
    tight, _ = answer("43 kVA", {"25": 5})
    loose, _ = answer("42 kVA", {"25": 5})
    assert (tight.pick.k_rating, loose.pick.k_rating) == (4, 1)
    assert tight.pick.kva == loose.pick.kva == 45


def test_an_insisted_rating_stays():
    found, told = answer("50 kVA", {"5": 4, "7": 3}, k_rating=13)
    assert found.pick.k_rating == 13 and "K-13 is insisted on" in told.message


def test_where_no_ratings_are_marked_the_derating_is_told():
    spectrum = {"5": 40, "7": 16}
    found, told = answer("50 kVA", spectrum, "iec")
    assert told.value == pytest.approx(factor(spectrum)) and "K-" not in told.message
    share = sqrt(1.08 / (1 + factor(spectrum) * 0.08)) * 100
    assert f"carries {int(share)}" in told.message
    assert found.pick.kva >= 50 / share * 100
