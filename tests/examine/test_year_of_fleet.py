"""One unit out of the files of a fleet: the same numbers as its row, whatever the files look like."""

from datetime import datetime, timedelta

import pytest

from turnwright.errors import InputError
from turnwright.examine.year_of_fleet import year_of_unit
from turnwright.fleet import run_fleet
from turnwright.fleet.results import read_rows

HEAD = "unit,time,load_pu,ambient_c"
UNITS = """unit,kva,secondary,rise,no_load_loss,load_loss,time_constant
A,75,208Y/120,150 K,350 W,1950 W,1 h
B,45,208Y/120,115 K,,,1 h
"""


def lines(unit, loads, start=datetime(2025, 7, 1)):
    times = (start + timedelta(minutes=15 * i) for i in range(len(loads)))
    return [f"{unit},{time:%Y-%m-%d %H:%M},{load},30" for time, load in zip(times, loads, strict=True)]


def write(path, *some):
    path.write_text("\n".join([HEAD, *(line for part in some for line in part)]) + "\n")
    return path


@pytest.fixture
def place(tmp_path):
    (tmp_path / "p").mkdir()
    (tmp_path / "units.csv").write_text(UNITS)
    return tmp_path


def test_the_numbers_are_those_of_its_row(place):
    """Two files, mixed units; the float64 form agrees with the plain one to 1e-9."""
    first, second = [0.5 + 0.01 * i for i in range(60)], [1.1] * 30
    write(place / "p" / "z.csv", lines("A", first), lines("B", first))
    write(place / "p" / "a.csv", lines("A", second, datetime(2025, 7, 1, 15)))
    write(place / "p" / "bad.csv").write_text("nothing\n1\n")
    run_fleet(place / "p", place / "units.csv", place / "o.csv")
    row = next(each for each in read_rows(place / "o.csv") if each.unit == "A")
    study = year_of_unit(place / "p", place / "units.csv", "A")
    for key in ("hot_spot_max_c", "life_used_h", "energy_loss_kwh", "overload_h", "hours"):
        assert study.answers[key] == pytest.approx(getattr(row, key), rel=2e-5), key
    assert len(study.series) == 3 and study.job["title"] == "A"


def test_rows_of_a_result_come_back_as_they_were(place):
    pytest.importorskip("pyarrow")
    write(place / "p" / "a.csv", lines("A", [1.2] * 8), lines("B", [0.4] * 8))
    for out in (place / "o.csv", place / "o.parquet"):
        report = run_fleet(place / "p", place / "units.csv", out)
        assert read_rows(out) == report.worst
    assert read_rows(place / "o.csv")[0].energy_loss_kwh is not None
    assert read_rows(place / "o.csv")[1].energy_loss_kwh is None


@pytest.mark.parametrize("text", ["", "unit,rank\nA,1\n", "unit,hot_spot_max_c\nA,warm\n"])
def test_what_is_no_result_is_refused(tmp_path, text):
    (tmp_path / "o.csv").write_text(text)
    if text:
        with pytest.raises(InputError) as caught:
            read_rows(tmp_path / "o.csv")
        assert caught.value.code == "FLT-02"
    else:
        assert read_rows(tmp_path / "o.csv") == ()


def test_a_unit_that_is_nowhere(place):
    write(place / "p" / "a.csv", lines("A", [1.2] * 8), lines("C", [1.0] * 8))
    for name in ("B", "C", "X"):
        with pytest.raises(InputError) as caught:
            year_of_unit(place / "p", place / "units.csv", name)
        assert caught.value.code == "FLT-11" and name in str(caught.value)


def test_one_file_that_cannot_be_read_is_told(place):
    (place / "p" / "a.csv").write_text("nothing\n1\n")
    with pytest.raises(InputError) as caught:
        year_of_unit(place / "p", place / "units.csv", "A")
    assert caught.value.code == "FLT-03"
