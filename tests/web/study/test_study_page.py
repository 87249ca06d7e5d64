"""The pages of the questions in depth: the answers of the library, in sentences, tables and pictures."""

import json

import pytest

from turnwright.examine import QUESTIONS, Options, examine, examine_circuits
from turnwright.intake import read_job
from turnwright.web.study.page import empty_study_page, study_page

OF_A_JOB = [asked.name for asked in QUESTIONS if asked.takes == "job"]
MARKUP = "</textarea><img src=x onerror=alert(1)>'\"{{ 7*7 }}"
HOURS = "time,load_pu,ambient_c\n" + "".join(f"2025-07-01 {hour:02}:00,0.8,30\n" for hour in range(24))
UNIT = '[unit]\nunit = "T-7"\nkva = "75 kVA"\nprimary = "480 delta"\nsecondary = "208Y/120"\n'
CIRCUIT = {
    "id": "A",
    "inputs": {
        "frequency_hz": 60,
        "sources": [{"name": "S", "phases": 1, "nodes": ["a"], "voltage_v": 120, "z1_ohm": [0, 0]}],
        "impedances": [{"name": "z", "from": "a", "to": "0", "r_ohm": 12, "x_ohm": 0}],
    },
}


@pytest.fixture(scope="module")
def asked_of(read_page):
    def ask(question: str, text: str = "", **told: str):
        pairs = [("text", text), ("base", text)] if text else []
        page = read_page(
            study_page(
                [*pairs, *((f"o.{name}", each) for name, each in told.items())], question
            ).body.decode()
        )
        assert page.unbalanced == []
        return page

    return ask


@pytest.mark.parametrize("question", [asked.name for asked in QUESTIONS])
def test_every_question_has_its_page_and_a_field_for_all_it_takes(question: str, client, read_page) -> None:
    page = read_page(client.get(f"/study/{question}").text)
    assert page.unbalanced == []
    names = {found.get("name") for _, found in page.tags}
    asked = next(each for each in QUESTIONS if each.name == question)
    assert {f"o.{name}" for name in asked.options} <= names
    assert "Cannot be used" not in page.text
    assert f'href="/study/{question}"' in client.get("/study").text


@pytest.mark.parametrize("question", OF_A_JOB)
def test_the_page_says_what_the_library_says(question: str, asked_of, gatehouse: str) -> None:
    told = {"load": HOURS} if question == "year" else {}
    page = asked_of(question, gatehouse, **told)
    options = Options()
    if told:
        from turnwright.examine.course_file import read_course

        options = Options(load=read_course(HOURS, "load"))
    study = examine(question, read_job(gatehouse), options)
    for sentence in study.said:
        assert " ".join(sentence.split()) in page.text
    for grid in study.grids:
        for cell in grid.rows[0]:
            assert cell in page.text
    assert page.areas["text"].removeprefix("\n") == gatehouse


def test_a_number_opens_down_to_its_clause(read_page, gatehouse: str) -> None:
    page = read_page(study_page([("text", gatehouse), ("base", gatehouse)], "fault").body.decode())
    spot = page.all("button", name="why")[0]["value"]
    pairs = [("text", gatehouse), ("base", gatehouse), ("why", spot)]
    page = read_page(study_page(pairs, "fault").body.decode())
    assert page.unbalanced == []
    assert page.all("div", **{"class": "working"})
    assert page.all("button", name="why")[0]["aria-expanded"] == "true"


def test_what_is_told_counts(asked_of, gatehouse: str) -> None:
    usual, told = asked_of("fault", gatehouse), asked_of("fault", gatehouse, voltage_factor="1.1")
    assert usual.text != told.text
    assert told.all("input", name="o.voltage_factor")[0]["value"] == "1.1"


@pytest.mark.parametrize(
    ("question", "name", "typed", "code"),
    [
        ("fault", "voltage_factor", "much", "EXM-12"),
        ("fault", "voltage_factor", "-4", "EXM-05"),
        ("inrush", "residual", "7", "EXM-10"),
        ("inrush", "together", "0", "EXM-08"),
        ("inrush", "hold_off", "x", "EXM-09"),
        ("inrush", "of_unit", "x = 1", "JOB-01"),
        ("cost", "years", "-1", "COST-02"),
        ("cost", "stock", "unit,kva\nT,x", ""),
        ("year", "load", "time\n1", "YEAR-02"),
        ("parallel", "unit", UNIT, "EXM-06"),
    ],
)
def test_what_cannot_be_used_is_told_at_its_field_and_stays(
    question: str, name: str, typed: str, code: str, asked_of, gatehouse: str
) -> None:
    page = asked_of(question, gatehouse, **{name: typed})
    assert "Cannot be used" in page.text and code in page.text
    fields = [found for _, found in page.tags if found.get("name") == f"o.{name}"]
    assert [field.get("aria-invalid") for field in fields] == ["true"]
    kept = page.areas.get(f"o.{name}", fields[0].get("value", ""))
    assert kept.removeprefix("\n") == typed


def test_a_unit_without_a_job(asked_of) -> None:
    page = asked_of("year", of_unit=UNIT, load=HOURS)
    assert "Cannot be used" not in page.text
    assert page.all("h2", id="h-answer")
    assert asked_of("inrush", of_unit=UNIT).all("h2", id="h-answer")


def test_circuits(asked_of) -> None:
    text = json.dumps(CIRCUIT)
    page = asked_of("network", circuits=text)
    assert examine_circuits(text, "x").said[0] in page.text
    varied = asked_of("network", circuits=text, vary="z.r_ohm=1,2,5")
    assert varied.all("h2", id="h-answer") and "Cannot be used" not in varied.text
    wrong = asked_of("network", circuits="{")
    assert "Cannot be used" in wrong.text and "CIR-10" in wrong.text
    assert "Cannot be used" in asked_of("network", circuits=text, vary="nothing").text


def test_a_job_that_cannot_be_used_is_told(asked_of) -> None:
    page = asked_of("fault", "[[load]]\nnonsense = 1\n")
    assert "Cannot be used" in page.text and not page.all("h2", id="h-answer")


def test_a_refusal_names_what_would_work(asked_of, bakery: str) -> None:
    page = asked_of("fault", bakery)
    assert "No transformer does this job" in page.text and "Instead:" in page.text


@pytest.mark.parametrize("question", ["fault", "inrush", "year", "cost", "parallel", "network"])
def test_markup_in_every_field_stays_text(question: str, asked_of) -> None:
    asked = next(each for each in QUESTIONS if each.name == question)
    told = dict.fromkeys((*asked.options, "of_unit", "circuits", "vary", "case"), MARKUP)
    assert not asked_of(question, **told).all("img")
    assert not asked_of(question, f"title = {json.dumps(MARKUP)}\n[[load]]\n").all("img")


def test_on_the_way_there_and_back_nothing_is_lost(send, read_page, pump_house: str) -> None:
    """An edit that stands in the fields, the story of the job, and the name for the papers."""
    first = read_page(
        send("/", [("text", pump_house), ("base", pump_house), ("f.choices.growth", "30 %")]).text
    )
    there = send("/study/fault", first.with_(("f.load[0].power_factor", "0.9"), ("by", "Mira")))
    page = read_page(there.text)
    assert "power_factor" in page.areas["text"]
    assert page.all("input", name="by")[0]["value"] == "Mira"
    back = read_page(send("/", page.form()).text)
    assert "growth: 30 %" in back.text and "power factor: 0.9" in back.text
    vet = read_page(send("/vet", first.with_(("f.load[0].power_factor", "0.9"))).text)
    assert "growth: 30 %" in read_page(send("/", vet.form()).text).text


def test_a_file_is_read_as_what_it_holds(client, gatehouse: str) -> None:
    def sent(data: bytes, name: str = "load.csv"):
        return client.post(
            "/study/year", data={"text": gatehouse}, files={"file.load": (name, data, "image/png")}
        )

    answer = sent(HOURS.encode())
    assert answer.status_code == 200 and 'id="h-answer"' in answer.text
    assert "2025-07-01 23:00" in answer.text, "a file that was chosen stands in its field afterwards"
    for data, code in ((b"PAR1\0\0", "WEB-15"), (b"PK\3\4\0", "WEB-15"), (b"time,\xff", "FILE-03")):
        answer = sent(data)
        assert answer.status_code == 400 and code in answer.text
    assert client.post("/study/year", files=[("file.load", ("a", b"x"))] * 9).status_code == 400
    assert client.post("/study/year", files={"file.load": ("a", b"x" * 2_000_000)}).status_code == 413


def test_a_question_that_there_is_not(client) -> None:
    for answer in (client.get("/study/nothing"), client.post("/study/nothing", data={"text": ""})):
        assert answer.status_code == 404 and "EXM-01" in answer.text
    assert empty_study_page("fault").status == 200


def test_programs_ask_the_same(client, gatehouse: str) -> None:
    job = {"content-type": "application/toml"}
    found = client.post("/api/examine/fault", content=gatehouse, headers=job).json()
    assert (
        found["answers"] == json.loads(json.dumps(examine("fault", read_job(gatehouse)).to_json()))["answers"]
    )
    text = f"{gatehouse}\n[options]\nvoltage_factor = 1.1\n"
    told = client.post("/api/examine/fault", content=text, headers=job).json()
    assert (
        told["answers"]
        == json.loads(
            json.dumps(examine("fault", read_job(gatehouse), Options(voltage_factor=1.1)).to_json())
        )["answers"]
    )
    unit = client.post("/api/examine/inrush", content=UNIT, headers=job).json()
    assert unit["question"] == "inrush" and unit["verdict"] == "answered"
    for body in ({"circuits": CIRCUIT}, {"circuits": json.dumps(CIRCUIT), "vary": "z.r_ohm=1,2"}):
        assert client.post("/api/examine/network", json=body).json()["verdict"] == "answered"


@pytest.mark.parametrize(
    ("question", "body", "status", "code"),
    [
        ("nothing", {}, 404, "EXM-01"),
        ("fault", {"options": 1}, 400, "API-03"),
        ("fault", {"options": {"years": 2}}, 400, "EXM-04"),
        ("network", {}, 400, "API-03"),
        ("network", {"circuits": CIRCUIT, "vary": [1]}, 400, "API-03"),
        ("network", {"circuits": "{"}, 400, "CIR-10"),
        ("inrush", {"unit": {"x": 1}}, 400, "JOB-01"),
    ],
)
def test_what_programs_cannot_mean_is_told(
    client, question: str, body: object, status: int, code: str
) -> None:
    answer = client.post(f"/api/examine/{question}", json=body)
    assert (answer.status_code, answer.json()["error"]["code"]) == (status, code)
