"""The page that holds a unit that exists against a job."""

import pytest

from turnwright.intake import read_job, unit_from_mapping
from turnwright.model.keys import UNIT
from turnwright.vetting import vet

PLATE = {
    "kva": "45 kVA",
    "primary": "480 delta",
    "secondary": "208Y/120",
    "impedance": "4 %",
    "rise": "150 K",
}


def form(text: str, **plate: str) -> list[tuple[str, str]]:
    return [("text", text), *((f"u.{name}", typed) for name, typed in plate.items())]


def test_every_key_of_a_nameplate_has_a_labelled_field(client, read_page) -> None:
    page = read_page(client.get("/vet").text)
    assert page.unbalanced == []
    names = {each["name"] for tag in ("input", "select") for each in page.all(tag)}
    assert {f"u.{key.name}" for key in UNIT} <= names
    labelled = {each["for"] for each in page.all("label")}
    assert {each["id"] for tag in ("input", "select") for each in page.all(tag) if "id" in each} <= labelled


@pytest.mark.parametrize("kva", ["45 kVA", "75 kVA", "150 kVA"])
def test_the_verdict_is_that_of_the_library(send, read_page, gatehouse: str, kva: str) -> None:
    plate = PLATE | {"kva": kva}
    page = read_page(send("/vet", form(gatehouse, **plate)).text)
    found = vet(read_job(gatehouse), (unit_from_mapping(plate, "nameplate"),))
    said = {
        "fit": "does this job.",
        "fit-with-conditions": "with conditions.",
        "unfit": "does not do this job.",
    }
    assert said[found.verdict] in page.text
    assert page.unbalanced == []
    for one in found.criteria:
        assert " ".join(one.name.split()) in page.text
    assert page.all("input", name="u.kva")[0]["value"] == kva


def test_what_cannot_be_used_stays_beside_its_field(send, read_page, gatehouse: str) -> None:
    page = read_page(send("/vet", form(gatehouse, **PLATE | {"kva": "many", "taps": "1 A, 2 A"})).text)
    for name, typed in (("kva", "many"), ("taps", "1 A, 2 A")):
        field = page.all("input", name=f"u.{name}")[0]
        assert field["value"] == typed
        assert field["aria-invalid"] == "true"
    assert "does this job" not in page.text


def test_a_plate_that_says_too_little_asks(send, read_page, gatehouse: str) -> None:
    page = read_page(send("/vet", form(gatehouse, impedance="4 %")).text)
    assert "Not enough is known yet" in page.text


def test_the_job_comes_along_from_the_working_page(send, read_page, gatehouse: str) -> None:
    page = read_page(
        send("/vet", [("text", gatehouse), ("base", gatehouse), ("f.choices.growth", "30 %")]).text
    )
    assert 'growth = "30 %"' in page.areas["text"]
    assert "Quillhaven ferry quay" in page.text


def test_a_job_file_with_a_slip_is_told(send, read_page) -> None:
    page = read_page(send("/vet", form("title = 'a", **PLATE)).text)
    assert "Cannot be used" in page.text
    assert page.areas["text"].removeprefix("\n") == "title = 'a"


def test_a_number_of_it_unfolds(send, read_page, gatehouse: str) -> None:
    why = "vet.rated-current currents.primary_rated_a"
    page = read_page(send("/vet", [*form(gatehouse, **PLATE), ("why", why)]).text)
    assert page.all("button", name="why", value=why)[0]["aria-expanded"] == "true"
    assert page.all("input", name="open")[0]["value"] == why
    assert "√3" in page.text
