"""From a request to a job file: readable, complete as far as the words go, contradictions asked about."""

import tomllib

import pytest

from turnwright.ask import job_from_request
from turnwright.intake import read_job, read_unit
from turnwright.narrow import select

SHOP = "480 V three-phase supply. Need 208Y/120 for lights, 22 kVA, 20 % growth."


def test_the_job_is_the_file_read_back() -> None:
    read = job_from_request(SHOP)
    assert read.job == read_job(read.text, "request")
    assert read.job.note == SHOP
    assert read.job.load[0].kva is not None and read.job.load[0].kva.value == 22.0
    assert select(read.job, ledger_open=False).verdict == "selected"


def test_every_request_gives_a_job_file(all_requests: list) -> None:
    for request in all_requests:
        read = job_from_request(request.text)
        assert tomllib.loads(read.text)["schema"] == 1
        written = set(tomllib.loads(read.text)) - {"schema", "note"}
        assert {fact.key.split(".")[0].split("[")[0] for fact in read.facts} - {"unit"} <= written


def test_what_a_job_cannot_do_without_is_asked_for() -> None:
    keys = [one.key for one in job_from_request("Need 208Y/120 for a kiln.").questions]
    assert keys == ["supply.system", "load[0].current"] or keys == ["load[0].current", "supply.system"]


@pytest.mark.parametrize(
    ("words", "place"),
    [
        ("in the paint room, Class I Division 1 Group D", "class I division 1"),
        ("in a Class II, Div. 2 area (grain)", "class II division 2"),
        ("class 1 div 2 pump house", "class I division 2"),
        ("ATEX zone 22 for sugar dust", "zone 22"),
        ("for heating zone 2 upstairs", None),
        ("with Class 2 control wiring", None),
    ],
)
def test_the_class_of_a_hazardous_place_is_kept(words: str, place: str | None) -> None:
    read = job_from_request(f"480 V three-phase supply. Need 208Y/120, 22 kVA, {words}.")
    assert read.job.site.classified == place


def test_facts_that_contradict_each_other_become_a_question() -> None:
    read = job_from_request("From 480 V, 9 kVA at 208Y/120. Ambient averages 45 C, max 40 C.")
    assert any(one.key.startswith("site.ambient") and "above" in one.ask for one in read.questions)
    assert (read.job.site.ambient_average is None) != (read.job.site.ambient_peak is None)


def test_a_grounding_that_does_not_fit_its_system_is_asked_about() -> None:
    read = job_from_request("Supply 480Y/277, corner grounded. Load 9 kVA at 208Y/120.")
    assert any(one.key.startswith("supply.") and "480Y/277" in one.words for one in read.questions)


def test_a_unit_that_is_spoken_of_is_no_load() -> None:
    read = job_from_request(
        "We own a spare 75 kVA 480 delta - 208Y/120 unit. Supply 480 V. Load 40 A at 208Y/120."
    )
    assert read.unit is not None
    (unit,) = read_unit(read.unit)
    assert unit.kva is not None and unit.kva.value == 75.0
    assert [load.kva for load in read.job.load] == [None]


def test_two_sizes_of_one_load_leave_one_and_a_note() -> None:
    read = job_from_request("From 480 V: a 15 hp 230 V three-phase motor, 42 A.")
    load = read.job.load[0]
    assert load.hp is not None and load.current is None and load.note == "also stated: 42 A"


@pytest.mark.parametrize("text", ["", "nothing to see", "🙂 \x00 \u202e"])
def test_nothing_read_is_still_a_job_file(text: str) -> None:
    read = job_from_request(text)
    assert read.facts == () and "[[load]]" in read.text


def test_the_structure_other_programs_read() -> None:
    tree = job_from_request(SHOP).to_json()
    assert set(tree) == {"schema", "job", "facts", "unread", "questions", "unit"}
    first = tree["facts"][0]
    assert set(first) == {"key", "value", "words", "from", "to"}
    assert SHOP[first["from"] : first["to"]] == first["words"]
    assert job_from_request(SHOP).to_json() == tree
