"""The load for devices and conductors."""

import math
from typing import Any

import pytest
from msgspec.structs import replace

from turnwright.demand import design_current_a


def test_continuous_load_counts_125_percent(build: Any) -> None:
    """NEC 215.2(A)(1), 215.3: 22 kVA with 15 % growth, all continuous: 87.8 A at 208 V."""
    picture = build.picture([build.load("208Y/120", "kva", 22.0)], growth_pct=15.0)
    assert picture.continuous_kva == pytest.approx(25.3)
    assert picture.code_kva == pytest.approx(31.625)
    assert picture.design_line_a == pytest.approx((87.78,) * 3, abs=0.005)


def test_noncontinuous_load_counts_once(build: Any) -> None:
    """12 kVA with 10 % growth on 120/240: 55 A."""
    load = build.load("120/240 1ph", "kva", 12.0, continuous=False)
    assert build.picture([load], "120/240 1ph", 10.0).design_line_a == pytest.approx((55.0, 55.0))


def test_motors_are_increased_by_the_largest_alone(build: Any) -> None:
    """NEC 430.24 (memory): 1.25 · 42 + 42 + 15.2 A of two 15 hp and one 5 hp at 230 V, continuous or not."""
    loads = [
        build.load("240 3ph", "hp", 15.0, nameplate_v=230.0, quantity=2),
        build.load("240 3ph", "hp", 5.0, 1, nameplate_v=230.0, continuous=False),
    ]
    picture = build.picture(loads, "240 delta")
    assert picture.design_line_a == pytest.approx((1.25 * 42 + 42 + 15.2,) * 3)
    assert picture.kva_heat == pytest.approx(45.60, abs=0.005)
    assert picture.kva == pytest.approx(41.24, abs=0.005)
    assert (picture.continuous_kva, picture.noncontinuous_kva) == (0.0, 0.0)
    assert picture.largest_motor == 0


def test_a_metered_maximum_counts_125_percent_once_and_only_here(build: Any) -> None:
    """NEC 220.87 (memory)."""
    picture = build.picture([build.load("208 3ph", "kva", 40.0, measured_demand=True)])
    assert picture.kva == 40.0
    assert picture.measured_kva == 40.0
    assert picture.code_kva == pytest.approx(50.0)


def test_the_motor_of_a_continuous_group_is_covered_by_the_group(build: Any) -> None:
    group = build.load("208 3ph", "kva", 60.0, largest_motor_hp=7.5)
    motor_kva = math.sqrt(3) * 0.208 * 24.2
    continuous = build.picture([group])
    assert continuous.code_kva == pytest.approx(75.0)
    assert continuous.kva_heat == pytest.approx(60.0 + 0.25 * motor_kva)
    short = build.picture([build.load("208 3ph", "kva", 60.0, largest_motor_hp=7.5, continuous=False)])
    assert short.code_kva == pytest.approx(60.0 + 0.25 * motor_kva)


def test_factors_of_another_regime(build: Any) -> None:
    tables = replace(build.tables, continuous_factor=1.0, motor_conductor_allowance=0.0, motor_columns=())
    loads = [build.load("400 3ph", "kw", 15.0, shaft=True, efficiency=0.9, power_factor=0.85, kind="motor")]
    picture = build.picture([*loads, build.load("400 3ph", "kva", 10.0, 1)], "400Y/230", tables=tables)
    assert picture.code_kva == pytest.approx(15.0 / 0.765 + 10.0)


def test_a_duty_multiplier_of_the_code_is_for_the_code_alone(build: Any) -> None:
    """NEC Table 630.31(A)(2): 0.32 at 10 % duty, where the rms value is 0.316."""
    tables = replace(build.tables, duty_multiplier=lambda kind, duty: 0.32 if kind == "welder" else None)
    welder = build.load("480 1ph", "current", 240.0, kind="welder", duty_on_pct=10.0)
    picture = build.picture([welder], "480 1ph", tables=tables)
    assert picture.design_line_a == pytest.approx((76.8,))
    assert picture.line_a == pytest.approx((240.0 * math.sqrt(0.1),))
    other = build.load("480 1ph", "current", 240.0, kind="heating", duty_on_pct=10.0)
    assert build.picture([other], "480 1ph", tables=tables).design_line_a == pytest.approx(
        (240.0 * math.sqrt(0.1),)
    )


def test_half_of_a_momentary_rating_counts_for_the_code_of_imaging_alone(build: Any) -> None:
    """NEC 517.73(A) (memory): half of the momentary rating or all of the long-time one, whichever is more."""
    tables = replace(build.tables, momentary_share=0.5, continuous_factor=1.0)

    def code_kva(kind: str, long_time: float, tables: Any = tables, **facts: Any) -> float:
        load = build.load("480 3ph", "kva", long_time, kind=kind, **facts)
        return float(build.picture([load], "480Y/277", tables=tables).code_kva)

    assert code_kva("imaging", 10.0, momentary_kva=60.0) == pytest.approx(30.0)
    assert code_kva("imaging", 40.0, momentary_kva=60.0) == pytest.approx(40.0)
    assert code_kva("imaging", 10.0) == pytest.approx(10.0)
    assert code_kva("general", 10.0, momentary_kva=60.0) == pytest.approx(10.0)
    assert code_kva("general", 60.0, duty_on_pct=4.0) == pytest.approx(60.0 * math.sqrt(0.04))
    no_such_rule = replace(tables, momentary_share=None)
    assert code_kva("imaging", 10.0, no_such_rule, momentary_kva=60.0) == pytest.approx(10.0)


def test_each_line_has_its_own_largest_motor(build: Any) -> None:
    """120 V motors of 1 hp (16 A) on A and 1/2 hp (9.8 A) on B, NEC Table 430.248; 10 A of lamps on every line."""
    loads = [
        build.load("120 1ph", "hp", 1.0, nameplate_v=115.0, lines="A"),
        build.load("120 1ph", "hp", 0.5, 1, nameplate_v=115.0, lines="B"),
        build.load("120 1ph", "current", 10.0, 2, quantity=3),
    ]
    picture = build.picture(loads)
    placed = {one.lines: one.pieces for one in picture.placements if one.load == 2}
    lamps = {line: 12.5 * placed.get(line, 0) for line in "ABC"}
    assert picture.design_line_a == pytest.approx(
        (1.25 * 16 + lamps["A"], 1.25 * 9.8 + lamps["B"], lamps["C"])
    )


def test_the_parts_make_up_the_running_load(build: Any) -> None:
    loads = [
        build.load("208 3ph", "kva", 10.0),
        build.load("208 3ph", "kva", 7.0, 1, continuous=False),
        build.load("208 3ph", "kva", 5.0, 2, kind="motor"),
        build.load("208 3ph", "kva", 3.0, 3, measured_demand=True),
    ]
    picture = build.picture(loads, growth_pct=10.0)
    parts = (picture.continuous_kva, picture.noncontinuous_kva, picture.motors_kva, picture.measured_kva)
    assert parts == pytest.approx((11.0, 7.7, 5.5, 3.3))
    assert sum(parts) == pytest.approx(picture.kva_with_growth)
    assert picture.code_kva == pytest.approx(1.25 * 11.0 + 7.7 + 5.5 + 0.25 * 5.0 + 1.25 * 3.3)


def test_design_current_of_the_other_side() -> None:
    assert design_current_a(31.625, 480.0, 3) == pytest.approx(38.04, abs=0.005)
    assert design_current_a(13.2, 480.0, 1) == pytest.approx(27.5)
