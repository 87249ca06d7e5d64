"""A lower rise where height or warmth asks for one: chosen only for an insisted or a largest size, told elsewhere."""

import pytest

from turnwright.intake import job_from_mapping, unit_from_mapping
from turnwright.narrow import select
from turnwright.vetting import vet


def job(load_kva="44 kVA", site=None, **choices):
    return {
        "supply": {"system": "480Y/277"},
        "load": [{"name": "panel", "system": "208Y/120", "kva": load_kva}],
        "site": site or {"ambient_average": "40 degC", "ambient_peak": "50 degC"},
        "choices": choices,
    }


def answer(*args, **choices):
    return select(job_from_mapping(job(*args, **choices)), ask=False)


def codes(result):
    return {one.code: one for one in result.findings}


def test_an_insisted_size_is_kept_by_a_lower_rise():
    """44 kVA, trade rule 8 % for 10 K over 40 °C: 0.92 · 45 = 41.4 kVA; 0.92 · 1.15 is over 1 (common practice)."""
    found = answer(kva="45 kVA")
    assert (found.pick.kva, found.pick.rise_k, found.pick.insulation_c) == (45, 115, 220)
    assert found.demand.kva_required == pytest.approx(44) and found.demand.loading_pct == pytest.approx(
        97.8, abs=0.1
    )
    low = codes(found)["low-rise"]
    assert low.severity == "caution" and (low.value, low.limit) == (pytest.approx(1), pytest.approx(0.92))


def test_among_the_options_the_insulation_stays():
    """A still lower rise on the same insulation does too, the ordinary one does not: 0.92 · 45 = 41.4 kVA."""
    status = {one.build: one.status for one in answer(kva="45 kVA").options if one.build}
    assert (status["80 K rise"], status["150 K rise"]) == ("fits", "too small")


def test_the_lowest_rise_where_115_k_is_not_enough():
    """6000 m by the steeper slope leave 1 - 50 · 0.005 = 0.75; 0.75 · 1.15 = 0.8625, 0.75 · 1.3 = 0.975."""
    found = answer("43 kVA", {"altitude": "6000 m"}, kva="45 kVA")
    assert (found.pick.rise_k, found.demand.loading_pct) == (
        80,
        pytest.approx(43 / 45 / 0.975 * 100, rel=1e-3),
    )


@pytest.mark.parametrize("kva", ["46 kVA", "60 kVA"])
def test_the_rated_power_itself_is_never_exceeded(kva):
    found = answer(kva, kva="45 kVA")
    assert found.pick is None and "insisted-size-too-small" in codes(found)


def test_a_rise_that_is_insisted_on_stays():
    found = answer(kva="45 kVA", rise="150 K")
    assert found.verdict == "refused"


def test_without_a_size_insisted_on_the_ordinary_rise_stays_and_the_other_is_told():
    found = answer()
    assert (found.pick.kva, found.pick.rise_k) == (75, 150)
    told = codes(found)["low-rise-instead"]
    assert told.value == pytest.approx(45) and "115 K" in told.message
    small = next(one for one in found.options if one.kva == 45)
    assert small.status == "too small" and "115 K rise on 220 °C insulation it would do" in small.why


def test_the_largest_preferred_rating_is_kept_by_a_lower_rise():
    """950 kVA at 40 °C on average, 50 °C at the peak: 1033 kVA of 150 K, and 1000 kVA is the largest."""
    found = answer("950 kVA")
    assert (found.pick.kva, found.pick.rise_k) == (1000, 115)


def test_in_usual_service_nothing_is_said_of_another_rise():
    site = {"ambient_average": "30 degC", "ambient_peak": "40 degC", "altitude": "900 m"}
    said = codes(answer("40 kVA", site))
    assert not {"low-rise", "low-rise-instead", "low-rise-losses"} & set(said)


@pytest.mark.parametrize(("kva", "said"), [("640 kVA", True), ("580 kVA", False)])
def test_a_hall_that_never_rests_is_told_what_a_lower_rise_saves(kva, said):
    """640 kVA of 750 is over the usual 80 %: losses at 115 K are 0.80 to 0.95 of those at 150 K (published table)."""
    racks = {
        "name": "racks",
        "system": "415Y/240",
        "kva": kva,
        "kind": "computing",
        "continuous": True,
        "spectrum": "active_front_end",
    }
    found = select(job_from_mapping({"supply": {"system": "480Y/277"}, "load": [racks]}), ask=False)
    losses = codes(found).get("low-rise-losses")
    assert (losses is not None) == said
    if losses is not None:
        assert losses.value < losses.limit


@pytest.mark.parametrize(("insulation", "verdict"), [("220 degC", "fit-with-conditions"), (None, "unfit")])
def test_an_existing_unit_has_heat_to_spare_where_its_plate_says_so(insulation, verdict):
    """115 K on 220 °C insulation: 15 % to spare (common practice); without the class on the plate none is counted."""
    plate = {"kva": 45, "primary": "480 delta", "secondary": "208Y/120", "impedance": "4 %", "rise": "115 K"}
    plate |= {"insulation": insulation} if insulation else {}
    assert vet(job_from_mapping(job()), unit_from_mapping(plate)).verdict == verdict
