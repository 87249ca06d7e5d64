"""Files as they come: each is refused with a code and a sentence, or the unit is left out and told."""

import numpy as np
import pyarrow as pa
import pytest

from turnwright.errors import InputError
from turnwright.fleet import FleetOptions, run_fleet
from turnwright.fleet.even_steps import look_at_times

HEAD = "unit,time,load_pu,ambient_c"
QUARTER = np.timedelta64(15, "m")


def lines(**changed):
    """A day of unit A; `changed`: number of a row -> what stands there, None for nothing."""
    start = np.datetime64("2025-03-30T00:00", "m")
    rows = [f"A,{start + i * QUARTER},0.8,30" for i in range(96)]
    for name, given in changed.items():
        rows[int(name[1:])] = given
    return [row for row in rows if row is not None]


def swap(old, new, which=range(96)):
    return [row.replace(old, new) if i in which else row for i, row in enumerate(lines())]


def refused(place, text, suffix=".csv", **options):
    path = place / f"p{suffix}"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    with pytest.raises(InputError) as caught:
        run_fleet(path, place / "units.csv", place / "out" / "o.csv", options=FleetOptions(**options))
    assert list((place / "out").iterdir()) == []
    assert caught.value.what and caught.value.fix
    return caught.value


CASES = {
    "no file content": ("FLT-05", "", "no rows"),
    "head only": ("FLT-05", HEAD + "\n", "no rows"),
    "no column unit": ("FLT-03", "\n".join(["id,time,load_pu,ambient_c", *lines()]), "no column unit"),
    "misspelt column": ("FLT-03", "\n".join(["unit,time,load_pu,ambiant_c", *lines()]), 'Rename "ambiant_c"'),
    "no load": ("FLT-03", "\n".join(["unit,time,load,ambient_c", *lines()]), "load_pu, current_a, kva"),
    "two loads": ("FLT-03", "\n".join([HEAD + ",kva", *(f"{row},60" for row in lines())]), "load_pu and kva"),
    "column twice": ("FLT-03", "\n".join([HEAD + ",time", *(f"{row},1" for row in lines())]), "twice"),
    "American dates": ("FLT-04", "\n".join([HEAD, *swap("2025-03-30T", "03/30/2025 ")]), "2025-03-30 01:45"),
    "negative load": ("FLT-08", "\n".join([HEAD, *swap("0.8", "-0.8", [7])]), "-0.8 at 2025-03-30 01:45"),
    "empty load": ("FLT-08", "\n".join([HEAD, *swap("0.8", "", [7])]), "empty or not a number"),
    "NaN load": ("FLT-08", "\n".join([HEAD, *swap("0.8", "nan", [7, 8])]), "2 such rows"),
    "infinite load": ("FLT-08", "\n".join([HEAD, *swap("0.8", "inf", [7])]), "inf at"),
    "load in percent": ("FLT-08", "\n".join([HEAD, *swap("0.8", "80")]), "0.8 for 80 %"),
    "word for a load": ("FLT-02", "\n".join([HEAD, *swap("0.8", "high", [7])]), "high"),
    "Fahrenheit": ("FLT-09", "\n".join([HEAD, *swap(",30", ",95")]), "degrees Celsius"),
    "empty ambient": ("FLT-09", "\n".join([HEAD, *swap(",0.8,30", ",0.8,", [50])]), "empty"),
    "gap": ("FLT-07", "\n".join([HEAD, *lines(_50=None, _51=None)]), "1 gap, 2 steps missing"),
    "duplicate": ("FLT-07", "\n".join([HEAD, *lines(), lines()[-1]]), "1 duplicate time"),
    "clock forward": (
        "FLT-07",
        "\n".join([HEAD, *lines()[:8], *lines()[12:]]),
        "clock set forward by an hour",
    ),
    "clock back": ("FLT-07", "\n".join([HEAD, *lines()[:8], *lines()[4:]]), "clock set back by an hour"),
    "uneven": ("FLT-07", "\n".join([HEAD, *swap("T05:00", "T05:07")]), "uneven"),
    "all at once": ("FLT-07", "\n".join([HEAD, *[lines()[0]] * 9]), "all times are the same"),
    "one row": ("FLT-07", "\n".join([HEAD, lines()[0]]), "one row only"),
    "monthly": ("FLT-07", "\n".join([HEAD, *(f"A,2025-{m:02}-15T00:00,0.8,30" for m in (7, 8))]), "too long"),
    "unknown unit": ("FLT-11", "\n".join([HEAD, *swap("A,", "Z,")]), "not in the list"),
    "K factor of 0": (
        "FLT-10",
        "\n".join([HEAD + ",k_factor", *(f"{row},0" for row in lines())]),
        "1 for a sinusoidal",
    ),
    "mixed zones": ("FLT-04", "\n".join([HEAD, *swap(",0.8", "+01:00,0.8", range(0, 96, 2))]), "offset"),
    "ragged": ("FLT-02", "\n".join([HEAD, *swap(",30", "", [5])]), "column"),
    "not text": ("FLT-02", b"\xff\xfe\x00unit\x00", "cannot be read"),
}


@pytest.mark.parametrize("case", CASES)
def test_refusals_of_csv_files(place, case):
    code, text, part = CASES[case]
    error = refused(place, text)
    assert error.code == code
    assert part in str(error)
    assert "Traceback" not in str(error)


@pytest.mark.parametrize("text", [b"", b"PAR1", b"PAR1" + b"\x00" * 50 + b"PAR1", b"unit,time\n"])
def test_truncated_and_false_parquet(place, text):
    assert refused(place, text, ".parquet").code == "FLT-02"


def columns(steps=96):
    start = np.datetime64("2025-01-01", "ms")
    return {
        "unit": ["A"] * steps,
        "time": pa.array(start + np.arange(steps) * QUARTER),
        "load_pu": np.full(steps, 0.8),
        "ambient_c": np.full(steps, 30.0),
    }


def code_of(place, make, **changed):
    path = make.write(place / "p.parquet", pa.table({**columns(), **changed}))
    with pytest.raises(InputError) as caught:
        run_fleet(path, place / "units.csv", place / "out" / "o.csv")
    return caught.value.code


def test_refusals_of_parquet_columns(place, make):
    assert code_of(place, make, time=np.arange(96)) == "FLT-04"
    assert code_of(place, make, time=["2025-01-01"] * 96) == "FLT-04"
    assert code_of(place, make, load_pu=["0.8"] * 96) == "FLT-04"
    assert code_of(place, make, unit=np.linspace(0, 1, 96)) == "FLT-04"
    assert code_of(place, make, unit=pa.array([None, *"A" * 95])) == "FLT-04"
    gaps = [None, *columns()["time"].to_pylist()[1:]]
    assert code_of(place, make, time=pa.array(gaps, pa.timestamp("ms"))) == "FLT-04"


@pytest.mark.parametrize("unit", ["s", "ms", "us", "ns"])
@pytest.mark.parametrize("zone", [None, "UTC", "America/Denver"])
def test_times_of_every_unit_and_zone(place, make, unit, zone):
    times = columns()["time"].cast(pa.timestamp(unit))
    path = make.write(
        place / "p.parquet", pa.table({**columns(), "time": times.cast(pa.timestamp(unit, zone))})
    )
    report = run_fleet(path, place / "units.csv", place / "out" / "o.csv")
    assert report.worst[0].hours == 24.0


@pytest.mark.parametrize("kind", [pa.int8(), pa.float16(), pa.float32(), pa.float64(), pa.decimal128(9, 3)])
def test_loads_of_every_number_type(place, make, kind):
    path = make.write(
        place / "p.parquet", pa.table({**columns(), "load_pu": pa.array([1] * 96, pa.int8()).cast(kind)})
    )
    report = run_fleet(path, place / "units.csv", place / "out" / "o.csv")
    assert report.worst[0].hot_spot_max_c == pytest.approx(210.0)


@pytest.mark.parametrize(
    "kind", [pa.int16(), pa.uint64(), pa.large_string(), pa.dictionary(pa.int8(), pa.string())]
)
def test_units_named_by_texts_and_whole_numbers(place, make, kind):
    lists = (place / "units.csv").read_text()
    (place / "units.csv").write_text(lists.replace("\nA,", "\n7,"))
    path = make.write(place / "p.parquet", pa.table({**columns(), "unit": pa.array(["7"] * 96).cast(kind)}))
    report = run_fleet(path, place / "units.csv", place / "out" / "o.csv")
    assert report.worst[0].unit == "7"


def test_zones_of_two_files_must_agree(place, make):
    folder = place / "profiles"
    folder.mkdir()
    make.write(folder / "a.parquet", pa.table(columns()))
    later = columns()["time"].cast(pa.int64()).to_numpy() + 24 * 3_600_000
    zoned = pa.array(later, pa.timestamp("ms", "UTC"))
    make.write(folder / "b.parquet", pa.table({**columns(), "time": zoned}))
    with pytest.raises(InputError) as caught:
        run_fleet(folder, place / "units.csv", place / "out" / "o.csv")
    assert caught.value.code == "FLT-06"


def test_semicolons_and_decimal_commas(place):
    text = "\n".join(["unit;time;load_pu;ambient_c", *(f"A;{row.split(',')[1]};1,0;30,0" for row in lines())])
    (place / "p.csv").write_text("\ufeff" + text, "utf-8")
    report = run_fleet(place / "p.csv", place / "units.csv", place / "out" / "o.csv")
    assert report.worst[0].hot_spot_max_c == pytest.approx(210.0)


def test_a_bad_unit_leaves_the_others_alone(place, make):
    good = make.profile("BC")
    bad = make.profile("A").set_column(3, "ambient_c", pa.array(np.full(192, np.nan, np.float32)))
    path = make.write(place / "p.parquet", pa.concat_tables([bad, good]))
    report = run_fleet(path, place / "units.csv", place / "out" / "o.csv")
    assert sorted(row.unit for row in report.worst) == ["B", "C"]
    assert [(fault.code, fault.unit) for fault in report.faults] == [("FLT-09", "A")]


@pytest.mark.parametrize("between", ["gap", "doubled", "other step"])
def test_what_breaks_between_two_blocks(place, make, monkeypatch, between):
    from turnwright.fleet import profile_files

    monkeypatch.setattr(profile_files, "ROWS_A_BLOCK", 192)
    start = {"gap": "2025-01-03T01:00", "doubled": "2025-01-02T12:00", "other step": "2025-01-03"}[between]
    later = make.profile("A", start=start)
    if between == "other step":
        later = later.set_column(1, "time", pa.array(make.times(192, start, 30)))
    table = pa.concat_tables([make.profile("A"), later, make.profile("B")])
    report = run_fleet(
        make.write(place / "p.parquet", table, 192), place / "units.csv", place / "out" / "o.csv"
    )
    assert [row.unit for row in report.worst] == ["B"]
    (fault,) = report.faults
    wanted = {"gap": "1 gap, from 2025-01-02 23:45:00", "doubled": "doubled", "other step": "step changes"}
    assert fault.code == "FLT-07"
    assert wanted[between] in fault.what


def unusable(place, out, **given):
    arguments = {"profiles": place / "p.parquet", "units": place / "units.csv", **given}
    with pytest.raises(InputError) as caught:
        run_fleet(arguments["profiles"], arguments["units"], out, options=given.get("options"))
    return caught.value.code


def test_places_and_options_that_cannot_be_used(place, make, monkeypatch):
    make.write(place / "p.parquet", make.profile("A"))
    out = place / "out" / "o.csv"
    assert unusable(place, place / "out" / "o.txt") == "FLT-13"
    assert unusable(place, place / "out") == "FLT-13"
    assert unusable(place, place / "none" / "o.csv") == "FLT-13"
    assert unusable(place, place / "p.parquet") == "FLT-13"
    assert unusable(place, place / "units.csv") == "FLT-13"
    assert unusable(place, out, profiles=place / "none.parquet") == "FLT-01"
    assert unusable(place, out, profiles=place / "out") == "FLT-01"
    assert unusable(place, out, profiles=place / "units.json") == "FLT-01"
    assert unusable(place, out, units=place / "none.csv") == "FLT-01"
    assert unusable(place, out, options=FleetOptions(price_kwh=-1.0)) == "FLT-14"
    assert unusable(place, out, options=FleetOptions(price_kwh=float("nan"))) == "FLT-14"
    assert unusable(place, out, options=FleetOptions(threads=0)) == "FLT-14"
    assert unusable(place, out, options=FleetOptions(cooling="ON")) == "FLT-14"
    assert unusable(place, out, options=FleetOptions(form="quick")) == "FLT-14"
    assert unusable(place, out, options=FleetOptions(standard="iso")) == "HEAT-03"


def test_a_full_disk_is_told_and_nothing_half_written_stays(place, make, monkeypatch):
    from pathlib import Path

    path = make.write(place / "p.parquet", make.profile("A"))

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(InputError, match="No space left on device") as caught:
        run_fleet(path, place / "units.csv", place / "out" / "o.csv")
    assert caught.value.code == "FLT-13"
    assert not (place / "out" / "o.csv").exists()
    assert not list((place / "out").glob(".*"))


def test_rows_of_a_unit_in_two_halves_are_put_in_order():
    times = np.concatenate([np.arange(48, 96), np.arange(48)]) * 900
    looked = look_at_times(times, 1_000_000_000)
    assert looked.step_ns == 900 * 10**9
    assert times[looked.order].tolist() == sorted(times)
    assert looked.what == ""


def test_loads_far_over_the_rating(place, make):
    """kVA of a unit of 75 kVA written in VA."""
    table = pa.table({**columns(), "kva": np.full(96, 60_000.0)}).drop_columns("load_pu")
    with pytest.raises(InputError, match="800 times the rating of 75") as caught:
        run_fleet(make.write(place / "p.parquet", table), place / "units.csv", place / "out" / "o.csv")
    assert caught.value.code == "FLT-08"
