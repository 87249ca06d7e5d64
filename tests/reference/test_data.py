"""The tables linted like code: each row sourced and unique, each column described, one vocabulary."""

import re

import pytest

from turnwright.reference import describe, load, table_names

NEC = ("2017", "2020", "2023")
UNITS = "A V kg mm kVA hp kVA/hp % in in² ft m mm² cmil ohm/kft ohm/km degC K h s dB(A) @unit @unit_si"
SIZES = [row.text("size") for row in load("nec_ch9_t8").newest().where(stranding="stranded").rows]
EVERYWHERE = [
    (name, edition) for name in table_names() for edition in (load(name).editions or ("any",))
]  # loading checks every row for source, kind, key and provenance in each edition


def in_edition(name, edition):
    return load(name).at(edition)


@pytest.mark.parametrize(("name", "edition"), EVERYWHERE)
def test_each_row_of_each_edition_says_where_it_comes_from(name, edition):
    table = in_edition(name, edition)
    assert table.rows
    keys = [row.key for row in table.rows]
    assert len(set(keys)) == len(keys)
    for row in table.rows:
        assert row.source.document and row.source.seen_at
        assert row.source.cite().strip()
        assert row.source.known in ("seen", "memory", "common practice", "assumed", "computed")


@pytest.mark.parametrize("name", table_names())
def test_each_column_is_described_and_its_unit_is_one_of_the_vocabulary(name):
    units = {"", *UNITS.split()}
    header = in_edition(name, load(name).editions[-1] if load(name).editions else "").header
    described = {column.name: column for column in describe(name).columns}
    for column in header:
        assert described[column].description
        assert described[column].unit in units


@pytest.mark.parametrize("name", [name for name in table_names() if name.startswith("nec_")])
def test_tables_of_the_code_carry_the_three_editions(name):
    assert load(name).editions == NEC


def test_a_citation_carries_the_edition_and_its_own_clause():
    clauses = {
        edition: in_edition("nec_310_16", edition).row(size="4/0 AWG").source.cite() for edition in NEC
    }
    assert clauses == {
        "2017": "NEC 2017 Table 310.15(B)(16)",
        "2020": "NEC 2020 Table 310.16",
        "2023": "NEC 2023 Table 310.16",
    }


def test_what_was_not_read_says_so():
    table = load("us_doe_lvdt_efficiency")
    assert table.at("2016-01-01").row(phases=3, kva=75).source.known == "seen"
    assert table.at("2029-04-23").row(phases=3, kva=75).source.known == "memory"
    assert load("nec_430_250").at("2017").rows[0].source.known == "seen"
    assert load("nec_430_250").at("2020").rows[0].source.known == "memory"
    assert load("trade_practice").newest().row(key="headroom_factor").source.known == "common practice"


def test_nothing_names_a_machine_path():
    for name in table_names():
        for row in load(name).newest().rows:
            text = " ".join((*row.cells, row.source.seen_at))
            assert not re.search(r"(?:^|\s)/\w", text)


# one spelling of conductor sizes


@pytest.mark.parametrize(
    ("name", "columns"),
    [
        ("nec_310_16", ["size"]),
        ("nec_240_4d", ["size"]),
        ("nec_ch9_t5", ["size"]),
        ("nec_ch9_t8", ["size"]),
        ("nec_ch9_t9", ["size"]),
        ("nec_250_122", ["cu", "al"]),
        ("nec_250_66", ["cu", "al"]),
        ("nec_250_102c1", ["cu", "al"]),
        ("nec_conductor_limits", ["cu", "al"]),
    ],
)
def test_sizes_are_spelled_alike(name, columns):
    known = {*SIZES, "1200 kcmil"}  # 1200 kcmil stands in Table 250.122 of 2017 only
    for edition in NEC:
        for column in columns:
            assert set(in_edition(name, edition).words(column)) <= known


def test_1200_kcmil_left_the_table_with_2020():
    found = {edition: "1200 kcmil" in in_edition("nec_250_122", edition).words("al") for edition in NEC}
    assert found == {"2017": True, "2020": False, "2023": False}
