"""The tables in the order that nature, arithmetic and the standards themselves give them."""

from itertools import pairwise
from math import pi

import pytest

from turnwright.reference import circular_mils, load

NEC = ("2017", "2020", "2023")
SIZES = [row.text("size") for row in load("nec_ch9_t8").newest().where(stranding="stranded").rows]


def in_edition(name, edition):
    return load(name).at(edition)


def rising(values):
    return all(low < high for low, high in pairwise(values))


def never_falling(values):
    return all(low <= high for low, high in pairwise(values))


def decimals(printed):
    return len(f"{printed:g}".partition(".")[2])


@pytest.mark.parametrize("edition", NEC)
@pytest.mark.parametrize("metal", ["cu", "al"])
def test_ampacity_rises_with_size_and_with_the_temperature_column(edition, metal):
    table = in_edition("nec_310_16", edition)
    assert [row.text("size") for row in table.rows] == [size for size in SIZES if size in table.words("size")]
    for column in (60, 75, 90):
        assert rising(table.column(f"{metal}_{column}c_a"))
    for row in table.rows:
        columns = [row.optional(f"{metal}_{column}c_a") for column in (60, 75, 90)]
        assert all(columns) or not any(columns)
        assert not any(columns) or rising(columns)


def test_copper_carries_more_than_aluminum():
    for row in load("nec_310_16").newest().rows:
        for column in (60, 75, 90):
            aluminum = row.optional(f"al_{column}c_a")
            assert aluminum is None or row.number(f"cu_{column}c_a") > aluminum


@pytest.mark.parametrize("edition", NEC)
def test_device_ratings_ascend(edition):
    table = in_edition("nec_240_6a", edition)
    assert rising(table.column("rating_a"))
    assert all(row.yes("fuse") for row in table.rows)
    assert [row.number("rating_a") for row in table.rows if row.yes("breaker")][:2] == (
        [10, 15] if edition == "2023" else [15, 20]
    )


@pytest.mark.parametrize("edition", NEC)
@pytest.mark.parametrize("name", ["nec_250_122", "nec_250_66", "nec_250_102c1"])
def test_grounding_conductors_grow_with_what_they_serve(name, edition):
    table, table_8 = in_edition(name, edition), in_edition("nec_ch9_t8", edition)
    assert never_falling([circular_mils(table_8, size) for size in table.words("cu")])
    assert never_falling([circular_mils(table_8, size) for size in table.words("al")])
    for row in table.rows:
        copper, aluminum = row.optional_text("cu"), row.optional_text("al")
        assert (copper is None) == (aluminum is None)
        assert copper is None or circular_mils(table_8, copper) < circular_mils(table_8, aluminum)
    if name == "nec_250_122":
        assert rising(table.column("device_through_a"))


@pytest.mark.parametrize("name", ["nec_250_66", "nec_250_102c1"])
def test_the_areas_of_the_grounding_tables_are_those_of_table_8(name):
    areas = {row.number("circular_mils") for row in load("nec_ch9_t8").newest().rows} | {900e3, 1100e3}
    for metal in ("cu", "al"):
        assert set(load(name).newest().column(f"phase_{metal}_through_cmil")) <= areas


def test_resistance_falls_with_area_and_circular_mils_agree_with_the_metric_area():
    for stranding in ("solid", "stranded"):
        rows = load("nec_ch9_t8").newest().where(stranding=stranding).rows
        assert rising([row.number("circular_mils") for row in rows])
        for column in ("cu_uncoated_ohm_per_kft", "cu_coated_ohm_per_kft", "al_ohm_per_kft"):
            assert rising([-row.number(column) for row in rows])
        for row in rows:
            exact_mm2 = row.number("circular_mils") * pi / 4 * 0.0254**2
            assert row.number("area_mm2") == pytest.approx(exact_mm2, rel=0.003)


def test_awg_areas_follow_the_definition_of_the_gauge():
    # 36 AWG is 0.005 in, 4/0 AWG 0.46 in, and 39 equal ratios lie between (ASTM B258)
    for row in load("nec_ch9_t8").newest().where(stranding="stranded").rows:
        number, unit = row.text("size").split()
        if unit == "AWG":
            gauge = 1 - int(number[0]) if number.endswith("/0") else int(number)
            mils = 5 * 92 ** ((36 - gauge) / 39)
            assert row.number("circular_mils") == pytest.approx(mils**2, rel=0.003)


def test_alternating_current_resistance_is_not_below_that_of_direct_current():
    table_8 = load("nec_ch9_t8").newest()
    for row in load("nec_ch9_t9").newest().rows:
        dc = table_8.row(size=row.text("size"), stranding="stranded").number("cu_uncoated_ohm_per_kft")
        printed = row.number("r_cu_pvc_ohm_per_kft")
        assert printed >= dc - 0.5 * 10 ** -decimals(printed)
        assert row.number("x_steel_ohm_per_kft") > row.number("x_pvc_aluminum_ohm_per_kft")


@pytest.mark.parametrize("raceway", ["EMT", "IMC", "RMC", "PVC-40", "PVC-80"])
def test_fill_areas_are_their_share_of_the_raceway(raceway):
    rows = load("nec_ch9_t4").newest().where(raceway=raceway).rows
    assert rising([row.number("total_area_in2") for row in rows])
    assert rising([row.number("trade_size_in") for row in rows])
    for row in rows:
        total = row.number("total_area_in2")
        assert total == pytest.approx(pi / 4 * row.number("inside_diameter_in") ** 2, abs=0.006)
        for column, share in (
            ("fill_1", 0.53),
            ("fill_2", 0.31),
            ("fill_over_2", 0.40),
            ("fill_nipple", 0.60),
        ):
            assert row.number(f"{column}_in2") == pytest.approx(share * total, abs=0.0011)


def test_shares_of_table_1_are_those_of_table_4():
    shares = [row.number("fill_pct") for row in load("nec_ch9_t1").newest().rows]
    assert shares == [53, 31, 40, 60]


def test_insulated_areas_follow_from_the_diameters():
    for row in load("nec_ch9_t5").newest().rows:
        area = pi / 4 * row.number("diameter_in") ** 2
        assert row.number("area_in2") == pytest.approx(area, abs=0.0011)


def test_ambient_factors_follow_the_formula_at_the_top_of_each_band():
    # 310.15(B): I' = I √((Tc − Ta')/(Tc − 30)); the lowest band is open and printed at 10 °C
    for row in load("nec_310_15_b1").newest().rows:
        for rating in (60, 75, 90):
            factor = row.optional(f"factor_{rating}c")
            if factor is not None:
                exact = ((rating - row.number("ambient_through_c")) / (rating - 30)) ** 0.5
                assert factor == pytest.approx(exact, abs=0.0051)


def test_motor_currents_rise_with_power_and_fall_with_voltage():
    for name, volts in (
        ("nec_430_248", (115, 200, 208, 230)),
        ("nec_430_250", (115, 200, 208, 230, 460, 575)),
    ):
        table = load(name).newest()
        assert rising(table.column("hp"))
        for v in volts:
            assert rising(table.column(f"current_{v}v_a"))
        for row in table.rows:
            listed = [amps for v in volts if (amps := row.optional(f"current_{v}v_a")) is not None]
            assert rising([-amps for amps in listed])


def test_horsepower_text_and_number_agree():
    for name in ("nec_430_248", "nec_430_250"):
        for row in load(name).newest().rows:
            whole, _, fraction = row.text("hp_text").rpartition("-")
            above, _, below = (fraction or whole).partition("/")
            hp = (float(whole or 0) if below else 0.0) + float(above) / float(below or 1)
            assert row.number("hp") == pytest.approx(hp, abs=5e-5)


def test_code_letters_follow_each_other_to_the_hundredth():
    rows = load("nec_430_7b").newest().rows
    assert [row.text("letter") for row in rows] == list("ABCDEFGHJKLMNPRSTUV")
    for row, following in pairwise(rows):
        assert row.number("kva_per_hp_max") + 0.01 == pytest.approx(following.number("kva_per_hp_min"))


def test_welder_multipliers_are_the_root_of_the_duty_cycle():
    for kind in ("arc", "resistance"):
        for row in load("nec_630_welders").newest().where(kind=kind).rows:
            root = (row.number("duty_through_pct") / 100) ** 0.5
            assert row.number("multiplier") == pytest.approx(root, abs=0.0065)


def test_efficiency_rises_with_size_and_never_falls_with_the_date():
    table = load("us_doe_lvdt_efficiency")
    levels = [table.at(date) for date in table.editions]
    for phases in (1, 3):
        for level in levels:
            assert rising(level.where(phases=phases).column("kva"))
            assert rising(level.where(phases=phases).column("min_efficiency_pct"))
        sizes = [level.where(phases=phases).column("kva") for level in levels]
        assert sizes[0] == sizes[1] == sizes[2]
        for kva in sizes[0]:
            assert never_falling(
                [level.row(phases=phases, kva=kva).number("min_efficiency_pct") for level in levels]
            )


def test_each_rating_with_an_efficiency_is_a_preferred_rating():
    preferred = load("standard_kva").newest()
    for row in load("us_doe_lvdt_efficiency").newest().rows:
        assert preferred.row(phases=row.number("phases"), kva=row.number("kva"))
    for phases in (1, 3):
        assert rising(preferred.where(phases=phases).column("kva"))


def test_voltage_ranges_nest():
    systems = {row.key: row for row in load("us_voltage_systems").newest().rows}
    for edition in load("c84_1").editions:
        for row in in_edition("c84_1", edition).rows:
            system = systems[row.text("system")]
            for wire, nominal in (
                ("line", system.number("line_v")),
                ("neutral", system.optional("neutral_v")),
            ):
                limits = [
                    row.optional(f"{limit}_{wire}_v")
                    for limit in ("utilization_min", "service_min", "service_max")
                ]
                assert all(limits) if nominal else not any(limits)
                assert not nominal or limits[0] < limits[1] < nominal < limits[2]
            wider = in_edition("c84_1", edition).row(system=row.text("system"), range="B")
            assert wider.number("utilization_min_line_v") <= row.number("utilization_min_line_v")
            assert wider.number("service_max_line_v") >= row.number("service_max_line_v")


def test_line_and_neutral_voltages_fit_the_winding():
    for row in load("us_voltage_systems").newest().rows:
        neutral = row.optional("neutral_v")
        if neutral is not None:
            ratio = 3**0.5 if row.text("winding") == "wye" else 2
            assert row.number("line_v") == pytest.approx(ratio * neutral, rel=0.005)


def test_a_nameplate_voltage_belongs_to_a_system_not_far_above_it():
    table = load("us_nameplate_voltages").newest()
    known = {row.number("line_v") for row in load("us_voltage_systems").newest().rows}
    known |= {row.optional("neutral_v") for row in load("us_voltage_systems").newest().rows}
    for row in table.rows:
        assert row.number("nominal_v") in known
        assert 0.9 <= row.number("nameplate_v") / row.number("nominal_v") <= 1.0
        assert table.row(nameplate_v=row.number("nominal_v")).number("nominal_v") == row.number("nominal_v")


def test_sound_levels_rise_with_size():
    newest = load("sound_levels").at("2014")
    for group in (
        load("sound_levels").at("1992"),
        newest.where(enclosure="ventilated", k_min=1),
        newest.where(enclosure="ventilated", k_min=13),
        newest.where(enclosure="nonventilated"),
    ):
        assert rising(group.column("kva_through"))
        assert never_falling(group.column("level_dba"))


def test_altitude_points_follow_the_slopes():
    constants = load("dry_type_constants").newest()
    free = constants.row(key="usual_altitude_m").number("value")
    for cooling, key in (("AN", "altitude_an_pct_per_100m"), ("AF", "altitude_af_pct_per_100m")):
        slope = constants.row(key=key).number("value")
        for row in load("altitude_ambient").newest().where(quantity="altitude_kva", cooling=cooling).rows:
            lost = max(0.0, row.number("at") - free) / 100 * slope / 100
            assert row.number("factor") == pytest.approx(1 - lost, abs=1e-9)


def test_rise_classes_add_up_to_the_insulation_system():
    constants = load("dry_type_constants").newest()
    peak = constants.row(key="usual_ambient_peak_c").number("value")
    for row in load("us_rise_classes").newest().rows:
        total = peak + row.number("rise_k") + row.number("hot_spot_allowance_k")
        assert row.number("system_c") == total
        assert row.number("hot_spot_rise_k") == row.number("rise_k") + row.number("hot_spot_allowance_k")


def test_spectra_are_listed_once_and_begin_at_their_base():
    listed = {row.key: row for row in load("spectra_list").newest().rows}
    spectra = load("spectra").newest()
    assert {str(name) for name in spectra.words("name")} == set(listed)
    for name, said in listed.items():
        rows = spectra.where(name=name).rows
        assert rising([row.number("order") for row in rows])
        assert all(row.number("current_pct") > 0 for row in rows)
        if said.text("kind") == "emission limit":
            assert rows[0].number("order") > 1
        elif said.text("base") == "fundamental":
            assert (rows[0].number("order"), rows[0].number("current_pct")) == (1, 100)


def test_bands_are_the_right_way_round():
    for name, low, high in (
        ("us_impedance_bands", "low_pct", "high_pct"),
        ("us_winding_x_over_r", "low", "high"),
        ("us_usual_stock", "kva_min", "kva_max"),
        ("us_buck_boost", "kva_min", "kva_max"),
    ):
        for row in load(name).newest().rows:
            assert 0 < row.number(low) <= row.number(high)


def test_each_preferred_rating_has_an_impedance_and_an_x_over_r():
    for row in load("standard_kva").newest().rows:
        for name in ("us_impedance_bands", "us_winding_x_over_r"):
            bands = load(name).newest().where(phases=row.number("phases"))
            assert max(bands.column("kva_through")) >= row.number("kva")


def test_stock_and_windings_are_whole_ratios_and_known_ratings():
    preferred = load("standard_kva").newest()
    for row in load("us_usual_stock").newest().rows:
        for end in ("kva_min", "kva_max"):
            assert preferred.row(phases=row.number("phases"), kva=row.number(end))
    for row in load("us_buck_boost").newest().rows:
        assert row.number("primary_series_v") == 2 * row.number("primary_parallel_v")
        assert row.number("secondary_series_v") == 2 * row.number("secondary_parallel_v")


def test_low_and_high_of_common_practice_are_pairs():
    for name in ("trade_practice", "dry_type_constants", "equipment_limits"):
        table = load(name).newest()
        for row in table.rows:
            if "_low_" in row.key:
                high = table.row(key=row.key.replace("_low_", "_high_"))
                assert row.number("value") < high.number("value")
                assert row.optional_text("unit") == high.optional_text("unit")
