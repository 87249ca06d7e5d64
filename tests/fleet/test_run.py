"""Profiles and a list in, rows out: numbers against a filter and a sum, whole results or none, work resumed."""

import csv
import json
import math

import msgspec
import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from scipy.signal import lfilter

from turnwright.errors import InputError
from turnwright.fleet import FleetOptions, run_fleet

FORMS = ["plain", "arrays", "float64", "float32"]
COLUMNS = (
    "unit,hot_spot_max_c,life_used_h,life_used_pct,energy_loss_kwh,cost_loss,peak_pu,overload_h,hours,rank"
)


def rows_in(path):
    with path.open(encoding="utf-8", newline="") as file:
        return {row["unit"]: row for row in csv.DictReader(file)}


def run(place, profiles, **options):
    more = {name: options.pop(name) for name in ("progress", "out") if name in options}
    out = place / "out" / more.pop("out", "fleet.csv")
    report = run_fleet(profiles, place / "units.csv", out, options=FleetOptions(**options), **more)
    return report, out


def by_hand(load, ambient, factor=1.0):
    """A unit of `conftest.ROW`, by a recursive filter and sums: IEC 60076-12, IEEE C57.110 and C57.12.91.

    Rise 150 K: hot spot 180 K; 220 °C system: b = 27 285 K, 210 °C; q = 1.6, τ = 1.5 h, 15 min.
    """
    load, ambient = load.astype(np.float32).astype(float), ambient.astype(np.float32).astype(float)
    share = 1 - math.exp(-0.25 / 1.5)
    heating = load**2 * (1 + 0.08 * factor) / 1.08
    ultimate = 180.0 * heating**0.8
    rise, _ = lfilter([share], [1, share - 1], ultimate, zi=[(1 - share) * ultimate[0]])
    hot_spot = ambient + rise
    ageing = np.exp(27285 / 483 - 27285 / (273 + hot_spot))
    ohmic = 1950 / (1 + 0.08 + 0.08 * 0.33 / 0.67)
    warm = (234.5 + ambient + rise * 150 / 180) / (234.5 + 170)
    stray = 0.08 * factor + 0.08 * 0.33 / 0.67 * factor**0.4
    watts = 350 + load**2 * ohmic * (warm + stray / warm)
    return {
        "hot_spot_max_c": hot_spot.max(),
        "life_used_h": 0.25 * ageing.sum(),
        "life_used_pct": 100 * 0.25 * ageing.sum() / 180_000,
        "energy_loss_kwh": 0.25 * watts.sum() / 1000,
        "cost_loss": 0.12 * 0.25 * watts.sum() / 1000,
        "peak_pu": load.max(),
        "overload_h": 0.25 * np.count_nonzero(load > 1),
        "hours": 0.25 * len(load),
    }


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("factor", [1.0, 6.5])
def test_every_number_against_a_filter_and_sums(place, make, form, factor):
    steps = 960
    more = {} if factor == 1.0 else {"k_factor": np.full(3 * steps, factor, np.float32)}
    path = make.write(place / "p.parquet", make.profile("ABC", steps, **more), 700)
    report, out = run(place, path, form=form, price_kwh=0.12)
    assert out.read_text("utf-8").splitlines()[0] == COLUMNS
    found = rows_in(out)
    for i, unit in enumerate("ABC"):
        wanted = by_hand(make.load_of(i, steps), make.ambient_of(steps), factor)
        for name, value in wanted.items():
            near = 2e-5 if form == "float32" else 1e-8
            assert float(found[unit][name]) == pytest.approx(value, rel=near), f"{unit}.{name}"
    assert (report.units, report.steps, report.form) == (3, 3 * steps, form)
    ranked = sorted(found.values(), key=lambda row: int(row["rank"]))
    assert [float(row["life_used_pct"]) for row in ranked] == sorted(
        (float(row["life_used_pct"]) for row in ranked), reverse=True
    )
    assert [row.unit for row in report.worst] == [row["unit"] for row in ranked]


def test_a_year_at_the_rated_hot_spot_is_a_year_of_life(place, make):
    """Rated load at 30 °C: 210 °C, at which IEC 60076-12 lets a 220 °C system live its 180 000 h."""
    steps = 35_040
    table = pa.table(
        {
            "unit": ["A"] * steps,
            "time": pa.array(make.times(steps)),
            "load_pu": np.ones(steps),
            "ambient_c": np.full(steps, 30.0),
        }
    )
    report, _ = run(place, make.write(place / "p.parquet", table, 9000))
    (row,) = report.worst
    assert row.hot_spot_max_c == pytest.approx(210.0)
    assert row.life_used_h == pytest.approx(8760.0, rel=1e-9)
    assert row.life_used_pct == pytest.approx(8760 / 1800, rel=1e-9)
    assert (row.peak_pu, row.overload_h, row.rank) == (1.0, 0.0, 1)


@pytest.mark.parametrize("column", ["current_a", "kva"])
def test_amperes_and_kva_are_of_the_rating(place, make, column):
    """75 kVA at 208 V, three-phase: 208.2 A."""
    size = 75.0 if column == "kva" else 75_000 / (math.sqrt(3) * 208)
    plain = make.profile("ABC")
    other = plain.set_column(2, column, pa.array(plain["load_pu"].to_numpy().astype(float) * size))
    wanted, _ = run(place, make.write(place / "p.parquet", plain))
    found, _ = run(place, make.write(place / "q.parquet", other))
    for a, b in zip(found.worst, wanted.worst, strict=True):
        assert a.life_used_h == pytest.approx(b.life_used_h, rel=1e-4)
        assert a.energy_loss_kwh == pytest.approx(b.energy_loss_kwh, rel=1e-6)


def shuffled(table, seed=3):
    return table.take(pa.array(np.random.default_rng(seed).permutation(table.num_rows)))


def by_time(table):
    return table.sort_by([("time", "ascending"), ("unit", "descending")])


@pytest.mark.parametrize("arrange", [shuffled, by_time, lambda table: table.slice(0)])
@pytest.mark.parametrize("rows", [50_000, 300, 7])
def test_rows_in_any_arrangement(place, make, arrange, rows):
    wanted, _ = run(place, make.write(place / "p.parquet", make.profile("ABC")), form="plain")
    found, _ = run(place, make.write(place / "q.parquet", arrange(make.profile("ABC")), rows), form="plain")
    for a, b in zip(found.worst, wanted.worst, strict=True):
        assert (a.unit, a.hot_spot_max_c, a.peak_pu) == (b.unit, b.hot_spot_max_c, b.peak_pu)
        assert a.life_used_h == pytest.approx(b.life_used_h, rel=1e-14)


@pytest.mark.parametrize("form", FORMS)
def test_a_file_read_in_parts_is_as_one_read_whole(place, make, monkeypatch, form):
    """Blocks of a few hundred rows, units cut anywhere, by time and unit after unit."""
    from turnwright.fleet import profile_files

    wanted, _ = run(place, make.write(place / "p.parquet", make.profile("ABC", 960)), form=form)
    monkeypatch.setattr(profile_files, "ROWS_A_BLOCK", 500)
    monkeypatch.setattr(profile_files, "ROWS_AT_MOST", 900)
    for arrange, rows in (
        (by_time, 77),
        (by_time, 10_000),
        (lambda table: table, 250),
        (lambda table: table, 5000),
    ):
        found, _ = run(
            place, make.write(place / "q.parquet", arrange(make.profile("ABC", 960)), rows), form=form
        )
        for a, b in zip(found.worst, wanted.worst, strict=True):
            assert a.unit == b.unit
            assert a.life_used_h == pytest.approx(b.life_used_h, rel=3e-6 if form == "float32" else 1e-6)
            assert a.energy_loss_kwh == pytest.approx(b.energy_loss_kwh, rel=1e-6)
            assert (a.overload_h, a.hours, a.peak_pu) == (b.overload_h, b.hours, b.peak_pu)


@pytest.mark.parametrize("form", FORMS)
def test_more_threads_write_the_same_bytes(place, make, form):
    path = make.write(place / "p.parquet", make.profile("ABC", 960), 500)
    _, one = run(place, path, form=form, threads=1, out="one.csv")
    _, four = run(place, path, form=form, threads=4, out="four.csv")
    assert one.read_bytes() == four.read_bytes()


def test_csv_tells_what_parquet_tells(place, make):
    table = make.profile("ABC")
    wanted, _ = run(place, make.write(place / "p.parquet", table))
    lines = ["unit,time,load_pu,ambient_c"]
    for unit, time, load, ambient in zip(
        *(table[name].to_pylist() for name in table.column_names), strict=True
    ):
        lines.append(f"{unit},{time:%Y-%m-%d %H:%M},{load:.3f},{ambient:.1f}")
    (place / "p.csv").write_text("\n".join(lines) + "\n")
    found, _ = run(place, place / "p.csv")
    assert found.worst == wanted.worst


def test_a_folder_of_one_file_a_unit(place, make):
    wanted, _ = run(place, make.write(place / "p.parquet", make.profile("ABC")))
    folder = place / "profiles"
    folder.mkdir()
    whole = make.profile("ABC")
    for i, unit in enumerate("ABC"):
        make.write(folder / f"{unit}.parquet", whole.slice(i * 192, 192))
    found, _ = run(place, folder)
    assert found.worst == wanted.worst


def test_a_folder_of_one_file_a_month(place, make):
    """Names of the files are not in the order of time; each unit takes its heat from file to file."""
    wanted, _ = run(place, make.write(place / "p.parquet", make.profile("ABC")), form="plain")
    folder = place / "profiles"
    folder.mkdir()
    whole = by_time(make.profile("ABC"))
    for i, name in enumerate(("z", "m", "a")):
        make.write(folder / f"{name}.parquet", whole.slice(i * 192, 192))
    found, _ = run(place, folder, form="plain")
    for a, b in zip(found.worst, wanted.worst, strict=True):
        assert (a.unit, a.hot_spot_max_c) == (b.unit, b.hot_spot_max_c)
        assert a.life_used_h == pytest.approx(b.life_used_h, rel=1e-14)


def test_one_bad_file_among_many_is_told_and_the_others_finish(place, make):
    folder = place / "profiles"
    folder.mkdir()
    for i in range(12):
        make.write(folder / f"{i:02}.parquet", make.profile([f"U{i}"]))
    (folder / "05.parquet").write_bytes((folder / "05.parquet").read_bytes()[:-9])
    (folder / "07.csv").write_text("unit,time,load_pu,ambient_c\nU7x,yesterday,1,30\n")
    units = (place / "units.csv").read_text().splitlines()
    rows = [units[1].replace("A", f"U{i}", 1) for i in range(12)]
    (place / "units.csv").write_text("\n".join([units[0], *rows]))
    report, out = run(place, folder)
    assert sorted(rows_in(out)) == sorted(f"U{i}" for i in range(12) if i != 5)
    assert [(fault.code, fault.where) for fault in report.faults] == [
        ("FLT-02", "05.parquet"),
        ("FLT-04", "07.csv"),
    ]
    assert [each.code for each in report.findings].count("left-out") == 2
    assert any("No profile was found for unit U5" in each.message for each in report.findings)


def test_a_file_that_breaks_off_leaves_no_half_year(place, make, monkeypatch):
    """What comes after the broken place is lost; no unit seen in the file is told as if it were complete."""
    from turnwright.fleet import profile_files

    monkeypatch.setattr(profile_files, "CSV_BYTES_A_BLOCK", 4000)
    lines = ["unit,time,load_pu,ambient_c"]
    for unit in "AB":
        lines += [f"{unit},{time},0.8,30" for time in make.times(192)]
    (place / "p.csv").write_text("\n".join([*lines[:300], "B,what,is,this", *lines[300:]]))
    with pytest.raises(InputError) as caught:
        run(place, place / "p.csv")
    assert caught.value.code == "FLT-02"
    assert list((place / "out").iterdir()) == []


class Broken(Exception):
    """Stands for the power cut."""


@pytest.mark.parametrize("threads", [1, 3])
def test_work_that_broke_off_goes_on_where_it_was(place, make, monkeypatch, threads):
    from turnwright.fleet import parts, profile_files

    monkeypatch.setattr(profile_files, "ROWS_A_BLOCK", 100)
    path = make.write(place / "p.parquet", by_time(make.profile("ABC", 960)), 100)
    _, wanted = run(place, path, form="plain", out="whole.csv")
    seen = []

    def cut(progress):
        seen.append(progress.done)
        if len(seen) == 15:
            raise Broken

    with pytest.raises(Broken):
        run(place, path, form="plain", threads=threads, checkpoint_s=0.0, progress=cut)
    assert sorted(each.name for each in (place / "out").iterdir()) == ["fleet.csv.unfinished", "whole.csv"]
    read = []
    followed = parts.add_block
    monkeypatch.setattr(parts, "add_block", lambda *given: read.append(1) or followed(*given))
    _, out = run(place, path, form="plain", threads=threads)
    assert len(read) == 29 - 15
    assert out.read_bytes() == wanted.read_bytes()
    assert sorted(each.name for each in (place / "out").iterdir()) == ["fleet.csv", "whole.csv"]


def test_work_of_another_input_is_not_taken_up(place, make):
    path = make.write(place / "p.parquet", make.profile("ABC"))
    report, out = run(place, path)
    (out.parent / "fleet.csv.unfinished").write_text('{"of":"another"}\n{"group":0}\n')
    again, _ = run(place, path)
    assert again.worst == report.worst
    (out.parent / "fleet.csv.unfinished").write_bytes(b"\x00\xff not JSON")
    assert run(place, path)[0].worst == report.worst


def test_a_side_file_that_ends_in_the_middle_of_a_line(place, make, monkeypatch):
    from turnwright.fleet import profile_files

    monkeypatch.setattr(profile_files, "ROWS_A_BLOCK", 100)
    path = make.write(place / "p.parquet", by_time(make.profile("ABC")), 100)
    _, wanted = run(place, path, form="plain", out="whole.csv")
    count = iter(range(100))

    def cut(progress):
        if next(count) == 3:
            raise Broken

    with pytest.raises(Broken):
        run(place, path, form="plain", checkpoint_s=0.0, progress=cut)
    side = place / "out" / "fleet.csv.unfinished"
    side.write_bytes(side.read_bytes()[:-25])
    _, out = run(place, path, form="plain")
    assert out.read_bytes() == wanted.read_bytes()


def test_result_as_parquet(place, make):
    path = make.write(place / "p.parquet", make.profile("ABC"))
    report, out = run(place, path, out="fleet.parquet", price_kwh=0.1)
    table = pq.read_table(out)
    assert ",".join(table.column_names) == COLUMNS
    assert table["rank"].to_pylist() == [1, 2, 3]
    assert table["life_used_h"].to_pylist() == [row.life_used_h for row in report.worst]


def test_unknown_losses_and_price_are_empty_and_never_0(place, make):
    units = (place / "units.csv").read_text()
    (place / "units.csv").write_text(units.replace("1950 W", "").replace("0.08", "unknown"))
    path = make.write(place / "p.parquet", make.profile("ABC"))
    report, out = run(place, path, price_kwh=0.1)
    assert {row["energy_loss_kwh"] + row["cost_loss"] for row in rows_in(out).values()} == {""}
    told = " ".join(each.message for each in report.findings if each.code == "assumed")
    assert "load_loss is not known for units A, B, C; in its place stands nothing" in told
    assert "p_ecr is not known for units A, B, C; in its place stands 0.08" in told
    (place / "units.csv").write_text(units)
    _, out = run(place, path)
    assert all(row["energy_loss_kwh"] and not row["cost_loss"] for row in rows_in(out).values())


def test_an_older_result_stays_until_the_new_one_is_whole(place, make):
    path = make.write(place / "p.parquet", make.profile("ABC"))
    _, out = run(place, path)
    before = out.read_bytes()
    bad = make.write(place / "q.parquet", make.profile(["unknown"]))
    with pytest.raises(InputError):
        run(place, bad)
    assert out.read_bytes() == before
    assert [each.name for each in out.parent.iterdir()] == ["fleet.csv"]


def test_standards_and_ageing_laws_can_be_chosen(place, make):
    """IEC takes 1.25 × 150 K where North America has 180 K; the older rule ages slower above 210 °C."""
    table = make.profile("A")
    hot = table.set_column(2, "load_pu", pa.array(np.full(192, 1.1)))
    path = make.write(place / "p.parquet", hot)
    (ieee,) = run(place, path)[0].worst
    (iec,) = run(place, path, standard="iec")[0].worst
    (older,) = run(place, path, ageing="halving-10k")[0].worst
    assert iec.hot_spot_max_c - ieee.hot_spot_max_c == pytest.approx(7.5 * 1.1**1.6, rel=1e-6)
    assert older.life_used_h < ieee.life_used_h < iec.life_used_h
    report, _ = run(place, path, ageing="halving-10k")
    (law,) = [each for each in report.findings if each.code == "ageing-law"]
    assert law.known == "common practice"
    assert "IEEE C57.96 has life curves of its own, which are not carried here" in law.message


def test_progress_counts_to_the_end_and_nothing_is_printed(place, make, capfd):
    seen = []
    path = make.write(place / "p.parquet", make.profile("ABC"), 192)
    run(place, path, progress=seen.append)
    assert seen[-1].done == seen[-1].total == 3 * 192
    assert capfd.readouterr() == ("", "")


def test_progress_shows_on_a_terminal_only(monkeypatch):
    from io import StringIO

    from turnwright.fleet import FleetProgress, terminal_progress

    assert terminal_progress(StringIO()) is None
    screen = StringIO()
    screen.isatty = lambda: True
    show = terminal_progress(screen)
    show(FleetProgress(500_000, 2_000_000))
    show(FleetProgress(2_000_000, 2_000_000))
    assert screen.getvalue() == (
        f"\r[{'#' * 8}{'.' * 22}]  25 %  0.5 million steps\r[{'#' * 30}] 100 %  2.0 million steps\n"
    )


def test_what_the_compiler_lacks_is_said(place, make, monkeypatch):
    from turnwright.fleet import findings
    from turnwright.fleet.forms import choosing

    path = make.write(place / "p.parquet", make.profile("A"))
    for module in (findings, choosing):
        monkeypatch.setattr(module, "COMPILED_FROM_STEPS", 10)
    monkeypatch.setattr(choosing, "is_available", lambda: False)
    said = [each.message for each in run(place, path)[0].findings if each.code == "form"]
    assert said and said[0].startswith("Without numba")
    monkeypatch.setattr(choosing, "is_available", lambda: True)
    monkeypatch.setattr(findings, "is_kept", lambda form: False)
    said = [each.message for each in run(place, path, form="float32")[0].findings if each.code == "form"]
    assert said and "NUMBA_CACHE_DIR" in said[0]


def test_the_report_is_made_of_plain_values(place, make):
    report, out = run(place, make.write(place / "p.parquet", make.profile("ABC")))
    told = json.loads(msgspec.json.encode(report))
    assert (told["schema"], told["units"], told["out"]) == (1, 3, str(out))
    assert told["worst"][0]["cost_loss"] is None
    assert {each["code"] for each in told["findings"]} == {"assumed", "hot-spot-rise", "ageing-law", "start"}
