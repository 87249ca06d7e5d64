"""What the efficiency laws of both countries have in common."""

import pytest

from turnwright.regimes import LawNeed
from turnwright.regimes.ca.law import EfficiencyLaw as CanadianLaw
from turnwright.regimes.us.law import EfficiencyLaw as FederalLaw
from turnwright.working import CLOSED


@pytest.mark.parametrize("law", [FederalLaw(), CanadianLaw()], ids=["us", "ca"])
@pytest.mark.parametrize(
    ("enclosure", "holds"),
    [
        (None, True),
        ("ventilated", True),
        ("open", True),
        ("cast", True),
        ("nonventilated", False),
        ("encapsulated", False),
    ],
)
def test_units_whose_coils_see_air_are_under_the_law(law, enclosure, holds):
    """10 CFR 431.192 and SOR/2016-311 s. 703 leave out what keeps air from the coils, not an open or a cast unit."""
    need = LawNeed(
        phases=3,
        kva=75.0,
        primary_v=480.0 if isinstance(law, FederalLaw) else 600.0,
        secondary_v=208.0,
        frequency_hz=60.0,
        manufactured="2026-06-01",
        arrangement="isolation",
        taps_pct=(5.0, 2.5, 0.0, -2.5, -5.0),
        enclosure=enclosure,
        k_rating=1.0,
    )
    assert (law(need, CLOSED).law is not None) == holds
