"""Whole jobs of the IEC world: windings, earthing, 50 Hz, frequencies that stay."""

import pytest

from turnwright.intake import job_from_mapping
from turnwright.narrow import select


def answer(patch=None):
    job = {
        "regime": "iec",
        "supply": {"system": "400Y/230", "frequency": "50 Hz", "earthing": "TN-S"},
        "load": [{"name": "US equipment", "system": "208Y/120", "kva": "40 kVA", "frequency": "50/60 Hz"}],
    }
    return select(job_from_mapping({**job, **(patch or {})}, "job"), ledger_open=False, ask=False)


def said(result, code):
    return [finding.message for finding in result.findings if finding.code == code]


def test_a_delta_star_unit_of_hour_11():
    pick = answer().blocks.pick
    assert (pick.vector_group, pick.primary, pick.secondary, pick.frequency_hz) == (
        "Dyn11",
        "400 delta",
        "208Y/120",
        50,
    )
    assert pick.rise_k == 100


def test_sizes_are_preferred_numbers():
    """R10 of ISO 3: 31.5, 40, 50, 63, 80."""
    for load, kva in (("38 kVA", 40), ("41 kVA", 50), ("55 kVA", 63), ("70 kVA", 80)):
        found = answer({"load": [{"system": "208Y/120", "kva": load, "frequency": "50 Hz"}]})
        assert found.blocks.pick.kva == kva


def test_a_60_hz_unit_on_50_hz_is_spoken_of():
    """8 V/Hz at 400 V and 50 Hz is the flux of 480 V at 60 Hz, with five sixths of the kVA: 75 kVA carry 62.5."""
    message = said(answer(), "fifty-hertz")[0]
    assert "8 V/Hz" in message and "480 V" in message and "83 %" in message


def test_frequency_stays():
    result = answer(
        {"load": [{"system": "208Y/120", "kva": "40 kVA", "frequency": "60 Hz", "neutral": True}]}
    )
    assert result.verdict == "refused" and result.blocks is None
    assert [finding.code for finding in result.findings if finding.severity == "stop"] == ["frequency-stays"]
    assert result.instead


@pytest.mark.parametrize(
    ("earthing", "word", "severity"),
    [
        ("TN-S", "TN-S", "note"),
        ("TN-C-S", "PEN", "note"),
        ("TN-C", "never joined again", "note"),
        ("TT", "same electrode", "note"),
        ("IT", "insulation monitor", "caution"),
    ],
)
def test_what_each_earthing_system_means_for_the_new_one(earthing, word, severity):
    found = answer({"supply": {"system": "400Y/230", "frequency": "50 Hz", "earthing": earthing}})
    finding = next(f for f in found.findings if f.code == "derived-earthing")
    assert word in finding.message and finding.severity == severity


def test_an_earthing_nobody_told_is_asked_for():
    found = answer({"supply": {"system": "400Y/230", "frequency": "50 Hz"}})
    assert [f.code for f in found.findings if f.code.startswith("derived-earthing")] == [
        "derived-earthing-not-checked"
    ]


@pytest.mark.parametrize(
    ("system", "seconds"), [("208Y/120", "0.8 s"), ("400Y/230", "0.4 s"), ("690Y/400", "0.2 s")]
)
def test_disconnection_times_go_by_the_nominal_voltage_to_earth(system, seconds):
    """Table 41.1: 0.8 s to 120 V, 0.4 s to 230 V, 0.2 s to 400 V; 230.94 V of arithmetic is 230 V."""
    found = answer({"load": [{"system": system, "kva": "20 kVA", "frequency": "50 Hz"}]})
    assert seconds in said(found, "disconnection-time")[0]


def test_no_law_but_information_in_the_european_union():
    found = answer()
    assert found.blocks.efficiency.law is None and found.blocks.efficiency.law_pct is None
    assert "no limit" in said(found, "ecodesign")[0]


def test_the_way_of_laying_is_assumed_and_told():
    assumed = answer().job
    assert "B2" in str(assumed)


def test_a_motor_by_its_shaft_power():
    """There is no table of motor currents: 15 kW at 0.9 efficiency and 0.85 power factor draw 19.6 kVA."""
    load = {
        "system": "690 3ph",
        "kw": "15 kW",
        "shaft": True,
        "efficiency": 0.9,
        "power_factor": 0.85,
        "kind": "motor",
    }
    found = answer({"load": [load]})
    assert found.blocks.demand.kva == pytest.approx(15 / 0.9 / 0.85)
    assert found.blocks.protection.secondary_a >= found.blocks.currents.secondary_load_a
