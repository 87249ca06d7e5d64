"""Permitted overload for a time and the reverse, against an integrator and each other."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from turnwright.errors import InputError
from turnwright.examine import Options, examine
from turnwright.examine.of_units import examine_unit
from turnwright.intake import job_from_mapping, unit_from_mapping

PLATE = {
    "unit": "T-14",
    "kva": "75 kVA",
    "secondary": "208Y/120",
    "rise": "150 K",
    "insulation": "220 degC",
    "time_constant": "1.5 h",
}
RISE_K, TAU_H, LIMIT_C, AMBIENT_C = 180.0, 1.5, 210.0, 40.0
"""A rise of 150 K on average is 180 K at the hottest spot; class 220 °C is normal at 210 °C; 40 °C at the peak."""


def overload(plate=PLATE, **options):
    return examine_unit("overload", (unit_from_mapping(plate),), Options(**options)).answers


def hot_spot_after(prior, load, hours):
    """The lag of the hot-spot rise by IEC 60076-12, integrated by scipy."""
    end = RISE_K * load**1.6
    found = solve_ivp(
        lambda _, rise: (end - rise) / TAU_H, (0.0, hours), [RISE_K * prior**1.6], rtol=1e-10, atol=1e-10
    )
    return AMBIENT_C + float(found.y[0][-1])


@pytest.mark.parametrize(("prior", "hours"), [(0.5, 1.0), (0.8, 0.5), (0.0, 2.0), (0.9, 8.0)])
def test_the_load_that_is_permitted_ends_at_the_limit(prior, hours):
    (one,) = overload(after=prior, lasting=hours)["loads"]
    if one["binds"] == "hot spot":
        assert hot_spot_after(prior, one["load_pu"], hours) == pytest.approx(LIMIT_C, abs=1e-6)
        assert one["rate_at_end"] == pytest.approx(1.0)
    else:
        assert one["load_pu"] == 1.5
        assert hot_spot_after(prior, 1.5, hours) == pytest.approx(one["hot_spot_c"], abs=1e-6)


@settings(max_examples=25)
@given(st.floats(0.0, 0.9), st.floats(0.3, 6.0))
def test_time_and_load_are_each_other_reversed(prior, hours):
    (one,) = overload(after=prior, lasting=hours)["loads"]
    if one["binds"] == "hot spot" and one["load_pu"] > 0.97:  # below it the load may stay for ever
        (back,) = overload(after=prior, times=one["load_pu"])["times"]
        assert back["hours"] == pytest.approx(hours, rel=1e-6)


def test_more_time_permits_less_and_a_warmer_start_too():
    loads = [one["load_pu"] for one in overload(after=0.5)["loads"]]
    warmer = [one["load_pu"] for one in overload(after=0.9)["loads"]]
    assert loads == sorted(loads, reverse=True) and all(a >= b for a, b in zip(loads, warmer, strict=True))


def test_a_unit_that_is_too_hot_already_may_carry_nothing_more():
    study = examine_unit("overload", (unit_from_mapping(PLATE),), Options(after=1.3))
    assert all(one["load_pu"] is None for one in study.answers["loads"])
    assert all(one["hours"] == 0.0 for one in study.answers["times"])
    assert "hot-spot-over-rated" in [finding.code for finding in study.findings]
    assert "may not carry any load" in study.said[0]


def test_a_load_that_may_stay_says_so():
    (one,) = overload(after=0.5, times=0.9)["times"]
    assert one["stays"] and one["hours"] is None


def test_what_nobody_said_stands_in_and_is_told():
    study = examine_unit("overload", (unit_from_mapping({"kva": "75 kVA"}),))
    assert study.answers["prior_pu"] == 0.8
    told = " ".join(one.what for one in study.assumed)
    assert "before: 80 %" in told and "time constant" in told


def test_the_job_gives_the_load_before():
    load = {"system": "208Y/120", "kva": "60 kVA", "power_factor": 1.0}
    job = job_from_mapping({"supply": {"system": "480Y/277"}, "load": [load], "choices": {"kva": "75 kVA"}})
    answers = examine("overload", job).answers
    assert answers["prior_pu"] == pytest.approx(0.8)
    assert len(answers["loads"]) == 6 and len(answers["times"]) == 5


@pytest.mark.parametrize(
    "options", [{"after": -0.1}, {"after": 99.0}, {"lasting": 0.0}, {"lasting": 1e6}, {"times": float("nan")}]
)
def test_refusals(options):
    with pytest.raises(InputError) as caught:
        overload(**options)
    assert caught.value.code == "OVER-01"


def test_the_command(run, tmp_path):
    path = tmp_path / "unit.toml"
    path.write_text("[unit]\n" + "\n".join(f'{key} = "{value}"' for key, value in PLATE.items()) + "\n")
    ran = run("examine", "overload", str(path), "--after", "0.7", "--lasting", "1")
    assert ran.status == 0 and "for 1 h" in ran.out and "How long for a load" in ran.out
    told = json.loads(run("examine", "overload", str(path), "--after", "0", "--format", "json").out)
    assert told["answers"]["prior_pu"] == 0 and told["series"][0]["name"] == "permitted load"
    assert run("examine", "cost", str(path), "--after", "0.7").status == 2
