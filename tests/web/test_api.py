"""The interface for programs gives what the command line gives, and tells errors in one form."""

import json
from io import BytesIO

import pytest
from openpyxl import Workbook

from turnwright.ask import job_of_sheet
from turnwright.intake import read_job, unit_from_mapping
from turnwright.intake.sheet_file import sheet_of_csv
from turnwright.model.as_json import dumps
from turnwright.narrow import select
from turnwright.vetting import vet

TOML = {"content-type": "application/toml"}
JSON = {"content-type": "application/json; charset=utf-8"}
UNIT = '[unit]\nkva = "45 kVA"\nprimary = "480 delta"\nsecondary = "208Y/120"\nimpedance = "4 %"\nrise = "150 K"\n'


@pytest.mark.parametrize("name", ["gatehouse", "bakery", "pump_house"])
def test_select_gives_the_result_of_the_library(client, request, name: str) -> None:
    text = request.getfixturevalue(name)
    answer = client.post("/api/select", content=text, headers=TOML)
    assert answer.status_code == 200
    assert answer.json() == json.loads(dumps(select(read_job(text, "body")).to_json()))


def test_json_and_toml_come_to_the_same(client) -> None:
    job = {"supply": {"system": "480Y/277"}, "load": [{"system": "208Y/120", "kva": "22 kVA"}]}
    toml = '[supply]\nsystem = "480Y/277"\n[[load]]\nsystem = "208Y/120"\nkva = "22 kVA"\n'
    from_json = client.post("/api/select", json=job).json()
    from_toml = client.post("/api/select", content=toml, headers=TOML).json()
    assert from_json["pick"] == from_toml["pick"]


def test_all_verdicts_are_answers(client, bakery: str, pump_house: str) -> None:
    found = [
        client.post("/api/select", content=text, headers=TOML)
        for text in (pump_house, bakery, '[[load]]\nname = "kiln"\n')
    ]
    assert [answer.status_code for answer in found] == [200, 200, 200]
    assert [answer.json()["verdict"] for answer in found] == ["selected", "refused", "needs-input"]


def test_explain_nests_down_to_a_table_cell(client, gatehouse: str) -> None:
    answer = client.post("/api/explain?name=primary_rated_a", content=gatehouse, headers=TOML).json()
    assert answer["name"] == "currents.primary_rated_a"
    assert answer["steps"][0]["name"] == "standard_kva[3, 75].kva"
    names = client.post("/api/explain", content=gatehouse, headers=TOML).json()["names"]
    assert "currents.primary_rated_a" in [each["name"] for each in names]


def test_vet_takes_the_unit_beside_the_job(client, pump_house: str) -> None:
    answer = client.post("/api/vet", content=pump_house + UNIT, headers=TOML).json()
    values = {
        "kva": "45 kVA",
        "primary": "480 delta",
        "secondary": "208Y/120",
        "impedance": "4 %",
        "rise": "150 K",
    }
    found = vet(read_job(pump_house), (unit_from_mapping(values, "unit"),))
    assert answer["verdict"] == found.verdict == "unfit"
    assert answer["binds"] == found.binds
    several = UNIT.replace("[unit]", "[[unit]]")
    assert client.post("/api/vet", content=pump_house + several + several, headers=TOML).status_code == 200


def test_compare_says_what_each_change_moved(client, pump_house: str) -> None:
    after = pump_house + '[choices]\ngrowth = "25 %"\n'
    answer = client.post("/api/compare", json={"before": pump_house, "after": after}).json()
    assert [fact["key"] for fact in answer["facts"]] == ["choices.growth"]
    assert answer["moves"][0]["result"]["pick.kva"] == [75.0, 112.5]
    assert answer["together"]["result"]["pick.kva"] == [75.0, 112.5]


def test_read_makes_a_job_of_words(client) -> None:
    words = "480Y/277 supply. The pumps want 240 V three-phase, 150 A."
    plain = client.post("/api/read", content=words, headers={"content-type": "text/plain"}).json()
    assert client.post("/api/read", json={"request": words}).json() == plain
    fact = next(fact for fact in plain["facts"] if fact["key"] == "load[0].current")
    assert words[fact["from"] : fact["to"]] == fact["words"] == "150 A"


LIST = "Equipment;Qty;Volts;Ph;kW\nOven;2;208;3;12,5\nTotal;;;;25\n"


def test_read_makes_a_job_of_a_list(client) -> None:
    asked = "/api/read?supply=480Y/277&columns=Ph=-"
    answer = client.post(asked, content=LIST, headers={"content-type": "text/csv; charset=utf-8"}).json()
    assert [row["fate"] for row in answer["rows"]] == ["load", "sum"]
    columns = {"Ph": "-"}
    own = job_of_sheet(sheet_of_csv(LIST, "load list"), columns=columns, supply="480Y/277")
    assert answer == json.loads(dumps(own.to_json()))
    assert read_job(answer["job"], "job").load[0].kw.text == "12.5 kW"


def test_read_makes_a_job_of_a_workbook(client) -> None:
    book = Workbook()
    for row in (("Equipment", "kVA", "Volts"), ("Lights", 12, "208Y/120"), ("Fans", 4, "208Y/120")):
        book.active.append(row)
    held = BytesIO()
    book.save(held)
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    answer = client.post("/api/read", content=held.getvalue(), headers={"content-type": kind}).json()
    assert [load.kva.text for load in read_job(answer["job"], "job").load] == ["12 kVA", "4 kVA"]


@pytest.mark.parametrize(
    ("sent", "kind", "code"),
    [
        (b"PK\x03\x04 torn", "text/csv", "FILE"),
        (b"\xff\xfe\x00", "text/csv", "FILE-03"),
        (b"", "text/csv", "FILE"),
        (b"a,b\n1,2\n", "application/zip", "API-01"),
    ],
)
def test_a_list_that_cannot_be_read_is_refused(client, sent: bytes, kind: str, code: str) -> None:
    answer = client.post("/api/read", content=sent, headers={"content-type": kind})
    assert answer.status_code in (400, 415) and answer.json()["error"]["code"].startswith((code, "LST"))


def test_a_column_that_says_nothing_is_told(client) -> None:
    answer = client.post("/api/read?columns=Load", content=LIST, headers={"content-type": "text/csv"})
    assert answer.json()["error"]["code"] == "API-03"


def test_tables_and_rules_are_listed(client) -> None:
    table = client.get("/api/tables/nec_250_122?edition=2020").json()["tables"][0]
    assert (table["edition"], table["rows"][0]["cu"]) == ("2020", "14 AWG")
    assert len(client.get("/api/tables").json()["tables"]) > 50
    rule = client.get("/api/rules/ceiling").json()["rules"][0]
    assert (rule["id"], rule["clause"]) == ("ceiling", "450.13(B)")


def test_openapi_names_every_address_and_every_key(client) -> None:
    described = client.get("/api/openapi.json").json()
    routes = {route.path for route in client.app.routes if route.path.startswith("/api/")}
    addresses = {path.replace("{table}", "{name}").replace("{rule}", "{name}") for path in described["paths"]}
    assert addresses | {"/api/openapi.json"} == routes
    job = described["components"]["schemas"]["Job"]["properties"]
    assert "power_factor" in job["load"]["items"]["properties"]
    assert "length" in job["site"]["properties"]["room"]["properties"]


@pytest.mark.parametrize(
    ("address", "body", "headers", "status", "code", "where"),
    [
        (
            "/api/select",
            b'[[load]]\ncurrent = "150 volts"\n',
            TOML,
            400,
            "QTY-04",
            "body, line 2, load[0].current",
        ),
        ("/api/select", b'[[load]]\ncurent = "150 A"\n', TOML, 400, "JOB-01", "body, line 2, load[0].curent"),
        ("/api/select", b"title = 'a", TOML, 400, "JOB-11", "body, line 1"),
        ("/api/select", b"title = '\xff'\n", TOML, 400, "FILE-03", "body, line 1"),
        ("/api/select", b"{", JSON, 400, "API-02", "body"),
        ("/api/select", b"[" * 100_000, JSON, 400, "API-02", "body"),
        ("/api/select", b"[[" * 50_000, TOML, 400, "JOB-11", "body, line 1"),
        ("/api/select", b"[]", JSON, 400, "API-02", "body"),
        ("/api/select", b'{"load": [{"kva": NaN}]}', JSON, 400, "API-02", "body"),
        ("/api/select", b'{"load": [{"kva": 1e999}]}', JSON, 400, None, None),
        ("/api/select", b'{"load": [{"kva": -3}]}', JSON, 400, None, "body, load[0].kva"),
        ("/api/select", b'{"title": "\\ud800", "load": [{}]}', JSON, 400, None, None),
        ("/api/select", b'{"\\ud800": 1}', JSON, 400, None, None),
        (
            "/api/select",
            b"text=1",
            {"content-type": "application/x-www-form-urlencoded"},
            415,
            "API-01",
            None,
        ),
        ("/api/select", b"", {}, 415, "API-01", None),
        ("/api/select", b"", TOML, 400, "JOB-05", None),
        ("/api/select", b'edition = "1999"\n[[load]]\n', TOML, 400, "REG-02", None),
        ("/api/explain?name=pick.colour", b"[[load]]\nkva = 3\n", TOML, 400, "EXPLAIN-01", None),
        ("/api/vet", b"[[load]]\nkva = 3\n", TOML, 400, "API-03", "body"),
        ("/api/vet", b"unit = 3\n[[load]]\nkva = 3\n", TOML, 400, "JOB-02", "body, unit[0]"),
        ("/api/vet", b"unit = []\n[[load]]\nkva = 3\n", TOML, 400, "API-03", "body"),
        ("/api/compare", b"{}", JSON, 400, "API-03", "body"),
        ("/api/compare", b"", TOML, 415, "API-01", None),
        ("/api/read", b"{}", JSON, 400, "API-03", "body"),
    ],
)
def test_errors_have_one_form(client, address, body, headers, status, code, where) -> None:
    answer = client.post(address, content=body, headers=headers)
    error = answer.json()["error"]
    assert answer.status_code == status
    assert set(error) == {"code", "where", "what", "fix"}
    assert code in (None, error["code"])
    assert where in (None, error["where"])
    assert error["what"]
    assert error["fix"]


@pytest.mark.parametrize(
    ("method", "address", "status"),
    [
        ("GET", "/api/select", 405),
        ("POST", "/api/tables", 405),
        ("GET", "/api/tables/colours", 404),
        ("GET", "/api/rules/colours", 404),
        ("GET", "/api/tables/nec_250_122?edition=1871", 400),
        ("GET", "/api/nothing", 404),
        ("PUT", "/api/select", 405),
    ],
)
def test_other_addresses_are_told_in_the_same_form(client, method: str, address: str, status: int) -> None:
    answer = client.request(method, address)
    assert answer.status_code == status
    assert set(answer.json()["error"]) == {"code", "where", "what", "fix"}
