"""Jobs as people write them, read into facts."""

from pathlib import Path

import pytest

import turnwright.intake
from turnwright.intake import job_from_mapping, load_job, load_unit, read_job
from turnwright.model.job import Spectrum
from turnwright.quantities import UNKNOWN

JOBS = Path(__file__).parent / "data" / "jobs"
NAMES = sorted(path.name for path in JOBS.glob("E??.toml"))


def test_all_ten_jobs_are_here() -> None:
    assert [f"E{number:02}.toml" for number in range(1, 11)] == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_a_job_is_read(name: str) -> None:
    job = load_job(JOBS / name)
    assert job.supply.system is not None
    assert job.load
    rows = (JOBS / name).read_text(encoding="utf-8").split("\n")
    for path, line in job.lines.items():
        key = path.rsplit(".", 1)[-1].split("[")[0]
        assert key in rows[line - 1]


def test_facts_of_a_welder() -> None:
    job = load_job(JOBS / "E02.toml")
    (welder,) = job.load
    assert welder.current is not None and welder.current.value == 240.0
    assert welder.power_factor is not None and welder.power_factor.value == 0.5
    assert welder.duty is not None and welder.duty.on is not None and welder.duty.on.value == 10.0
    assert welder.duty.period is None
    assert welder.kind == "welder"
    assert job.lines["load[0].duty.on"] == 18
    assert job.supply.fault_current is not None and job.supply.fault_current.value == 22000.0


def test_facts_of_a_laboratory() -> None:
    (benches,) = load_job(JOBS / "E10.toml").load
    assert isinstance(benches.harmonics, Spectrum)
    percent = [(order, each.value) for order, each in benches.harmonics.percent_by_order]
    assert percent == [(3, 45.0), (5, 25.0), (7, 12.0)]


def test_a_unit_that_exists() -> None:
    (unit,) = load_unit(JOBS / "E08-unit.toml")
    assert unit.kva is not None and unit.kva.value == 75.0
    assert unit.note == "donated"


def test_unknown_and_half_known_facts(base: str) -> None:
    job = read_job(
        base
        + 'current = "110..140 A"\npower_factor = "unknown"\nkind = "Unknown"\ncontinuous = "unknown"\n'
        + 'harmonics = "unknown"\n[site]\nconditions = "unknown"\n[choices]\nsecondary = "unknown"\n'
        + '[circuit]\nsecondary_devices = "unknown"\n'
    )
    (load,) = job.load
    assert load.current is not None and (load.current.low, load.current.high) == (110.0, 140.0)
    assert load.power_factor is not None and load.power_factor.form == "unknown"
    assert (load.kind, load.continuous, load.harmonics) == (UNKNOWN, UNKNOWN, UNKNOWN)
    assert (job.site.conditions, job.choices.secondary) == (UNKNOWN, UNKNOWN)
    assert [each.form for each in job.circuit.secondary_devices] == ["unknown"]


def test_words_in_any_letter_case_and_lines_in_either_order(base: str) -> None:
    text = base.replace("240 3ph", "240 1ph") + 'kva = 1\nlines = "ac"\nstart = "Soft  Starter"\n'
    (load,) = read_job(text).load
    assert (load.lines, load.start) == ("CA", "soft starter")


def test_one_text_stands_for_a_list_of_one(base: str) -> None:
    job = read_job(
        f'supply.measured = "205 V"\n{base.replace("[supply]", "").replace("system", "supply.system", 1)}'
    )
    assert [each.value for each in job.supply.measured] == [205.0]


def test_dates_as_texts_years_and_toml_dates() -> None:
    for written, expected in [('"2027-05"', "2027-05"), ("2027-05-31", "2027-05-31"), ("2027", "2027")]:
        job = read_job(f"[choices]\nmanufactured = {written}\n[[load]]\n")
        assert job.choices.manufactured == expected


def test_an_edition_may_be_written_as_a_number() -> None:
    assert read_job("edition = 2023\n[[load]]").edition == "2023"


def test_the_power_factor_of_about_one_stops_at_one(base: str) -> None:
    (load,) = read_job(base + 'kva = 1\npower_factor = "about 0.95"').load
    assert load.power_factor is not None
    assert (load.power_factor.low, load.power_factor.high) == (pytest.approx(0.855), 1.0)


def test_a_mapping_gives_the_same_job_as_the_text(base: str) -> None:
    text = base + 'kva = "31 kVA"\nharmonics = { 5 = 30 }\n'
    data = {
        "supply": {"system": "480Y/277", "frequency": None},
        "load": [{"name": "pumps", "system": "240 3ph", "kva": "31 kVA", "harmonics": {5: 30}}],
    }
    written, mapped = read_job(text), job_from_mapping(data)
    assert (written.supply, written.load) == (mapped.supply, mapped.load)
    assert mapped.lines == {}


def test_every_name_of_the_package_is_there() -> None:
    for name in turnwright.intake.__all__:
        assert getattr(turnwright.intake, name) is not None
    with pytest.raises(AttributeError, match="no attribute 'read_jobs'"):
        turnwright.intake.read_jobs  # noqa: B018
