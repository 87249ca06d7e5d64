"""Load lists as another program writes them: LibreOffice makes the workbook and the CSV from one sheet of ours."""

import shutil
import subprocess
from pathlib import Path

import pytest

from turnwright.ask import LoadList, load_list_job

SOURCE = Path(__file__).with_name("data") / "workshop.fods"
SEMICOLONS = "csv:Text - txt - csv (StarCalc):59,34,76,1"  # semicolon, quotes, UTF-8, from the first row


pytestmark = [
    pytest.mark.system,
    pytest.mark.skipif(shutil.which("soffice") is None, reason="libreoffice-calc is not installed"),
]


def made(folder: Path, form: str) -> Path:
    words = ["soffice", f"-env:UserInstallation=file://{folder / 'profile'}", "--headless", "--norestore"]
    words += ["--convert-to", form, "--outdir", str(folder), str(SOURCE)]
    where = {"HOME": str(folder), "PATH": "/usr/bin:/bin"}
    subprocess.run(words, capture_output=True, check=True, timeout=180, env=where)
    return folder / f"workshop.{form.partition(':')[0]}"


def judged(found: LoadList) -> None:
    lathe, mill, extractor, sockets = found.job.load
    assert (lathe.kw.value, lathe.quantity.value, lathe.power_factor.value) == (7.5, 2.0, 0.82)
    assert (mill.name, mill.kw.value) == ("Milling machine", 11.0)
    assert extractor.hp.value == 5.0
    assert (sockets.kw.value, sockets.quantity.value, sockets.system.text) == (1.5, 6.0, "120 1ph")
    assert sockets.note == "20 A each"
    fates = {row.number: row.fate for row in found.rows}
    assert fates == {6: "load", 7: "load", 8: "load", 9: "load", 10: "spare", 11: "sum"}
    assert found.job.title == "Ravenbeck mill, workshop 2 - load list"
    assert any("rev. B" in one for one in found.unread)


def test_a_workbook_with_merged_cells_and_formulas(tmp_path: Path) -> None:
    found = load_list_job(made(tmp_path, "xlsx"), supply="480Y/277")
    judged(found)
    assert [load.system.text for load in found.job.load[:3]] == ["208 3ph"] * 3  # merged downwards
    assert not found.questions
    assert any("not checked" in one for one in found.assumed)  # "5 HP" stands under kW


def test_a_csv_of_the_same_sheet_in_which_merged_cells_are_empty(tmp_path: Path) -> None:
    found = load_list_job(made(tmp_path, SEMICOLONS), supply="480Y/277")
    judged(found)
    assert found.job.load[0].system.text == "208 3ph"
    assert {one.key for one in found.questions} == {"load[1].system", "load[2].system"}
