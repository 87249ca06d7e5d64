"""A paper that somebody brings: does it still stand, and the job that it carries."""

import zlib

import pytest

from turnwright.documents.brief import Brief
from turnwright.documents.make import make
from turnwright.intake import read_job
from turnwright.narrow import select

pytest.importorskip("pypdf")
pytest.importorskip("typst")
PDF = {"content-type": "application/pdf"}


@pytest.fixture(scope="module")
def memo(pump_house: str) -> bytes:
    job = read_job(pump_house, "job.toml")
    brief = Brief(job=job, text=pump_house, origin="job.toml", result=select(job), measure="us")
    (sheet,) = make(brief, ["memo"], ["pdf"]).sheets
    return sheet.content


def brought(client, address: str, data: bytes):
    return client.post(address, files={"file": ("../x.exe", data, "text/html")})


def test_a_paper_is_computed_again(client, memo: bytes, read_page) -> None:
    assert len(memo) < 900_000, "or it could not be sent"
    page = read_page(brought(client, "/paper", memo).text)
    assert page.unbalanced == []
    assert "It stands: the same job gives the same answer today." in page.text
    told = client.post("/api/verify", content=memo, headers=PDF).json()
    assert told["stands"] is True and told["paper"] == "memo"


def test_the_job_of_a_paper_is_opened(client, memo: bytes, read_page, pump_house: str) -> None:
    page = read_page(brought(client, "/open", memo).text)
    assert page.areas["text"].removeprefix("\n") == pump_house
    assert "75 kVA" in page.text


def bomb() -> bytes:
    """A PDF of some hundred kilobytes, one stream of which would be two hundred megabytes."""
    packed = zlib.compress(bytes(200_000_000), 9)
    objects = [
        b"<< /Type /Catalog /Pages 2 0 R /Names << /EmbeddedFiles << /Names [(turnwright.json) 4 0 R] >> >> >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 9 9] >>",
        b"<< /Type /Filespec /F (turnwright.json) /EF << /F 5 0 R >> >>",
        b"<< /Type /EmbeddedFile /Filter /FlateDecode /Length %d >>\nstream\n" % len(packed)
        + packed
        + b"\nendstream",
    ]
    made, places = b"%PDF-1.7\n", []
    for number, each in enumerate(objects, start=1):
        places.append(len(made))
        made += b"%d 0 obj\n" % number + each + b"\nendobj\n"
    table = b"".join(b"%010d 00000 n \n" % place for place in places)
    end = b"xref\n0 6\n0000000000 65535 f \n" + table + b"trailer << /Root 1 0 R /Size 6 >>\nstartxref\n"
    return made + end + b"%d\n%%%%EOF" % len(made)


@pytest.mark.parametrize("address", ["/paper", "/open"])
def test_what_is_no_paper_of_ours_is_a_sentence(client, memo: bytes, address: str) -> None:
    wrong = [b"%PDF-1.7\n%nothing", memo[: len(memo) // 2], b"%PDF-" + bytes(1000), bomb()]
    for data in wrong:
        answer = brought(client, address, data)
        assert answer.status_code in (400, 422)
        assert any(code in answer.text for code in ("VERIFY-0", "WEB-06"))
    assert brought(client, address, b"x" * 2_000_000).status_code == 413


def test_a_form_without_a_paper_and_another_kind_are_told(client) -> None:
    assert brought(client, "/paper", b"hello").status_code == 400
    assert client.post("/paper", data={"file": "text"}).status_code == 400
    assert client.get("/paper").status_code == 200
    assert client.post("/api/verify", content=b"x", headers={"content-type": "text/plain"}).status_code == 415
    assert client.post("/api/verify", content=b"x", headers=PDF).json()["error"]["code"] == "VERIFY-01"
