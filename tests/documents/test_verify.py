"""A paper read back: it stands, it no longer stands and why, or it is not ours."""

import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import msgspec
import pytest

from turnwright.documents.brief import Brief
from turnwright.documents.changes import changes, differences
from turnwright.documents.papers.labels import labels
from turnwright.documents.papers.memo import memo
from turnwright.documents.verify import verify
from turnwright.errors import InputError, MissingExtra

pytest.importorskip("typst")
pypdf = pytest.importorskip("pypdf")

from turnwright.documents import read_back as reading  # noqa: E402
from turnwright.documents.attachments import JOB, MADE, RESULT, digest_of  # noqa: E402
from turnwright.documents.writers.pdf import pdf_of  # noqa: E402


@pytest.fixture(scope="session")
def paper(gatehouse: Brief) -> bytes:
    return pdf_of(memo(gatehouse), gatehouse, "memo")


def saved(folder: Path, content: bytes) -> Path:
    path = folder / "memo.pdf"
    path.write_bytes(content)
    return path


def with_attachments(paper: bytes, change: Callable[[dict[str, bytes]], None]) -> bytes:
    """Return the paper with its attachments changed, as an editor of PDF would save it."""
    reader = pypdf.PdfReader(io.BytesIO(paper))
    files = {name: bytes(versions[0]) for name, versions in reader.attachments.items()}
    change(files)
    writer = pypdf.PdfWriter()
    for page in reader.pages:
        writer.add_page(page)
    for name, content in files.items():
        writer.add_attachment(name, content)
    made = io.BytesIO()
    writer.write(made)
    return made.getvalue()


def consistent(files: dict[str, bytes], **of_made: Any) -> None:
    """Let the record of the paper agree with its changed files, as a careful forger would."""
    made = json.loads(files[MADE])
    made |= {"job_sha256": digest_of(files[JOB].decode()), "result_sha256": digest_of(files[RESULT].decode())}
    files[MADE] = json.dumps(made | of_made).encode()


def test_a_paper_as_it_was_made_stands(tmp_path: Path, paper: bytes) -> None:
    found = verify(saved(tmp_path, paper))
    assert found.stands and found.changed == () and found.findings == ()
    assert (found.paper, found.title) == ("memo", "Quillhaven ferry quay, gatehouse panel")


def test_a_refused_job_s_memo_stands_too(tmp_path: Path, bakery: Brief) -> None:
    assert verify(saved(tmp_path, pdf_of(memo(bakery), bakery, "memo"))).stands


def test_remarks_added_behind_it_are_said(tmp_path: Path, paper: bytes) -> None:
    writer = pypdf.PdfWriter(io.BytesIO(paper), incremental=True)
    writer.pages[0][pypdf.generic.NameObject("/Remark")] = pypdf.generic.TextStringObject("seen")
    added = io.BytesIO()
    writer.write(added)
    assert added.getvalue().startswith(paper)
    found = verify(saved(tmp_path, added.getvalue()))
    assert found.stands and [finding.code for finding in found.findings] == ["added-to"]


def test_a_paper_saved_again_with_the_same_pages_stands_with_a_word(tmp_path: Path, paper: bytes) -> None:
    found = verify(saved(tmp_path, with_attachments(paper, lambda files: None)))
    assert found.stands and [finding.code for finding in found.findings] == ["saved-again"]


def test_a_page_that_was_changed_no_longer_stands(tmp_path: Path, paper: bytes) -> None:
    reader = pypdf.PdfReader(io.BytesIO(paper))
    writer = pypdf.PdfWriter()
    for page in reversed(reader.pages):
        writer.add_page(page)
    for name, versions in reader.attachments.items():
        writer.add_attachment(name, bytes(versions[0]))
    made = io.BytesIO()
    writer.write(made)
    found = verify(saved(tmp_path, made.getvalue()))
    assert not found.stands
    assert found.changed[0].path == "page 1"
    assert found.changed[0].why == "the page was changed after it was made"


def test_a_changed_job_inside_is_told_with_what_it_moves(tmp_path: Path, paper: bytes) -> None:
    def change(files: dict[str, bytes]) -> None:
        files[JOB] = files[JOB].replace(b'current = "52 A"', b'current = "152 A"')

    found = verify(saved(tmp_path, with_attachments(paper, change)))
    assert not found.stands
    assert found.changed[0].path == "job file inside the paper"
    moved = {one.path: one for one in found.changed}
    assert moved["demand.kva"].paper == pytest.approx(39.33, abs=0.01)
    assert moved["demand.kva"].now > moved["demand.kva"].paper
    assert "load[0].current was 52.0, now 152.0" in moved["demand.kva"].why


def test_a_changed_result_inside_is_told(tmp_path: Path, paper: bytes) -> None:
    def change(files: dict[str, bytes]) -> None:
        result = json.loads(files[RESULT])
        result["pick"]["kva"] = 45.0
        files[RESULT] = json.dumps(result).encode()
        consistent(files)

    found = verify(saved(tmp_path, with_attachments(paper, change)))
    assert [(one.path, one.paper, one.now) for one in found.changed] == [("pick.kva", 45.0, 75.0)]


def test_other_tables_or_another_tool_are_named_as_the_reason(tmp_path: Path, paper: bytes) -> None:
    def change(files: dict[str, bytes]) -> None:
        result = json.loads(files[RESULT])
        result["efficiency"]["law_pct"] = 98.4
        for line in result["working"]:
            if line["name"].endswith(".min_efficiency_pct"):
                line["value"] = 98.4
        result["pick"]["enclosure"] = "open"
        result["tool"] = {"version": "0.0.1", "tables": "sha256:00"}
        files[RESULT] = json.dumps(result).encode()
        consistent(files, version="0.0.1", tables="sha256:00")

    moved = {one.path: one for one in verify(saved(tmp_path, with_attachments(paper, change))).changed}
    assert "min_efficiency_pct was 98.4, now 98.6" in moved["efficiency.law_pct"].why
    assert "10 CFR" in moved["efficiency.law_pct"].why
    assert "the reference tables changed" in moved["pick.enclosure"].why
    assert "made by version 0.0.1" in moved["pick.enclosure"].why


def test_a_job_that_can_no_longer_be_read_no_longer_stands(tmp_path: Path, paper: bytes) -> None:
    def change(files: dict[str, bytes]) -> None:
        files[JOB] = b'nonsense = "?"\n'
        consistent(files)

    found = verify(saved(tmp_path, with_attachments(paper, change)))
    assert not found.stands and "nonsense" in found.changed[-1].why


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "VERIFY-01"),
        (b"not a pdf at all", "VERIFY-01"),
        (b"%PDF-1.7\n", "VERIFY-03"),
        (b"%PDF-1.7\n" + bytes(range(256)) * 40, "VERIFY-03"),
    ],
)
def test_what_is_no_paper_is_told(tmp_path: Path, content: bytes, code: str) -> None:
    with pytest.raises(InputError) as error:
        verify(saved(tmp_path, content))
    assert error.value.code == code


def test_a_pdf_of_somebody_else_is_not_ours(tmp_path: Path) -> None:
    writer = pypdf.PdfWriter()
    writer.add_blank_page(100, 100)
    made = io.BytesIO()
    writer.write(made)
    with pytest.raises(InputError, match="carries no job of ours"):
        verify(saved(tmp_path, made.getvalue()))


def test_a_locked_pdf_is_told(tmp_path: Path, paper: bytes) -> None:
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(paper))
    writer.encrypt("secret", algorithm="RC4-128")
    made = io.BytesIO()
    writer.write(made)
    with pytest.raises(InputError) as error:
        verify(saved(tmp_path, made.getvalue()))
    assert error.value.code == "VERIFY-04"


@pytest.fixture(scope="session")
def short_paper(gatehouse: Brief) -> bytes:
    return pdf_of(labels(gatehouse), gatehouse, "labels")


@pytest.mark.parametrize("part", [0.1, 0.5, 0.9, 0.999])
def test_a_truncated_paper_is_damaged_or_told_as_changed(
    tmp_path: Path, short_paper: bytes, part: float
) -> None:
    path = saved(tmp_path, short_paper[: int(len(short_paper) * part)])
    try:
        found = verify(path)
    except InputError as error:
        assert error.code in ("VERIFY-02", "VERIFY-03")
    else:
        assert found.stands is False or found.findings


def test_bytes_flipped_anywhere_never_pass_in_silence(tmp_path: Path, short_paper: bytes) -> None:
    for at in range(1, len(short_paper), len(short_paper) // 9):
        content = bytearray(short_paper)
        content[at] ^= 0xFF
        try:
            found = verify(saved(tmp_path, bytes(content)))
        except InputError as error:
            assert error.code.startswith("VERIFY-")
        else:
            assert not found.stands or found.findings


def test_a_paper_of_a_later_layout_asks_for_an_update(tmp_path: Path, paper: bytes) -> None:
    def change(files: dict[str, bytes]) -> None:
        consistent(files, layout=99)

    with pytest.raises(InputError) as error:
        verify(saved(tmp_path, with_attachments(paper, change)))
    assert error.value.code == "VERIFY-05"


@pytest.mark.parametrize("record", [b"{", b"[]", b'{"layout": 1}', b"\xff\xfe", b'{"layout": "x"}'])
def test_a_broken_record_is_damage(tmp_path: Path, paper: bytes, record: bytes) -> None:
    def change(files: dict[str, bytes]) -> None:
        files[MADE] = record

    with pytest.raises(InputError) as error:
        verify(saved(tmp_path, with_attachments(paper, change)))
    assert error.value.code == "VERIFY-03"


def test_files_that_cannot_be_read_are_told(tmp_path: Path) -> None:
    for path, code in ((tmp_path / "none.pdf", "FILE-01"), (tmp_path, "FILE-02"), (Path("nul\0"), "FILE-05")):
        with pytest.raises(InputError) as error:
            verify(path)
        assert error.value.code == code


def test_without_the_part_that_reads_pdf_the_extra_is_named(
    tmp_path: Path, paper: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    import sys

    monkeypatch.setitem(sys.modules, "pypdf", None)
    with pytest.raises(MissingExtra, match=r"turnwright\[documents\]"):
        reading.read_back(saved(tmp_path, paper))


def test_numbers_that_differ_in_the_last_digits_are_the_same() -> None:
    assert list(differences({"a": 1.0}, {"a": 1.0 + 1e-12})) == []
    assert list(differences({"a": 1.0}, {"a": True})) == []
    assert list(differences({"a": 1.0}, {"a": 1.001})) == [("a", 1.0, 1.001)]


def test_findings_are_told_apart_by_their_code() -> None:
    old = {"findings": [{"code": "a", "message": "x"}, {"code": "b", "message": "y"}]}
    new = {"findings": [{"code": "b", "message": "y"}, {"code": "c", "message": "z"}]}
    found = [(path, before, after) for path, before, after in differences(old, new)]
    assert [path for path, _, _ in found] == ["findings[a]", "findings[c]"]


def test_an_edition_that_moved_on_is_the_reason(gatehouse: Brief) -> None:
    now = gatehouse.result.to_json()
    paper = msgspec.json.decode(msgspec.json.encode(now))
    paper["job"]["edition"] = "2020"
    paper["voltage"]["regulation_pct"] = 9.0
    moved = {one.path: one.why for one in changes(paper, now, edited=False)}
    assert moved["voltage.regulation_pct"] == "edition 2020, now 2023"


def test_working_that_somebody_damaged_is_passed_over() -> None:
    now = {"kva": 45.0, "working": [{"name": "kva", "value": 45.0, "from": {"load": "load_kva"}}]}
    for damaged in (
        [{"value": 30.0}],
        ["kva"],
        "kva",
        [{"name": "kva", "value": 30.0, "from": "load"}],
        None,
    ):
        (change,) = changes({"kva": 30.0, "working": damaged}, now, edited=True)
        assert (change.path, change.paper, change.now) == ("kva", 30.0, 45.0)
