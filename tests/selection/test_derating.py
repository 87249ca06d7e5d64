"""What a site leaves of a rated power: the most severe published rule, the others named and selectable."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from turnwright import job_from_mapping, select
from turnwright.errors import InputError
from turnwright.intake import case_of
from turnwright.narrow import regime_for
from turnwright.selection.derating import derating_of, derating_remarks
from turnwright.working import CLOSED, Ledger


def job(**site):
    load = {"system": "208Y/120", "kva": "40 kVA"}
    return job_from_mapping({"supply": {"system": "480Y/277"}, "load": [load], "site": site})


def site_of(**site):
    asked = job(**site)
    return case_of(asked, regime_for(asked).defaults).site


@pytest.mark.parametrize(
    "site", [{}, {"altitude": "1000 m"}, {"altitude": "300 m", "ambient_average": "25 degC"}]
)
def test_usual_service_leaves_everything(site):
    work = Ledger()
    assert derating_of(site_of(**site), work) == 1.0
    assert list(derating_remarks(site_of(**site))) == []
    assert work.steps["demand.altitude.factor"].known == "memory"
    assert "usual service" in work.steps["demand.ambient.factor"].source


def test_altitude_by_each_published_rule():
    """2000 m: 0.3 % and 0.5 % for each 100 m above 1000 m; a rise limit 5 % lower, to the power 1 / 1.6.

    The two slopes are the points of published tables; the rise limit is worked out by hand.
    """
    site = site_of(altitude="2000 m")
    assert derating_of(site, CLOSED) == pytest.approx(0.95)
    for rule, factor in (("slope", 0.97), ("steeper slope", 0.95), ("rise limit", 0.95 ** (1 / 1.6))):
        assert derating_of(replace(site, altitude_rule=rule), CLOSED) == pytest.approx(factor)


def test_ambient_by_each_published_rule():
    """40 °C on average, 50 °C at the peak: 0.35 % for each K, 8 % for each 10 K of peak; the rated hot spot kept."""
    site = site_of(ambient_average="40 degC", ambient_peak="50 degC")
    assert derating_of(site, CLOSED) == pytest.approx(0.92)
    for rule, factor in (("guide slope", 0.965), ("trade rule", 0.92), ("constant hot spot", 0.965)):
        assert derating_of(replace(site, ambient_rule=rule), CLOSED) == pytest.approx(factor, abs=5e-4)
    low = derating_of(replace(site, ambient_rule="constant hot spot"), CLOSED, 80.0)
    assert low == pytest.approx(0.942, abs=5e-4)  # of a rise of 80 K, hot-spot rise 110 K


def test_the_rules_are_steps_and_a_note_names_them():
    result = select(job(altitude="2000 m", ambient_average="38 degC"))
    steps = {line.name: line for line in result.working}
    assert set(steps["demand.altitude.factor"].with_) == {"slope", "steeper_slope", "rise_limit"}
    assert steps["demand.usable_share"].from_ == {
        "altitude": "demand.altitude.factor",
        "ambient": "demand.ambient.factor",
    }
    said = {finding.code: finding for finding in result.findings}
    for word in ("steeper slope", "most severe", "slope 0.970", "rise limit 0.968"):
        assert word in said["derated-by-altitude"].message
    assert said["derated-by-altitude"].severity == "note" and said["derated-by-ambient"].value < 1


def test_a_rule_is_chosen_in_the_job():
    """2000 m by the gentle slope: 3 % are lost, not 5 %."""
    result = select(job(altitude="2000 m", altitude_rule="slope"))
    said = {finding.code: finding for finding in result.findings}["derated-by-altitude"]
    assert said.value == pytest.approx(0.97) and "as chosen" in said.message
    assert site_of(altitude="2000 m", altitude_rule="most severe") == site_of(altitude="2000 m")


def test_the_default_is_an_assumption_where_it_takes_something_off():
    def assumed(**site):
        asked = job(**site)
        return {fact.key: fact for fact in case_of(asked, regime_for(asked).defaults).assumptions}

    said = assumed(altitude="2000 m", ambient_average="38 degC")
    assert said["site.altitude_rule"].value == said["site.ambient_rule"].value == "most severe"
    assert "safe side" in said["site.ambient_rule"].reason
    assert "site.altitude_rule" not in assumed() and "site.ambient_rule" not in assumed(altitude="900 m")
    assert "site.altitude_rule" not in assumed(altitude="2000 m", altitude_rule="slope")


def test_a_rule_that_does_not_exist_names_the_others():
    with pytest.raises(InputError) as caught:
        job(altitude="2000 m", altitude_rule="sloap")
    assert "slope" in caught.value.fix and "altitude_rule" in caught.value.where


def test_a_rule_that_is_not_published_for_the_rise_gives_way_to_the_most_severe():
    """The slope of the guide stands for 150 K alone; at 115 K the most severe of the others counts, and it is told."""
    site = site_of(ambient_average="40 degC", ambient_peak="50 degC", ambient_rule="guide slope")
    assert derating_of(site, CLOSED, 150.0) == pytest.approx(0.965)
    assert derating_of(site, CLOSED, 115.0) == derating_of(replace(site, ambient_rule=None), CLOSED, 115.0)
    assert [one.code for one in derating_remarks(site, 115.0)] == ["derated-by-ambient", "derating-rule"]
    assert "derating-rule" not in [one.code for one in derating_remarks(site, 150.0)]


@given(st.floats(-100, 9000), st.floats(-40, 80), st.floats(0, 20), st.floats(20, 250))
def test_the_share_is_never_0_and_never_above_1(altitude, average, more, rise):
    site = replace(
        site_of(), altitude_m=altitude, ambient_average_c=average, ambient_peak_c=min(80.0, average + more)
    )
    share = derating_of(site, CLOSED, rise)
    assert 0 < share <= 1
    severe = [
        derating_of(replace(site, altitude_rule=rule), CLOSED, rise)
        for rule in ("slope", "rise limit", "steeper slope")
    ]
    assert share == min(severe)
