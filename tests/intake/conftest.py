"""A job to begin with, and what a regime would let stand in."""

import pytest

from turnwright.model.case import Defaults

BASE = """\
[supply]
system = "480Y/277"

[[load]]
name = "pumps"
system = "240 3ph"
"""


@pytest.fixture
def us() -> Defaults:
    return Defaults(
        regime="us",
        edition="2023",
        frequency_hz=60.0,
        manufactured="2026-01-01",
        insulation="THWN-2",
        nominal_v={115.0: 120.0, 200.0: 208.0, 230.0: 240.0, 460.0: 480.0, 575.0: 600.0},
        power_factor_kw=0.85,
        x_over_r=6.0,
    )


@pytest.fixture
def base() -> str:
    """A supply and the start of a load, to which a test adds lines; the next one is line 7."""
    return BASE
