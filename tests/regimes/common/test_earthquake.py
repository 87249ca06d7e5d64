"""Earthquake forces over the weight, by hand from the equation of each code."""

import pytest

from turnwright.regimes.common.earthquake import force_share


@pytest.mark.parametrize(
    ("regime", "acceleration_g", "essential", "height", "share"),
    [
        # ASCE/SEI 7-16 13.3-1, a_p 1, R_p 2.5: 0.4 · S_DS · I_p / 2.5 · (1 + 2 z/h) within 0.3 and 1.6 S_DS I_p
        ("us", 1.0, False, 1.0, 0.48),
        ("us", 1.0, True, 1.0, 0.72),
        ("us", 0.5, False, 1.0, 0.24),
        ("us", 1.0, False, 0.5, 0.32),
        ("us", 1.0, False, 0.0, 0.30),
        ("us", 1.0, True, 0.0, 0.45),
        # NBC 4.1.8.18: 0.3 · S · I_E · S_p, S_p = (1 + 2 z/h) / 1.25 within 0.7 and 4
        ("ca", 0.5, True, 1.0, 0.54),
        ("ca", 1.0, False, 1.0, 0.72),
        ("ca", 1.0, False, 0.0, 0.24),
        # EN 1998-1 4.3.5.2, rigid: a_g S · (3 (1 + z/H) / 2 - 0.5) · γ_a / 2, the bracket at least 1
        ("iec", 0.2, True, 1.0, 0.375),
        ("iec", 0.2, False, 1.0, 0.25),
        ("iec", 0.2, False, 0.0, 0.1),
    ],
)
def test_the_horizontal_force(regime, acceleration_g, essential, height, share):
    assert force_share(regime, acceleration_g, essential, height) == pytest.approx(share)
