"""PDF papers: the same bytes everywhere, readable by machines and people, whatever the job holds."""

import io
import os
import subprocess
import sys
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

import pytest
from msgspec.structs import replace

from turnwright.documents.brief import Brief
from turnwright.documents.make import PAPERS, Paper

from .conftest import EXAMPLES, brief_of

pytest.importorskip("typst")
pypdf = pytest.importorskip("pypdf")

from turnwright.documents.writers.lettering import FONTS, by_number, covered  # noqa: E402
from turnwright.documents.writers.pdf import REPLACED, pdf_of  # noqa: E402

PAPER = pytest.mark.parametrize("paper", PAPERS, ids=[paper.name for paper in PAPERS])
SCRIPT = """
import sys, hashlib
from turnwright.cli.main import main
status = main(["document", sys.argv[1], "--out", sys.argv[2]])
from pathlib import Path
for path in sorted(Path(sys.argv[2]).iterdir()):
    print("SHA", path.name, hashlib.sha256(path.read_bytes()).hexdigest())
"""


def read(content: bytes) -> "pypdf.PdfReader":
    return pypdf.PdfReader(io.BytesIO(content))


def text_of(content: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in read(content).pages).split())


@PAPER
def test_a_paper_is_tagged_titled_and_carries_its_job(paper: Paper, gatehouse: Brief) -> None:
    reader = read(pdf_of(paper.build(gatehouse), gatehouse, paper.name))
    root = reader.root_object
    assert root["/MarkInfo"]["/Marked"] is not False
    assert root["/Lang"] == "en"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader.metadata is not None and "Quillhaven" in str(reader.metadata.title)
    assert b"pdfuaid" in reader.root_object["/Metadata"].get_data()
    assert bytes(reader.attachments["job.toml"][0]).decode() == gatehouse.text
    assert sorted(reader.attachments) == ["job.toml", "result.json", "turnwright-paper.json"]


def test_a_dated_paper_is_fit_for_an_archive_too(gatehouse: Brief) -> None:
    dated = replace(gatehouse, date="2026-11-30")
    from turnwright.documents.papers.memo import memo

    reader = read(pdf_of(memo(dated), dated, "memo"))
    xmp = reader.root_object["/Metadata"].get_data()
    assert b"<pdfaid:part>3</pdfaid:part>" in xmp and b"pdfuaid" in xmp
    assert reader.metadata is not None and str(reader.metadata.get("/CreationDate")).startswith("D:20261130")


def test_a_paper_without_a_date_has_none(gatehouse: Brief) -> None:
    from turnwright.documents.papers.memo import memo

    metadata = read(pdf_of(memo(gatehouse), gatehouse, "memo")).metadata
    assert metadata is not None and "/CreationDate" not in metadata


def test_no_font_comes_from_the_machine(gatehouse: Brief) -> None:
    from turnwright.documents.papers.memo import memo

    names = set()
    for page in read(pdf_of(memo(gatehouse), gatehouse, "memo")).pages:
        for font in page["/Resources"]["/Font"].values():
            names.add(str(font.get_object()["/BaseFont"]).partition("+")[2])
    families = {name.split("-")[0] for name in names}
    assert "Inter" in families
    assert families <= {
        "Inter",
        "LibertinusSerif",
        "NewCM10",
        "NewCMMath",
        "DejaVuSansMono",
    }  # of the typesetter
    assert (FONTS / "OFL.txt").read_text(encoding="utf-8").count("SIL OPEN FONT LICENSE Version 1.1") == 1


def test_the_pages_say_what_the_report_says(gatehouse: Brief) -> None:
    from turnwright.documents.papers.memo import memo

    said = text_of(pdf_of(memo(gatehouse), gatehouse, "memo")).replace("\u200b", "")
    for finding in gatehouse.result.findings:
        assert " ".join(finding.message.split())[:40] in said
    assert said.count("Check with local code and a licensed electrician") == 1


def test_drawings_have_their_text_for_those_who_do_not_see_them(gatehouse: Brief) -> None:
    from turnwright.documents.papers.memo import memo

    content = pdf_of(memo(gatehouse), gatehouse, "memo")
    alts: list[str] = []
    stack, seen = [read(content).root_object["/StructTreeRoot"]], set()
    while stack:
        node = stack.pop().get_object()
        if id(node) in seen or not isinstance(node, dict):
            continue
        seen.add(id(node))
        if "/Alt" in node:
            alts.append(str(node["/Alt"]))
        kids = node.get("/K", [])
        stack += kids if isinstance(kids, list) else [kids]
    assert any("Delta-wye connection" in alt for alt in alts)


HOSTILE = (
    '#set page(fill: red) ] $ #eval(\\"1\\") ` *a* _b_ <tag> @ref // /* \\\\',
    "مصنع البلاط 東京 🏭 שלום",
    "x" * 300,
    "a\\nb",
)


@pytest.mark.parametrize("hostile", HOSTILE)
def test_whatever_a_job_is_called_its_papers_are_made(hostile: str) -> None:
    brief = brief_of(
        f'title = "{hostile}"\nnote = "{hostile}"\n[supply]\nsystem = "480Y/277"\n'
        f'[[load]]\nname = "{hostile}"\nsystem = "240 3ph"\ncurrent = "150 A"\n'
    )
    for paper in PAPERS:
        content = pdf_of(paper.build(brief), brief, paper.name)
        assert content.startswith(b"%PDF-") and len(read(content).pages) >= 1


def test_markup_in_a_title_stays_text() -> None:
    brief = brief_of(
        'title = "#strong[x] $y$"\n[supply]\nsystem = "480Y/277"\n[[load]]\nsystem = "240 3ph"\ncurrent = "150 A"\n'
    )
    assert "#strong[x] $y$" in text_of(pdf_of(PAPERS[0].build(brief), brief, "memo"))


def test_characters_the_font_lacks_are_written_by_number_and_that_is_said() -> None:
    brief = brief_of(
        'title = "東 works"\n[supply]\nsystem = "480Y/277"\n[[load]]\nsystem = "240 3ph"\ncurrent = "150 A"\n'
    )
    said = text_of(pdf_of(PAPERS[0].build(brief), brief, "memo"))
    assert "[U+6771] works" in said and REPLACED in said


def test_letters_that_another_font_of_the_typesetter_has_stay_letters() -> None:
    brief = brief_of(
        'title = "مصنع"\n[supply]\nsystem = "480Y/277"\n[[load]]\nsystem = "240 3ph"\ncurrent = "150 A"\n'
    )
    said = text_of(pdf_of(PAPERS[0].build(brief), brief, "memo"))
    assert "[U+" not in said and REPLACED not in said


def test_a_word_of_300_letters_stays_on_its_page() -> None:
    brief = brief_of(
        f'title = "{"x" * 300}"\n[supply]\nsystem = "480Y/277"\n[[load]]\nname = "{"y" * 300}"\n'
        'system = "240 3ph"\ncurrent = "150 A"\n'
    )
    for paper in PAPERS:
        for page in read(pdf_of(paper.build(brief), brief, paper.name)).pages:
            for line in page.extract_text().splitlines():
                assert max(line.count("x"), line.count("y")) < 130, line  # a page holds about 110 of them


@pytest.mark.parametrize("name", ["gatehouse", "pump_house"])
def test_page_one_of_a_memo_stands_alone(name: str, request: pytest.FixtureRequest) -> None:
    brief: Brief = request.getfixturevalue(name)
    for measure in ("us", "metric"):
        one = replace(brief, measure=measure)
        pages = [page.extract_text() for page in read(pdf_of(PAPERS[0].build(one), one, "memo")).pages]
        assert "Who answers what" in pages[0]
        assert pages[1].lstrip().startswith("Other sizes and ways")


@pytest.mark.parametrize("name", ["gatehouse", "smokehouse", "ropewalk"])
def test_pages_are_numbered_through_and_none_is_nearly_empty(
    name: str, request: pytest.FixtureRequest
) -> None:
    """A layout that does not settle leaves the numbers of an earlier attempt."""
    brief: Brief = request.getfixturevalue(name)
    for paper in PAPERS:
        pages = [page.extract_text() for page in read(pdf_of(paper.build(brief), brief, paper.name)).pages]
        for number, text in enumerate(pages, start=1):
            assert "".join(text.split()).endswith(f"{number}/{len(pages)}"), (paper.name, number)
        assert all(len(text) > 400 for text in pages[:-1]), paper.name


def test_the_list_of_characters_is_true_of_the_font() -> None:
    import typst

    every = "".join(chr(code) for code in sorted(covered()) if code >= 0x20 and not 0x7F <= code < 0xA0)
    source = (
        '#set document(title: "t", date: none)\n#set text(font: "Inter", fallback: false)\n'
        "#let all = sys.inputs.all\n#all\n\n#strong(all)"
    )
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FONTS)])
    made = typst.compile(
        source.encode(),
        font_paths=fonts,
        ignore_system_fonts=True,
        sys_inputs={"all": every},
        pdf_standards=["ua-1"],
    )
    assert made.startswith(b"%PDF-")
    assert ord("漢") not in covered() and by_number("漢 1", frozenset("漢")) == "[U+6F22] 1"


def test_same_bytes_in_other_processes_folders_time_zones_and_languages(tmp_path: Path) -> None:
    digests = set()
    for number, (zone, language) in enumerate(
        (
            ("UTC", "C"),
            ("Pacific/Apia", "C.UTF-8"),
            ("Asia/Tokyo", "POSIX"),
            ("Asia/Kolkata", "de_DE.UTF-8"),
            ("EST5EDT", ""),
        )
    ):
        folder = tmp_path / f"elsewhere {number}"
        folder.mkdir()
        job = folder / "gatehouse.toml"
        job.write_bytes((EXAMPLES / "gatehouse.toml").read_bytes())
        environment = {
            **os.environ,
            "TZ": zone,
            "LC_ALL": language,
            "HOME": str(folder),
            "PYTHONHASHSEED": str(number),
        }
        environment.pop("SOURCE_DATE_EPOCH", None)
        ran = subprocess.run(
            [sys.executable, "-c", SCRIPT, str(job), str(folder / "out")],
            cwd=folder,
            env=environment,
            capture_output=True,
            check=True,
        )
        lines = [line for line in ran.stdout.splitlines() if line.startswith(b"SHA")]
        assert len(lines) == 20
        digests.add(sha256(b"\n".join(lines)).hexdigest())
    assert len(digests) == 1


def test_a_memo_of_a_job_that_was_refused_is_made(bakery: Brief, made_by_hand: Callable[..., Brief]) -> None:
    for brief in (bakery, made_by_hand("REFUSED"), made_by_hand("NEEDS_INPUT")):
        assert len(read(pdf_of(PAPERS[0].build(brief), brief, "memo")).pages) >= 1
