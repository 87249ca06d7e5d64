"""`turnwright vet` on the command line: exit status, text, JSON, and what it refuses."""

import json

import pytest

from turnwright.cli.main import main

JOB = '[supply]\nsystem = "480Y/277"\n[[load]]\nname = "office"\nsystem = "208Y/120"\nkva = "40 kVA"\n'
UNIT = '[unit]\nunit = "T-14"\nkva = "{kva} kVA"\nprimary = "480 delta"\nsecondary = "208Y/120"\n'


@pytest.fixture
def files(tmp_path):
    def write(**texts):
        paths = {}
        for name, text in texts.items():
            suffix = "csv" if name == "stock" else "toml"
            (tmp_path / f"{name}.{suffix}").write_text(text, encoding="utf-8")
            paths[name] = str(tmp_path / f"{name}.{suffix}")
        return paths

    return write


@pytest.mark.parametrize(("kva", "status", "verdict"), [(75, 0, "fit"), (30, 3, "unfit")])
def test_status_follows_the_verdict(kva, status, verdict, files, capsys):
    paths = files(job=JOB, unit=UNIT.format(kva=kva))
    assert main(["vet", paths["job"], "--unit", paths["unit"], "--format", "json"]) == status
    tree = json.loads(capsys.readouterr().out)
    assert tree["verdict"].startswith(verdict)
    assert {"criteria", "binds", "spare_kva", "findings", "questions", "working", "tool"} <= set(tree)
    first = tree["criteria"][0]
    assert {"name", "value", "limit", "measure", "margin_pct", "ok", "clause"} <= set(first)


def test_needs_input_has_a_status_of_its_own(files, capsys):
    paths = files(job=JOB, unit='[unit]\nkva = "75 kVA"\nprimary = "480 delta"\n')
    assert main(["vet", paths["job"], "--offer", paths["unit"]]) == 4
    assert "Not enough is known yet to judge the unit." in capsys.readouterr().out


def test_the_page_says_what_binds_within_its_width(files, capsys):
    paths = files(job=JOB, unit=UNIT.format(kva=30))
    assert main(["vet", paths["job"], "--unit", paths["unit"], "--all"]) == 3
    page = capsys.readouterr().out
    assert "T-14 does not do this job." in page and "not met  heat" in page
    assert max(len(line) for line in page.splitlines()) <= 80


def test_a_list(files, capsys):
    paths = files(
        job=JOB, stock="unit,kva,primary,secondary\nA,75,480 delta,208Y/120\nB,15,480 delta,208Y/120\n"
    )
    assert main(["vet", paths["job"], "--stock", paths["stock"]]) == 0
    page = capsys.readouterr().out
    assert "1 on the list would do this job." in page and "B: 40 kVA is needed" in page
    assert main(["vet", paths["job"], "--stock", paths["stock"], "--format", "json"]) == 0
    assert json.loads(capsys.readouterr().out)["rejected"][0]["unit"] == "B"
    none = files(job=JOB, stock="unit,kva,primary,secondary\nB,15,480 delta,208Y/120\n")
    assert main(["vet", none["job"], "--stock", none["stock"]]) == 3


@pytest.mark.parametrize("words", [[], ["--unit", "a.toml", "--stock", "b.csv"], ["--unit", "nowhere.toml"]])
def test_what_cannot_be_used_is_one_line_and_status_two(words, files, capsys):
    paths = files(job=JOB)
    assert main(["vet", paths["job"], *words]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1
