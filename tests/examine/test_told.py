"""What a question is told, read from texts: each kind, and what cannot be meant."""

import pytest

from turnwright.errors import InputError
from turnwright.examine import QUESTIONS, Options, find_question
from turnwright.examine.taken import TAKEN, Taken, says, taken_by
from turnwright.examine.told import read_all_taken, read_taken

UNIT = '[unit]\nkva = "75 kVA"\nprimary = "480 delta"\nsecondary = "208Y/120"\n'


def taken(name: str) -> Taken:
    return next(one for one in TAKEN if one.name == name)


def test_everything_that_may_be_told_has_its_words_and_is_an_option() -> None:
    told = {one.name for one in TAKEN}
    assert told == {name for asked in QUESTIONS for name in asked.options}
    assert told <= set(Options.__struct_fields__)
    for asked in QUESTIONS:
        assert {one.name for one in taken_by(asked)} == set(asked.options)
    assert all(says(one.name) for one in TAKEN)


@pytest.mark.parametrize(
    ("name", "text", "value"),
    [
        ("voltage_factor", " 1.05 ", 1.05),
        ("discount", "5 %", 5.0),
        ("together", "3", 3),
        ("reverse_fed", "Yes", True),
        ("reverse_fed", "no", False),
        ("standard", "ieee", "ieee"),
        ("hold_off", "1200@0.1, 2500@0.01", ((2500.0, 0.01), (1200.0, 0.1))),
        ("years", "  ", None),
    ],
)
def test_a_text_is_read(name: str, text: str, value: object) -> None:
    assert read_taken(taken(name), text) == value


def test_prices_loads_and_units_are_read() -> None:
    assert read_taken(taken("price_kwh"), "0.12 USD").value == 0.12
    assert read_taken(taken("load"), "time,load_pu\n2025-07-01 00:00,0.8\n2025-07-01 01:00,0.9\n").load == (
        0.8,
        0.9,
    )
    for text in (UNIT, "unit,kva,primary,secondary\nT-1,75,480 delta,208Y/120\n"):
        (unit,) = read_taken(taken("stock"), text)
        assert unit.kva.value == 75.0


@pytest.mark.parametrize(
    ("name", "text", "code"),
    [
        ("voltage_factor", "much", "EXM-12"),
        ("voltage_factor", "nan", "EXM-12"),
        ("voltage_factor", "inf", "EXM-12"),
        ("voltage_factor", "1e999", "EXM-12"),
        ("together", "2.5", "EXM-12"),
        ("reverse_fed", "perhaps", "EXM-12"),
        ("standard", "mine", "EXM-12"),
        ("price_kwh", "-1 USD", "QTY-07"),
        ("hold_off", "1200", "EXM-09"),
        ("load", "x", "YEAR-02"),
    ],
)
def test_what_cannot_be_meant_is_refused(name: str, text: str, code: str) -> None:
    with pytest.raises(InputError) as caught:
        read_taken(taken(name), text)
    assert caught.value.code == code


def test_a_question_is_told_only_what_it_takes() -> None:
    assert read_all_taken(find_question("fault"), {"voltage_factor": "1.1"}) == {"voltage_factor": 1.1}
    with pytest.raises(InputError) as caught:
        read_all_taken(find_question("fault"), {"years": "20"})
    assert caught.value.code == "EXM-04" and "voltage_factor" in caught.value.fix
