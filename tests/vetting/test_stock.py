"""A list of units: what fits, in which order, why the rest does not, and what does the job joined."""

import json
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.cli.main import main
from turnwright.errors import InputError
from turnwright.intake import job_from_mapping, unit_from_mapping
from turnwright.narrow import select
from turnwright.vetting import load_stock, load_stock_list, read_stock_list, vet, vet_stock

HEAD = "unit,kva,primary,secondary,impedance,price,quantity\n"
EXAMPLES = Path(__file__).parents[2] / "examples"
OFFICE = {"supply": {"system": "480Y/277"}, "load": [{"system": "208Y/120", "kva": "40 kVA"}]}
PUMPS = {"supply": {"system": "480Y/277"}, "load": [{"system": "240 3ph", "kva": "40 kVA"}]}
FITTING = ("fit", "fit-with-conditions")


def judged(rows, job=OFFICE):
    return vet_stock(job_from_mapping(job), read_stock_list(HEAD + "\n".join(rows) + "\n", "yard.csv"))


def names(found):
    return [one.unit for one in found.fits]


def why(found, unit):
    return next(one.why for one in found.rejected if one.unit == unit)


@pytest.mark.parametrize("kva", [8, 25, 40, 60, 130])
@pytest.mark.parametrize("system", ["208Y/120", "240 3ph"])
def test_a_unit_equal_to_the_pick_fits_and_stands_first(kva, system):
    job = {"supply": {"system": "480Y/277"}, "load": [{"system": system, "kva": f"{kva} kVA"}]}
    pick = select(job_from_mapping(job), ask=False).pick
    sizes = (9, 15, 30, 45, 75, 112.5, 150, 225)
    rows = [f"S-{size:g},{size},{pick.primary},{pick.secondary},4,1,1" for size in sizes]
    assert names(judged(rows, job))[0] == f"S-{pick.kva:g}"


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("X,30,480 delta,208Y/120,4,,", "40 kVA is needed"),
        ("X,75,480 delta,240 delta,4,,", "neutral"),
        ("X,75,600 delta,208Y/120,4,,", "The output is 166Y"),
        ("X,75,480 1ph,120/240 1ph,4,,", "needs three phases"),
        ("X,75,240 delta,120Y/69,4,,", "volts per hertz"),
        ("X,,480 delta,208Y/120,4,,", "How many kVA"),
        ("X,75,480 delta,120/240 1ph,4,,", "which of both is right"),
        ("X,75,480 delta,208Y/120,4,,0", "None is on hand"),
    ],
)
def test_each_rejection_has_its_reason(row, says):
    found = judged([row])
    assert not found.fits and says in why(found, "X")


def test_a_reason_that_needs_the_whole_evaluation():
    job = OFFICE | {"site": {"place": "ceiling"}}
    found = judged(["X,75,480 delta,208Y/120,4,,"], job)
    assert not found.fits and "50 kVA" in why(found, "X")


def test_rows_that_cannot_be_used_are_told_with_row_and_column():
    rows = [
        "kilograms,75,480 delta,208Y/120,4 kg,,",
        "more,75,480 delta,208Y/120,4,1,1,9",
        'comma,75,480 delta,208Y/120,"4,2 %",,',
        ",,,,,,",
        "good,75,480 delta,208Y/120,4,,",
        ",45,480 delta,208Y/120,4,,",
    ]
    found = judged(rows)
    assert names(found) == ["row 7", "good"]
    unread = [(one.unit, one.row, one.column) for one in found.rejected if not one.read]
    assert unread == [("kilograms", 2, "impedance"), ("more", 3, None), ("comma", 4, "impedance")]


def test_facts_that_exclude_each_other_are_told_with_the_column():
    text = "unit,kva,primary,secondary,Impedance,resistance\nX,75,480 delta,208Y/120,2 %,3 %\n"
    (one,) = read_stock_list(text, "yard.csv").unread
    assert (one.row, one.column) == (2, "resistance") and "above impedance" in one.error.what


def test_a_column_nobody_knows_and_a_name_twice_are_told_and_the_rest_goes_on():
    text = "Unit;KVA;Primary;Secondary;impedence\nA;75;480 delta;208Y/120;4\nA;75;480 delta;208Y/120;4\n"
    listed = read_stock_list(text, "yard.csv")
    assert {one.code for one in listed.findings} == {"unknown-column", "name-twice"}
    assert 'Did you mean "impedance"?' in listed.findings[0].message
    assert names(vet_stock(job_from_mapping(OFFICE), listed)) == ["A", "A"]


def test_a_bank_of_three_is_found_and_evaluated_by_the_circuit():
    found = judged([f"{name},15,480 1ph,120 1ph,3,500,1" for name in "BAC"])
    (bank,) = found.fits
    assert (bank.unit, bank.joined) == ("A + B + C", "bank") and bank.price.amount == 1500
    alone = vet(
        job_from_mapping(OFFICE),
        [unit_from_mapping({"kva": "15", "primary": "480 1ph", "secondary": "120 1ph", "impedance": "3"})]
        * 3,
    )
    assert bank.vetting.blocks.fault == alone.blocks.fault
    assert bank.vetting.blocks.voltage == alone.blocks.voltage
    assert bank.loading_pct == pytest.approx(40 / 45 * 100)


def test_one_row_of_three_is_a_bank_and_is_not_rejected():
    found = judged(["A,15,480 1ph,120 1ph,3,500,3"])
    assert [(one.unit, one.pieces[0].pieces) for one in found.fits] == [("A", 3)] and not found.rejected
    assert not judged(["A,15,480 1ph,120 1ph,3,500,2"]).fits


def test_an_open_delta_carries_root_three_of_one_unit():
    """√3 · 25 kVA = 43.3 kVA: 40 kVA of load are 92.4 % of it; two of 22 kVA, 38.1 kVA, are too small."""
    found = judged(["A,25,480 1ph,240 1ph,3,500,1", "B,25,480 1ph,240 1ph,3,600,1"], PUMPS)
    (pair,) = found.fits
    assert pair.joined == "open delta" and pair.loading_pct == pytest.approx(40 / (3**0.5 * 25) * 100)
    assert not judged(["A,22,480 1ph,240 1ph,3,500,2"], PUMPS).fits


def test_a_bank_takes_equal_units_only():
    rows = ["A,15,480 1ph,120 1ph,3,,1", "B,15,480 1ph,120 1ph,3,,1"]
    assert judged([*rows, "C,15,480 1ph,120 1ph,3.2,,1"]).fits
    assert not judged([*rows, "C,15,480 1ph,120 1ph,4.2,,1"]).fits
    assert not judged([*rows, "C,25,480 1ph,120 1ph,3,,1"]).fits
    assert not judged([*rows, "C,15,600 1ph,120 1ph,3,,1"]).fits


def test_a_pair_in_parallel_shares_by_impedance():
    """30 kVA of 4.0 % and 30 kVA of 4.2 %: shares go with kVA over %, 20.49 and 19.51 of 40 kVA."""
    found = judged(["A,30,480 delta,208Y/120,4.0,1000,1", "B,30,480 delta,208Y/120,4.2,900,1"])
    (pair,) = found.fits
    assert (pair.unit, pair.joined) == ("B + A", "parallel") and pair.verdict in FITTING
    assert pair.vetting.blocks.fault.secondary_a > 0
    limit_kva = 30 * (1 + 4.0 / 4.2)
    assert pair.loading_pct == pytest.approx(40 / limit_kva * 100, rel=2e-3)


@pytest.mark.parametrize(
    "other",
    [
        "B,30,480 delta,208Y/120,5.0,,1",
        "B,30,480Y/277,208Y/120,4.0,,1",
        "B,30,460 delta,208Y/120,4.0,,1",
        "B,5,480 delta,208Y/120,4.0,,1",
        "B,30,480 delta,208Y/120,,,1",
    ],
    ids=["impedance", "vector group", "ratio", "too small together", "impedance unknown"],
)
def test_what_may_not_run_in_parallel_is_no_pair(other):
    assert not judged(["A,30,480 delta,208Y/120,4.0,,1", other]).fits


def test_equal_units_of_unknown_impedance_are_a_pair_with_a_condition():
    (pair,) = judged(["A,30,480 delta,208Y/120,,,2"]).fits
    assert pair.verdict == "fit-with-conditions"
    assert "impedance-not-stated" in {one.code for one in pair.vetting.findings}


def test_several_are_offered_beside_a_single_unit_only_where_they_cost_less():
    pair = ["A,30,480 delta,208Y/120,4.0,1000,2"]
    assert names(judged([*pair, "C,75,480 delta,208Y/120,4,2500,1"])) == ["C", "A"]
    assert names(judged([*pair, "C,75,480 delta,208Y/120,4,1500,1"])) == ["C"]
    assert names(judged([*pair, "C,75,480 delta,208Y/120,4,,1"])) == ["C"]
    assert names(judged([*pair, "C,75,480 delta,208Y/120,4,2500 EUR,1"])) == ["C"]


def test_of_equal_units_the_cheaper_stands_first():
    rows = ["A,75,480 delta,208Y/120,4,,", "B,75,480 delta,208Y/120,4,900,", "C,75,480 delta,208Y/120,4,800,"]
    assert names(judged(rows)) == ["C", "B", "A"]


ROWS = st.builds(
    lambda kva, sides, z, price, quantity: f"{kva},{sides},{z},{price},{quantity}",
    st.sampled_from([15, 25, 30, 45, 75, 112.5]),
    st.sampled_from(
        [
            "480 delta,208Y/120",
            "480 1ph,120 1ph",
            "480 1ph,120/240 1ph",
            "600 delta,208Y/120",
            "208Y/120,480 delta",
        ]
    ),
    st.sampled_from(["", 3, 3.2, 4, 5]),
    st.sampled_from(["", 500, 900, "700 EUR"]),
    st.sampled_from(["", 0, 1, 2, 3]),
)
LISTS = st.lists(ROWS, min_size=1, max_size=7).map(lambda rows: [f"N{n},{row}" for n, row in enumerate(rows)])


@settings(max_examples=30, deadline=None)
@given(rows=LISTS, more=ROWS)
def test_adding_a_row_never_removes_a_fit(rows, more):
    before, after = judged(rows), judged([*rows, f"new,{more}"])
    alone = [one.unit for one in before.fits if not one.joined]
    assert alone == [one.unit for one in after.fits if not one.joined and one.unit != "new"]
    assert bool(after.fits) >= bool(before.fits)


@settings(max_examples=30, deadline=None)
@given(rows=LISTS, data=st.data())
def test_the_order_of_the_list_does_not_matter(rows, data):
    def shown(found):
        fits = [(one.unit, one.joined, one.verdict, one.price, one.margin_pct) for one in found.fits]
        return fits, sorted((one.unit, one.why) for one in found.rejected)

    assert shown(judged(rows)) == shown(judged(data.draw(st.permutations(rows))))


@settings(max_examples=25, deadline=None)
@given(rows=LISTS)
def test_a_list_says_the_same_as_each_unit_alone(rows):
    job = job_from_mapping(OFFICE)
    found = {one.unit: one for one in judged(rows).fits if not one.joined}
    for row in rows:
        name, kva, primary, secondary, z, _, quantity = row.split(",")
        plate = {"kva": kva, "primary": primary, "secondary": secondary, "impedance": z}
        alone = vet(job, unit_from_mapping(plate), ledger_open=False)
        assert (name in found) == (alone.verdict in FITTING and quantity != "0")
        if name in found:
            assert found[name].verdict == alone.verdict and found[name].vetting.blocks == alone.blocks


def workbook(path, *rows, formats=()):
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    for cell, shown in formats:
        book.active[cell].number_format = shown
    book.save(path)
    return path


def test_a_workbook_reads_as_its_cells_are_shown(tmp_path):
    """A spreadsheet keeps 4.2 % as 0.042: read as 0.042 %, faults would be a hundred times too high."""
    path = workbook(
        tmp_path / "yard.xlsx",
        ["unit", "kva", "primary", "secondary", "impedance", "outdoor", "quantity"],
        [14, 75.0, "480 delta", "208Y/120", 0.042, True, 2],
        [None] * 7,
        ["T-2", 112.5, "480 delta", "208Y/120", 4.2, None, None],
        formats=[("E2", "0.0%")],
    )
    first, second = load_stock(path)
    assert (first.unit, first.kva.value, first.impedance.value, first.outdoor) == ("14", 75.0, 4.2, True)
    assert second.impedance.value == 4.2 and second.quantity is None
    found = vet_stock(job_from_mapping(OFFICE), load_stock_list(path))
    assert [(one.unit, one.pieces[0].row) for one in found.fits] == [("14", 2), ("T-2", 4)]


@pytest.mark.parametrize(
    ("name", "content", "code"),
    [
        ("a.csv", b"", "JOB-05"),
        ("a.csv", b"unit,kva,primary,secondary\n", "JOB-05"),
        ("a.csv", b"unit,kva,primary\nT,75,480 delta\n", "FILE-10"),
        ("a.csv", b"kva,kva,primary,secondary\n1,2,3,4\n", "FILE-10"),
        ("a.csv", b"\xff\xfe\x00", "FILE-03"),
        ("a.csv", b'unit,kva,primary,secondary\n"' + b"x" * 200_000 + b'",1,2,3\n', "FILE-09"),
        ("a.csv", b"x," * 500, "FILE-11"),
        ("a.xlsx", b"", "FILE-09"),
        ("a.xlsx", b"PK\x03\x04 no workbook", "FILE-09"),
        ("a.ods", b"PK", "FILE-07"),
        ("a.xls", b"\xd0\xcf\x11\xe0", "FILE-07"),
        ("none.csv", None, "FILE-01"),
        ("none.xlsx", None, "FILE-01"),
    ],
)
def test_files_that_cannot_be_used_are_one_message(tmp_path, name, content, code, capsys):
    path = tmp_path / name
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(InputError) as caught:
        load_stock_list(path)
    assert caught.value.code == code
    assert main(["vet", str(EXAMPLES / "gatehouse.toml"), "--stock", str(path)]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1


def test_a_list_too_large_is_one_message(tmp_path, monkeypatch):
    path = workbook(tmp_path / "a.xlsx", ["unit", "kva", "primary", "secondary"], *[["T", 1, 2, 3]] * 5)
    monkeypatch.setattr("turnwright.intake.list_file.MOST_ROWS", 4)
    with pytest.raises(InputError, match="more than 4 rows"):
        load_stock_list(path)
    monkeypatch.setattr("turnwright.intake.sheet_file.LARGEST_UNPACKED_BYTES", 100)
    with pytest.raises(InputError, match="unpacks to more"):
        load_stock_list(path)


def test_the_yard_of_the_example(capsys):
    words = ["vet", str(EXAMPLES / "gatehouse.toml"), "--stock", str(EXAMPLES / "yard.csv")]
    assert main([*words, "--format", "json"]) == 0
    tree = json.loads(capsys.readouterr().out)
    fits = {one["unit"]: one for one in tree["fits"]}
    assert next(iter(fits)) == "Q-01" and {fits[name]["joined"] for name in ("Q-03", "Q-09 + Q-10")} == {
        "parallel",
        "bank",
    }
    assert all({"unit", "verdict", "margin_pct", "price", "loading_pct"} <= set(one) for one in tree["fits"])
    assert all({"unit", "why"} <= set(one) for one in tree["rejected"])
    for more in ([], ["--all"]):
        assert main([*words, *more]) == 0
        page = capsys.readouterr().out
        assert max(len(line) for line in page.splitlines()) <= 80
        assert page.count("Whichever is taken: Devices on the supply side") == 1
        assert "2 × Q-03 in parallel" in page and "Q-04: 48.2 kVA is needed" in page


def test_a_job_that_does_not_say_enough_is_asked_first(tmp_path, capsys):
    job = tmp_path / "job.toml"
    job.write_text('[supply]\nsystem = "480Y/277"\n[[load]]\nkva = "40 kVA"\n', encoding="utf-8")
    assert main(["vet", str(job), "--stock", str(EXAMPLES / "yard.csv")]) == 4
    assert "Not enough is known yet of the job" in capsys.readouterr().out


def test_long_lists_and_long_names_stay_on_the_page(tmp_path, capsys):
    rows = [f"{'long name ' * 12}{n},{3 + n % 200},480 delta,208Y/120,4,,1" for n in range(400)]
    path = tmp_path / "yard.csv"
    path.write_text(HEAD + "\n".join(rows), encoding="utf-8")
    assert main(["vet", str(EXAMPLES / "gatehouse.toml"), "--stock", str(path)]) == 0
    page = capsys.readouterr().out
    assert max(len(line) for line in page.splitlines()) <= 80 and "--all shows them" in page


def test_a_list_written_by_another_program_says_the_same():
    """The yard of the examples as a workbook that LibreOffice 7.4 wrote from it."""
    written = Path(__file__).with_name("data") / "yard_written_by_libreoffice.xlsx"
    job = job_from_mapping(OFFICE)
    found, ours = (vet_stock(job, load_stock_list(path)) for path in (written, EXAMPLES / "yard.csv"))
    assert names(found) == names(ours) and len(found.fits) > 1
    assert [(one.margin_pct, one.price, one.on_hand) for one in found.fits] == [
        (one.margin_pct, one.price, one.on_hand) for one in ours.fits
    ]
    assert [(one.unit, one.why, one.row) for one in found.rejected] == [
        (one.unit, one.why, one.row) for one in ours.rejected
    ]
