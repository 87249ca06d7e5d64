"""The neutral under rectifiers whose spectra nobody measured."""

from math import sqrt
from typing import Any

import pytest

from turnwright.demand.unmeasured import bound_a, most_neutral_a


def most_a(build: Any, loads: list[Any], secondary: str = "208Y/120", phases: int | None = 3) -> float:
    return most_neutral_a(loads, build.picture(loads, secondary), phases)


def test_pulses_that_never_overlap_bring_root_three_times_the_line(build: Any) -> None:
    """Each line carries rms I in pulses of its own: the mean square of the neutral is 3 I²."""
    one = [build.load("120 1ph", "current", 20.0, kind="electronics", quantity=3)]
    assert most_a(build, one) == pytest.approx(sqrt(20.0**2 + 20.0**2 + 20.0**2))


def test_only_rectifiers_to_neutral_of_unknown_spectrum_count(build: Any) -> None:
    """A third of the load, on lines of 30 A."""
    rectifier = build.load("120 1ph", "current", 10.0, kind="electronics", quantity=3)
    lamps = build.load("120 1ph", "current", 10.0, 1, kind="heating", quantity=3)
    drive = build.load("208 3ph", "current", 10.0, 2, kind="drive")
    assert most_a(build, [rectifier, lamps, drive]) == pytest.approx(bound_a(30.0, 1 / 3), rel=1e-3)
    measured = build.load("120 1ph", "current", 10.0, kind="electronics", quantity=3, harmonics=((3, 70.0),))
    assert most_a(build, [measured, drive]) == 0.0
    assert most_a(build, [drive]) == 0.0


@pytest.mark.parametrize(("phases", "secondary"), [(1, "120/240 1ph"), (None, "208Y/120"), (3, "240 delta")])
def test_without_three_lines_and_a_neutral_nothing_is_bounded(
    build: Any, phases: int | None, secondary: str
) -> None:
    text = "240 1ph" if secondary == "240 delta" else "120 1ph"
    assert most_a(build, [build.load(text, "kva", 3.0, kind="electronics")], secondary, phases) == 0.0
