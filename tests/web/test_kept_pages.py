"""Jobs kept, compared and computed again on the pages; stock lists; offers. Without a browser."""

from __future__ import annotations

import io
import sqlite3
from pathlib import Path
from urllib.parse import parse_qsl

import openpyxl
import pytest
from starlette.testclient import TestClient

from turnwright.intake import read_job
from turnwright.store import Store
from turnwright.vetting import load_stock_list, vet_stock
from turnwright.web.app import make_app
from turnwright.web.kept.saving import differences, together
from turnwright.web.work import Work

EXAMPLES = Path(__file__).parents[2] / "examples"
NOON = "2026-03-04T12:00:00+00:00"


@pytest.fixture(scope="module")
def url(tmp_path_factory) -> str:
    return f"sqlite:///{tmp_path_factory.mktemp('kept') / 'jobs.sqlite'}"


@pytest.fixture(scope="module")
def kept(url):
    """A client of pages with a store of their own."""
    app = make_app(Work(seconds=120.0), store=url)
    with TestClient(app, base_url="http://127.0.0.1", raise_server_exceptions=False) as client:
        yield client


def keep(client, text: str, name: str, number: str = "", by: str = "Ines", **more: str):
    data = {"text": text, "kept_name": name, "kept_number": number, "kept_by": by, **more}
    return client.post("/jobs/save", data=data)


def saved(url: str, name: str):
    with Store(url) as store:
        return store.revision(name)


def test_a_job_is_kept_found_looked_at_and_gone_on_with(kept, url, read_page, gatehouse: str) -> None:
    page = read_page(keep(kept, gatehouse, "ferry quay").text)
    assert "Kept as revision 1 of ferry quay" in page.text and page.unbalanced == []
    assert page.all("input", name="kept_number")[0]["value"] == "1"
    listed = read_page(kept.get("/jobs?words=FERRY&least_kva=70").text)
    assert listed.unbalanced == [] and "1 job found" in listed.text and "75 kVA" in listed.text
    shown = read_page(kept.get("/jobs/revision?job=ferry+quay").text)
    assert "Computed again today it answers the same." in shown.text and shown.unbalanced == []
    form = [(each["name"], each["value"]) for each in shown.all("input") if "name" in each]
    again = read_page(kept.post("/", data=dict(form)).text)
    assert "You go on from revision 1" in again.text
    assert saved(url, "ferry quay").job_text == gatehouse


def test_what_is_typed_counts_and_nothing_new_is_not_kept_twice(
    kept, url, read_page, pump_house: str
) -> None:
    fields = {"base": pump_house, "f.choices.growth": "30 %"}
    assert "Kept as revision 1" in keep(kept, pump_house, "pumps", **fields).text
    assert 'growth = "30 %"' in saved(url, "pumps").job_text
    same = keep(kept, saved(url, "pumps").job_text, "pumps", "1")
    assert "Nothing changed since revision 1" in same.text
    assert saved(url, "pumps").number == 1


def test_who_saves_has_to_say_so_and_what_cannot_be_used_is_not_kept(
    kept, url, read_page, pump_house: str
) -> None:
    page = read_page(keep(kept, pump_house, "nobody", by=" ").text)
    assert "say who keeps it" in page.text and page.areas["text"].removeprefix("\n") == pump_house
    wrong = keep(kept, pump_house, "nobody", base=pump_house, **{"f.choices.growth": "much"})
    assert "Not kept: some entries cannot be used" in wrong.text
    with Store(url) as store:
        assert store.jobs().total >= 0 and "nobody" not in {job.newest.key for job in store.jobs().jobs}


def two(kept, pump_house: str, name: str, mine: str, theirs: str):
    """Two people go on from revision 1; the other one keeps first. Return what the second is told."""
    keep(kept, pump_house, name)
    keep(kept, pump_house + theirs, name, "1", by="Olav")
    return keep(kept, pump_house + mine, name, "1")


def test_two_changes_of_other_facts_go_together(kept, url, read_page, pump_house: str) -> None:
    mine, theirs = '\n[choices]\ngrowth = "20 %"\n', '\n[site]\naltitude = "900 m"\n'
    page = read_page(two(kept, pump_house, "both", mine, theirs).text)
    assert "somebody saved meanwhile" in page.text and "Olav" in page.text and page.unbalanced == []
    assert saved(url, "both").number == 2  # nothing is kept unseen
    form = {each["name"]: each["value"] for each in page.all("input") if each.get("type") != "radio"}
    done = kept.post("/jobs/save", data={**form, "how": "together"})
    assert "Kept as revision 3 of both" in done.text
    text = saved(url, "both").job_text
    assert 'growth = "20 %"' in text and 'altitude = "900 m"' in text


def test_where_both_changed_a_fact_one_is_chosen(kept, url, read_page, pump_house: str) -> None:
    one, other = ('\n[choices]\ngrowth = "20 %"\n', '\n[choices]\ngrowth = "40 %"\n')
    page = read_page(two(kept, pump_house, "same", one, other).text)
    assert "both, differently" in page.text
    form = {each["name"]: each["value"] for each in page.all("input") if each.get("type") != "radio"}
    unsaid = kept.post("/jobs/save", data={**form, "how": "together"})
    assert "Say whose value is taken" in unsaid.text and saved(url, "same").number == 2
    chosen = kept.post("/jobs/save", data={**form, "how": "together", "pick.choices.growth": "theirs"})
    assert "Nothing changed since revision 2" in chosen.text
    mine = kept.post("/jobs/save", data={**form, "how": "mine"})
    assert "Kept as revision 3" in mine.text and 'growth = "20 %"' in saved(url, "same").job_text


def test_a_third_save_while_one_merges_is_told_again(kept, url, read_page, pump_house: str) -> None:
    page = read_page(
        two(
            kept, pump_house, "third", '\n[choices]\ngrowth = "20 %"\n', '\n[site]\naltitude = "900 m"\n'
        ).text
    )
    form = {each["name"]: each["value"] for each in page.all("input") if each.get("type") != "radio"}
    keep(kept, pump_house + '\n[site]\naltitude = "950 m"\n', "third", "2", by="Siv")
    for how in ("together", "mine"):
        again = kept.post("/jobs/save", data={**form, "how": how})
        assert "somebody saved meanwhile" in again.text and "Siv" in again.text
    assert saved(url, "third").number == 3


def test_a_name_that_is_taken_is_told(kept, url, pump_house: str, gatehouse: str) -> None:
    keep(kept, pump_house, "taken")
    told = keep(kept, gatehouse, "taken", by="Olav")
    assert "is taken" in told.text and saved(url, "taken").number == 1


def test_loads_added_on_one_side_are_not_put_together_blindly(pump_house: str) -> None:
    more = pump_house + '\n[[load]]\nsystem = "240 3ph"\ncurrent = "10 A"\n'
    text, why = together(pump_house, more, pump_house + '\n[choices]\ngrowth = "1 %"\n', {})
    assert text == more and "by hand" in why


def test_an_answer_typed_twice_in_the_same_way_is_no_difference() -> None:
    assert differences("a = 1\n", "a = 2\n", "a = 2\n") == []


def test_history_and_comparison_of_two_revisions(kept, read_page, pump_house: str) -> None:
    keep(kept, pump_house, "grows")
    keep(kept, pump_house + '\n[choices]\ngrowth = "60 %"\n', "grows", "1")
    history = read_page(kept.get("/jobs/history?job=grows").text)
    assert history.unbalanced == [] and len(history.all("input", name="a")) == 2
    page = read_page(kept.get("/compare?job=grows&a=1&b=2").text)
    assert page.unbalanced == [] and "1 fact changed" in page.text and "60 %" in page.text
    assert "One at a time" in page.text and "Together" in page.text


def test_one_job_under_another_edition_regime_and_date(kept, read_page, gatehouse: str) -> None:
    for under in ({"edition": "2017"}, {"regime": "ca"}, {"manufactured": "2001-05"}):
        page = read_page(kept.post("/compare", data={"text_a": gatehouse, **under}).text)
        assert page.unbalanced == [] and "changed" in page.text, under
        assert "Cannot be used" not in page.text
    for wrong in ({"edition": "1492"}, {"regime": "moon"}, {"manufactured": "yesterday"}):
        page = read_page(kept.post("/compare", data={"text_a": gatehouse, **wrong}).text)
        assert "Cannot be used" in page.text, wrong


def test_two_files_are_compared_and_a_slip_is_told_beside_its_file(
    kept, read_page, gatehouse, bakery
) -> None:
    page = read_page(kept.post("/compare", data={"text_a": gatehouse, "text_b": bakery}).text)
    assert "facts changed" in page.text and page.unbalanced == []
    page = read_page(kept.post("/compare", data={"text_a": gatehouse, "text_b": "title = 'x"}).text)
    assert page.all("textarea", name="text_b")[0]["aria-invalid"] == "true"
    assert page.areas["text_b"].removeprefix("\n") == "title = 'x"
    page = read_page(kept.post("/compare", data={"job_a": "nothing of that name", "job_b": "x"}).text)
    assert "Cannot be used" in page.text


def test_recheck_lists_what_answers_differently(kept, url, read_page, pump_house: str) -> None:
    keep(kept, pump_house, "stands")
    keep(kept, pump_house, "moved")
    with sqlite3.connect(url.removeprefix("sqlite:///")) as raw:
        then, now = '"verdict": "selected"', '"verdict": "refused"'
        raw.execute("UPDATE revision SET result = replace(result, ?, ?) WHERE key = 'moved'", (then, now))
    raw.close()
    page = read_page(kept.get("/jobs/recheck").text)
    assert page.unbalanced == [] and "That was all of them" in page.text
    rows = [each["href"] for each in page.all("a") if each["href"].startswith("/jobs/revision")]
    assert rows == ["/jobs/revision?job=moved&number=1"]
    assert "Today it answers differently" in kept.get("/jobs/revision?job=moved").text


def test_a_recheck_goes_on_where_time_ran_out(url, read_page, pump_house: str, monkeypatch) -> None:
    from turnwright.web.kept import jobs

    with Store(url) as store:
        for name in ("one more", "and one"):
            store.save(name, pump_house, author="Ines", saved_at=NOON)
    monkeypatch.setattr(jobs, "SECONDS_OF_A_RECHECK", -1.0)
    address, seen = "/jobs/recheck", 0
    while address:
        _, _, query = address.partition("?")
        page = read_page(jobs.recheck_page(url, parse_qsl(query)).body.decode())
        seen += 1
        address = next((each["href"] for each in page.all("a") if "after=" in each["href"]), "")
    with Store(url) as store:
        assert seen == store.jobs().total > 1


@pytest.mark.parametrize(
    ("address", "status"),
    [
        ("/jobs?least_kva=much", 200),
        ("/jobs?page=99999999999999999999&least_kva=nan&finding=%25_", 200),
        ("/jobs?page=40", 200),
        ("/jobs/history?job=none", 404),
        ("/jobs/history", 404),
        ("/jobs/revision?job=none&number=3", 404),
        ("/jobs/revision?job=ferry+quay&number=99999999", 404),
        ("/jobs/recheck?after=zzz&done=x&moved=-1", 200),
        ("/compare?job=none&a=1&b=2", 200),
        ("/compare?a=%00&job=%ff", 200),
    ],
)
def test_odd_addresses_are_answered(kept, read_page, address: str, status: int) -> None:
    answer = kept.get(address)
    assert answer.status_code == status
    assert read_page(answer.text).unbalanced == []


def test_markup_in_names_does_nothing(kept, read_page, pump_house: str) -> None:
    name = "<script>alert(1)</script>"
    page = read_page(keep(kept, pump_house, name, by="<img src=x>").text)
    assert "Kept as revision 1" in page.text
    for address in ("/jobs", f"/jobs/history?job={name}", f"/jobs/revision?job={name}"):
        assert "<script>alert" not in kept.get(address).text and "<img" not in kept.get(address).text


def test_forms_of_another_site_and_long_ones_are_refused(kept) -> None:
    for address in ("/jobs/save", "/compare", "/stock", "/offer"):
        assert (
            kept.post(address, data={"text": ""}, headers={"origin": "http://example.com"}).status_code == 403
        )
        assert kept.post(address, data={"text": "x" * 1_100_000}).status_code == 413
        assert (
            kept.post(address, content=b"{}", headers={"content-type": "application/json"}).status_code == 415
        )


def test_a_store_that_cannot_be_used_is_one_message(tmp_path, read_page) -> None:
    (tmp_path / "x.sqlite").write_bytes(b"no database" * 500)
    app = make_app(Work(seconds=120.0), store=f"sqlite:///{tmp_path / 'x.sqlite'}")
    with TestClient(app, base_url="http://127.0.0.1", raise_server_exceptions=False) as client:
        answer = client.get("/jobs")
    assert answer.status_code == 400 and "STO-06" in answer.text and "Traceback" not in answer.text


def yard() -> bytes:
    return (EXAMPLES / "yard.csv").read_bytes()


def stock_form(page) -> dict[str, str]:
    found = dict(page.form())
    return {name: value for name, value in found.items() if name != "file"}


def test_a_stock_list_is_read_shown_and_judged(kept, read_page, gatehouse: str) -> None:
    sent = kept.post("/stock", data={"text": gatehouse}, files={"file": ("yard.csv", yard(), "text/csv")})
    page = read_page(sent.text)
    assert page.unbalanced == [] and "yard.csv" in page.text
    taken = {name: value for name, value in page.form() if name.startswith("column.")}
    assert taken["column.kva"] == "kva" and taken["column.primary"] == "primary"
    done = read_page(kept.post("/stock", data={**stock_form(page), "judge": "1"}).text)
    assert done.unbalanced == []
    found = vet_stock(read_job(gatehouse), load_stock_list(EXAMPLES / "yard.csv"))
    assert found.fits[0].unit in done.text
    for one in found.rejected:
        assert " ".join(one.why.split()) in done.text


def test_columns_with_other_heads_are_said_by_hand(kept, read_page, gatehouse: str) -> None:
    book = openpyxl.Workbook()
    book.active.append(["Tag", "Rated power", "In", "Out", "Impedence"])
    book.active.append(["T-7", 75, "480 delta", "208Y/120", 4.2])
    held = io.BytesIO()
    book.save(held)
    files = {"file": ("list.xlsx", held.getvalue(), "application/octet-stream")}
    page = read_page(kept.post("/stock", data={"text": gatehouse}, files=files).text)
    assert "Missing" in page.text and "guessed" in page.text  # impedence is taken for impedance
    said = {
        "column.Tag": "unit",
        "column.Rated power": "kva",
        "column.In": "primary",
        "column.Out": "secondary",
    }
    done = kept.post("/stock", data={**stock_form(page), **said, "judge": "1"})
    assert "1 on the list would do this job" in done.text and "T-7" in done.text


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("a.xlsx", b"PK\x03\x04 no workbook"),
        ("a.csv", b"\xff\xfe\x00"),
        ("a.ods", b"PKPK"),
        ("a.csv", b""),
        ("../../x", b"a"),
    ],
)
def test_lists_that_cannot_be_read_are_told_on_the_page(kept, read_page, gatehouse, name, content) -> None:
    answer = kept.post("/stock", data={"text": gatehouse}, files={"file": (name, content, "text/csv")})
    page = read_page(answer.text)
    assert answer.status_code == 200 and page.unbalanced == []
    assert "Cannot be used" in page.text or "Missing" in page.text
    assert page.areas["text"].removeprefix("\n") == gatehouse


def test_an_offer_is_held_line_by_line(kept, read_page, gatehouse: str) -> None:
    plate = {"u.kva": "75 kVA", "u.primary": "480 delta", "u.secondary": "208Y/120", "u.impedance": "4.5 %"}
    page = read_page(kept.post("/offer", data={"text": gatehouse, **plate}).text)
    assert page.unbalanced == [] and "Line by line" in page.text and "not answered" in page.text
    assert page.all("input", name="u.kva")[0]["value"] == "75 kVA"
    wrong = read_page(kept.post("/offer", data={"text": gatehouse, **plate, "u.kva": "many"}).text)
    assert wrong.all("input", name="u.kva")[0]["aria-invalid"] == "true" and "Line by line" not in wrong.text


def test_every_field_has_a_label(kept, read_page, gatehouse: str) -> None:
    files = {"file": ("yard.csv", yard(), "text/csv")}
    pages = [kept.get(each).text for each in ("/jobs", "/compare", "/stock", "/offer")]
    pages.append(kept.post("/stock", data={"text": gatehouse}, files=files).text)
    for text in pages:
        page = read_page(text)
        labelled = {each.get("for") for each in page.all("label")}
        for tag in ("select", "textarea"):
            for each in page.all(tag):
                assert each.get("id") in labelled or each.get("aria-label") or tag == "select", each
