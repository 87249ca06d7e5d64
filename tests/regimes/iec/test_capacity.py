"""Capacity of cables against the published example of the standard, second copies of its tables, and its own laws."""

from itertools import pairwise
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from turnwright.errors import InputError
from turnwright.regimes.iec import capacity as of
from turnwright.regimes.iec.conductors import least_by_tripping_a

EXAMPLES = {
    entry["id"]: entry
    for entry in yaml.safe_load((Path(__file__).parent / "data" / "worked_examples.yaml").read_text("utf-8"))
}
EVERY = [
    (method, insulation, loaded, metal)
    for method in of.METHODS
    for insulation in ("PVC", "XLPE")
    for loaded in (2, 3)
    for metal in ("copper", "aluminum")
]


def rating_a(line_a, content_pct):
    found = of.harmonic(content_pct)
    return found.asked_a(line_a, content_pct) / found.factor


@pytest.mark.parametrize("content", [20, 40, 50])
def test_third_harmonics_of_annex_e(content):
    """39 A with 20, 40 and 50 % of third harmonic: 45, 54.4 and 58.5 A."""
    wanted = EXAMPLES["neutral-iec-39a"]["outputs"]
    assert rating_a(39.0, float(content)) == pytest.approx(wanted[f"rating_{content}"], rel=0.01)
    if f"neutral_{content}" in wanted:
        assert of.neutral_third_harmonic_a(39.0, float(content)) == pytest.approx(
            wanted[f"neutral_{content}"]
        )


def test_a_fuse_asks_for_more_cable_than_a_breaker():
    """I2 ≤ 1.45 Iz: a breaker asks for In, a gG link for 1.10 In from 16 A and 1.31 In below."""
    wanted = EXAMPLES["gg-fuse-factor"]["outputs"]

    def ratio(kind, rating):
        return least_by_tripping_a(rating, of.tripping_multiple(kind, rating), 1.45) / rating

    assert ratio("breaker", 63.0) == pytest.approx(1.0)
    assert ratio("fuse", 16.0) == pytest.approx(wanted["from_16_a"], abs=0.001)
    assert ratio("fuse", 10.0) == pytest.approx(wanted["below_16_a"], abs=0.001)


@pytest.mark.parametrize(
    ("method", "insulation", "loaded", "metal", "amps"),
    [
        # other stored copies than the one the table was entered from: 2.5, 25, 95, 240 mm²
        ("B2", "PVC", 3, "copper", (20, 80, 179, 297)),
        ("C", "XLPE", 2, "copper", (33, 138, 328, 599)),
        ("C", "PVC", 3, "copper", (24, 96, 223, 403)),
        ("D1", "PVC", 2, "copper", (29, 99, 204, 336)),
        ("B2", "XLPE", 3, "aluminum", (21, 84, 188, 318)),
        ("E", "PVC", 3, "copper", (25, 101, 238, 430)),
        ("E", "XLPE", 3, "copper", (32, 127, 298, 538)),
        ("E", "PVC", 2, "copper", (30, 119, 282, 514)),
    ],
)
def test_cells_agree_with_second_copies(method, insulation, loaded, metal, amps):
    found = {cable.area: cable.table_a for cable in of.cables(method, insulation, loaded, metal)}
    assert tuple(found[area] for area in (2.5, 25, 95, 240)) == amps


@pytest.mark.parametrize(("method", "insulation", "loaded", "metal"), EVERY)
def test_capacity_rises_with_size(method, insulation, loaded, metal):
    amps = [cable.table_a for cable in of.cables(method, insulation, loaded, metal)]
    assert amps and all(low < high for low, high in pairwise(amps))


@pytest.mark.parametrize("method", of.METHODS)
def test_warmer_insulation_fewer_loaded_conductors_and_copper_carry_more(method):
    def amps(insulation, loaded, metal):
        return {cable.area: cable.table_a for cable in of.cables(method, insulation, loaded, metal)}

    def above(more, less):
        common = set(more) & set(less)
        return common and all(more[area] > less[area] for area in common)

    for metal in ("copper", "aluminum"):
        for loaded in (2, 3):
            assert above(amps("XLPE", loaded, metal), amps("PVC", loaded, metal))
        for insulation in ("PVC", "XLPE") if method != "G" else ():  # two spaced ones count as touching
            assert above(amps(insulation, 2, metal), amps(insulation, 3, metal))
    for loaded in (2, 3):
        copper, aluminum = amps("PVC", loaded, "copper"), amps("PVC", loaded, "aluminum")
        assert all(0.68 < aluminum[area] / copper[area] < 0.86 for area in aluminum)


def test_temperature_factors_follow_the_square_root_they_come_from():
    """√((θ_max − θ) / (θ_max − θ_base)), rounded in the table."""
    for insulation, most in (("PVC", 70), ("XLPE", 90)):
        for medium, method, base in (("air", "C", 30), ("ground", "D1", 20)):
            for degrees in range(10, 61, 5):
                theory = ((most - degrees) / (most - base)) ** 0.5
                cell = of.temperature_factor(method, insulation, float(degrees), float(degrees))
                assert cell == pytest.approx(theory, abs=0.011), (insulation, medium, degrees)


@given(degrees=st.floats(-20, 100), step=st.floats(0, 20))
def test_a_warmer_place_never_carries_more(degrees, step):
    cool = of.temperature_factor("C", "XLPE", degrees, degrees)
    warm = of.temperature_factor("C", "XLPE", degrees + step, degrees)
    assert warm is None or (cool is not None and warm <= cool)


@pytest.mark.parametrize("text", ["Z9", "", "tray", "E1"])
def test_what_is_no_method_is_refused(text):
    with pytest.raises(InputError) as told:
        of.method_of(text)
    assert told.value.code == "REG-03"
