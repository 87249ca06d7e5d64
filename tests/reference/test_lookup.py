"""The lookups against their plain definitions, on all the tables that are looked up in."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.errors import TableError, UnknownKey
from turnwright.reference import (
    all_at_least,
    circular_mils,
    first_at_least,
    from_below,
    in_band,
    last_at_most,
    load,
    over_through,
    table_names,
)

DEVICES = load("nec_240_6a").at("2023")
RATINGS = [float(value) for value in DEVICES.column("rating_a")]
ASCENDING = [
    (load(name).newest(), column.name)
    for name in table_names()
    for column in load(name).description.columns
    if column.kind == "number" and column.name in load(name).newest().header
]
AREA_CU = ("phase_cu_over_cmil", "phase_cu_through_cmil")
AREA_AL = ("phase_al_over_cmil", "phase_al_through_cmil")
KVA = ("kva_over", "kva_through")
RATED_A = ("rated_current_from_a", "rated_current_below_a")
COUNT = ("conductors_min", "conductors_max")
BANDS = [
    (over_through, load("nec_310_15_b1").at("2023"), "ambient_over_c", "ambient_through_c"),
    (over_through, load("nec_250_66").at("2023"), *AREA_CU),
    (over_through, load("nec_250_66").at("2023"), *AREA_AL),
    (over_through, load("nec_250_102c1").at("2023"), *AREA_CU),
    (over_through, load("nec_250_102c1").at("2023"), *AREA_AL),
    (over_through, load("us_impedance_bands").newest().where(phases=1), *KVA),
    (over_through, load("us_impedance_bands").newest().where(phases=3), *KVA),
    (over_through, load("us_winding_x_over_r").newest().where(phases=1), *KVA),
    (over_through, load("us_winding_x_over_r").newest().where(phases=3), *KVA),
    (over_through, load("sound_levels").at("1992"), *KVA),
    (over_through, load("sound_levels").at("2014").where(enclosure="ventilated", k_min=13), *KVA),
    (over_through, load("sound_levels").at("2014").where(enclosure="nonventilated"), *KVA),
    (over_through, load("nec_110_26").at("2023").where(condition=2), "ground_over_v", "ground_through_v"),
    (over_through, load("nec_630_welders").at("2023").where(kind="arc"), "duty_over_pct", "duty_through_pct"),
    (from_below, load("us_usual_taps").newest(), "kva_from", "kva_below"),
    (from_below, load("nec_450_3b").at("2023").where(method="primary only", side="primary"), *RATED_A),
    (from_below, load("nec_450_3b").at("2023").where(method="autotransformer"), *RATED_A),
    (in_band, load("nec_310_15_c1").at("2023"), *COUNT),
    (in_band, load("nec_ch9_t1").at("2023").where(place="raceway"), *COUNT),
]
HOLDS = {
    over_through: lambda low, value, high: low < value <= high,
    from_below: lambda low, value, high: low <= value < high,
    in_band: lambda low, value, high: low <= value <= high,
}


def ends(row, low_column, high_column):
    low, high = row.optional(low_column), row.optional(high_column)
    return float("-inf") if low is None else low, float("inf") if high is None else high


@given(st.sampled_from(ASCENDING), st.floats(allow_nan=False))
def test_first_at_least_is_never_below_and_nothing_lies_between(table_and_column, value):
    table, column = table_and_column
    above = [entry for entry in table.column(column) if entry >= value]
    if not above:
        assert all_at_least(table, column, value) == ()
        with pytest.raises(TableError, match="no entry of"):
            first_at_least(table, column, value)
        return
    found = first_at_least(table, column, value).number(column)
    assert found >= value
    assert found == min(above)
    assert [row.number(column) for row in all_at_least(table, column, value)] == sorted(above)


@given(st.sampled_from(ASCENDING), st.floats(allow_nan=False))
def test_last_at_most_is_never_above_and_nothing_lies_between(table_and_column, value):
    table, column = table_and_column
    below = [entry for entry in table.column(column) if entry <= value]
    if not below:
        with pytest.raises(TableError, match="no entry of"):
            last_at_most(table, column, value)
        return
    found = last_at_most(table, column, value).number(column)
    assert found <= value
    assert found == max(below)


@given(st.sampled_from(RATINGS))
def test_a_rating_is_its_own_next_rating(rating):
    assert first_at_least(DEVICES, "rating_a", rating).number("rating_a") == rating
    assert last_at_most(DEVICES, "rating_a", rating).number("rating_a") == rating


@given(st.sampled_from(BANDS), st.floats(min_value=-100.0, max_value=3e6))
def test_a_band_holds_the_value(band, value):
    lookup, table, low_column, high_column = band
    holding = [
        row
        for row in table.rows
        if HOLDS[lookup](
            *[ends(row, low_column, high_column)[0], value, ends(row, low_column, high_column)[1]]
        )
    ]
    assert len(holding) <= 1, "bands overlap"
    if holding:
        assert lookup(table, low_column, high_column, value) is holding[0]
    else:
        with pytest.raises(TableError, match="no entry of"):
            lookup(table, low_column, high_column, value)


@pytest.mark.parametrize(("lookup", "table", "low_column", "high_column"), BANDS)
def test_bands_follow_each_other_without_a_gap(lookup, table, low_column, high_column):
    bands = sorted(ends(row, low_column, high_column) for row in table.rows)
    step = 1 if lookup is in_band else 0
    assert all(low == high + step for (_, high), (low, _) in pairwise(bands))


def test_the_next_size_up_and_the_limits_of_the_table():
    assert first_at_least(DEVICES, "rating_a", 112.8).number("rating_a") == 125
    assert last_at_most(DEVICES, "rating_a", 225.5).number("rating_a") == 225
    with pytest.raises(TableError) as refused:
        first_at_least(DEVICES, "rating_a", 6000.1)
    assert (
        str(refused.value)
        == "nec_240_6a.csv: no entry of rating_a serves 6000.1. The largest is 6000. [TBL-12]"
    )
    with pytest.raises(TableError, match="The smallest is 1"):
        last_at_most(DEVICES, "rating_a", 0.5)


@pytest.mark.parametrize("lookup", [first_at_least, last_at_most, all_at_least])
def test_what_is_not_a_number_cannot_be_looked_up(lookup):
    with pytest.raises(TableError, match="'nan' cannot be looked up"):
        lookup(DEVICES, "rating_a", float("nan"))


def test_what_is_not_a_number_is_in_no_band():
    with pytest.raises(TableError, match="'nan' cannot be looked up"):
        over_through(load("nec_310_15_b1").at("2023"), "ambient_over_c", "ambient_through_c", float("nan"))


def test_half_a_degree_over_a_band_takes_the_hotter_one():
    factors = load("nec_310_15_b1").at("2023")
    assert over_through(factors, "ambient_over_c", "ambient_through_c", 30.0).number("factor_75c") == 1.00
    assert over_through(factors, "ambient_over_c", "ambient_through_c", 30.5).number("factor_75c") == 0.94


def test_nine_and_two_amperes_are_in_the_upper_row():
    limits = load("nec_450_3b").at("2023").where(method="primary only", side="primary")
    pct = [
        from_below(limits, "rated_current_from_a", "rated_current_below_a", a).number("max_pct")
        for a in (1.99, 2, 8.99, 9)
    ]
    assert pct == [300, 167, 167, 125]


def test_circular_mils_of_sizes_in_and_outside_table_8():
    table_8 = load("nec_ch9_t8").at("2017")
    assert circular_mils(table_8, "4/0 AWG") == 211600
    assert circular_mils(table_8, "1200 kcmil") == 1_200_000
    with pytest.raises(UnknownKey, match="no row has size = 5/0 AWG"):
        circular_mils(table_8, "5/0 AWG")
    for row in table_8.where(stranding="stranded").rows:
        assert circular_mils(table_8, row.text("size")) == row.number("circular_mils")
