"""Every paper and the job file can be taken away; names are harmless, contents those of the library."""

import io
import zipfile

import pytest

from turnwright.documents.brief import Brief
from turnwright.documents.make import PAPERS, make
from turnwright.intake import read_job
from turnwright.narrow import select
from turnwright.web.papers import file_name

FORMS = [(paper.name, form) for paper in PAPERS for form in paper.forms if form != "pdf"]


@pytest.mark.parametrize(("paper", "form"), FORMS)
def test_every_paper_is_that_of_the_library(send, gatehouse: str, paper: str, form: str) -> None:
    answer = send(
        f"/papers/{paper}.{form}", [("text", gatehouse), ("date", "2027-05-01"), ("by", "A. Quill")]
    )
    assert answer.status_code == 200
    job = read_job(gatehouse, "job.toml")
    brief = Brief(
        job=job,
        text=gatehouse,
        origin="job.toml",
        result=select(job),
        measure="us",
        date="2027-05-01",
        by="A. Quill",
    )
    sheets = make(brief, [paper], [form]).sheets
    if len(sheets) == 1:
        assert answer.content == sheets[0].content
    else:
        with zipfile.ZipFile(io.BytesIO(answer.content)) as archive:
            assert {name: archive.read(name) for name in archive.namelist()} == {
                sheet.name: sheet.content for sheet in sheets
            }
    assert answer.headers["content-disposition"].startswith('attachment; filename="quillhaven-ferry-quay-')


def test_a_memo_as_pdf_and_all_papers_at_once(send, gatehouse: str) -> None:
    assert send("/papers/memo.pdf", [("text", gatehouse)]).content.startswith(b"%PDF")
    once, again = (send("/papers/all.zip", [("text", gatehouse)]) for _ in range(2))
    assert once.content == again.content
    with zipfile.ZipFile(io.BytesIO(once.content)) as archive:
        assert {paper.name for paper in PAPERS} <= {
            name.partition(".")[0].partition("-")[0] for name in archive.namelist()
        }


def test_a_refused_job_has_its_memo_and_nothing_else(send, bakery: str) -> None:
    assert b"No transformer does this job" in send("/papers/memo.html", [("text", bakery)]).content
    answer = send("/papers/labels.html", [("text", bakery)])
    assert answer.status_code == 400
    assert "no unit was picked" in answer.text.casefold()


@pytest.mark.parametrize(
    ("path", "extra", "says"),
    [
        ("/papers/menu.html", [], "there is no paper"),
        ("/papers/memo.docx", [], "there is no form"),
        ("/papers/memo.xlsx", [], "not made as xlsx"),
        ("/papers/memo.html", [("date", "yesterday")], "is no date"),
        ("/papers/memo.html", [("date", "2027-02-31")], "is no date"),
    ],
)
def test_what_cannot_be_made_is_told(send, pump_house: str, path: str, extra, says: str) -> None:
    answer = send(path, [("text", pump_house), *extra])
    assert answer.status_code == 400
    assert says in answer.text.casefold()


def test_a_job_file_with_a_slip_gives_the_page_with_the_slip(send) -> None:
    for address in ("/papers/memo.html", "/job.toml"):
        answer = send(address, [("text", "title = 'a")])
        assert "Cannot be used" in answer.text
        assert "content-disposition" not in answer.headers


def test_the_job_file_is_the_text_and_what_the_fields_say(send, pump_house: str) -> None:
    answer = send("/job.toml", [("text", pump_house), ("base", pump_house), ("f.choices.growth", "10 %")])
    assert answer.headers["content-type"].startswith("application/toml")
    assert answer.text.startswith(pump_house)
    assert read_job(answer.text).choices.growth.text == "10 %"


@pytest.mark.parametrize(
    "title", ['a"; filename=evil.exe', "a\\r\\nSet-Cookie: x=1", "../../etc/passwd", "漢字", "", "x" * 500]
)
def test_no_title_reaches_a_header_or_a_path(send, title: str) -> None:
    answer = send("/job.toml", [("text", f'title = "{title}"\n[[load]]\n'.replace('a"', 'a\\"'))])
    said = answer.headers["content-disposition"]
    assert "set-cookie" not in answer.headers
    name = said.partition('filename="')[2].partition('"')[0]
    assert name.endswith(".toml")
    assert set(name) <= set("abcdefghijklmnopqrstuvwxyz0123456789-.")
    assert len(name) < 80
    assert ".." not in name
    assert len(file_name(title)) <= 60
