"""What a unit of a size usually is, against what the trade and its standards print."""

import pytest

from turnwright.regimes import ca, iec, us

MODULES = {"us": us, "ca": ca, "iec": iec}


def unit(regime, kva, k_rating=1.0, phases=3, sound_as="ventilated"):
    module = MODULES[regime]
    return module.regime(module.EDITIONS[-1]).usual_unit(phases, kva, k_rating, sound_as)


@pytest.mark.parametrize(
    ("regime", "kva", "taps"),
    [
        # UFC 3-520-01 4-1.6.2: from 15 kVA two of 2.5 % above and four below, smaller ones two of 5 % below
        ("us", 14.9, (0, -5, -10)),
        ("us", 15, (5, 2.5, 0, -2.5, -5, -7.5, -10)),
        ("us", 500, (5, 2.5, 0, -2.5, -5, -7.5, -10)),
        # four taps of 2.5 % in Canada; one of 5 % each way is common in the IEC world
        ("ca", 14.9, (0, -5, -10)),
        ("ca", 15, (5, 2.5, 0, -2.5, -5)),
        ("iec", 16, (5, 0, -5)),
    ],
)
def test_taps(regime, kva, taps):
    assert unit(regime, kva).taps_pct == taps


@pytest.mark.parametrize(
    ("sound_as", "k_rating", "levels"),
    [
        # NEMA ST 20-2014, average sound level: to 9, 30, 50, 150, 300, 500, 700 and 1000 kVA
        ("ventilated", 1.0, (40, 45, 45, 50, 55, 60, 62, 64)),
        ("ventilated", 4.0, (40, 45, 45, 50, 55, 60, 62, 64)),
        ("ventilated", 9.0, (40, 45, 45, 50, 55, 60, 62, 64)),
        ("ventilated", 13.0, (40, 45, 48, 53, 58, 63, 65, 67)),
        ("ventilated", 20.0, (40, 45, 48, 53, 58, 63, 65, 67)),
        ("nonventilated", 1.0, (45, 50, 50, 55, 57, 59, 61, 63)),
    ],
)
def test_sound(sound_as, k_rating, levels):
    through = (9, 30, 50, 150, 300, 500, 700, 1000)
    at_most, just_over = (
        [unit("us", kva + more, k_rating, sound_as=sound_as).sound_db for kva in through]
        for more in (0.0, 0.1)
    )
    assert at_most == list(levels)
    assert just_over == [*levels[1:], None]


def test_what_no_table_has_is_not_known():
    """NEMA ST 20 has no level of K-30 units; the IEC world has no such table."""
    assert unit("us", 45.0, 30.0).sound_db is None
    assert unit("iec", 40.0).sound_db is None


def test_the_band_of_impedance_is_used_by_its_cautious_ends():
    """30 kVA: 3 to 6 %, X/R 0.5 to 1: a fault by 3 % at X/R 1, a drop by 6 % at 0.5: R = 6 / √1.25 = 5.367 %."""
    usual = unit("us", 30.0)
    assert usual.for_faults.resistance_pct == pytest.approx(3 / 2**0.5)
    assert usual.for_faults.reactance_pct == pytest.approx(3 / 2**0.5)
    assert usual.for_drop.resistance_pct == pytest.approx(5.3666, abs=0.0001)
    assert usual.for_drop.reactance_pct == pytest.approx(2.6833, abs=0.0001)
    assert usual.x_over_r == (0.5, 1)


@pytest.mark.parametrize(
    ("kva", "like"),
    [(150.0, 100.0), (150.1, 200.0), (300.0, 200.0), (1000.0, 750.0), (2500.0, 1000.0)],
)
def test_a_size_belongs_to_the_band_that_ends_with_it(kva, like):
    """Bands of the trade end with 150, 300, 500 and 1000 kVA; what is larger is like the largest."""
    assert unit("us", kva).for_faults == unit("us", like).for_faults


@pytest.mark.parametrize(
    ("kva", "primary", "secondary", "phases", "shelf"),
    [
        (15.0, "480 delta", "208Y/120", 3, "usual stock"),
        (14.9, "480 delta", "208Y/120", 3, "to order"),
        (1000.0, "480 delta", "208Y/120", 3, "usual stock"),
        (1000.1, "480 delta", "208Y/120", 3, "to order"),
        (45.0, "480 delta", "400Y/230", 3, "to order"),
        (45.0, "208Y/120", "480 delta", 3, "to order"),
        (45.0, "480 delta", "208Y/120", 1, "to order"),
    ],
)
def test_what_is_on_the_shelf(kva, primary, secondary, phases, shelf):
    """480 V delta to 208Y/120 is on every shelf from 15 to 1000 kVA."""
    assert us.regime("2023").availability(phases, kva, primary, secondary) == shelf


@pytest.mark.parametrize("name", MODULES)
def test_a_job_without_an_edition_gets_the_newest(name):
    module = MODULES[name]
    for edition in module.EDITIONS:
        assert module.regime(edition).defaults.edition == max(module.EDITIONS)
