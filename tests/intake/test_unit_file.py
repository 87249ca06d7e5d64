"""Nameplates, from a file and from a row of a list."""

import pytest

from turnwright.errors import InputError
from turnwright.intake import read_unit, unit_from_mapping

PLATE = 'kva = "75 kVA"\nprimary = "480 delta"\nsecondary = "208Y/120"\n'


def test_one_unit_and_several() -> None:
    assert len(read_unit(f"[unit]\n{PLATE}")) == 1
    assert len(read_unit(f"[[unit]]\n{PLATE}[[unit]]\n{PLATE}")) == 2


def test_taps_losses_and_time_constant_in_the_units_used_inside() -> None:
    text = (
        f'[unit]\n{PLATE}taps = ["+5 %", "+2.5 %", "0 %", "-2.5 %", "-5 %"]\nno_load_loss = "350 W"\n'
        'time_constant = "1.5 h"\nfrequency = "50/60 Hz"\nload_loss = 1950\n'
    )
    (unit,) = read_unit(text)
    assert [each.value for each in unit.taps] == [5.0, 2.5, 0.0, -2.5, -5.0]
    assert unit.no_load_loss is not None and unit.no_load_loss.value == 0.35
    assert unit.load_loss is not None and unit.load_loss.value == 1.95
    assert unit.time_constant is not None and unit.time_constant.value == 5400.0
    assert unit.frequency is not None and [each.value for each in unit.frequency] == [50.0, 60.0]


def test_a_row_of_a_list_leaves_empty_cells_out() -> None:
    row = {
        "unit": "T-14",
        "kva": 75.0,
        "secondary": "208Y/120",
        "taps": "+5 %; 0 %; -5 %",
        "sound": " ",
        "mass": None,
    }
    unit = unit_from_mapping(row, "stock.csv, row 3")
    assert (unit.unit, unit.sound, unit.mass) == ("T-14", None, None)
    assert [each.value for each in unit.taps] == [5.0, 0.0, -5.0]


@pytest.mark.parametrize(
    ("text", "code", "where", "words"),
    [
        ("", "JOB-05", "unit.toml", "a [unit] table is missing"),
        ("unit = []", "JOB-05", "unit.toml", "a [unit] table is missing"),
        ("unit = 3", "JOB-02", "unit.toml, line 1, unit", "where a list of tables is expected"),
        ("[unit]\nkwa = 75", "JOB-01", "unit.toml, line 2, unit.kwa", 'Did you mean "kva"?'),
        ("[[unit]]\n[[unit]]\nkva = 0", "QTY-14", "unit.toml, line 3, unit[1].kva", "is zero"),
        ('[unit]\ntaps = ["+50 %"]', "JOB-08", "unit.toml, line 2, unit.taps[0]", "-30 to 30 %"),
        (
            '[unit]\nimpedance = "2 %"\nresistance = "3 %"',
            "JOB-12",
            "unit.toml, line 3, unit.resistance",
            "a part",
        ),
        ('[[load]]\nkva = "3 kVA"', "JOB-01", "unit.toml, line 1, load", "not a key or table of a unit file"),
        ("[[unit]]\n" * 1001, "JOB-02", "unit.toml", "1000 are the most"),
    ],
)
def test_a_fault_in_a_unit_file(text: str, code: str, where: str, words: str) -> None:
    with pytest.raises(InputError) as caught:
        read_unit(text, "unit.toml")
    assert (caught.value.code, caught.value.where) == (code, where)
    assert words in str(caught.value)


def test_a_fault_in_a_row_names_the_row() -> None:
    with pytest.raises(InputError) as caught:
        unit_from_mapping({"kva": "75 V"}, "stock.csv, row 3")
    assert caught.value.where == "stock.csv, row 3, kva"
