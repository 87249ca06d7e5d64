"""The list of units: nameplates in rows, what stands in for what is missing, and always the hotter end."""

import openpyxl
import pytest

from turnwright.errors import InputError, UnknownKey
from turnwright.fleet.records import FleetOptions
from turnwright.fleet.unit_list import read_units

HEAD = "unit,kva,secondary,rise,insulation,no_load_loss,load_loss,load_loss_at,p_ecr,time_constant"
FULL = "T-1,75 kVA,208Y/120,150 K,220 degC,350 W,1950 W,170 degC,0.08,1.5 h"


def units(tmp_path, *rows, head=HEAD, **options):
    path = tmp_path / "units.csv"
    path.write_text("\n".join([head, *rows]) + "\n", "utf-8")
    return read_units(path, FleetOptions(**options))


def test_a_full_nameplate(tmp_path):
    unit = units(tmp_path, FULL)["T-1"]
    model = unit.model
    assert (unit.kva, round(unit.rated_current_a, 2)) == (75.0, 208.18)
    assert (model.average_rise_k, model.hot_spot_rise_k, model.exponent) == (150.0, 180.0, 1.6)
    assert (model.time_constant_h, model.eddy_pu, model.k_rating) == (1.5, 0.08, 1.0)
    assert (model.law.system_c, model.law.rated_hot_spot_c, model.law.b_k) == (220.0, 210.0, 27285.0)
    losses = model.losses
    assert losses.no_load_w == 350.0
    assert losses.ohmic_w + losses.eddy_w + losses.other_w == pytest.approx(1950.0)
    assert losses.eddy_w == pytest.approx(0.08 * losses.ohmic_w)
    assert losses.other_w / losses.eddy_w == pytest.approx(0.33 / 0.67)
    assert set(unit.assumed) == {"k_rating", "winding"}


def test_what_stands_in_is_hotter_and_told(tmp_path):
    unit = units(tmp_path, "T-1,75,208Y/120,,,,,,,")["T-1"]
    assert (unit.model.hot_spot_rise_k, unit.model.law.system_c, unit.model.time_constant_h) == (
        180.0,
        220.0,
        0.5,
    )
    assert unit.model.losses is None
    assert set(unit.assumed) == {
        "rise",
        "insulation",
        "time_constant",
        "p_ecr",
        "k_rating",
        "no_load_loss",
        "load_loss",
    }


def test_of_half_known_facts_the_hotter_end_counts(tmp_path):
    row = "T-1,about 75 kVA,208Y/120,115..150 K,185..220 degC,350 W,1900..2000 W,,0.05..0.08,1..2 h"
    unit = units(tmp_path, row)["T-1"]
    assert unit.kva == pytest.approx(67.5)
    assert (unit.model.average_rise_k, unit.model.law.system_c) == (150.0, 185.0)
    assert (unit.model.eddy_pu, unit.model.time_constant_h) == (0.08, 1.0)


@pytest.mark.parametrize(("rise", "system"), [("80 K", 150), ("115 K", 185), ("100 K", 155), ("125 K", 180)])
def test_the_class_of_a_rise(tmp_path, rise, system):
    assert units(tmp_path, f"T-1,75,208Y/120,{rise},,,,,,")["T-1"].model.law.system_c == system


def test_a_rise_of_no_class_ages_normally_at_rated_load(tmp_path):
    model = units(tmp_path, "T-1,75,208Y/120,90 K,,,,,,")["T-1"].model
    assert model.law.rate(30.0 + model.hot_spot_rise_k) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("secondary", "amps"), [("208Y/120", 208.18), ("120/240 1ph", 312.5), ("480", None), ("", None)]
)
def test_rated_current_of_the_secondary(tmp_path, secondary, amps):
    found = units(tmp_path, f"T-1,75,{secondary},150 K,,,,,,")["T-1"].rated_current_a
    assert found == (None if amps is None else pytest.approx(amps, abs=0.01))


def test_a_workbook(tmp_path):
    book = openpyxl.Workbook()
    book.active.append(["unit", "kva", "secondary", "rise", "load_loss", "no_load_loss"])
    book.active.append([7, 75, "208Y/120", "150 K", 1950, None])
    book.active.append([None] * 6)
    book.active.append(["T-2", 112.5, "208Y/120", 115, "2.6 kW", "0.5 kW"])
    book.save(tmp_path / "units.xlsx")
    found = read_units(tmp_path / "units.xlsx", FleetOptions())
    assert list(found) == ["7", "T-2"]
    assert found["T-2"].model.losses.no_load_w == 500.0
    assert found["7"].model.losses is None


@pytest.mark.parametrize(
    ("code", "rows", "head"),
    [
        ("FLT-12", (), HEAD),
        ("FLT-12", (FULL, FULL), HEAD),
        ("FLT-12", (FULL.replace("T-1", ""),), HEAD),
        ("FLT-12", (FULL.replace("75 kVA", ""),), HEAD),
        ("FLT-12", (FULL.replace("75 kVA", "unknown"),), HEAD),
        ("FLT-12", (FULL + ",more",), HEAD),
        ("FLT-12", (FULL,), HEAD.replace("unit", "name")),
        ("FLT-12", (FULL,), HEAD.replace("p_ecr", "rise")),
        ("HEAT-02", (FULL.replace("220 degC", "82 degC"),), HEAD),
    ],
)
def test_refusals(tmp_path, code, rows, head):
    with pytest.raises(InputError) as caught:
        units(tmp_path, *rows, head=head)
    assert caught.value.code == code


def test_a_key_that_no_nameplate_has_names_the_nearest(tmp_path):
    with pytest.raises(UnknownKey, match='Did you mean "load_loss"'):
        units(tmp_path, FULL, head=HEAD.replace(",load_loss,", ",load_los,"))


def test_a_negative_loss_is_refused_with_its_row(tmp_path):
    with pytest.raises(InputError, match=r"units\.csv, row 2"):
        units(tmp_path, FULL.replace("350 W", "-350 W"))


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04 no workbook", b"unit,kva\n"])
def test_broken_workbooks(tmp_path, content):
    path = tmp_path / "units.xlsx"
    path.write_bytes(content)
    with pytest.raises(InputError) as caught:
        read_units(path, FleetOptions())
    assert caught.value.code == "FLT-12"


def test_the_metal_of_the_nameplate_counts(tmp_path):
    """Aluminum, 225 against 234.5 °C in the temperature correction: no assumption is left."""
    from turnwright.intake import unit_from_mapping
    from turnwright.thermal.nameplate import Basis, heat_of

    plate = {"kva": "75", "no_load_loss": "350 W", "load_loss": "1950 W"}
    told = heat_of(unit_from_mapping({**plate, "winding": "aluminum"}), "T", "T", Basis(metal="copper"))
    silent = heat_of(unit_from_mapping(plate), "T", "T", Basis())
    assert told.model.losses.zero_c == 225 and "winding" not in told.assumed
    assert silent.model.losses.zero_c == 234.5 and "winding" in silent.assumed
