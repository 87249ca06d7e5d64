"""The fleet page: files in, progress, the ranked units, one over time, papers, stop, delete, and what is refused."""

from __future__ import annotations

import time
from datetime import datetime, timedelta
from functools import partial
from pathlib import Path

import anyio
import pytest
from starlette.testclient import TestClient

from turnwright.errors import InputError
from turnwright.web.app import make_app
from turnwright.web.fleet import upload
from turnwright.web.fleet.asked import Asked
from turnwright.web.fleet.runs import MOST_RUNS, Run, Runs
from turnwright.web.fleet.upload import safe_name
from turnwright.web.work import Work

ADDRESS = "http://127.0.0.1"
HEAD = "unit,time,load_pu,ambient_c"
UNITS = "unit,kva,secondary,rise,no_load_loss,load_loss\nA,75,208Y/120,150 K,350 W,1950 W\nB,45,208Y/120,115 K,,\n"
LISTED = ("units.csv", UNITS.encode())
WAIT_S = 60.0


def rows_of(unit: str, load: float, start: datetime = datetime(2025, 7, 1)) -> list[str]:
    return [f"{unit},{start + timedelta(minutes=15 * i):%Y-%m-%d %H:%M},{load},30" for i in range(96)]


def text_of(*rows: list[str]) -> bytes:
    return "\n".join([HEAD, *(line for some in rows for line in some)]).encode() + b"\n"


PROFILES = text_of(rows_of("A", 0.9), rows_of("B", 1.1))


def send_files(client: TestClient, profiles=(("p.csv", PROFILES),), units=LISTED, **typed):
    files = [("profiles", each) for each in profiles] + ([("units", units)] if units else [])
    fields = {f"o.{name}": value for name, value in typed.items()}
    return client.post("/fleet", files=files, data=fields, follow_redirects=False)


def over(client: TestClient, address: str):
    """Return the page of a fleet once it is over."""
    until = time.monotonic() + WAIT_S
    while time.monotonic() < until:
        answer = client.get(address)
        if "hx-trigger" not in answer.text:
            return answer
        time.sleep(0.1)
    raise AssertionError("it is not over")


@pytest.fixture(scope="module")
def followed(client: TestClient) -> str:
    pytest.importorskip("pyarrow")
    later = text_of(rows_of("A", 0.9, datetime(2025, 7, 2)))
    sent = send_files(
        client,
        (("p.csv", PROFILES), ("p.csv", later), ("bad.csv", b"nothing of use\n1\n")),
        title="Ferry harbour",
        price_kwh="0.12 USD",
    )
    assert sent.status_code == 303
    address: str = sent.headers["location"]
    assert "By rank" in over(client, address).text
    return address


def test_the_form_has_a_label_for_every_field(client: TestClient, read_page) -> None:
    page = read_page(client.get("/fleet").text)
    assert page.unbalanced == []
    fields = [each for tag in ("input", "select") for each in page.all(tag)]
    assert {each["id"] for each in fields} <= {each["for"] for each in page.all("label")}
    assert page.all("form")[0]["enctype"] == "multipart/form-data" and page.all("button")


def test_the_ranked_units_and_what_was_left_out(client: TestClient, read_page, followed: str) -> None:
    page = read_page(client.get(followed).text)
    assert page.unbalanced == []
    for word in (
        "B aged most",
        "2 units followed over 288 steps",
        "Ferry harbour",
        "USD",
        "bad.csv",
        "FLT-03",
    ):
        assert word in page.text
    assert [each["href"] for each in page.all("a") if "/unit/" in each["href"]] == [
        f"{followed}/unit/1",
        f"{followed}/unit/2",
    ]
    assert "Ferry harbour" in client.get("/fleet").text


def test_the_numbers_are_those_of_the_library(client: TestClient, tmp_path: Path, followed: str) -> None:
    from turnwright.fleet import run_fleet
    from turnwright.fleet.results import read_rows

    got = client.get(f"{followed}/units.csv")
    assert got.headers["content-disposition"].startswith('attachment; filename="ferry-harbour-units.csv"')
    (tmp_path / "got.csv").write_bytes(got.content)
    (tmp_path / "p").mkdir()
    (tmp_path / "p" / "1.csv").write_bytes(PROFILES)
    (tmp_path / "p" / "2.csv").write_bytes(text_of(rows_of("A", 0.9, datetime(2025, 7, 2))))
    (tmp_path / "units.csv").write_text(UNITS)
    report = run_fleet(tmp_path / "p", tmp_path / "units.csv", tmp_path / "o.csv")
    for ours, theirs in zip(read_rows(tmp_path / "got.csv"), report.worst, strict=True):
        assert (ours.unit, ours.hot_spot_max_c, ours.life_used_h) == (
            theirs.unit,
            theirs.hot_spot_max_c,
            theirs.life_used_h,
        )


def test_one_unit_over_time(client: TestClient, read_page, followed: str) -> None:
    page = read_page(client.get(f"{followed}/unit/2").text)
    assert page.unbalanced == []
    assert len(page.all("svg")) == 3 and "The hottest spot of A reached" in page.text
    assert "In 48 h it used" in page.text  # both files, in the order of time
    assert client.get(f"{followed}/unit/3").status_code == 400
    assert "FLT-11" in client.get(f"{followed}/unit/x").text


@pytest.mark.parametrize("form", ["html", "csv", "xlsx", "pdf"])
def test_the_report_is_taken_away(client: TestClient, followed: str, form: str) -> None:
    pytest.importorskip({"pdf": "typst", "xlsx": "xlsxwriter"}.get(form, "csv"))
    got = client.get(f"{followed}/report.{form}")
    begins = {"html": b"<!DOCTYPE html>", "csv": "\ufeffrank,unit".encode(), "xlsx": b"PK", "pdf": b"%PDF-"}
    assert got.status_code == 200 and got.content.startswith(begins[form])
    assert "attachment" in got.headers["content-disposition"]
    assert client.get(f"{followed}/report.doc").status_code == 400


def test_the_table_goes_on_from_a_rank(client: TestClient, read_page, followed: str) -> None:
    page = read_page(client.get(f"{followed}?from=2").text)
    assert "Rank 2 to 2 of 2" in page.text and "those before" in page.text
    for odd in ("x", "-1", "99999999999", "0"):
        assert client.get(f"{followed}?from={odd}").status_code == 200


def test_a_fleet_that_cannot_be_followed_says_why(client: TestClient) -> None:
    sent = send_files(client, (("p.csv", text_of(rows_of("X", 0.9))),))
    told = over(client, sent.headers["location"])
    assert "FLT-11" in told.text and "not in the list" in told.text
    assert client.get(f"{sent.headers['location']}/units.csv").status_code == 404


def test_it_is_deleted(client: TestClient) -> None:
    address = send_files(client).headers["location"]
    over(client, address)
    gone = client.post(f"{address}/delete", follow_redirects=False)
    assert (gone.status_code, gone.headers["location"]) == (303, "/fleet")
    assert client.get(address).status_code == 404
    assert client.post(f"{address}/delete", follow_redirects=False).status_code == 303


@pytest.mark.parametrize(
    ("sent", "told"),
    [
        ({"profiles": ()}, "no file came"),
        ({"units": None}, "no file came"),
        ({"profiles": (("p.txt", PROFILES),)}, "not read"),
        ({"units": ("u.exe", b"MZ")}, "not read"),
        ({"price_kwh": "twelve"}, "Cannot be used"),
        ({"standard": "none"}, "Cannot be used"),
        ({"price_kwh": "-1 USD"}, "Cannot be used"),
    ],
)
def test_what_cannot_be_used_is_told_on_the_page(client: TestClient, read_page, sent, told: str) -> None:
    before = len(client.app.state.runs.kept())
    answer = send_files(client, **sent)
    page = read_page(answer.text)
    assert answer.status_code == 200 and told in page.text and page.unbalanced == []
    assert len(client.app.state.runs.kept()) == before


def test_other_kinds_of_requests_are_refused(client: TestClient) -> None:
    assert client.post("/fleet", data={"o.title": "x"}).status_code == 415
    assert (
        client.post("/fleet", content=b"", headers={"content-type": "multipart/form-data"}).status_code == 400
    )
    assert client.get("/fleet/none").status_code == 404
    assert client.get("/fleet/../../etc/passwd").status_code == 404
    assert client.post("/fleet/none/stop").status_code == 404
    foreign = client.post(
        "/fleet", files={"units": ("u.csv", b"x")}, headers={"origin": "http://example.com"}
    )
    assert foreign.status_code == 403


def test_more_than_is_taken_is_refused_as_it_comes(client: TestClient, monkeypatch) -> None:
    monkeypatch.setattr(upload, "MOST_BYTES", 10_000)
    answer = send_files(client, (("p.csv", b"x" * 20_000),))
    assert answer.status_code == 413 and "turnwright fleet" in answer.text


@pytest.mark.parametrize(
    ("sent", "kept"),
    [
        ("../../a.csv", "a.csv"),
        ("", "file"),
        (".hidden.csv", "hidden.csv"),
        ("a\x00\n?.csv", "a   .csv"),
        ("C:\\x\\b.csv", "b.csv"),
    ],
)
def test_names_of_files_lead_nowhere(sent: str, kept: str) -> None:
    assert safe_name(sent) == kept
    assert len(safe_name("n" * 900 + ".parquet")) <= 90


class Forever(Work):
    """Takes fleets and never comes to an end."""

    async def run(self, answer, *arguments, seconds=None):
        await anyio.sleep_forever()


@pytest.fixture
def with_runs(in_a_loop):
    """Steps run with fleets that never come to an end."""

    async def inside(steps) -> None:
        runs = Runs(Forever())
        async with anyio.create_task_group() as tasks:
            runs.open(tasks)
            await steps(runs)
            tasks.cancel_scope.cancel()
        runs.close()

    return partial(in_a_loop, inside)


async def until(run: Run, state: str) -> None:
    with anyio.fail_after(10):
        while run.state != state:
            await anyio.sleep(0.01)


def test_a_fleet_is_stopped_and_the_next_one_begins(with_runs) -> None:
    async def steps(runs: Runs) -> None:
        first, second = runs.coming(), runs.coming()
        for each in (first, second):
            runs.start(each, Asked(typed={}))
        await until(first, "running")
        assert second.state == "waiting" and first.folder.is_dir()
        runs.stop(first.name)
        await until(second, "running")
        assert first.state == "stopped" and not first.folder.exists()

    with_runs(steps)


def test_only_so_many_are_kept_and_the_oldest_that_is_over_goes(with_runs) -> None:
    async def steps(runs: Runs) -> None:
        kept = [runs.coming() for _ in range(MOST_RUNS)]
        with pytest.raises(InputError) as caught:
            runs.coming()
        assert caught.value.code == "WEB-33"
        kept[2].state = "done"
        runs.coming()
        assert not kept[2].folder.exists() and kept[0].folder.exists()

    with_runs(steps)


def test_nobody_sees_the_fleets_of_others(with_runs) -> None:
    async def steps(runs: Runs) -> None:
        mine = runs.coming("ann")
        runs.start(mine, Asked(typed={}))
        assert runs.kept("ann") == [mine] and runs.kept("bob") == []
        with pytest.raises(InputError):
            runs.get(mine.name, "bob")
        runs.drop(mine.name, "bob")
        assert runs.get(mine.name, "ann") is mine

    with_runs(steps)


def test_nothing_is_left_when_the_pages_close() -> None:
    pytest.importorskip("pyarrow")
    app = make_app()
    with TestClient(app, base_url=ADDRESS) as client:
        over(client, send_files(client).headers["location"])
        folder = app.state.runs.kept()[0].folder
        assert (folder / "units.csv").exists()
    assert not folder.parent.exists()
