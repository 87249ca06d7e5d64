"""Whatever is sent, the answer is a page or a sentence, and nothing of it becomes markup."""

import gzip
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from turnwright.web.app import make_app
from turnwright.web.job.page import job_page
from turnwright.web.vet_page import vet_page
from turnwright.web.work import Work

MARKUP = "</textarea></title></script><img src=x onerror=alert(1)>'\"><b>&lt;{{ 7*7 }}{% raw %}"
NAMES = [
    "text",
    "base",
    "story",
    "own",
    "own_text",
    "answer",
    "undo",
    "drop",
    "add",
    "more",
    "why",
    "open",
    "shown",
    "read",
    "update",
    "f.",
    "f..",
    "f.schema",
    "f.title",
    "f.note",
    "f.load[0].size",
    "f.load[9].kva",
    "f.load[-1].kva",
    "f.load.kva",
    "f.load[0].duty",
    "f.supply[0].system",
    "f.site.room",
]
"""Names of fields and buttons, some of which there are not."""
TOML = {"content-type": "application/toml"}


def quoted(text: str) -> str:
    return json.dumps(text)


def hostile_job(markup: str) -> str:
    said = quoted(markup)
    return (
        f'title = {said}\nnote = {said}\n[supply]\nsystem = "480Y/277"\nnote = {said}\n'
        f'[[load]]\nname = {said}\nsystem = "208Y/120"\nkva = "22 kVA"\nnote = {said}\n'
    )


def test_markup_in_every_text_stays_text(page_of) -> None:
    text = hostile_job(MARKUP)
    page = page_of([("text", text), ("base", text), ("shown", "supply"), ("shown", "load[0]")])
    assert page.unbalanced == []
    assert not page.all("img")
    assert not page.all("b", onerror="alert(1)")
    assert page.areas["f.note"].removeprefix("\n") == MARKUP
    assert page.all("input", name="f.load[0].name")[0]["value"] == MARKUP
    assert "49" not in [word.strip() for word in page.words]


@pytest.mark.parametrize(
    "field",
    [
        "f.supply.system",
        "f.load[0].size",
        "f.load[0].kind",
        "f.nothing",
        f"f.{MARKUP}",
        "own_text",
        "date",
        "by",
    ],
)
def test_markup_typed_into_a_field_stays_text(page_of, pump_house: str, field: str) -> None:
    page = page_of([("text", pump_house), ("base", pump_house), (field, MARKUP), ("own", "choices.growth")])
    assert page.unbalanced == []
    assert not page.all("img")


@pytest.mark.parametrize(
    "name", ["why", "open", "answer", "own", "undo", "add", "drop", "more", "shown", "story", "base"]
)
def test_markup_in_what_a_button_or_a_hidden_field_says_stays_text(
    page_of, pump_house: str, name: str
) -> None:
    page = page_of([("text", pump_house), ("base", pump_house), (name, MARKUP)])
    assert page.unbalanced == []
    assert not page.all("img")


def test_a_made_up_story_stays_text(page_of, pump_house: str) -> None:
    story = json.dumps([[MARKUP, MARKUP, 0, 0, ""]])
    page = page_of([("text", pump_house), ("base", pump_house), ("story", story)])
    assert not page.all("img")
    assert MARKUP in "".join(page.words)


def test_markup_in_an_error_of_programs_is_json(client) -> None:
    answer = client.post("/api/select", content=f"[[load]]\n{quoted(MARKUP)} = 1\n", headers=TOML)
    assert answer.headers["content-type"] == "application/json"
    assert MARKUP[:20] in answer.json()["error"]["where"] + answer.json()["error"]["what"]


def test_markup_in_an_address_stays_text(client, read_page) -> None:
    for path in ("/rules/", "/tables/"):
        answer = client.get(path + "%3Cimg%20src=x%20onerror=alert(1)%3E")
        assert answer.status_code == 404
        assert not read_page(answer.text).all("img")


@settings(max_examples=60)
@given(
    st.lists(
        st.tuples(
            st.sampled_from(NAMES),
            st.text(max_size=40)
            | st.sampled_from(["load[0].size=1 A", "load[7].kva=1", "0", "99999999", "[[load]]\n"]),
        ),
        max_size=8,
    )
)
def test_any_form_gets_a_page(pairs: list[tuple[str, str]]) -> None:
    assert job_page(pairs).status == 200
    assert vet_page([*pairs, ("u.kva", "75 kVA"), ("u.taps", pairs[0][1] if pairs else "")]).status == 200


def test_broken_encodings_are_read_as_far_as_they_go(client) -> None:
    form = {"content-type": "application/x-www-form-urlencoded"}
    for body in (
        b"text=%FF%FE%00",
        b"text=\xff\xfe",
        b"f.title=%ED%A0%80&base=&text=",
        b"&&&=&%",
        b"a" * 5000,
    ):
        assert client.post("/", content=body, headers=form).status_code == 200


def test_a_form_of_many_fields_is_read_and_one_of_too_many_is_refused(client, pump_house: str) -> None:
    """25 loads shown whole are more than a thousand fields."""
    form = {"content-type": "application/x-www-form-urlencoded"}
    fields = "&".join(f"f.load[{number}].note=" for number in range(2000))
    answer = client.post("/", content=f"{fields}&f.title=Long&base=&text=", headers=form)
    assert answer.status_code == 200 and "Long" in answer.text
    answer = client.post("/", content="a&" * 9000, headers=form)
    assert answer.status_code == 400 and "WEB-12" in answer.text


def test_another_kind_of_body_is_no_form(client) -> None:
    for kind in ("application/json", "text/plain", ""):
        answer = client.post("/", content=b"text=1", headers={"content-type": kind})
        assert answer.status_code == 415
    broken = {"content-type": "multipart/form-data; boundary=x"}
    answer = client.post("/", content=b"text=1", headers=broken)
    assert answer.status_code == 400 and "FILE-05" in answer.text


def test_a_form_of_too_many_fields_is_cut_or_refused(client) -> None:
    form = {"content-type": "application/x-www-form-urlencoded"}
    body = "&".join(f"f.load[{n}].kva=1" for n in range(20_000))
    assert client.post("/", content=body, headers=form).status_code in (200, 400)


@pytest.mark.parametrize(
    ("data", "status"),
    [
        (b'title = "kiln"\n', 200),
        ("title = 'kiln'\n".encode("utf-16"), 400),
        (b"PK\x03\x04" + bytes(2000), 400),
        (gzip.compress(bytes(50_000_000)), 400),
        (b"%PDF-1.7\n" + bytes(500), 400),
        (b"\x89PNG\r\n\x1a\n", 400),
        (b"", 200),
        (bytes(100), 400),
    ],
)
def test_an_upload_is_read_as_what_it_holds(client, data: bytes, status: int) -> None:
    answer = client.post("/open", files={"file": ("../../job.toml", data, "image/png")})
    assert answer.status_code == status
    assert status == 200 or any(code in answer.text for code in ("WEB-15", "FILE-03", "VERIFY-0"))


def test_a_body_that_says_it_is_packed_is_not_unpacked(client) -> None:
    """A hundred kilobytes that would be a hundred megabytes."""
    packed = gzip.compress(b"# " + bytes(100_000_000))
    for address, kind in (("/", "application/x-www-form-urlencoded"), ("/api/select", "application/toml")):
        headers = {"content-type": kind, "content-encoding": "gzip"}
        answer = client.post(address, content=packed, headers=headers)
        assert answer.status_code in (200, 400)
        assert len(answer.content) < 1_000_000


def test_an_upload_that_is_none_is_told(client) -> None:
    assert client.post("/open", data={"file": "text"}).status_code == 400
    assert client.post("/open", files={"other": ("a", b"b")}).status_code == 400
    many = {f"file{n}": ("a", b"b") for n in range(20)}
    assert client.post("/open", files=many).status_code == 400
    broken = {"content-type": "multipart/form-data; boundary=x"}
    assert client.post("/open", content=b"--x\r\nnonsense", headers=broken).status_code == 400
    assert (
        client.post("/open", content=b"", headers={"content-type": "multipart/form-data"}).status_code == 400
    )


def test_a_file_with_line_ends_of_another_system_is_opened(client, read_page, pump_house: str) -> None:
    answer = client.post(
        "/open", files={"file": ("job.toml", pump_house.replace("\n", "\r\n").encode("utf-8-sig"))}
    )
    assert read_page(answer.text).areas["text"].removeprefix("\n") == pump_house


def test_a_job_too_long_for_fields_is_edited_as_a_text(page_of) -> None:
    loads = "".join(f'[[load]]\nname = "kiln {n}"\nsystem = "208 3ph"\nkva = "0.1 kVA"\n' for n in range(30))
    text = f'[supply]\nsystem = "480Y/277"\n{loads}'
    page = page_of([("text", text), ("base", text)])
    assert "5 more loads stand in the job file" in page.text
    padded = f"# {'x' * 120_000}\n{text}"
    page = page_of([("text", padded)])
    assert "too long to be shown fact by fact" in page.text
    assert not page.all("input", name="base")
    assert page.areas["text"].removeprefix("\n") == padded


def test_ten_thousand_loads_are_answered_or_given_up_and_nothing_hangs(pump_house: str) -> None:
    """Half a megabyte of loads: an answer within the bound of time, or a sentence; the next job is answered."""
    loads = "".join(f'[[load]]\nname="l{n}"\nsystem="208 3ph"\nkva="0.01 kVA"\n' for n in range(10_000))
    text = f'supply.system = "480Y/277"\n{loads}'
    app = make_app(Work(workers=1, seconds=10.0))
    with TestClient(app, base_url="http://127.0.0.1", raise_server_exceptions=False) as client:
        asked = client.post("/api/select", content=text, headers=TOML)
        assert asked.status_code == 200 or asked.json()["error"]["code"] == "WEB-05"
        page = client.post("/", data={"text": text})
        assert page.status_code in (200, 413, 422)
        assert client.post("/api/select", content=pump_house, headers=TOML).json()["verdict"] == "selected"
