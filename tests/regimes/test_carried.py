"""Regimes are values: three in one process, none a habit of another, each imported only when it is asked for."""

import subprocess
import sys

import pytest

from turnwright.errors import InputError
from turnwright.intake import job_from_mapping
from turnwright.model.keys import key_of
from turnwright.narrow import select
from turnwright.reference import load
from turnwright.regimes import carried_regimes, regime_of, traits_of
from turnwright.selection.volts import ranges

JOB = {
    "supply": {"system": "480Y/277", "frequency": "60 Hz", "fault_current": "20 kA"},
    "load": [{"name": "board", "system": "208Y/120", "kva": "60 kVA", "power_factor": 0.9}],
    "circuit": {"terminals": "75 degC"},
}


def under(name, **more):
    return select(job_from_mapping({**JOB, **more, "regime": name}, "job"), ledger_open=False, ask=False)


def test_three_regimes_are_carried_with_their_editions():
    assert carried_regimes() == {
        "us": ("2017", "2020", "2023"),
        "ca": ("2015", "2018", "2021", "2024"),
        "iec": ("2017",),
    }


@pytest.mark.parametrize("name", ["us", "ca", "iec"])
def test_what_is_not_carried_is_refused(name):
    with pytest.raises(InputError) as told:
        regime_of(name, "1999", "job.toml, edition")
    assert told.value.code == "REG-02"


def test_one_job_under_three_regimes_side_by_side():
    """Same load, same unit; devices, conductors, fault and law by each code, in any order and again the same."""
    first = {name: under(name).blocks for name in ("us", "ca", "iec")}
    again = {name: under(name).blocks for name in ("iec", "ca", "us", "iec")}
    assert again == first
    assert {b.demand.kva for b in first.values()} == {60.0}
    assert (first["us"].pick.kva, first["ca"].pick.kva, first["iec"].pick.kva) == (75, 75, 63)
    us, canada = first["us"], first["ca"]
    assert (us.protection.primary_with_secondary_max_a, canada.protection.primary_with_secondary_max_a) == (
        225,
        250,
    )
    assert first["iec"].protection.primary_with_secondary_max_a is None
    assert (us.pick.vector_group, canada.pick.vector_group, first["iec"].pick.vector_group) == (
        "Dyn1",
        "Dyn1",
        "Dyn11",
    )
    assert us.conductors.secondary.size.endswith(("AWG", "kcmil"))
    assert first["iec"].conductors.secondary.size.endswith("mm²")
    assert us.efficiency.law.startswith("10 CFR") and canada.efficiency.law.startswith("SOR")
    assert first["iec"].efficiency.law is None
    assert first["iec"].grounding.system_bonding_jumper is None


@pytest.mark.parametrize(("name", "factor"), [("us", 1.0), ("ca", 1.0), ("iec", 1.1)])
def test_the_factor_c_belongs_to_the_iec_world(name, factor):
    """IEC 60909-0 Table 1 for 10 % tolerance; North America computes at nominal volts."""
    assert regime_of(name, None, "job").voltage_factor == factor


def test_a_job_of_one_regime_imports_no_other():
    code = (
        "from turnwright.regimes import regime_of\n"
        "regime_of('us', None, 'job')\n"
        "import sys\n"
        "print({'turnwright.regimes.ca', 'turnwright.regimes.iec'} & set(sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"


def test_the_range_of_volts_at_the_load_is_of_the_standard_at_hand():
    """600 V: 540 to 625 V by CSA C235; a job of iec has no such finding beside the drop."""
    said = {
        name: next((f.clause for f in under(name).findings if f.code == "voltage-range"), None)
        for name in ("us", "ca", "iec")
    }
    assert said["us"].startswith("ANSI C84.1") and said["ca"].startswith("CSA C235") and said["iec"] is None
    least, wide = ranges(600.0, regime_of("ca", "2024", "test").volt_ranges)
    assert (least.name, least.low_v, least.high_v) == ("normal", 540.0, 625.0)
    assert (wide.name, wide.low_v, wide.high_v) == ("extreme", 520.0, 635.0)


@pytest.mark.parametrize("name", ["us", "ca", "iec"])
def test_every_table_that_a_regime_names_is_there(name):
    traits = traits_of(name)
    tables = (
        traits.trip_band.table,
        traits.impedances,
        traits.resistivities,
        traits.impedance_bands,
        traits.rise_classes,
        traits.requirements,
        traits.colors,
        traits.checks,
        traits.third_harmonic,
    )
    for table in tables:
        assert table is None or load(table).editions is not None
    assert (traits.impedances is None) != (traits.resistivities is None)
    assert regime_of(name, None, "test").traits is traits
    assert regime_of(name, None, "test").defaults.frequency_hz == traits.frequency_hz


def test_the_words_of_the_job_file_are_the_regimes_that_are_carried():
    assert key_of("regime").words == tuple(carried_regimes())
