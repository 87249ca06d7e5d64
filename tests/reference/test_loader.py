"""What the loader refuses, in which words, and what a table hands out."""

import pickle
import tomllib
from pathlib import Path

import pytest

from turnwright.errors import TableError, UnknownKey
from turnwright.reference import describe, digest, load, load_text, table_names
from turnwright.working import Number, Step, Word

TABLES = """table,title,document,summary,regime,edition_is,editions
wires,Wires,Invented 1,A table for tests.,us,code,2017 2020
levels,Levels,Invented law,A dated table.,us,date,2007-01-01 2016-01-01
practice,Practice,common practice,Any edition.,us,any,
"""
COLUMNS = """table,column,key,kind,unit,description
wires,size,yes,text,,conductor size
wires,current_a,no,number,A,ampacity
wires,loose,no,yes/no,,may hang loose
wires,note,no,text,,remark
levels,kva,yes,number,kVA,rated power
levels,limit_pct,no,number,%,limit
practice,key,yes,text,,what it is
practice,value,no,number,@unit,the number
practice,unit,no,text,,its unit
*,source,no,text,,id in sources.csv
*,from_edition,no,text,,first edition
*,to_edition,no,text,,last edition
"""
SOURCES = """source,document,clause,edition_from,edition_to,known,seen_at
wires,Invented,Table 1,2017,2017,seen,a print
wires,Invented,Table 1(A),2020,2020,memory,no print found
old,Invented,Table 0,2017,2017,seen,a print
law_2007,Law,1(a),2007-01-01,2015-12-31,seen,a print
law_2016,Law,1(b),2016-01-01,,seen,a print
practice,common practice,,,,common practice,the trade
"""
HEADER = "size,current_a,loose,note,from_edition,to_edition,source\n"
WIRES = HEADER + "14 AWG,20,yes,,,,wires\n12 AWG,25,,thin,,2017,wires\n12 AWG,26,no,,2020,,wires\n"
LEVELS = """kva,limit_pct,from_edition,to_edition,source
75,98.0,2007-01-01,2015-12-31,law_2007
75,98.6,2016-01-01,,law_2016
"""
PRACTICE = "key,value,unit,source\ngrowth,20,%,practice\nratio,1.2,,practice\n"


def table(text=WIRES, name="wires", sources=SOURCES, columns=COLUMNS, tables=TABLES):
    return load_text(name, text, sources, columns, tables)


BROKEN = tomllib.loads((Path(__file__).parent / "broken.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("broken", BROKEN["row"], ids=lambda broken: broken["rows"])
def test_a_broken_row_is_refused_with_its_line_and_the_cure(broken):
    with pytest.raises(TableError) as refused:
        table(HEADER + broken["rows"])
    assert broken["words"] in str(refused.value)


@pytest.mark.parametrize("broken", BROKEN["file"], ids=lambda broken: broken["change"][2])
def test_a_broken_file_is_refused_with_its_line_and_the_cure(broken):
    file, right, wrong = broken["change"]
    texts = {"text": WIRES, "columns": COLUMNS, "sources": SOURCES, "tables": TABLES}
    assert right in texts[file]
    with pytest.raises(TableError) as refused:
        table(**{file: texts[file].replace(right, wrong, 1)})
    assert broken["words"] in str(refused.value)


def test_an_empty_file_is_refused():
    with pytest.raises(TableError, match="column 'size' is missing"):
        table("")


def test_an_unknown_table_is_named_with_the_nearest():
    with pytest.raises(UnknownKey) as refused:
        load("nec_310_61")
    assert "Did you mean 'nec_310_16'?" in str(refused.value)
    with pytest.raises(UnknownKey, match=r"there is no table '\.\./secrets'"):
        load("../secrets")


def test_each_edition_sees_its_own_rows_and_its_own_provenance():
    older, newer = table().at("2017"), table().at("2020")
    assert older.row(size="12 AWG").number("current_a") == 25
    assert newer.row(size="12 AWG").number("current_a") == 26
    assert older.row(size="14 AWG").source.cite() == "Invented 2017 Table 1"
    assert newer.row(size="14 AWG").source.cite() == "Invented 2020 Table 1(A)"
    assert [t.row(size="14 AWG").source.known for t in (older, newer)] == ["seen", "memory"]
    assert table().newest().edition == "2020"


@pytest.mark.parametrize("edition", ["2014", "2018", "2023", "", "2017 ", "newest"])
def test_an_edition_that_is_not_carried_is_refused(edition):
    with pytest.raises(TableError) as refused:
        table().at(edition)
    assert (
        str(refused.value) == f"wires.csv: edition '{edition}' is not carried. Carried: 2017, 2020. [TBL-08]"
    )


def test_a_dated_table_takes_the_level_in_force_on_the_day():
    levels = table(LEVELS, "levels")
    days = ("2007-01-01", "2015-12-31", "2016-01-01", "2031-07-04")
    limits = [levels.at(day).row(kva=75).number("limit_pct") for day in days]
    assert limits == [98.0, 98.0, 98.6, 98.6]
    assert levels.at("2031-07-04").row(kva=75).source.cite() == "Law 1(b) (from 2016-01-01)"
    assert levels.at("2031-07-04") is levels.at("2016-01-01") is levels.newest()


def test_a_day_before_the_first_level_is_refused():
    with pytest.raises(
        TableError,
        match=r"nothing is carried for 2006-12-31\. Carried from these dates: 2007-01-01, 2016-01-01\.",
    ):
        table(LEVELS, "levels").at("2006-12-31")


@pytest.mark.parametrize("day", ["2016", "2027-05", "2027-5-1", "2027-02-30", "20270501", "soon", ""])
def test_a_part_of_a_date_is_refused_because_the_law_may_change_within_it(day):
    with pytest.raises(TableError, match=f"'{day}' is not a date. Write the full date, as 2027-05-01."):
        table(LEVELS, "levels").at(day)


def test_a_table_without_editions_holds_in_any():
    practice = table(PRACTICE, "practice")
    assert practice.editions == ()
    assert practice.at("2023") is practice.at("1881") is practice.newest()
    assert practice.newest().row(key="growth").source.cite() == "common practice"


def test_a_number_knows_its_cell_unit_citation_and_how_it_is_known():
    current = table().at("2020").row(size="14 AWG").number("current_a")
    assert isinstance(current, Number)
    assert current == 20.0
    step = current.step
    assert (step.name, step.value, step.unit) == ("wires[14 AWG].current_a", 20.0, "A")
    assert (step.formula, step.inputs, step.source, step.known) == (
        "",
        {},
        "Invented 2020 Table 1(A)",
        "memory",
    )


def test_the_unit_can_stand_in_the_row():
    practice = table(PRACTICE, "practice").newest()
    assert practice.row(key="growth").number("value").step.unit == "%"
    assert practice.row(key="ratio").number("value").step.unit == ""


def test_a_text_knows_its_cell_too():
    note = table().at("2017").row(size="12 AWG").text("note")
    assert isinstance(note, Word)
    assert note == "thin"
    assert isinstance(note.step, Step)
    assert note.step.name == "wires[12 AWG].note"


def test_a_number_is_made_once():
    row = table().at("2017").row(size="14 AWG")
    assert row.number("current_a") is row.number("current_a")


def test_an_empty_cell_is_never_zero_and_never_quiet():
    row = table(HEADER + "14 AWG,,,,,,wires\n").at("2017").row(size="14 AWG")
    assert row.optional("current_a") is None
    assert row.optional_text("note") is None
    for read, column in ((row.number, "current_a"), (row.text, "note"), (row.yes, "loose")):
        with pytest.raises(TableError) as refused:
            read(column)
        assert f"wires.csv, line 2: '14 AWG' has no {column}." in str(refused.value)


def test_yes_and_no():
    older = table().at("2017")
    assert older.row(size="14 AWG").yes("loose") is True
    assert table().at("2020").row(size="12 AWG").yes("loose") is False


def test_a_column_is_asked_for_by_its_name_and_kind():
    row = table().at("2017").row(size="14 AWG")
    with pytest.raises(UnknownKey, match="the table has no column 'current'"):
        row.number("current")
    with pytest.raises(TableError, match="column 'size' is a text column"):
        row.number("size")
    with pytest.raises(TableError, match="column 'current_a' is a number column"):
        row.text("current_a")
    with pytest.raises(UnknownKey, match="no column 'from_edition'"):
        table(PRACTICE, "practice").newest().row(key="growth").text("from_edition")


def test_a_row_that_is_not_there_names_the_nearest():
    with pytest.raises(UnknownKey) as refused:
        table().at("2017").row(size="12 AVG")
    assert (
        str(refused.value)
        == "wires.csv, edition 2017: no row has size = 12 AVG. Did you mean '12 AWG'? [TBL-10]"
    )


def test_several_rows_are_no_row():
    with pytest.raises(UnknownKey, match="2 rows have phases = 3, min_efficiency_pct"):
        load_text(
            "levels",
            "phases,kva,min_efficiency_pct,source\n3,75,98,practice\n3,80,98,practice\n",
            SOURCES,
            "table,column,key,kind,unit,description\nlevels,phases,yes,number,,x\nlevels,kva,yes,number,kVA,x\n"
            "levels,min_efficiency_pct,no,number,%,x\n*,source,no,text,,x\n",
            TABLES.replace(
                "levels,Levels,Invented law,A dated table.,us,date,2007-01-01 2016-01-01",
                "levels,L,D,S,us,any,",
            ),
        ).newest().row(phases=3, min_efficiency_pct=98)


def test_where_cuts_the_table_down():
    older = table().at("2017")
    assert [row.key for row in older.where(loose="yes").rows] == ["14 AWG"]
    assert older.where(loose="yes") is older.where(loose="yes")
    with pytest.raises(UnknownKey, match="no row has loose = no"):
        older.where(loose="no")


def test_columns_leave_empty_cells_out():
    older = table().at("2017")
    assert older.column("current_a") == (20, 25)
    assert older.words("note") == ("thin",)
    assert older.header == ("size", "current_a", "loose", "note", "from_edition", "to_edition", "source")
    assert older.rows[0].cells == ("14 AWG", "20", "yes", "", "", "", "wires")


def test_errors_travel_between_processes():
    with pytest.raises(TableError) as refused:
        table(HEADER + "14 AWG,20,yes,,,,\n")
    assert str(pickle.loads(pickle.dumps(refused.value))) == str(refused.value)


def test_the_folder_is_described():
    assert len(table_names()) >= 45
    assert table_names() == tuple(sorted(table_names()))
    for name in table_names():
        said = describe(name)
        assert said.title and said.document and said.summary and said.regime in ("us", "ca", "iec")
        assert load(name) is load(name)


def test_the_checksum_changes_with_a_single_byte(monkeypatch):
    from turnwright.reference import loader

    before = digest()
    assert len(before) == len("sha256:") + 64
    digest.cache_clear()
    true_bytes = loader._bytes
    monkeypatch.setattr(
        loader, "_bytes", lambda name: true_bytes(name) + (b" " if name == "nec_430_7b" else b"")
    )
    try:
        assert digest() != before
    finally:
        digest.cache_clear()
