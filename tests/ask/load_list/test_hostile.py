"""Sheets that are no load lists, damaged, dangerous or too large: one sentence each, in bounded time."""

import zipfile
from pathlib import Path

import pytest
from openpyxl import Workbook

from turnwright.ask import load_list_job
from turnwright.cli.main import main
from turnwright.errors import InputError
from turnwright.intake.sheet_file import sheet_of_bytes

ROWS = [["Load", "kVA", "Volts", "Ph"], ["Oven", 12, 208, 3], ["Saw", 8, 208, 3]]


def book(path: Path, rows: list[list[object]] = ROWS) -> Path:
    made = Workbook()
    sheet = made.active
    assert sheet is not None
    for row in rows:
        sheet.append(row)
    made.save(path)
    return path


def test_a_formula_that_no_program_computed_is_not_silently_empty(tmp_path: Path) -> None:
    path = book(tmp_path / "a.xlsx", [*ROWS, ["Kiln", "=B2*2", 208, 3], ["Fan", "=1+", 208, 3]])
    found = load_list_job(path)
    assert any(one.startswith("cell B4: a formula") for one in found.unread)
    assert found.job.load[2].kva.form == "unknown"


def test_a_formula_is_text_in_a_csv_and_no_size(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text(
        'Load,kVA,Volts,Ph\nOven,12,208,3\nSaw,"=HYPERLINK(""http://x"",""9"")",208,3\n', encoding="utf-8"
    )
    found = load_list_job(path)
    assert found.job.load[1].kva.form == "unknown" and any("HYPERLINK" in one for one in found.unread)


def test_macros_are_neither_run_nor_needed(tmp_path: Path) -> None:
    path = book(tmp_path / "a.xlsx")
    with zipfile.ZipFile(path, "a") as package:
        package.writestr("xl/vbaProject.bin", b"\xd0\xcf\x11\xe0" + b"\0" * 512)
    assert len(load_list_job(path).job.load) == 2
    with pytest.raises(InputError, match="xlsm") as told:
        load_list_job(tmp_path / "a.xlsm")
    assert told.value.code == "FILE-07"


def test_a_bomb_is_refused_before_it_is_unpacked(tmp_path: Path) -> None:
    path = book(tmp_path / "a.xlsx")
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as package:
        package.writestr("xl/media/zeros.bin", b"\0" * 25_000_000)
    assert path.stat().st_size < 100_000
    with pytest.raises(InputError, match="unpacks to more than 20 MB"):
        load_list_job(path)


def test_entities_that_would_grow_without_end_are_refused(tmp_path: Path) -> None:
    path = book(tmp_path / "a.xlsx")
    laughs = "".join(f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 12))
    head = f'<?xml version="1.0"?><!DOCTYPE w [<!ENTITY l0 "ha">{laughs}]>'
    evil = f"{head}<worksheet><sheetData>&l11;</sheetData></worksheet>"
    parts = {}
    with zipfile.ZipFile(path) as package:
        parts = {name: package.read(name) for name in package.namelist()}
    with zipfile.ZipFile(path, "w") as package:
        for name, content in parts.items():
            package.writestr(name, evil if name == "xl/worksheets/sheet1.xml" else content)
    with pytest.raises(InputError):
        load_list_job(path)


@pytest.mark.parametrize(
    ("name", "content", "code"),
    [
        ("a.csv", "Load,kVA\nÖfen,12\n".encode("latin-1"), "FILE-03"),
        ("a.csv", "Load,kVA\nOven,12\n".encode("utf-16"), "FILE-03"),
        ("a.csv", b"", "LST-01"),
        ("a.csv", b"\n\n,,,\n", "LST-01"),
        ("a.csv", b"Oven,12\nSaw,8\n", "LST-01"),
        ("a.csv", b"Load,kVA\n", "LST-03"),
        ("a.csv", b"Load,kVA\nTotal,12\n", "LST-03"),
        ("a.csv", b"x" * 400_000, "FILE-09"),
        ("a.csv", b"Load,kVA\n" + b"a,1\n" * 5_001, "FILE-11"),
        ("a.csv", b"Load,kVA\n" + b"a,1\n" * 1_001, "LST-03"),
        ("a.xlsx", b"PK\x03\x04 no book", "FILE-09"),
        ("a.xlsx", b"Load,kVA\nOven,12\n", "FILE-09"),
        ("a.ods", b"", "FILE-07"),
    ],
)
def test_what_is_no_list_is_one_sentence(
    tmp_path: Path, name: str, content: bytes, code: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(InputError) as told:
        load_list_job(path)
    assert told.value.code == code
    assert main(["read", str(path)]) == 2
    out, err = capsys.readouterr()
    assert out == "" and "Traceback" not in err and err.count("\n") <= 2
    assert path.read_bytes() == content


def test_a_file_of_100_mb_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    with path.open("wb") as file:
        file.truncate(100_000_000)
    with pytest.raises(InputError) as told:
        load_list_job(path)
    assert told.value.code == "FILE-04"


def test_a_sheet_that_reaches_to_the_last_row_says_so(tmp_path: Path) -> None:
    path = book(tmp_path / "a.xlsx")
    made = Workbook()
    sheet = made.active
    assert sheet is not None
    for row in ROWS:
        sheet.append(row)
    sheet.cell(1_048_576, 1, "x")
    made.save(path)
    with pytest.raises(InputError, match="1048576 rows"):
        load_list_job(path)


def test_bytes_are_read_as_what_they_hold(tmp_path: Path) -> None:
    path = book(tmp_path / "a.xlsx")
    assert sheet_of_bytes(path.read_bytes(), "list.csv", "load list").rows[1] == ("Oven", "12", "208", "3")
    assert sheet_of_bytes(b"\xef\xbb\xbfLoad;kVA\nOven;12\n", "list.xlsx", "load list").rows[1] == (
        "Oven",
        "12",
    )
    with pytest.raises(InputError, match="not a text in UTF-8"):
        sheet_of_bytes(b"\xff\xfe\x00", "list", "load list")


def test_sheets_and_hidden_rows_are_told(tmp_path: Path) -> None:
    made = Workbook()
    sheet = made.active
    assert sheet is not None
    for row in ROWS:
        sheet.append(row)
    sheet.row_dimensions[3].hidden = True
    made.create_sheet("Second").append(["Load", "kVA"])
    made.save(tmp_path / "a.xlsx")
    found = load_list_job(tmp_path / "a.xlsx")
    assert any("rows 3 are hidden" in one for one in found.unread)
    assert any("Second" in one for one in found.unread)
