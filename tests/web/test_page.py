"""The working page: what it shows for a job, and what it makes of what is typed."""

import re

import pytest

from turnwright.model.keys import JOB_TABLES, SIZE_KEYS
from turnwright.web.job.edits import NEW_JOB
from turnwright.web.job.fields import SIZE_KEY

ALIKE = {"job", "supply", "load[0]", "site", "circuit", "choices"}


def opened(text: str) -> list[tuple[str, str]]:
    return [("text", text), ("base", text)]


def test_an_empty_page_asks_and_has_the_fields_to_begin_with(page_of) -> None:
    page = page_of()
    assert page.unbalanced == []
    names = {each["name"] for each in page.all("input") if "name" in each}
    assert {"f.title", "f.supply.system", "f.load[0].name", "f.load[0].system", "f.load[0].size"} <= names
    assert "What does the nameplate of load 1 say" in page.text
    assert "Not enough is known" not in page.text
    assert page.areas["text"].removeprefix("\n") == NEW_JOB


@pytest.mark.parametrize("name", ["gatehouse", "bakery", "pump_house"])
def test_every_page_is_well_formed_and_labelled(page_of, request, name: str) -> None:
    page = page_of(opened(request.getfixturevalue(name)))
    assert page.unbalanced == []
    ids = [found["id"] for _, found in page.tags if "id" in found]
    assert len(ids) == len(set(ids))
    labelled = {each["for"] for each in page.all("label") if "for" in each}
    for tag in ("input", "select", "textarea"):
        for each in page.all(tag):
            if each.get("type") != "hidden" and each["name"] not in ("date", "by", "revision"):
                assert each["id"] in labelled, each
    for _, found in page.tags:
        for described in found.get("aria-describedby", "").split():
            assert described in ids


def test_the_answer_comes_first_then_sides_sizes_findings(page_of, gatehouse: str) -> None:
    text = page_of(opened(gatehouse)).text
    places = [
        text.index(words)
        for words in (
            "One three-phase 75 kVA unit",
            "It carries 39.4 kVA",
            "Load 1, heat pump",
            "supply side",
            "112.5 kVA",
            "Bond the new neutral",
            "selection memo",
        )
    ]
    assert places == sorted(places)


def test_a_refusal_names_what_would_work(page_of, bakery: str) -> None:
    text = page_of(opened(bakery)).text
    assert text.index("No transformer does this job") < text.index("Instead: Have the deck oven rewired")


def test_a_fact_typed_into_its_field_moves_the_answer(page_of, gatehouse: str) -> None:
    page = page_of(page_of(opened(gatehouse)).with_(("f.choices.growth", "60 %")))
    assert 'growth = "60 %"' in page.areas["text"]
    assert "its loading went from 63 % to 84 %" in page.text
    assert "was 56.8 A" in page.text
    assert page.all("input", name="base")[0]["value"] == page.areas["text"].removeprefix("\n")
    assert "growth: 60 %" in page.text


def test_what_cannot_be_used_stays_beside_its_field_and_the_rest_is_used(page_of, gatehouse: str) -> None:
    page = page_of(
        page_of(opened(gatehouse)).with_(("f.load[0].size", "52 volts"), ("f.load[0].power_factor", "0.9"))
    )
    field = page.all("input", name="f.load[0].size")[0]
    assert field["value"] == "52 volts"
    assert field["aria-invalid"] == "true"
    assert "52 volts" in page.text
    assert "Cannot be used" in page.text
    assert 'current = "52 A"' in page.areas["text"]
    assert "power_factor = 0.9" in page.areas["text"]
    again = page_of(page.with_(("f.load[0].power_factor", "0.91")))
    assert again.all("input", name="f.load[0].size")[0]["value"] == "52 volts"
    mended = page_of(again.with_(("f.load[0].size", "54 A")))
    assert "Cannot be used" not in mended.text
    assert 'current = "54 A"' in mended.areas["text"]


def test_an_error_of_two_facts_together_stands_at_one_of_them(page_of, gatehouse: str) -> None:
    page = page_of(page_of(opened(gatehouse)).with_(("f.load[1].start", "drive"), ("f.load[1].size", "3 kW")))
    assert "Cannot be used" not in page.text
    page = page_of([*opened(gatehouse), ("f.load[0].never_with", "nobody")])
    assert "never_with" not in page.areas["text"]
    assert page.all("input", name="f.load[0].never_with")[0]["value"] == "nobody"


def test_an_edition_that_is_not_carried_is_told_at_its_field(page_of, gatehouse: str) -> None:
    page = page_of(page_of(opened(gatehouse)).with_(("f.edition", "1999")))
    assert page.all("input", name="f.edition")[0]["value"] == "1999"
    assert "is not carried" in page.text
    assert "One three-phase 75 kVA unit" in page.text


def test_a_job_file_with_a_slip_stays_as_typed_and_the_answer_stays(page_of, gatehouse: str) -> None:
    broken = gatehouse.replace('"52 A"', '"52 A')
    page = page_of([("text", broken), ("base", gatehouse)])
    assert page.areas["text"].removeprefix("\n") == broken
    assert "line 20" in page.text
    assert "One three-phase 75 kVA unit" in page.text
    assert page.all("input", name="base")[0]["value"] == gatehouse


def test_fields_and_the_file_can_be_edited_at_the_same_time(page_of, gatehouse: str) -> None:
    by_hand = gatehouse.replace('altitude = "15 m"', 'altitude = "1800 m"')
    form = page_of(opened(gatehouse)).with_(("text", by_hand), ("f.choices.growth", "10 %"))
    page = page_of(form)
    assert '"1800 m"' in page.areas["text"]
    assert 'growth = "10 %"' in page.areas["text"]


def test_an_answer_button_gives_the_fact(page_of, pump_house: str) -> None:
    page = page_of(opened(pump_house))
    button = next(each for each in page.all("button", name="answer") if each["value"].endswith("=25 %"))
    answered = page_of([*page.form(), ("answer", button["value"])])
    assert 'growth = "25 %"' in answered.areas["text"]
    assert "The size went from 75 to 112.5 kVA" in answered.text
    unknown = page_of([*page.form(), ("answer", "choices.growth=unknown")])
    assert 'growth = "unknown"' in unknown.areas["text"]


def test_an_own_answer_that_cannot_be_used_stays(page_of, pump_house: str) -> None:
    page = page_of(page_of(opened(pump_house)).with_(("own_text", "lots"), ("own", "choices.growth")))
    assert page.all("input", name="own_text")[0]["value"] == "lots"
    assert "Cannot be used" in page.text


def test_undo_leads_back_step_by_step(page_of, gatehouse: str) -> None:
    first = page_of(opened(gatehouse))
    second = page_of(first.with_(("f.choices.growth", "60 %")))
    third = page_of(second.with_(("f.load[1].size", "5 hp")))
    assert [each["value"] for each in third.all("button", name="undo")] == ["0", "1"]
    assert page_of([*third.form(), ("undo", "1")]).areas["text"] == second.areas["text"]
    assert page_of([*third.form(), ("undo", "0")]).areas["text"] == first.areas["text"]


def test_a_working_unfolds_and_folds(page_of, gatehouse: str) -> None:
    page = page_of([*opened(gatehouse), ("why", "sides.device protection.primary_a")])
    assert "450.3(B)" in page.text
    button = next(
        each
        for each in page.all("button", name="why")
        if each["value"] == "sides.device protection.primary_a"
    )
    assert button["aria-expanded"] == "true"
    assert page.all("a", href="/tables/nec_450_3b#r-P1")
    folded = page_of([*page.form(), ("why", "sides.device protection.primary_a")])
    assert not folded.all("a", href="/tables/nec_450_3b#r-P1")


def test_every_key_has_a_field_when_its_table_is_opened(page_of) -> None:
    text = f"{NEW_JOB}\n[[offer]]\n"
    page = page_of([*opened(text), *(("shown", path) for path in (*ALIKE, "offer[0]"))])
    names = {
        each["name"] for tag in ("input", "select", "textarea") for each in page.all(tag) if "name" in each
    }
    for table, keys in JOB_TABLES.items():
        for key in keys:
            if key.kind in ("table", "layout") or (table == "load" and key.name in SIZE_KEYS):
                continue
            path = re.sub(r"^(load|offer)", r"\1[0]", table)
            assert f"f.{path}.{key.name}".replace("f..", "f.") in names
    assert f"f.load[0].{SIZE_KEY.name}" in names


def test_loads_are_added_and_taken_out(page_of, pump_house: str) -> None:
    page = page_of([*opened(pump_house), ("add", "load")])
    assert page.all("input", name="f.load[1].system")
    assert "What does the nameplate of load 2 say" in page.text
    left = page_of([*page.form(), ("drop", "1")])
    assert not left.all("input", name="f.load[1].system")
    assert left.areas["text"].count("[[load]]") == 1


def test_assumed_facts_look_assumed(page_of, pump_house: str) -> None:
    page = page_of([*opened(pump_house), ("more", "site")])
    assert "assumed 30 °C" in page.text
    assert "half-known" in page_of(opened(pump_house.replace('"150 A"', '"110..140 A"'))).text


def test_a_request_in_words_becomes_facts_with_their_words(page_of) -> None:
    request = "Supply is 480Y/277. The pumps want 240 V three-phase, 150 A."
    page = page_of(page_of().with_(("f.note", request), ("read", "1")))
    assert page.areas["f.note"].removeprefix("\n") == request
    assert page.all("input", name="f.supply.system")[0]["value"] == "480Y/277"
    assert page.all("input", name="f.load[0].size")[0]["value"] == "150 A"
    assert "from the request: “150 A”" in page.text
    assert "75 kVA" in page.text
    changed = page_of(page.with_(("f.load[0].size", "160 A")))
    assert "from the request: “150 A”" not in changed.text


def test_the_request_stays_as_it_was_typed_also_with_line_ends_of_a_browser(page_of) -> None:
    request = "first line\r\n\r\n  second, indented\r\nthird"
    page = page_of(page_of().with_(("f.note", request)))
    assert page.areas["f.note"].removeprefix("\n") == "first line\n\n  second, indented\nthird"
    assert page_of(page.form()).areas["text"] == page.areas["text"]


def test_a_page_without_changes_stays_the_same(page_of, gatehouse: str) -> None:
    page = page_of(opened(gatehouse))
    again = page_of(page.form())
    assert again.text == page.text
    assert again.form() == page.form()


def test_the_form_of_an_example_reads_back_every_value(page_of, gatehouse: str) -> None:
    """What the fields show is what the file says: sending them back changes nothing."""
    shown = [
        ("shown", path) for path in ("job", "supply", "load[0]", "load[2]", "site", "circuit", "choices")
    ]
    page = page_of([*opened(gatehouse), *shown])
    assert page_of(page.form()).areas["text"].removeprefix("\n") == gatehouse
