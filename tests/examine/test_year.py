"""A metered load followed through one unit: against a digital filter, closed forms, and the fleet's own numbers."""

import json
import subprocess
import sys
from datetime import datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.signal import lfilter

from turnwright.errors import InputError
from turnwright.examine import Options, examine, examine_unit
from turnwright.examine.course_file import read_course
from turnwright.fleet import FleetOptions, run_fleet
from turnwright.intake import job_from_mapping, unit_from_mapping
from turnwright.quantities import parse_quantity

PLATE = {
    "unit": "T-14", "kva": "75 kVA", "primary": "480 delta", "secondary": "208Y/120", "rise": "150 K",
    "insulation": "220 degC", "no_load_loss": "350 W", "load_loss": "1950 W", "load_loss_at": "170 degC",
    "p_ecr": "0.08", "k_rating": "1", "time_constant": "1.5 h",
}  # fmt: skip
START = datetime(2025, 1, 1)


def csv_of(load, ambient=None, step_min=15, load_is="load_pu", skip=(), **more):
    """A CSV of a load; `skip`: steps that were not metered."""
    columns = {"time": [START + timedelta(minutes=step_min * i) for i in range(len(load))], load_is: load}
    columns |= {} if ambient is None else {"ambient_c": ambient}
    columns |= more
    rows = [row for i, row in enumerate(zip(*columns.values(), strict=True)) if i not in skip]
    return "\n".join([",".join(columns), *(",".join(str(cell) for cell in row) for row in rows)]) + "\n"


def year_of(text, plate=PLATE, **options):
    given = {key: value for key, value in plate.items() if value is not None}
    course = read_course(text, "load.csv")
    return examine_unit("year", (unit_from_mapping(given),), Options(load=course, **options))


def course_of(steps):
    rng = np.random.default_rng(5)
    at = np.arange(steps) / 96 * 2 * np.pi
    load = np.round(np.clip(0.75 + 0.3 * np.sin(at) + 0.1 * rng.standard_normal(steps), 0, 1.9), 3)
    return load.tolist(), np.round(24 + 8 * np.sin(at - 2), 1).tolist()


def test_a_year_against_a_digital_filter():
    """The lag by scipy.signal.lfilter, everything after it by numpy; formulas written out anew."""
    steps = 35_040
    load, ambient = course_of(steps)
    answers = year_of(csv_of(load, ambient)).answers
    k, air = np.array(load), np.array(ambient)
    share = -np.expm1(-0.25 / 1.5)
    ultimate = 180 * k**1.6
    rise, _ = lfilter([share], [1, share - 1], ultimate, zi=[(1 - share) * ultimate[0]])
    hot = air + rise
    ohmic = 1950 / (1 + 0.08 + 0.08 * 0.33 / 0.67)
    warm = (234.5 + air + rise * 150 / 180) / (234.5 + 170)
    loss = 350 + k**2 * (ohmic * warm + (1950 - ohmic) / warm)
    assert answers["hot_spot_max_c"] == pytest.approx(hot.max(), rel=1e-10)
    assert answers["life_used_h"] == pytest.approx(
        (np.exp(27285 / 483 - 27285 / (273 + hot)) / 4).sum(), rel=1e-9
    )
    assert answers["energy_loss_kwh"] == pytest.approx(loss.sum() / 4000, rel=1e-10)
    assert answers["overload_h"] == np.count_nonzero(k > 1) / 4 and answers["peak_pu"] == k.max()
    when = START + timedelta(minutes=15 * (int(hot.argmax()) + 1))
    assert answers["hot_spot_max_at"] == f"{when:%Y-%m-%d %H:%M}"


@pytest.mark.parametrize("load_is", ["load_pu", "current_a", "kva"])
def test_the_fleet_tells_the_same(tmp_path, load_is):
    load, ambient = course_of(1000)
    base = {"load_pu": 1.0, "current_a": 75_000 / 208 / 3**0.5, "kva": 75.0}[load_is]
    text = csv_of([k * base for k in load], ambient, load_is=load_is, unit=["T-14"] * 1000)
    (tmp_path / "p.csv").write_text(text)
    (tmp_path / "units.csv").write_text(",".join(PLATE) + "\n" + ",".join(PLATE.values()) + "\n")
    report = run_fleet(
        tmp_path / "p.csv", tmp_path / "units.csv", tmp_path / "o.csv", options=FleetOptions(price_kwh=0.12)
    )
    row = report.worst[0]
    answers = year_of(text, price_kwh=parse_quantity("0.12 USD", "energy price", where="x")).answers
    for name in ("hot_spot_max_c", "life_used_h", "life_used_pct", "energy_loss_kwh", "cost_loss", "peak_pu"):
        assert answers[name] == pytest.approx(getattr(row, name), rel=1e-5), name
    assert answers["currency"] == "USD" and answers["overload_h"] == row.overload_h


def test_at_the_rated_hot_spot_an_hour_is_an_hour():
    study = year_of(csv_of([1.0] * 96, [30] * 96))
    assert study.answers["hot_spot_max_c"] == 210.0
    assert study.answers["life_used_h"] == pytest.approx(24.0)
    assert study.answers["mean_ageing_rate"] == pytest.approx(1.0)
    assert study.answers["binds"] == "life"
    assert len(study.series[0].x) == 96  # of a day each step is a point


def test_what_limits():
    cold = year_of(csv_of([0.2] * 94 + [1.6] * 2, [-20] * 96)).answers
    assert cold["binds"] == "current" and cold["limits"][2]["of_limit_pct"] == pytest.approx(100 * 1.6 / 1.5)
    hot = year_of(csv_of([1.15] * 96, [40] * 96))
    assert {each.code: each.severity for each in hot.findings}["hot-spot-over-class"] == "stop"
    assert {each.code for each in hot.findings} >= {"life-shortened"}


def test_after_a_gap_the_unit_is_at_least_as_hot_as_before():
    """A day at full load, an hour that nobody metered, no load: the first step after cools from full load."""
    text = csv_of([1.0] * 96 + [0.0] * 96, [30] * 192, skip=range(96, 100))
    study = year_of(text)
    share = -np.expm1(-0.25 / 1.5)
    first = study.series[0].y[96]
    assert first == pytest.approx(30 + 180 * (1 - share))
    assert study.answers["hours"] == 47.0 and study.answers["life_used_h"] > 24
    assert study.answers["no_load_loss_kwh"] == pytest.approx(0.35 * 47)
    assert "gaps" in {finding.code for finding in study.findings}


def test_a_divided_day_adds_up():
    load, ambient = course_of(960)
    days = year_of(csv_of(load, ambient))
    whole = sum(b - a for a, b in zip((0.0, *days.series[2].y), days.series[2].y, strict=False))
    assert len(days.series[0].x) == 10 and whole == pytest.approx(days.answers["life_used_h"])


@pytest.mark.parametrize("missing", ["no_load_loss", "load_loss"])
def test_without_losses_there_is_no_energy_and_no_cost(missing):
    price = parse_quantity("0.12 USD", "energy price", where="x")
    study = year_of(csv_of([0.8] * 8, [30] * 8), {**PLATE, missing: None}, price_kwh=price)
    assert [
        study.answers[key] for key in ("energy_loss_kwh", "cost_loss", "no_load_loss_kwh", "currency")
    ] == [None] * 4
    assert study.answers["hot_spot_max_c"] > 150 and "not known: no energy" in " ".join(study.said)
    assert study.questions[-1].key == "no_load_loss, load_loss"


def test_without_ambient_the_peak_stands_in_and_the_average_is_told():
    study = year_of(csv_of([0.9] * 96))
    answers = study.answers
    at_40 = year_of(csv_of([0.9] * 96, [40] * 96)).answers
    at_30 = year_of(csv_of([0.9] * 96, [30] * 96)).answers
    assert answers["life_used_h"] == at_40["life_used_h"] > at_30["life_used_h"]
    assert answers["at_average_ambient"]["life_used_h"] == at_30["life_used_h"]
    assert study.questions[0].key == "ambient_c" and "40 °C all the time" in study.assumed[0].what


def test_harmonics_heat():
    plain = year_of(csv_of([0.8] * 96, [30] * 96)).answers
    rich = year_of(csv_of([0.8] * 96, [30] * 96, k_factor=[9] * 96)).answers
    assert rich["hot_spot_max_c"] > plain["hot_spot_max_c"]
    assert rich["hot_spot_max_c"] == pytest.approx(30 + 180 * (0.64 * 1.72 / 1.08) ** 0.8)
    assert rich["energy_loss_kwh"] > plain["energy_loss_kwh"]


def test_rules_can_be_chosen():
    text = csv_of([1.1] * 96, [30] * 96)
    older = year_of(text, ageing="halving-10k").answers
    assert older["life_used_h"] == pytest.approx(24 * 8, rel=0.1)  # 180 · 1.1^1.6 K is 30 K above: 2³
    assert year_of(text).answers["life_used_h"] > older["life_used_h"]
    fans = year_of(text, cooling="AF").answers
    assert fans["hot_spot_max_c"] == pytest.approx(30 + 180 * 1.21)
    assert year_of(text, standard="iec").answers["hot_spot_max_c"] == pytest.approx(30 + 187.5 * 1.1**1.6)


JOB = {
    "supply": {"system": "480Y/277", "fault_current": "20 kA"},
    "load": [{"system": "208Y/120", "kva": "60 kVA"}],
}


def of_job(load, ambient=None, load_is="load_pu", **tables):
    return examine(
        "year",
        job_from_mapping({**JOB, **tables}),
        Options(load=read_course(csv_of(load, ambient, load_is=load_is), "load.csv")),
    )


def test_the_pick_of_a_job():
    study = of_job([1.0] * 96, [30] * 96, choices={"price_kwh": "0.12 USD"})
    assert study.pick.kva == 75 and study.answers["hot_spot_max_c"] == pytest.approx(210)
    assert study.answers["energy_loss_kwh"] is None and study.answers["cost_loss"] is None
    assert of_job([75.0] * 96, [30] * 96, "kva").answers["hot_spot_max_c"] == pytest.approx(210)
    assert of_job([208.18] * 96, [30] * 96, "current_a").answers["hot_spot_max_c"] == pytest.approx(
        210, rel=1e-4
    )


def test_thin_air_makes_a_larger_rise():
    """2000 m leave 95 % by the most severe rule: that load reaches the rated rise there."""
    high = of_job([0.95] * 96, [30] * 96, site={"altitude": "2000 m"})
    assert high.answers["hot_spot_max_c"] == pytest.approx(210)
    assert any("thin air" in finding.message for finding in high.findings)


@settings(max_examples=25)
@given(
    st.lists(st.floats(0, 1.4), min_size=2, max_size=60),
    st.floats(-20, 40),
    st.floats(0, 0.3),
    st.floats(0, 10),
)
def test_more_load_and_more_heat_never_age_less(load, ambient, more, warmer):
    air = [ambient] * len(load)
    one = year_of(csv_of(load, air)).answers
    other = year_of(csv_of([k + more for k in load], [ambient + warmer] * len(load))).answers
    for name in ("hot_spot_max_c", "life_used_h", "energy_loss_kwh"):
        assert other[name] >= one[name] - 1e-12 * abs(one[name])


@pytest.mark.parametrize(
    ("code", "text", "plate"),
    [
        ("YEAR-08", csv_of([100.0] * 4, [30] * 4, load_is="current_a"), {**PLATE, "secondary": None}),
        ("YEAR-05", csv_of([9e4] * 4, [30] * 4, load_is="current_a"), PLATE),
        ("HEAT-09", csv_of([0.5] * 4, [30] * 4), {**PLATE, "kva": None}),
        ("HEAT-02", csv_of([0.5] * 4, [30] * 4), {**PLATE, "insulation": "85 degC"}),
    ],
)
def test_refusals(code, text, plate):
    with pytest.raises(InputError) as caught:
        year_of(text, plate)
    assert caught.value.code == code and caught.value.fix


UNIT_FILE = (
    "[unit]\n" + "\n".join(f'{key} = "{value}"' for key, value in PLATE.items() if key != "k_rating") + "\n"
)


@pytest.fixture
def files(tmp_path):
    (tmp_path / "unit.toml").write_text(UNIT_FILE)
    (tmp_path / "load.csv").write_text(csv_of(*course_of(960)))
    return tmp_path


def test_the_command(run, files):
    words = ("examine", "year", str(files / "unit.toml"), "--load", str(files / "load.csv"))
    ran = run(*words, "--price-kwh", "0.12 USD")
    assert ran.status == 0 and ran.err == ""
    for word in ("hottest spot", "What limits it", "most life", "USD", "T-14: year"):
        assert word in ran.out
    assert max(len(line) for line in ran.out.splitlines() if "why:" not in line) <= 80
    told = json.loads(run(*words, "--format", "json").out)
    assert told["answers"]["cost_loss"] is None and len(told["series"]) == 3 and told["pick"] is None
    assert "life_used_pct" in run(*words, "--why", "answers.life_used_pct").out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("year", "unit.toml"), "YEAR-08"),
        (("year", "two.toml", "--load", "load.csv"), "EXM-07"),
        (("cost", "unit.toml"), "JOB-01"),
        (("fault", "job.toml", "--load", "load.csv"), "EXM-04"),
        (("year", "unit.toml", "--load", "none.csv"), "FILE-01"),
        (("year", "unit.toml", "--load", "load.csv", "--price-kwh", "0.12"), "QTY-05"),
        (("year", "unit.toml", "--load", "load.csv", "--price-kwh", "-1 USD"), "--price-kwh"),
        (("year", "unit.toml", "--load", "load.csv", "--ageing", "quick"), "CLI-02"),
        (("year", "unit.toml", "--load", "load.csv", "--years", "9"), "EXM-04"),
    ],
)
def test_what_the_command_refuses(run, files, monkeypatch, words, told):
    monkeypatch.chdir(files)
    (files / "two.toml").write_text(UNIT_FILE.replace("[unit]", "[[unit]]") * 2)
    (files / "job.toml").write_text(
        'supply.system = "480Y/277"\n[[load]]\nsystem = "208Y/120"\nkva = "9 kVA"\n'
    )
    ran = run("examine", *words)
    assert (ran.status, ran.out) == (2, "") and told in ran.err and ran.err.count("\n") == 1


def test_one_unit_loads_no_library_of_arrays(files):
    words = ["examine", "year", str(files / "unit.toml"), "--load", str(files / "load.csv")]
    script = (
        f"import sys\nfrom turnwright.cli.main import main\nassert main({words!r}) == 0\nprint(*sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    loaded = {name.partition(".")[0] for name in done.stdout.splitlines()[-1].split()}
    assert not loaded & {"numpy", "numba", "pyarrow", "scipy"}
