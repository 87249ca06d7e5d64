"""What cannot be summed, and what is said of it; and loads at the edge of what can."""

import math
from typing import Any

import pytest
from msgspec.structs import replace

from turnwright.demand import demand_of
from turnwright.errors import InputError
from turnwright.working import CLOSED


def refusal(build: Any, loads: list[Any], secondary: str) -> InputError:
    with pytest.raises(InputError) as caught:
        build.picture(loads, secondary)
    return caught.value


def test_no_loads(build: Any) -> None:
    error = refusal(build, [], "208Y/120")
    assert error.code == "DEM-01"
    assert "there is no load" in str(error)


def test_three_phases_from_one(build: Any) -> None:
    error = refusal(build, [build.load("208 3ph", "kw", 24.0, name="kiln")], "120/240 1ph")
    assert error.code == "DEM-02"
    assert "load 1, kiln needs three phases" in str(error)


@pytest.mark.parametrize(
    ("text", "lines", "secondary", "offered"),
    [
        ("120 1ph", "C", "120/240 1ph", "A, B"),
        ("240 1ph", "BC", "120/240 1ph", "AB"),
        ("120 1ph", "B", "240/120 delta", "A, C"),
        ("240 1ph", "A", "240 delta", "AB, BC, CA"),
        ("120/240 1ph", "AB", "240/120 delta", "CA"),
    ],
)
def test_lines_that_are_not_there(build: Any, text: str, lines: str, secondary: str, offered: str) -> None:
    error = refusal(build, [build.load(text, "kva", 2.0, lines=lines)], secondary)
    assert (error.code, error.where) == ("DEM-03", "load[0].lines")
    assert f"Write one of {offered}" in error.fix


def test_phases_that_nobody_said(build: Any) -> None:
    assert refusal(build, [build.load("480", "kva", 2.0)], "480 delta").code == "DEM-05"
    assert refusal(build, [build.load("480 3ph", "kva", 2.0)], "480").code == "DEM-05"


def test_two_loads_of_one_index_would_hide_each_other(build: Any) -> None:
    assert (
        refusal(
            build, [build.load("208 3ph", "kva", 2.0), build.load("208 3ph", "kva", 3.0)], "208Y/120"
        ).code
        == "DEM-07"
    )


@pytest.mark.parametrize("line_v", [0.0, -120.0, math.inf, math.nan])
def test_volts_that_are_none(build: Any, line_v: float) -> None:
    load = build.load("120 1ph", "kva", 2.0)
    dead = replace(load, system=replace(load.system, line_v=line_v))
    error = refusal(build, [dead], "208Y/120")
    assert (error.code, error.where) == ("DEM-04", "load[0].voltage")


@pytest.mark.parametrize("growth_pct", [math.nan, math.inf, -1.0])
def test_growth_that_is_none(build: Any, growth_pct: float) -> None:
    case = build.case([build.load("208 3ph", "kva", 2.0)])
    case = replace(case, choices=replace(case.choices, growth_pct=growth_pct))
    with pytest.raises(InputError, match="is no growth") as caught:
        demand_of(case, build.system("208Y/120"), build.tables, CLOSED)
    assert caught.value.code == "DEM-04"


@pytest.mark.parametrize("secondary", ["208Y/120", "240 delta", "240/120 delta", "240 3ph"])
def test_loads_of_nothing_ask_for_nothing(build: Any, secondary: str) -> None:
    volts = build.system(secondary).line_v
    loads = [
        build.load(f"{volts:g} 3ph", "kva", 0.0, power_factor=0.8),
        build.load(f"{volts:g} 1ph", "kva", 5.0, 1, quantity=0, harmonics=((3, 10.0),)),
        build.load(f"{volts:g} 1ph", "kva", 5.0, 2, demand_factor=0.0, power_factor=0.9),
    ]
    picture = build.picture(loads, secondary)
    assert (picture.kva, picture.worst_phase_kva, picture.k_factor) == (0.0, 0.0, 1.0)
    assert picture.line_a == (0.0, 0.0, 0.0)
    assert picture.power_factor is None


def test_part_of_a_piece_stands_somewhere(build: Any) -> None:
    picture = build.picture([build.load("120 1ph", "kva", 2.0, quantity=2.5)])
    assert sum(one.pieces for one in picture.placements) == 3
    assert picture.kva == pytest.approx(5.0)
    assert sum(picture.phase_kva) == pytest.approx(5.0)


def test_a_load_between_the_volts_of_the_secondary_goes_to_the_nearer(build: Any) -> None:
    places = {}
    for text in ("277 1ph", "240 1ph", "480 1ph", "347 1ph", "600 1ph"):
        places[text] = build.picture([build.load(text, "kva", 2.0)], "480Y/277").loads[0].place
    assert places == {
        "277 1ph": "line to neutral",
        "240 1ph": "line to neutral",
        "347 1ph": "line to neutral",
        "480 1ph": "line to line",
        "600 1ph": "line to line",
    }


def test_a_load_that_needs_the_neutral_goes_to_neutral(build: Any) -> None:
    assert (
        build.picture([build.load("208 1ph", "kva", 2.0, neutral=True)]).loads[0].place == "line to neutral"
    )


def test_nothing_is_lost_when_ten_thousand_power_factors_differ(build: Any) -> None:
    loads = [build.load("208 3ph", "kva", 1.0, i, power_factor=0.5 + i / 20_000) for i in range(2_000)]
    picture = build.picture(loads)
    assert 1_980 < picture.kva < 2_000
    assert 0.5 < picture.power_factor < 0.6
