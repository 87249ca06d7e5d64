"""Metered loads as they come: gaps, doubled rows and clock changes are told and never filled, the rest is refused."""

from datetime import datetime, timedelta

import pytest

from turnwright.errors import InputError, MissingExtra
from turnwright.examine import course_file
from turnwright.examine.course import look_at_times
from turnwright.examine.course_file import load_course, read_course

HEAD = "time,load_pu,ambient_c"
START = datetime(2025, 3, 30)


def lines(**changed):
    """A day in quarters; `changed`: number of a row -> what stands there, None for nothing."""
    rows = [f"{START + timedelta(minutes=15 * i):%Y-%m-%d %H:%M},0.8,30" for i in range(96)]
    for name, given in changed.items():
        rows[int(name[1:])] = given
    return [row for row in rows if row is not None]


def text(*rows, head=HEAD):
    return "\n".join([head, *rows]) + "\n"


def swap(old, new, which=range(96)):
    return [row.replace(old, new) if i in which else row for i, row in enumerate(lines())]


def codes(course):
    return [finding.code for finding in course.findings]


CASES = {
    "nothing": ("YEAR-03", "", "no rows"),
    "head only": ("YEAR-03", HEAD, "no rows"),
    "one row": ("YEAR-03", text(lines()[0]), "one row only"),
    "no time": ("YEAR-02", text(*lines(), head="tyme,load_pu,ambient_c"), 'Rename "tyme"'),
    "no load": ("YEAR-02", text(*lines(), head="time,load,ambient_c"), "load_pu, current_a, kva"),
    "two loads": ("YEAR-02", text(*[f"{row},60" for row in lines()], head=HEAD + ",kva"), "load_pu and kva"),
    "column twice": ("YEAR-02", text(*[f"{row},1" for row in lines()], head=HEAD + ",time"), "twice"),
    "misspelt ambient": ("YEAR-02", text(*lines(), head="time,load_pu,ambiant_c"), '"ambient_c"'),
    "ragged": ("YEAR-02", text(*lines(_5="2025-03-30 01:15,0.8")), "line 7"),
    "American dates": ("YEAR-04", text(*swap("2025-03-30", "03/30/2025")), "2025-03-30 01:45"),
    "a word for a time": ("YEAR-04", text(*lines(_7="noon,0.8,30")), '"noon"'),
    "mixed zones": ("YEAR-04", text(*swap(",0.8", "+01:00,0.8", range(0, 96, 2))), "offset"),
    "negative load": ("YEAR-05", text(*swap("0.8", "-0.8", [7])), '"-0.8" at 2025-03-30 01:45'),
    "empty load": ("YEAR-05", text(*swap("0.8", "", [7])), "empty or not a number"),
    "NaN load": ("YEAR-05", text(*swap("0.8", "nan", [7, 8])), "2 such rows"),
    "infinite load": ("YEAR-05", text(*swap("0.8", "inf", [7])), "inf"),
    "load in percent": ("YEAR-05", text(*swap("0.8", "80")), "0.8 for 80 %"),
    "mixed units": ("YEAR-05", text(*swap("0.8", "60 kVA", [9])), '"60 kVA"'),
    "Fahrenheit": ("YEAR-05", text(*swap(",30", ",95")), "degrees Celsius"),
    "K factor of 0": (
        "YEAR-05",
        text(*[f"{row},0" for row in lines()], head=HEAD + ",k_factor"),
        "sinusoidal",
    ),
    "uneven": ("YEAR-06", text(*swap("05:00", "05:07")), "uneven"),
    "all at once": ("YEAR-06", text(*[lines()[0]] * 9), "all times are the same"),
    "contradiction": ("YEAR-06", text(*lines(), lines()[-1].replace("0.8", "0.9")), "different things"),
    "monthly": ("YEAR-06", text("2025-07-15,0.8,30", "2025-08-15,0.8,30"), "too long"),
    "a day twice, different": ("YEAR-06", text(*lines(), *swap("0.8", "0.7")), "different things"),
}


@pytest.mark.parametrize("case", CASES)
def test_refusals(case):
    code, given, told = CASES[case]
    with pytest.raises(InputError) as caught:
        read_course(given, "load.csv")
    assert (caught.value.code, caught.value.where.split(",")[0]) == (code, "load.csv")
    assert told in str(caught.value)


def test_even_steps():
    course = read_course(text(*lines()))
    assert (course.step_h, course.hours, len(course.stretches), course.findings) == (0.25, 24.0, 1, ())
    assert course.load == (0.8,) * 96 and course.ambient_c == (30.0,) * 96 and course.factor is None


def test_a_gap_is_told_and_nothing_is_put_in():
    course = read_course(text(*lines(_50=None, _51=None)))
    assert [(each.first, each.end) for each in course.stretches] == [(0, 50), (50, 94)]
    assert course.hours == 23.5 and codes(course) == ["gaps"]
    assert "30 min missing, the first after 2025-03-30 12:15" in course.findings[0].message


def test_a_clock_set_forward_is_told_as_what_it_looks_like():
    course = read_course(text(*lines()[:8], *lines()[12:]))
    assert "clock set forward by an hour" in course.findings[0].message and len(course.load) == 92
    zoned = [row.replace(",0.8", "+00:00,0.8") for row in lines()]
    assert "clock" not in read_course(text(*zoned[:8], *zoned[12:])).findings[0].message


def test_a_clock_set_back_keeps_both_hours():
    again = [row.replace("0.8", "0.9") for row in lines()[4:]]
    course = read_course(text(*lines()[:8], *again))
    assert len(course.load) == 100 and codes(course) == ["clock-set-back"] and len(course.stretches) == 1
    assert course.load[7:9] == (0.8, 0.9)
    hourly = lines()[::4]
    back = [*hourly[:3], hourly[2].replace("0.8", "0.5"), *hourly[3:]]
    course = read_course(text(*back))
    assert codes(course) == ["clock-set-back"] and course.load[2:4] == (0.8, 0.5)


def test_doubled_rows_count_once():
    course = read_course(text(*lines(), lines()[-1]))
    assert len(course.load) == 96 and codes(course) == ["rows-twice"]
    whole = read_course(text(*lines(), *lines()))
    assert len(whole.load) == 96 and set(codes(whole)) == {"rows-in-order", "rows-twice"}


def test_rows_in_any_order_are_put_in_order():
    rows = [f"{START + timedelta(hours=i):%Y-%m-%d %H:%M},0.{i + 10},30" for i in range(24)]
    course = read_course(text(*rows[12:], *rows[:12]))
    assert course.load == read_course(text(*rows)).load and codes(course) == ["rows-in-order"]


def test_offsets_are_brought_to_utc_over_a_clock_change():
    rows = [
        f"2025-10-26 {hour},0.8,30" for hour in ("01:00+02:00", "02:00+02:00", "02:00+01:00", "03:00+01:00")
    ]
    course = read_course(text(*rows))
    assert course.zone and course.findings == () and course.step_h == 1.0


def test_semicolons_and_decimal_commas():
    rows = [row.replace(",", ";").replace("0.8", "0,8") for row in lines()]
    assert read_course(text(*rows, head=HEAD.replace(",", ";"))).load == (0.8,) * 96


def test_columns_that_are_not_used_are_named():
    course = read_course(text(*[f"{row},5" for row in lines()], head=HEAD + ",meter"))
    assert codes(course) == ["columns-not-used"] and "meter" in course.findings[0].message


def test_a_file_of_several_units():
    rows = [f"{row},{unit}" for unit in ("A", "B") for row in swap("0.8", "0.8" if unit == "A" else "0.5")]
    several = text(*rows, head=HEAD + ",unit")
    assert read_course(several, "all.csv", "B").load == (0.5,) * 96
    for unit in (None, "C"):
        with pytest.raises(InputError) as caught:
            read_course(several, "all.csv", unit)
        assert caught.value.code == "YEAR-07" and "2 units: A, B" in caught.value.what


def test_files(tmp_path, monkeypatch):
    parquet, arrow = pytest.importorskip("pyarrow.parquet"), pytest.importorskip("pyarrow")
    path = tmp_path / "load.csv"
    path.write_text(text(*lines()))
    whole = load_course(path)
    table = arrow.table(
        {
            "time": [START + timedelta(minutes=15 * i) for i in range(96)],
            "load_pu": [0.8] * 96,
            "ambient_c": [30.0] * 96,
            "meter": [1] * 96,
        }
    )
    parquet.write_table(table, tmp_path / "load.parquet")
    read = load_course(tmp_path / "load.parquet")
    assert (read.load, read.ambient_c, read.stretches) == (whole.load, whole.ambient_c, whole.stretches)
    cut = (tmp_path / "load.parquet").read_bytes()[:400]
    (tmp_path / "cut.parquet").write_bytes(cut)
    (tmp_path / "load.ods").write_bytes(b"x")
    (tmp_path / "noise.csv").write_bytes(b"\xff\xfe\x00time\x00")
    for name, code in (("cut.parquet", "YEAR-01"), ("none.parquet", "YEAR-01"), ("load.ods", "YEAR-01")):
        with pytest.raises(InputError) as caught:
            load_course(tmp_path / name)
        assert caught.value.code == code
    for name in ("none.csv", "noise.csv"):
        with pytest.raises(InputError) as caught:
            load_course(tmp_path / name)
        assert caught.value.code.startswith("FILE-")

    def missing(name):
        raise ModuleNotFoundError(name=name)

    monkeypatch.setattr(course_file, "import_module", missing)
    with pytest.raises(MissingExtra) as lacking:
        load_course(tmp_path / "load.parquet")
    assert lacking.value.code == "YEAR-09"


def test_steps_of_any_length():
    for step in (1.0, 60.0, 900.0, 1800.0, 3600.0, 86400.0):
        assert look_at_times([i * step for i in range(5)], lambda a, b: False, "x").step_s == step
