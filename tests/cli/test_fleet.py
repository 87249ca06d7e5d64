"""The command `fleet`: a page, JSON, what is left out, statuses, and nothing half-written."""

import json
from datetime import datetime, timedelta

import pytest

HEAD = "unit,time,load_pu,ambient_c"
UNITS = "unit,kva,secondary,rise,no_load_loss,load_loss\nA,75,208Y/120,150 K,350 W,1950 W\nB,45,208Y/120,115 K,,\n"


def rows_of(unit, load):
    start = datetime(2025, 7, 1)
    return [f"{unit},{start + timedelta(minutes=15 * i):%Y-%m-%d %H:%M},{load},30" for i in range(96)]


@pytest.fixture
def place(tmp_path):
    (tmp_path / "units.csv").write_text(UNITS)
    (tmp_path / "p.csv").write_text("\n".join([HEAD, *rows_of("A", 0.9), *rows_of("B", 1.1)]) + "\n")
    (tmp_path / "out").mkdir()
    return tmp_path


def words(place, *more, profiles="p.csv", out="out/o.csv"):
    return (
        "fleet",
        str(place / profiles),
        "--units",
        str(place / "units.csv"),
        "--out",
        str(place / out),
        *more,
    )


def test_the_page(run, place):
    ran = run(*words(place, "--price-kwh", "0.12 USD"))
    assert ran.status == 0 and ran.err == ""  # no terminal: no progress
    for word in ("B aged most", "2 units followed over 192 steps", "1 B", "2 A", "USD", "–"):
        assert word in ran.out
    assert max(map(len, ran.out.splitlines())) <= 80 or str(place) in ran.out
    assert (place / "out" / "o.csv").read_text().startswith("unit,hot_spot_max_c,")
    assert [path.name for path in (place / "out").iterdir()] == ["o.csv"]


def test_the_json(run, place):
    told = json.loads(run(*words(place, "--format", "json", out="out/o.parquet")).out)
    assert {"schema", "units", "out", "worst", "findings", "questions", "working", "tool"} <= set(told)
    assert (told["units"], told["out"]) == (2, str(place / "out" / "o.parquet"))
    assert [row["rank"] for row in told["worst"]] == [1, 2]
    assert told["worst"][0]["energy_loss_kwh"] is None and told["worst"][1]["energy_loss_kwh"] > 0


def test_one_bad_file_among_many(run, place):
    folder = place / "profiles"
    folder.mkdir()
    (folder / "a.csv").write_text("\n".join([HEAD, *rows_of("A", 0.9)]) + "\n")
    (folder / "bad.csv").write_text("nothing of use\n1\n")
    for i in range(6):
        (folder / f"z{i}.csv").write_text("\n".join([HEAD, *rows_of(f"Z{i}", 0.9)]) + "\n")
    ran = run(*words(place, profiles="profiles"))
    assert ran.status == 0 and "bad.csv" in ran.out and "FLT-03" in ran.out and "… 2 more: --all" in ran.out
    assert "Z5" in run(*words(place, "--all", profiles="profiles")).out
    told = json.loads(run(*words(place, "--format", "json", profiles="profiles")).out)
    assert {fault["code"] for fault in told["faults"]} == {"FLT-03", "FLT-11"}


@pytest.mark.parametrize(
    ("more", "told"),
    [
        (("--price-kwh", "twelve"), "--price-kwh"),
        (("--threads", "0"), "FLT-14"),
        (("--form", "quick"), "CLI-02"),
        (("--cluster", "tcp://h:1", "--threads", "2"), "CLI-03"),
    ],
)
def test_refusals(run, place, more, told):
    ran = run(*words(place, *more))
    assert (ran.status, ran.out) == (2, "") and told in ran.err and ran.err.count("\n") == 1
    assert list((place / "out").iterdir()) == []


def test_no_unit_that_can_be_followed(run, place):
    (place / "p.csv").write_text("\n".join([HEAD, *rows_of("X", 0.9)]) + "\n")
    ran = run(*words(place))
    assert ran.status == 2 and "not in the list" in ran.err and list((place / "out").iterdir()) == []


def test_the_report_is_written_beside_the_rows(run, place):
    ran = run(
        *words(place, "--papers", str(place / "papers"), "--as", "html,csv", "--title", "Ferry harbour")
    )
    assert ran.status == 0
    assert {path.name for path in (place / "papers").iterdir()} == {
        "fleet-report.html",
        "fleet-report-units.csv",
    }
    page = (place / "papers" / "fleet-report.html").read_text()
    assert "Ferry harbour" in page and "B over time" in page and page.count("<svg") >= 3
    again = run(*words(place, "--papers", str(place / "papers"), "--as", "html"))
    assert again.status == 2 and "OUT-02" in again.err
    assert run(*words(place, "--papers", str(place / "papers"), "--as", "html", "--force")).status == 0


@pytest.mark.parametrize(
    ("more", "told"),
    [(("--as", "html"), "CLI-03"), (("--force",), "CLI-03"), (("--papers", "x", "--as", "doc"), "DOC-02")],
)
def test_a_report_that_cannot_be_made_is_told_before_anything_is_followed(run, place, more, told):
    ran = run(*words(place, *more))
    assert (ran.status, ran.out) == (2, "") and told in ran.err
    assert list((place / "out").iterdir()) == []
