"""`document` and `verify` as a person types them: what is written, said, and returned."""

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest

Ran = tuple[int, str, str]
Run = Callable[..., Ran]
EXAMPLES = Path(__file__).parents[2] / "examples"
GATEHOUSE = str(EXAMPLES / "gatehouse.toml")
BAKERY = str(EXAMPLES / "bakery.toml")


def listed(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_memo_is_written_and_said(run: Run, tmp_path: Path) -> None:
    status, out, err = run(
        "document", GATEHOUSE, "--out", str(tmp_path / "out"), "--only", "memo", "--as", "html"
    )
    assert (status, err) == (0, "")
    assert listed(tmp_path / "out") == ["memo.html"]
    assert "One three-phase 75 kVA unit" in out and "memo.html" in out
    assert all(len(line) <= 80 for line in out.splitlines() if str(tmp_path) not in line)


def test_a_refused_job_has_its_memo_all_the_same(run: Run, tmp_path: Path) -> None:
    status, out, err = run("document", BAKERY, "--out", str(tmp_path), "--as", "html")
    assert (status, err) == (3, "")
    assert listed(tmp_path) == ["memo.html"]
    assert "No transformer does this job as it is given." in (tmp_path / "memo.html").read_text(
        encoding="utf-8"
    )
    assert "not written: no unit was picked" in " ".join(out.split())


def test_too_little_known_gives_a_memo_and_4(run: Run, tmp_path: Path) -> None:
    job = b'[supply]\nsystem = "480Y/277"\n[[load]]\nsystem = "240 3ph"\n'
    status, _, err = run("document", "-", "--out", str(tmp_path), "--as", "html", stdin=job)
    assert (status, err) == (4, "")
    assert listed(tmp_path) == ["memo.html"]


def test_papers_that_are_there_stay_unless_forced(run: Run, tmp_path: Path) -> None:
    words = ("document", GATEHOUSE, "--out", str(tmp_path), "--only", "memo", "--as", "html")
    (tmp_path / "memo.html").write_bytes(b"signed by hand")
    status, out, err = run(*words)
    assert (status, out) == (2, "")
    assert "memo.html is there already." in err and "--force" in err and err.count("\n") == 1
    assert (tmp_path / "memo.html").read_bytes() == b"signed by hand"
    assert run(*words, "--force")[0] == 0
    assert (tmp_path / "memo.html").read_bytes() != b"signed by hand"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--only", "memmo"), "there is no paper 'memmo'. Did you mean 'memo'?"),
        (("--as", "word"), "there is no form 'word'."),
        (("--measure", "imperial"), "invalid choice"),
        (("--date", "1 May"), "'1 May' is no date."),
        (("--date", "2027-02-30"), "'2027-02-30' is no date."),
    ],
)
def test_words_that_cannot_be_used(run: Run, tmp_path: Path, words: tuple[str, str], said: str) -> None:
    status, out, err = run("document", GATEHOUSE, "--out", str(tmp_path / "out"), *words)
    assert (status, out) == (2, "")
    assert said in err
    assert not (tmp_path / "out").exists()


def test_a_folder_is_required(run: Run) -> None:
    status, out, err = run("document", GATEHOUSE)
    assert (status, out) == (2, "") and "--out" in err


def test_json_alone_on_standard_output(run: Run, tmp_path: Path) -> None:
    status, out, err = run(
        "document",
        GATEHOUSE,
        "--out",
        str(tmp_path),
        "--only",
        "memo,labels",
        "--as",
        "html",
        "--format",
        "json",
    )
    tree = json.loads(out)
    assert (status, err) == (0, "")
    assert tree["schema"] == 1 and tree["verdict"] == "selected"
    assert [one["file"] for one in tree["papers"]] == ["memo.html", "labels.html"]
    assert {"findings", "questions", "working", "tool"} <= set(tree)
    from hashlib import sha256

    for one in tree["papers"]:
        content = (tmp_path / one["file"]).read_bytes()
        assert (one["bytes"], one["sha256"]) == (len(content), sha256(content).hexdigest())


def test_measure_sets_page_and_units(run: Run, tmp_path: Path) -> None:
    words = ("document", GATEHOUSE, "--out", str(tmp_path), "--only", "memo", "--as", "html", "--force")
    run(*words)
    assert "size: Letter" in (tmp_path / "memo.html").read_text(encoding="utf-8")
    run(*words, "--measure", "metric")
    text = (tmp_path / "memo.html").read_text(encoding="utf-8")
    assert "size: A4" in text and "60 ft (18.3 m)" in text


def test_the_memo_needs_no_package_beyond_the_core(tmp_path: Path) -> None:
    blocked = """
import sys
for name in ("typst", "xlsxwriter", "pypdf", "numpy", "jinja2"):
    sys.modules[name] = None
from turnwright.cli.main import main
sys.exit(main(sys.argv[1:]))
"""
    words = ["document", GATEHOUSE, "--out", str(tmp_path / "a"), "--only", "memo"]
    ran = subprocess.run(
        [sys.executable, "-c", blocked, *words, "--as", "html"], capture_output=True, check=False
    )
    assert (ran.returncode, ran.stderr) == (0, b"")
    assert listed(tmp_path / "a") == ["memo.html"]


def test_a_paper_stands_until_it_is_changed(run: Run, tmp_path: Path) -> None:
    pytest.importorskip("typst")
    pytest.importorskip("pypdf")
    run(
        "document",
        GATEHOUSE,
        "--out",
        str(tmp_path),
        "--only",
        "labels",
        "--as",
        "pdf",
        "--date",
        "2026-11-30",
    )
    paper = tmp_path / "labels.pdf"
    status, out, err = run("verify", str(paper))
    assert (status, err) == (0, "") and "It stands" in out
    status, out, err = run("verify", str(paper), "--format", "json")
    tree = json.loads(out)
    assert (status, tree["stands"], tree["changed"]) == (0, True, [])
    assert {"schema", "findings", "questions", "working", "tool"} <= set(tree)
    paper.write_bytes(paper.read_bytes()[:2000])
    status, out, err = run("verify", str(paper))
    assert (status, out) == (2, "") and "damaged or cut short" in err


def test_a_paper_that_no_longer_stands_says_what_and_why(
    run: Run, tmp_path: Path, samples: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    pytest.importorskip("typst")
    pytest.importorskip("pypdf")
    run("document", GATEHOUSE, "--out", str(tmp_path), "--only", "labels", "--as", "pdf")
    monkeypatch.setattr("turnwright.narrow.select", lambda job, **_: samples.SELECTED)
    status, out, err = run("verify", str(tmp_path / "labels.pdf"))
    assert (status, err) == (3, "")
    assert "It no longer stands" in out
    assert "75 on paper, now 300" in out and "the reference tables changed" in " ".join(out.split())
    tree = json.loads(run("verify", str(tmp_path / "labels.pdf"), "--format", "json")[1])
    assert tree["stands"] is False
    moved = {one["path"]: one for one in tree["changed"]}
    assert moved["pick.kva"]["paper"] == 75.0 and moved["pick.kva"]["now"] == 300.0
    assert moved["pick.kva"]["why"]


def test_a_file_that_is_not_ours_is_told(run: Run, tmp_path: Path) -> None:
    pytest.importorskip("pypdf")
    (tmp_path / "other.pdf").write_bytes(b"plain text")
    status, out, err = run("verify", str(tmp_path / "other.pdf"))
    assert (status, out) == (2, "") and "this is no PDF" in err and err.count("\n") == 1
