"""Loads of a list added to a job: its own facts stay, a load without a size gives way."""

import json
from pathlib import Path

import pytest

from turnwright.ask import job_of_sheet
from turnwright.ask.load_list.into_job import into_job
from turnwright.cli.main import main
from turnwright.intake import read_job
from turnwright.intake.sheet_file import sheet_of_csv

LIST = "Panel LP-1 208Y/120V\nfed from 480Y/277\nLoad,kVA,Volts,Ph\nOven,12,208,3\nSaw,8,208,3\n"
JOB = """title = "Mill"
[supply]
system = "600Y/347"      # measured
[[load]]
name = "lights"
system = "208Y/120"
kva = "9 kVA"
"""


def test_what_the_job_says_counts_before_the_list() -> None:
    found = job_of_sheet(sheet_of_csv(LIST, "list.csv"))
    job = read_job(into_job(JOB, found))
    assert job.supply.system.text == "600Y/347" and job.title == "Mill"
    assert [load.name for load in job.load] == ["lights", "Oven", "Saw"]


def test_an_empty_load_gives_way() -> None:
    found = job_of_sheet(sheet_of_csv(LIST, "list.csv"))
    job = read_job(into_job("schema = 1\n\n[[load]]\n", found))
    assert [load.name for load in job.load] == ["Oven", "Saw"] and job.supply.system.text == "480Y/277"


def test_on_the_command_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "list.csv").write_text(LIST, encoding="utf-8")
    (tmp_path / "job.toml").write_text(JOB, encoding="utf-8")
    words = ["read", str(tmp_path / "list.csv"), "--into", str(tmp_path / "job.toml")]
    assert main(words) == 0
    assert len(read_job(capsys.readouterr().out).load) == 3
    assert main([*words, "--format", "json"]) == 0
    assert len(read_job(json.loads(capsys.readouterr().out)["job"]).load) == 3
    assert (
        main(["read", str(tmp_path / "list.csv"), "--column", "kVA=kw", "--select", "--supply", "480Y/277"])
        == 0
    )
    assert "as you said" in capsys.readouterr().out
    assert main(["read", str(tmp_path / "list.csv"), "--column", "kVA"]) == 2
