"""How loud several units are, and what a level that the maker states becomes: sums and spreading of sound power."""

from math import log10, pi

import pytest

from turnwright.intake import job_from_mapping, unit_from_mapping
from turnwright.narrow import select
from turnwright.vetting import vet

QUIET = {"conditions": ["quiet"]}
ROOM = {"room": {"length": "4 m", "width": "3 m", "height": "3 m", "ventilated": True}}


def job(site, **load):
    made = {"name": "lab", "system": "208Y/120", "kva": "60 kVA"} | load
    return {"supply": {"system": "480Y/277"}, "load": [made], "site": QUIET | site}


def found(job, code):
    return next(one for one in select(job_from_mapping(job), ask=False).findings if one.code == code)


def test_two_units_of_their_own_are_3_db_louder():
    """Two equal sources: + 10 lg 2."""
    said = found(job({}, quantity=2, transformer="own"), "sound-of-all")
    assert said.value == pytest.approx(50 + 10 * log10(2)) and "53 dB" in said.message


def test_units_of_different_size_add_by_their_powers():
    both = job({})
    both["load"].append({"name": "tools", "system": "240 3ph", "kva": "20 kVA", "neutral": False})
    said = found(both, "sound-of-all")
    assert said.value == pytest.approx(10 * log10(10**5.0 + 10**4.5), abs=0.01)


def test_outdoors_it_spreads_over_half_a_sphere():
    said = found(job({"place": "outdoor"}), "sound-together")
    walls_m2 = 2 * (0.92 + 0.70) * 1.2
    assert said.value == pytest.approx(50 + 10 * log10(walls_m2) - 10 * log10(2 * pi * 100), abs=0.3)


IEC = {
    "regime": "iec",
    "supply": {"system": "690Y/400", "earthing": "TN-S"},
    "load": [{"name": "board", "system": "400Y/230", "kva": "50 kVA"}],
}


def test_where_no_level_is_usual_the_place_is_told_and_the_level_asked_for():
    """66 m² that take 5 % in: 10 lg (4 / 3.3) = 0.84 dB over the sound power; at 10 m outdoors 28 dB under it."""
    inside = found(IEC | {"site": QUIET | ROOM}, "sound-together")
    assert inside.value == pytest.approx(10 * log10(4 / 3.3)) and "sound power" in inside.message
    outside = found(IEC | {"site": QUIET | {"place": "outdoor"}}, "sound-together")
    assert outside.value == pytest.approx(-10 * log10(2 * pi * 100)) and "28" in outside.message


def test_a_stated_level_of_an_existing_unit_is_computed_with():
    plate = {
        "kva": 63,
        "primary": "690 delta",
        "secondary": "400Y/230",
        "frequency": "50 Hz",
        "impedance": "4 %",
    }
    case = job_from_mapping(IEC | {"site": QUIET | ROOM})
    said = vet(case, unit_from_mapping(plate | {"sound": "48 dB"})).findings
    told = next(one for one in said if one.code == "sound-together")
    assert told.value > 48 and "no standard or table" not in told.message
