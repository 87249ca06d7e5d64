"""The fewest sets of the smallest conductor, on sizes made up for it."""

from typing import NamedTuple

import pytest

from turnwright.regimes.common.conductors import fewest_sets, voltage_drop_pct, worst_power_factor


class Size(NamedTuple):
    area: float


SIZES = (Size(10.0), Size(20.0), Size(30.0), Size(40.0))


@pytest.mark.parametrize(
    ("asked", "largest", "least", "most_sets", "found"),
    [
        (30, 30, 20, 3, (30, 1)),
        (31, 30, 20, 3, (20, 2)),  # 40 is not pulled any more
        (31, 40, 20, 3, (40, 1)),
        (40, 30, 20, 3, (20, 2)),
        (40, 30, 20.1, 3, (30, 2)),  # smaller ones are not run in parallel
        (61, 30, 10, 3, (30, 3)),
        (60, 30, 10, 2, (30, 2)),
        (61, 30, 10, 2, None),
        (10, 9, 10, 3, None),
    ],
)
def test_fewest_sets_then_smallest(asked, largest, least, most_sets, found):
    chosen = fewest_sets(
        lambda _: SIZES, lambda one, sets: one.area * sets >= asked, largest, least, most_sets
    )
    assert chosen == (None if found is None else (Size(found[0]), found[1]))


def test_the_drop_in_ohms():
    """√3 · 100 A · (0.4 · 0.8 + 0.1 · 0.6) Ω/km · 0.05 km of 400 V is 0.8227 %; a pair of wires twice instead of √3."""
    three = voltage_drop_pct(100.0, 0.4, 0.1, 0.8, 50.0, 400.0, 3**0.5)
    assert three == pytest.approx(3**0.5 * 100 * 0.38 * 0.05 / 400 * 100)
    assert voltage_drop_pct(100.0, 0.4, 0.1, 0.8, 50.0, 400.0, 2.0) == pytest.approx(three * 2 / 3**0.5)
    at_worst = voltage_drop_pct(100.0, 0.3, 0.4, worst_power_factor(0.3, 0.4), 1000.0, 100.0, 1.0)
    assert at_worst == pytest.approx(50.0)
