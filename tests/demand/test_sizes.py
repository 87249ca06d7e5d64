"""One line of the load list: what it draws, however its size is written."""

import math
from typing import Any

import pytest

from turnwright.demand import motor_row
from turnwright.errors import InputError
from turnwright.working import Number, Step


def sized(build: Any, text: str, by: str, size: float, secondary: str = "208Y/120", **facts: Any) -> Any:
    return build.picture([build.load(text, by, size, **facts)], secondary).loads[0]


def test_amperes_at_the_nominal_voltage_not_that_of_the_plate(build: Any) -> None:
    load = sized(build, "240 3ph", "current", 150.0, "240 delta", nameplate_v=230.0)
    assert load.kva == pytest.approx(math.sqrt(3) * 0.240 * 150)
    assert load.current_a == 150.0


def test_kva_as_it_is(build: Any) -> None:
    load = sized(build, "208Y/120", "kva", 22.0)
    assert load.kva == 22.0
    assert load.current_a == pytest.approx(61.07, abs=0.005)  # 22 / (√3 · 0.208)


def test_single_phase_amperes(build: Any) -> None:
    load = sized(build, "120/240 1ph", "kva", 12.0, "120/240 1ph")
    assert load.current_a == pytest.approx(50.0)


def test_kw_is_input_power(build: Any) -> None:
    assert sized(build, "208 3ph", "kw", 24.0, power_factor=0.8).kva == pytest.approx(30.0)


def test_kw_of_a_shaft_takes_the_efficiency_too(build: Any) -> None:
    assert sized(
        build, "208 3ph", "kw", 24.0, power_factor=0.8, shaft=True, efficiency=0.75
    ).kva == pytest.approx(40.0)


def test_kw_without_power_factor_says_what_stands_in(build: Any) -> None:
    load = sized(build, "208 3ph", "kw", 17.0)
    assert load.kva == pytest.approx(20.0)
    assert load.assumption == "power factor 0.85"
    assert load.phase_angle_deg is None


def test_an_assumed_power_factor_sizes_and_earns_nothing(build: Any) -> None:
    assumed = Number(0.85, Step("load[0].power_factor", 0.85, known="assumed"))
    load = sized(build, "208 3ph", "kw", 17.0, power_factor=assumed)
    assert load.kva == pytest.approx(20.0)
    assert load.power_factor is None


def test_power_fed_back_earns_nothing(build: Any) -> None:
    assert sized(build, "208 3ph", "kva", 17.0, power_factor=1.0, feeds_back=True).power_factor is None


@pytest.mark.parametrize(
    ("text", "plate_v", "hp", "row_hp", "table_a"),
    [
        pytest.param("240 3ph", 230, 15, 15, 42, id="NEC Table 430.250, 15 hp 230 V"),
        pytest.param("480 3ph", 460, 50, 50, 65, id="NEC Table 430.250, 50 hp 460 V"),
        pytest.param("208 3ph", 208, 7.5, 7.5, 24.2, id="NEC Table 430.250, 7-1/2 hp 208 V"),
        pytest.param("208 3ph", 200, 7.5, 7.5, 25.3, id="NEC Table 430.250, 7-1/2 hp 200 V"),
        pytest.param("600 3ph", 575, 500, 500, 472, id="NEC Table 430.250, 500 hp 575 V"),
        pytest.param("240 1ph", 230, 1 / 3, 0.3333, 3.6, id="NEC Table 430.248, 1/3 hp 230 V"),
        pytest.param("120 1ph", 115, 1, 1, 16, id="NEC Table 430.248, 1 hp 115 V"),
        pytest.param("240 3ph", 230, 12, 15, 42, id="between two rows the larger"),
        pytest.param("480 3ph", 440, 11, 15, 21, id="440 to 480 V is one column"),
    ],
)
def test_motors_by_their_table(
    build: Any, text: str, plate_v: float, hp: float, row_hp: float, table_a: float
) -> None:
    load = sized(build, text, "hp", hp, text, nameplate_v=plate_v, kind="motor")
    assert (load.table_hp, load.table_current_a, load.current_a) == (row_hp, table_a, table_a)
    root = math.sqrt(3) if "3ph" in text else 1.0
    assert load.kva == pytest.approx(root * build.system(text).line_v * table_a / 1000)
    assert load.motor_kva == load.kva
    assert load.assumption == ""


@pytest.mark.parametrize(
    ("text", "plate_v", "hp"), [("480 3ph", 460, 600), ("400 3ph", 400, 20), ("240 1ph", 230, 15)]
)
def test_motors_outside_the_tables_go_by_shaft_power(
    build: Any, text: str, plate_v: float, hp: float
) -> None:
    load = sized(build, text, "hp", hp, text, nameplate_v=plate_v, efficiency=0.9, power_factor=0.8)
    assert load.kva == pytest.approx(0.746 * hp / 0.72)
    assert load.table_current_a is None
    assert "in no motor table" in load.assumption
    assert "0.9" in load.assumption


def test_no_row_below_the_first_column(build: Any) -> None:
    assert motor_row(build.tables.motor_columns, 3, 300, 10) is None


def test_all_pieces_with_their_demand_factor(build: Any) -> None:
    load = sized(build, "208 3ph", "current", 40.0, quantity=5, demand_factor=0.6)
    assert load.running_kva == pytest.approx(3 * load.kva)
    assert load.running_current_a == pytest.approx(120.0)


def test_a_metered_maximum_takes_no_demand_factor(build: Any) -> None:
    load = sized(build, "208 3ph", "kva", 40.0, demand_factor=0.6, measured_demand=True)
    assert load.running_kva == 40.0
    assert load.running_current_a == load.current_a


def test_duty_counts_by_its_rms_and_keeps_the_on_value(build: Any) -> None:
    """Spot welder, 240 A while welding, 10 % duty: 115.2 kVA while on, 36.4 kVA by heat."""
    picture = build.picture(
        [build.load("480 1ph", "current", 240.0, power_factor=0.5, kind="welder", duty_on_pct=10.0)],
        "480 1ph",
    )
    load = picture.loads[0]
    assert (load.on_kva, load.on_current_a) == (pytest.approx(115.2), 240.0)
    assert load.kva == pytest.approx(36.43, abs=0.005)
    assert load.current_a == pytest.approx(75.89, abs=0.005)
    assert load.category == "noncontinuous"
    assert picture.kva == load.kva
    assert picture.on_kva == pytest.approx(115.2)
    assert picture.on_power_factor == 0.5
    assert picture.line_a == pytest.approx((75.89,), abs=0.005)


def test_largest_motor_inside_a_group(build: Any) -> None:
    load = sized(build, "208Y/120", "kva", 60.0, largest_motor_hp=7.5)
    assert load.motor_kva == pytest.approx(math.sqrt(3) * 0.208 * 24.2)  # NEC Table 430.250, 7-1/2 hp 208 V


def test_largest_motor_inside_a_group_without_a_table(build: Any) -> None:
    load = sized(build, "400Y/230", "kva", 60.0, "400Y/230", largest_motor_hp=7.5)
    assert load.motor_kva == pytest.approx(7.5 * 0.746 / (0.75 * 0.85))


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("size", math.nan),
        ("size", -1.0),
        ("size", math.inf),
        ("quantity", math.nan),
        ("quantity", -2.0),
        ("demand_factor", -0.1),
        ("power_factor", 0.0),
        ("power_factor", 1.01),
        ("power_factor", math.nan),
        ("efficiency", 0.0),
        ("efficiency", 1.5),
        ("duty_on_pct", 0.0),
        ("duty_on_pct", 101.0),
        ("harmonics", ((1, 100.0),)),
        ("harmonics", ((3, -5.0),)),
        ("harmonics", ((3, math.nan),)),
    ],
)
def test_numbers_outside_their_domain_are_refused(build: Any, key: str, value: Any) -> None:
    facts = {key: value}
    size = facts.pop("size", 10.0)
    with pytest.raises(InputError, match=r"load\[0\]") as refusal:
        sized(build, "208 3ph", "kva", size, **facts)
    assert refusal.value.code == "DEM-04"


@pytest.mark.parametrize(
    ("facts", "distorts"),
    [
        ({"kind": "electronics"}, True),
        ({"kind": "drive"}, True),
        ({"kind": "heating"}, False),
        ({"kind": "heating", "firing": "phase angle"}, True),
        ({"kind": "heating", "firing": "burst"}, False),
        ({"kind": "motor", "start": "drive"}, True),
        ({"kind": "electronics", "harmonics": ((3, 10.0),)}, False),
    ],
)
def test_loads_that_distort_without_data_are_named(build: Any, facts: dict[str, Any], distorts: bool) -> None:
    first = build.load("208 3ph", "kva", 10.0, kind="heating")
    second = build.load("208 3ph", "kva", 10.0, 1, **facts)
    picture = build.picture([first, second])
    assert picture.unknown_spectrum == ((1,) if distorts else ())
    if not second.harmonics:
        assert picture.k_factor == 1.0
