"""Tables, rules and cautions: every one has a page, every row and rule can be reached."""

import pytest

from turnwright.documents.rule_rows import rule_rows
from turnwright.documents.table_rows import table_rows
from turnwright.reference import load, table_names
from turnwright.web import reference_pages
from turnwright.web.render import slug


@pytest.mark.parametrize("name", table_names())
def test_every_table_has_a_page_with_all_its_rows(read_page, name: str) -> None:
    page = read_page(reference_pages.table_page(name, None).body.decode())
    assert page.unbalanced == []
    ids = [found["id"] for tag, found in page.tags if tag == "tr" and "id" in found]
    assert ids == [f"r-{slug(row.key)}" for row in load(name).newest().rows]
    for source in {row["source"] for row in table_rows(name)["rows"]}:
        assert " ".join(source.split()) in page.text


def test_the_list_of_tables_leads_to_each(client, read_page) -> None:
    page = read_page(client.get("/tables").text)
    assert {each["href"] for each in page.all("a")} >= {f"/tables/{name}" for name in table_names()}


def test_another_edition_is_shown(client) -> None:
    newest, older = client.get("/tables/nec_250_122"), client.get("/tables/nec_250_122?edition=2017")
    assert "2017" in older.text
    assert newest.text != older.text


def test_every_rule_has_a_page_with_its_clause(read_page) -> None:
    listed = read_page(reference_pages.rules_page().body.decode())
    links = {each["href"].partition("#")[0] for each in listed.all("a")}
    for rule in rule_rows():
        assert f"/rules/{rule['id']}" in links


@pytest.mark.parametrize("name", sorted({rule["id"] for rule in rule_rows()})[::6])
def test_a_rule_shows_statement_clause_and_examples(read_page, name: str) -> None:
    page = read_page(reference_pages.rule_page(name).body.decode())
    assert page.unbalanced == []
    for rule in rule_rows(name=name):
        assert " ".join(rule["statement"].split()) in page.text
        assert (rule["clause"] or rule["document"]) in page.text


def test_cautions_count_every_row_and_name_what_stands_in(read_page) -> None:
    page = read_page(reference_pages.cautions_page().body.decode())
    rows = sum(len(table_rows(name)["rows"]) for name in table_names())
    assert f"{rows:,} rows" in page.text
    assert "infinite source" in page.text
    assert "Check with local code" in page.text
