"""Papers in the hands of other programs: a spreadsheet that computes anew, two PDF readers, a checker of PDF files."""

import csv
import io
import json
import re
import shutil
import subprocess
import zipfile
from pathlib import Path
from typing import Any

import pytest

from turnwright.documents.brief import Brief
from turnwright.documents.make import PAPERS, Paper
from turnwright.documents.papers.schedule import schedule, sheets
from turnwright.documents.sheets import HEAD_ROWS, Formula, Num, Sheet

from .conftest import brief_of

pytest.importorskip("xlsxwriter")
pytest.importorskip("typst")

from turnwright.documents.writers.pdf import pdf_of
from turnwright.documents.writers.xlsx import write

pytestmark = pytest.mark.system
PAPER = pytest.mark.parametrize("paper", PAPERS, ids=[paper.name for paper in PAPERS])
RECALCULATE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item></oor:items>
"""
WRONG = "-987654"
"""Stands in place of every value that goes with a formula before the spreadsheet gets the book."""
EVERY_SHEET = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false,false,false,-1"
"""Comma, quote, UTF-8, values as they are and not as shown, a file for each sheet."""
UNEVEN = """title = "Uneven phases"
[supply]
system = "480Y/277"
fault_current = "18 kA"
[[load]]
name = "=1+1"
system = "208Y/120"
kva = "61 kVA"
[[load]]
name = "odd one"
system = "208 1ph"
kva = "7 kVA"
quantity = 2
"""


def needs(*programs: str) -> pytest.MarkDecorator:
    lacking = [name for name in programs if shutil.which(name) is None]
    return pytest.mark.skipif(bool(lacking), reason=f"not installed: {', '.join(lacking)}")


def spoiled(book: bytes) -> bytes:
    """Return a workbook in which every formula comes with a wrong value."""
    made = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(book)) as old, zipfile.ZipFile(made, "w") as new:
        for name in old.namelist():
            part = old.read(name)
            if name.startswith("xl/worksheets/"):
                part = re.sub(rb"(</f><v>)[^<]*", rb"\g<1>" + WRONG.encode(), part)
            new.writestr(name, part)
    return made.getvalue()


def recalculated(brief: Brief, folder: Path) -> dict[str, list[list[str]]]:
    """Return the cells of each sheet as the spreadsheet computes them."""
    book = spoiled(write(schedule(brief), brief, "schedule")["schedule.xlsx"])
    settings = folder / "profile" / "user"
    settings.mkdir(parents=True)
    (settings / "registrymodifications.xcu").write_text(RECALCULATE, encoding="utf-8")
    (folder / "schedule.xlsx").write_bytes(book)
    words = ["soffice", f"-env:UserInstallation=file://{folder / 'profile'}", "--headless", "--norestore"]
    words += ["--convert-to", EVERY_SHEET, "--outdir", str(folder), str(folder / "schedule.xlsx")]
    subprocess.run(
        words,
        capture_output=True,
        check=True,
        timeout=180,
        env={"HOME": str(folder), "PATH": "/usr/bin:/bin"},
    )
    found = {}
    for sheet in sheets(brief):
        text = (folder / f"schedule-{sheet.name}.csv").read_text(encoding="utf-8")
        found[sheet.name] = list(csv.reader(io.StringIO(text)))
    return found


def cell(grid: list[list[str]], sheet: Sheet, column: str, row: int = 0) -> float:
    at = [name for name, _ in sheet.columns].index(column)
    return float(grid[HEAD_ROWS + row][at])


@needs("soffice")
@pytest.mark.parametrize("name", ["gatehouse", "uneven", "smokehouse", "ropewalk"])
def test_a_spreadsheet_comes_to_the_numbers_of_the_answer(
    name: str, request: pytest.FixtureRequest, tmp_path: Path
) -> None:
    brief: Brief = brief_of(UNEVEN) if name == "uneven" else request.getfixturevalue(name)
    grids = recalculated(brief, tmp_path)
    formulas = 0
    for sheet in sheets(brief):
        for row, entries in enumerate((*sheet.rows, *sheet.foot), start=HEAD_ROWS):
            for at, entry in enumerate(entries):
                if isinstance(entry, Num | Formula):
                    assert float(grids[sheet.name][row][at]) == pytest.approx(entry.value, rel=1e-9, abs=1e-9)
                    formulas += isinstance(entry, Formula)
                elif entry:
                    assert grids[sheet.name][row][at].replace("\n", " ") == entry.replace("\n", " ")
    assert formulas >= 10
    _as_the_json(brief, grids)


def _as_the_json(brief: Brief, grids: dict[str, list[list[str]]]) -> None:
    """Compare with the answer as it is handed to other programs, not with the sheets."""
    answer: dict[str, Any] = brief.result.to_json()
    units, by_phase, _ = sheets(brief)
    for column, value in (
        ("kVA", answer["pick"]["kva"]),
        ("primary rated A", answer["currents"]["primary_rated_a"]),
        ("secondary rated A", answer["currents"]["secondary_rated_a"]),
    ):
        assert cell(grids["transformers"], units, column) == pytest.approx(value, rel=1e-9)
    running = sum(
        line["value"] for line in answer["working"] if re.fullmatch(r"load\[\d+\]\.running_kva", line["name"])
    )
    hung = sum("T1" in row for row in by_phase.rows)
    total = cell(grids["loads"], by_phase, "running kVA", len(by_phase.rows))
    assert running <= total + 1e-9 and total == pytest.approx(running, abs=0.01 * hung)
    on_phases = [cell(grids["loads"], by_phase, f"{phase} kVA", len(by_phase.rows)) for phase in "ABC"]
    assert sum(on_phases) == pytest.approx(total, abs=0.02 * len(by_phase.rows))


def run(*words: str | Path) -> str:
    ran = subprocess.run([str(word) for word in words], capture_output=True, check=True, timeout=180)
    return ran.stdout.decode()


@PAPER
@needs("pdftotext", "pdfdetach", "pdfinfo", "qpdf")
def test_two_readers_find_text_attachments_and_structure(
    paper: Paper, gatehouse: Brief, tmp_path: Path
) -> None:
    path = tmp_path / f"{paper.name}.pdf"
    path.write_bytes(pdf_of(paper.build(gatehouse), gatehouse, paper.name))

    assert "No syntax or stream encoding errors found" in run("qpdf", "--check", path)
    assert run("qpdf", "--show-attachment=job.toml", path) == gatehouse.text
    run("pdfdetach", "-saveall", "-o", tmp_path, path)
    assert (tmp_path / "job.toml").read_text(encoding="utf-8") == gatehouse.text
    answer = json.loads((tmp_path / "result.json").read_text(encoding="utf-8"))
    assert answer["pick"]["kva"] == 75

    text = " ".join(run("pdftotext", path, "-").split())
    assert "Quillhaven ferry quay, gatehouse panel" in text
    assert "Check with local code and a licensed electrician" in text
    about = run("pdfinfo", path)
    assert re.search(r"^Tagged: +yes$", about, re.MULTILINE) and "JavaScript:      no" in about
    structure = run("pdfinfo", "-struct", path)
    for tag in ("Document", "H1", "P (block)"):
        assert re.search(rf"^ *{re.escape(tag)}", structure, re.MULTILINE), tag
    assert "Quillhaven ferry quay" in structure


@needs("pdffonts")
def test_every_font_is_in_the_file(gatehouse: Brief, tmp_path: Path) -> None:
    path = tmp_path / "memo.pdf"
    path.write_bytes(pdf_of(PAPERS[0].build(gatehouse), gatehouse, "memo"))
    fonts = run("pdffonts", path).splitlines()[2:]
    assert fonts
    for line in fonts:
        embedded, subset, unicode_map = line.split()[-5:-2]
        assert (embedded, subset, unicode_map) == ("yes", "yes", "yes"), line
