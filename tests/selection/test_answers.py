"""Whole answers to small jobs, each against its outside source."""

import pytest

from turnwright.intake import job_from_mapping
from turnwright.narrow import select


def answer(load, supply="480Y/277", **tables):
    loads = load if isinstance(load, list) else [load]
    return select(job_from_mapping({"supply": {"system": supply}, "load": loads, **tables}))


def test_75_kva_for_150_a_at_240_v():
    """240 V · 150 A · 1.732 / 1000 = 62.35 kVA, 75 kVA, about 90 A at 480 V (common practice, no source)."""
    result = answer({"system": "240 3ph", "current": "150 A"})
    assert result.demand.kva == pytest.approx(62.35, abs=0.01)
    assert result.pick.kva == 75
    assert result.blocks.currents.primary_rated_a == pytest.approx(90, abs=0.5)


def test_headroom_and_loading_band_come_as_advice_with_numbers():
    """50 to 80 % and 120 % (common practice, no source): advice, never a reason to refuse."""
    finding = next(
        f for f in answer({"system": "240 3ph", "current": "150 A"}).findings if f.code == "loading-band"
    )
    assert finding.known == "common practice"
    assert finding.limit == 80
    assert "74.8 kVA" in finding.message


def test_single_phase_load_takes_a_unit_on_two_lines():
    result = answer({"system": "120/240 1ph", "kva": "12 kVA"})
    assert (result.pick.phases, result.pick.primary, result.pick.secondary) == (1, "480 1ph", "120/240 1ph")
    lines = result.blocks.currents.line_load_a
    assert lines[2] == pytest.approx(0, abs=1e-6)
    assert lines[0] == pytest.approx(lines[1]) == pytest.approx(25.0)


def test_many_single_phase_loads_are_split_over_a_wye():
    result = answer({"system": "120 1ph", "kva": "2 kVA", "quantity": 9, "neutral": True})
    assert (result.pick.phases, result.pick.secondary) == (3, "208Y/120")
    assert result.demand.worst_phase_kva == pytest.approx(6.0)


def test_three_phase_motors_on_480_v_get_a_grounded_wye_where_the_trade_has_one():
    assert answer({"system": "460 3ph", "hp": "20 hp"}, supply="600Y/347").pick.secondary == "480Y/277"
    assert answer({"system": "230 3ph", "hp": "20 hp"}).pick.secondary == "240 delta"


def test_three_phase_out_of_single_phase_is_refused_with_a_way_out():
    result = answer(
        {"system": "208 3ph", "kw": "24 kW", "power_factor": 1.0, "kind": "heating"}, supply="120/240 1ph"
    )
    assert result.verdict == "refused"
    assert result.pick is None
    assert [f.code for f in result.findings if f.severity == "stop"] == ["three-phase-from-single-phase"]
    assert "100 A" in result.instead[0].why  # 24 kW / 240 V


def test_another_frequency_is_refused_and_the_rest_is_shown_complete():
    result = answer({"system": "400Y/230", "kva": "20 kVA", "frequency": "50 Hz"})
    assert result.verdict == "refused"
    with_unit = [alternative for alternative in result.instead if alternative.blocks is not None]
    assert with_unit[0].blocks.pick.secondary == "400Y/230"
    assert with_unit[0].blocks.pick.frequency_hz == 60


def test_a_size_that_is_insisted_on_and_too_small_is_refused_with_the_right_one():
    result = answer({"system": "208Y/120", "kva": "60 kVA"}, choices={"kva": "45 kVA"})
    assert result.verdict == "refused"
    assert result.instead[0].blocks.pick.kva == 75


def test_a_proposed_size_is_judged_and_the_pick_stays_free():
    result = answer({"system": "208Y/120", "kva": "60 kVA"}, choices={"proposed_kva": "45 kVA"})
    assert result.pick.kva == 75
    assert "45 kVA is too small" in next(f.message for f in result.findings if f.code == "proposed-size")


def test_above_the_largest_rating_is_refused_not_rounded_down():
    assert answer({"system": "208Y/120", "kva": "1400 kVA"}).verdict == "refused"


def test_a_job_under_two_editions_in_one_process():
    old = answer({"system": "208Y/120", "kva": "22 kVA"}, edition="2017")
    new = answer({"system": "208Y/120", "kva": "22 kVA"}, edition="2023")
    assert old.pick == new.pick
    clause = {
        result.job["edition"]: next(f.clause for f in result.findings if f.code == "bond-once")
        for result in (old, new)
    }
    assert clause == {"2017": "NEC 2017 250.30(A)(1)", "2023": "NEC 2023 250.30(A)(1)"}
    known = [next(f.known for f in result.findings if f.code == "bond-once") for result in (old, new)]
    assert known == ["seen", "memory"]  # the text of 2017 was read, that of 2023 was not


def test_every_input_of_every_step_is_in_the_working():
    result = answer(
        [
            {"system": "208Y/120", "kva": "22 kVA"},
            {"system": "200 3ph", "hp": "10 hp"},
            {"system": "120 1ph", "current": "9 A"},
        ],
        choices={"growth": "15 %"},
    )
    names = {line.name for line in result.working}
    for line in result.working:
        assert set(line.from_.values()) <= names, line.name


def test_numbers_shown_have_a_step_of_their_own():
    result = answer(
        {"system": "208Y/120", "kva": "22 kVA"},
        circuit={"primary_length": "40 ft", "secondary_length": "8 ft"},
    )
    names = {line.name for line in result.working}
    shown = [
        "demand.kva",
        "demand.kva_with_growth",
        "demand.loading_pct",
        "currents.primary_rated_a",
        "currents.secondary_rated_a",
        "currents.primary_load_a",
        "currents.secondary_load_a",
        "protection.primary_only_max_a",
        "protection.primary_with_secondary_max_a",
        "protection.secondary_max_a",
        "protection.primary_a",
        "protection.secondary_a",
        "conductors.primary.ampacity_a",
        "conductors.secondary.ampacity_a",
        "conductors.primary.drop_pct",
        "grounding.equipment_conductor",
        "grounding.bonding_jumper",
        "grounding.electrode_conductor",
        "fault.secondary_a",
        "fault.maximum_a",
        "fault.infinite_source_a",
        "voltage.regulation_pct",
        "efficiency.law_pct",
        "efficiency.loss_ceiling_w",
    ]
    assert [name for name in shown if name not in names] == []


def test_an_edition_or_regime_that_is_not_carried_is_told():
    from turnwright.errors import InputError

    with pytest.raises(InputError, match=r"2014.*not carried.*2017, 2020, 2023"):
        answer({"system": "208Y/120", "kva": "22 kVA"}, edition="2014")


def test_what_works_instead_is_told_as_full_as_it_is():
    """40 kVA on 75 kVA are 53.3 %, rounded up; 450.13(B): at most 50 kVA above a ceiling."""
    load = {"system": "208Y/120", "kva": "40 kVA"}
    result = answer(load, site={"place": "ceiling"}, choices={"kva": "75 kVA"})
    assert result.verdict == "refused"
    assert any(other.why == "It carries 40 kVA at 54 %." for other in result.instead)
