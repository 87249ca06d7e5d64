"""The numbers in findings against the outside: tables of the code as printed, worked examples, arithmetic by hand."""

from collections.abc import Callable
from typing import Any

import pytest

from turnwright.regimes.common.rules.looks import occasions
from turnwright.regimes.common.rules.supply import seen_to_ground
from turnwright.regimes.us.rules.access import depths_ft
from turnwright.regimes.us.rules.special_loads import duty_factor, lift_factor

SPOT_WELDER: dict[str, Any] = {
    "supply": {"system": "208Y/120"},
    "load": [
        {
            "name": "spot welder",
            "system": "480 1ph",
            "current": "240 A",
            "power_factor": 0.5,
            "kind": "welder",
            "duty": {"on": "10 %"},
        }
    ],
}


def test_a_spot_welder_of_240_a_at_10_pct_duty(found: Callable[..., list[Any]]) -> None:
    """630.31(A)(2): 0.32 at 10 % duty, 76.8 A; 480 V × 240 A over 208 V is 553.8 A on two lines."""
    (conductors,) = found("welder-conductors", SPOT_WELDER)
    assert (conductors.value, conductors.unit) == (pytest.approx(76.8), "A")
    assert "76.8 A" in conductors.message and "two" not in conductors.message
    (on_lines,) = found("flicker", SPOT_WELDER)
    assert on_lines.value == pytest.approx(480 * 240 / 208)
    assert "two of the three lines" in on_lines.message


def test_an_arc_welder_counts_by_its_own_table(found: Callable[..., list[Any]]) -> None:
    """630.11(A): 0.45 up to 20 % duty."""
    load = {**SPOT_WELDER["load"][0], "name": "arc welder"}
    (conductors,) = found("welder-conductors", {**SPOT_WELDER, "load": [load]})
    assert conductors.value == pytest.approx(0.45 * 240)


@pytest.mark.parametrize(
    ("kind", "duty_pct", "factor"),
    [
        ("resistance", 5, 0.22),
        ("resistance", 50, 0.71),
        ("resistance", 60, 1.0),
        ("arc", 60, 0.78),
        ("arc", 15, 0.45),
    ],
)
def test_duty_factors(kind: str, duty_pct: float, factor: float) -> None:
    """Tables 630.11(A) and 630.31(A)(2); between two rows the larger, above the table 1."""
    assert duty_factor("2023", kind, duty_pct) == factor


def test_third_harmonic_of_45_pct(found: Callable[..., list[Any]]) -> None:
    """40 kVA at 208 V: 111.0 A. 3 × 45 % over √(1 + 0.45² + 0.25² + 0.12²) = 119.35 %, 132.5 A."""
    load = {"system": "208Y/120", "kva": "40 kVA", "kind": "electronics", "neutral": True}
    harmonics = {"3": 45, "5": 25, "7": 12}
    (neutral,) = found("neutral-over-phase", {"load": [{**load, "harmonics": harmonics}]})
    assert neutral.value == pytest.approx(119.35, abs=0.01)
    assert "132.5" in neutral.message or "133 A" in neutral.message


def test_working_space_as_printed() -> None:
    """Table 110.26(A)(1): 0 to 150, 151 to 600, 601 to 1000 V to ground."""
    assert depths_ft("2023", 120) == (3, 3, 3)
    assert depths_ft("2023", 150) == (3, 3, 3)
    assert depths_ft("2023", 277) == (3, 3.5, 4)
    assert depths_ft("2023", 1000) == (3, 4, 5)


def test_a_floating_480_v_supply_counts_480_v_to_ground(found: Callable[..., list[Any]]) -> None:
    """Article 100, voltage to ground: of an ungrounded circuit the voltage between its conductors."""
    (space,) = found("working-space", {"supply": {"system": "480 3ph", "grounding": "ungrounded"}})
    assert space.value == 3.5


def test_elevator_factors_as_printed() -> None:
    """Table 620.14: 1, 0.95, 0.90, 0.85 for one to four (read in the table of 2008)."""
    assert [lift_factor("2023", count) for count in (1, 2, 3, 4)] == [1, 0.95, 0.9, 0.85]


@pytest.mark.parametrize(
    ("line_v", "to_ground_v", "looks"),
    [
        (208, (120, 121, 119), "wye"),
        (240, (120, 208, 120), "high leg"),  # √(240² − 120²) = 207.8
        (208, (208, 119, 121), "high leg"),  # a 240 V high leg labelled 208Y/120
        (240, (0, 240, 241), "corner"),
        (480, (15, 450, 470), "floating"),
        (480, (0, 0, 0), "floating"),
    ],
)
def test_what_volts_to_ground_look_like(line_v: float, to_ground_v: tuple[float, ...], looks: str) -> None:
    assert seen_to_ground(line_v, to_ground_v) == looks


def test_a_heater_of_240_v_on_208_v_gives_three_quarters(found: Callable[..., list[Any]]) -> None:
    """(208/240)² = 75.1 %."""
    load = {"name": "oven", "system": "240 1ph", "kw": "6 kW", "kind": "heating"}
    (plate,) = found("plate-208-230", {"supply": {"system": "208Y/120"}, "load": [load]})
    assert "75.1 %" in plate.message


def test_a_230_v_motor_on_208_v_is_at_its_edge(found: Callable[..., list[Any]]) -> None:
    """NEMA MG 1 12.44.1: 10 % below 230 V is 207 V."""
    load = {"name": "saw", "system": "230 3ph", "hp": "20 hp"}
    (plate,) = found("plate-208-230", {"supply": {"system": "208Y/120"}, "load": [load]})
    assert plate.limit == pytest.approx(207.0)
    assert plate.value == 208.0


@pytest.mark.parametrize(
    ("measured", "unbalance_pct"),
    [
        (["480 V", "476 V", "472 V"], 0.84),  # a published example: average 476, deviation 4
        (["460 V", "467 V", "450 V"], 1.96),  # average 459, deviation 9
    ],
)
def test_unbalance_as_defined(
    found: Callable[..., list[Any]], measured: list[str], unbalance_pct: float
) -> None:
    """NEMA MG 1: largest deviation from the average over the average; more than 1 % derates a motor."""
    patch = {"supply": {"measured": measured}, "load": [{"name": "fan", "system": "200 3ph", "hp": "10 hp"}]}
    findings = found("supply-unbalance", patch)
    assert [finding.value for finding in findings] == (
        [pytest.approx(unbalance_pct, abs=0.005)] if unbalance_pct > 1 else []
    )


def test_motors_must_not_run_above_5_pct(found: Callable[..., list[Any]]) -> None:
    load = {"name": "fan", "system": "200 3ph", "hp": "10 hp"}
    (finding,) = found(
        "supply-unbalance", {"supply": {"measured": ["440 V", "480 V", "500 V"]}, "load": [load]}
    )
    assert finding.severity == "stop"


@pytest.mark.parametrize(
    ("length", "severity", "limit_ft"),
    [("10 ft", "note", 10), ("10.5 ft", "note", 25), ("25 ft", "note", 25), ("26 ft", "stop", 25)],
)
def test_length_cases_of_240_21_c(
    found: Callable[..., list[Any]], length: str, severity: str, limit_ft: float
) -> None:
    (finding,) = found("secondary-length", {"circuit": {"secondary_length": length}})
    assert (finding.severity, finding.limit) == (severity, limit_ft)


def test_beyond_25_ft_only_outdoors(found: Callable[..., list[Any]]) -> None:
    """240.21(C)(4)."""
    patch = {"circuit": {"secondary_length": "60 ft"}, "site": {"place": "outdoor"}}
    (finding,) = found("secondary-length", patch)
    assert finding.severity == "caution" and "outdoors" in finding.message


def test_seven_secondary_devices_are_too_many(found: Callable[..., list[Any]]) -> None:
    """Table 450.3(B) Note 2: six."""
    (six,) = found("secondary-devices-grouped", {"circuit": {"secondary_devices": ["15 A"] * 6}})
    (seven,) = found("secondary-devices-grouped", {"circuit": {"secondary_devices": ["15 A"] * 7}})
    assert (six.severity, seven.severity) == ("note", "stop")


@pytest.mark.parametrize(
    ("system", "kva", "rated_a", "limit_pct"),
    [("208Y/120", "5 kVA", 7.217, "167 %"), ("120/240 1ph", "0.4 kVA", 1.042, "300 %")],
)
def test_small_currents(
    found: Callable[..., list[Any]], system: str, kva: str, rated_a: float, limit_pct: str
) -> None:
    """Table 450.3(B): 6 kVA at 480 V three-phase is 7.2 A, 0.5 kVA single-phase 1.04 A: below 9 A and below 2 A."""
    (finding,) = found("small-current", {"load": [{"system": system, "kva": kva}]})
    assert finding.value == pytest.approx(rated_a, abs=0.001)
    assert limit_pct in finding.message


def test_units_of_a_bank_are_not_said_to_be_outside_the_law(found: Callable[..., list[Any]]) -> None:
    """10 CFR 431.192 knows single-phase units of 15 kVA and more: a bank of them is no way around it."""
    patch = {"load": [{"system": "240 3ph", "kva": "60 kVA"}], "choices": {"arrangement": "open delta"}}
    assert all("No federal minimum" not in finding.message for finding in found("efficiency-outside", patch))


@pytest.mark.parametrize(
    ("made", "least_pct", "said"),
    [
        ("2005", None, "made before 2007-01-01"),
        ("2012", 97.5, "10 CFR 431.196(a)(1)"),
        ("2020-05", 98.23, "10 CFR 431.196(a)(2)"),
    ],
)
def test_which_law_holds_by_date(
    answer: Callable[..., Any], made: str, least_pct: float | None, said: str
) -> None:
    """10 CFR 431.196(a), 30 kVA three-phase: 97.5 % from 2007, 98.23 % from 2016."""
    findings = answer({"choices": {"manufactured": made}}).findings
    (law,) = [finding for finding in findings if finding.code in ("efficiency-law", "efficiency-outside")]
    assert law.value == least_pct and said in law.message


def test_room_of_the_bus(found: Callable[..., list[Any]]) -> None:
    """705.12: 40 kVA at 208 V is 111.0 A, 138.8 A at 125 %; 20 % of a 225 A bus are 45 A."""
    solar = {"name": "solar", "system": "480Y/277", "kva": "40 kVA", "kind": "inverter", "feeds_back": True}
    (finding,) = found("interactive-bus", {"supply": {"system": "208Y/120"}, "load": [solar]})
    assert finding.value == pytest.approx(138.8, abs=0.05)
    assert finding.limit == pytest.approx(45.0)


def test_x_ray_conductors(found: Callable[..., list[Any]]) -> None:
    """517.73(A): 60 kVA momentary at 208 V is 166.5 A, half 83.3 A; 10 kVA long-time is 27.8 A."""
    load = {"name": "scanner", "system": "208 3ph", "kva": "10 kVA", "kind": "imaging"}
    (finding,) = found("imaging", {"load": [{**load, "momentary": "60 kVA", "regulation_limit": "4 %"}]})
    assert finding.value == pytest.approx(83.27, abs=0.01)


def test_fire_pump_unit_grows_until_it_is_large_enough(answer: Callable[..., Any]) -> None:
    """695.5(A): 14.5 kVA × 125 % is 18.1 kVA; 15 kVA carries the load and is refused, 30 kVA is picked."""
    result = answer({"load": [{"name": "fire pump", "system": "208 3ph", "kva": "14.5 kVA"}]})
    assert result.pick.kva == 30


def test_a_load_that_runs_for_hours_fills_a_panel_at_125_pct(found: Callable[..., list[Any]]) -> None:
    """215.3: 83 kVA at 480 V is 99.8 A, 124.8 A by the code: 105 A to spare are too few."""
    load = {"system": "208Y/120", "kva": "83 kVA"}
    panel = {"panel_rating": "225 A", "panel_load": "120 A"}
    (finding,) = found("panel-room", {"supply": panel, "load": [load]})
    assert finding.severity == "caution" and finding.value == pytest.approx(124.8, abs=0.05)
    (short,) = found("panel-room", {"supply": panel, "load": [{**load, "continuous": False}]})
    assert short.severity == "note" and short.value == pytest.approx(99.8, abs=0.05)


def test_no_slash_rating_is_asked_about_at_24_v(found: Callable[..., list[Any]]) -> None:
    """240.85 is about 120/240, 480Y/277 and 600Y/347: a control circuit under 50 V is far below the lower number."""
    controls = {"system": "24 1ph", "kva": "2 kVA"}
    assert found("slash-rating", {"load": [controls], "circuit": {"device_kind": "breaker"}}) == []


def test_headroom_of_a_small_unit_is_not_rounded_away(found: Callable[..., list[Any]]) -> None:
    """120 % of 0.1 kVA is 0.12 kVA, not 0.1."""
    (finding,) = found("loading-band", {"load": [{"system": "24 1ph", "kva": "0.1 kVA"}]})
    assert "0.12 kVA" in finding.message


def test_a_zig_zag_says_what_its_neutral_is_rated_for(found: Callable[..., list[Any]]) -> None:
    """450.5(A)(4): 20 kVA of lighting at 480Y/277 unbalances by 24.06 A while one line alone is on."""
    lighting = {"system": "480Y/277", "kva": "20 kVA"}
    supply = {"system": "480 3ph", "grounding": "ungrounded"}
    patch = {"supply": supply, "load": [lighting], "choices": {"arrangement": "zig-zag"}}
    (finding,) = found("grounding-autotransformer", patch)
    assert "24.1 A" in finding.message


def test_a_start_below_what_contactors_hold_at_is_said_to_fail(found: Callable[..., list[Any]]) -> None:
    """Contactors drop at 65 to 70 % of their volts (trade practice): a dip over 35 % leaves less than that."""
    motor = {"name": "pump", "system": "208 3ph", "hp": "10 hp", "start": "across the line"}
    ups = {"source": "ups", "source_kva": "20 kVA", "fault_current": None}
    (finding,) = found("start-dip", {"supply": ups, "load": [motor]})
    assert finding.value > 35 and "the start fails as it stands" in finding.message
    (weak,) = found("start-dip", {"supply": {"fault_current": None}, "load": [motor]})
    assert "taken as a weak one" in weak.message


@pytest.mark.parametrize(
    ("name", "occasion"),
    [
        ("boat berths", "marina"),
        ("shore power, pier 2", "marina"),
        ("swimming hall pumps", "pool"),
        ("two barns", "farm"),
    ],
)
def test_places_are_known_in_the_plural_too(name: str, occasion: str) -> None:
    """One berth or ten: the article is the same (NEC 547, 555, 680)."""
    assert occasion in occasions(name)


def test_chargers_are_told_of_a_missing_ground_only(found: Callable[..., list[Any]]) -> None:
    """A corner that is bonded is a ground: what charging equipment looks for is there."""
    load = {"name": "charger", "system": "240 3ph", "kva": "20 kVA", "kind": "charger"}
    assert found("charger-ground", {"load": [load]})
    bonded = {"load": [load], "choices": {"secondary": "240 delta corner"}}
    assert not found("charger-ground", bonded)
