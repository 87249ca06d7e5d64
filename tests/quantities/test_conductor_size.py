"""Conductor sizes: texts, and areas against a published table of conductors."""

import pytest

from turnwright.errors import InputError
from turnwright.quantities import UNKNOWN, ConductorSize, parse_conductor_size

WHERE = "job.toml, line 40, circuit.conductor_size"

# NFPA 70 Chapter 9 Table 8, column "Area mm²" as printed: a transcription of the 2017 edition was seen;
# that 2020 and 2023 are the same is from memory.
NEC_CHAPTER_9_TABLE_8 = {
    "18 AWG": "0.823", "16 AWG": "1.31", "14 AWG": "2.08", "12 AWG": "3.31", "10 AWG": "5.261",
    "8 AWG": "8.367", "6 AWG": "13.30", "4 AWG": "21.15", "3 AWG": "26.67", "2 AWG": "33.62",
    "1 AWG": "42.41", "1/0 AWG": "53.49", "2/0 AWG": "67.43", "3/0 AWG": "85.01", "4/0 AWG": "107.2",
    "250 kcmil": "127", "300 kcmil": "152", "350 kcmil": "177", "400 kcmil": "203", "500 kcmil": "253",
    "600 kcmil": "304", "700 kcmil": "355", "750 kcmil": "380", "800 kcmil": "405", "900 kcmil": "456",
    "1000 kcmil": "507", "1250 kcmil": "633", "1500 kcmil": "760", "1750 kcmil": "887",
    "2000 kcmil": "1013",
}  # fmt: skip


def read(text: object) -> ConductorSize:
    found = parse_conductor_size(text, where=WHERE)
    assert isinstance(found, ConductorSize)
    return found


@pytest.mark.parametrize(("text", "printed"), NEC_CHAPTER_9_TABLE_8.items())
def test_areas_agree_with_the_printed_table(text: str, printed: str) -> None:
    decimals = len(printed.partition(".")[2])
    # Half the last printed digit, or 0.05 %: the table starts from circular mils rounded to four digits.
    assert read(text).area_mm2 == pytest.approx(float(printed), abs=0.5 * 10**-decimals, rel=5e-4)
    assert read(text).text == text


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("4/0", "4/0 AWG"),
        ("4/0 awg", "4/0 AWG"),
        ("#4/0", "4/0 AWG"),
        ("0000 AWG", "4/0 AWG"),
        ("0 AWG", "1/0 AWG"),
        ("#12", "12 AWG"),
        ("# 12 AWG", "12 AWG"),
        ("AWG 12", "12 AWG"),
        ("no. 12", "12 AWG"),
        ("12AWG", "12 AWG"),
        ("400 MCM", "400 kcmil"),
        ("400kcmil", "400 kcmil"),
        ("313.1 kcmil", "313.1 kcmil"),
        ("25 mm2", "25 mm²"),
        ("25 mm²", "25 mm²"),
        ("25 sq mm", "25 mm²"),
        ("2.5 mm²", "2.5 mm²"),
    ],
)
def test_ways_people_write(text: str, expected: str) -> None:
    assert read(text) == read(expected)
    assert read(text).text == expected


def test_square_millimetres_are_kept() -> None:
    assert read("25 mm²") == ConductorSize("25 mm²", 25.0, "mm²")


def test_unknown_is_legal() -> None:
    assert parse_conductor_size("Unknown", where=WHERE) is UNKNOWN


@pytest.mark.parametrize(
    ("text", "code", "words"),
    [
        ("thick", "SIZE-01", "is not a conductor size"),
        ("", "SIZE-01", "is not a conductor size"),
        (None, "SIZE-01", "is not a conductor size"),
        ("25 ft", "SIZE-01", "is not a conductor size"),
        ("12", "SIZE-02", '"12" has no series. Write "4/0 AWG", "400 kcmil", "25 mm²"'),
        (12, "SIZE-01", "is not a conductor size"),
        ("5/0 AWG", "SIZE-03", "a size that no conductor has"),
        ("0/0", "SIZE-03", "a size that no conductor has"),
        ("37 AWG", "SIZE-03", "a size that no conductor has"),
        ("2.5 AWG", "SIZE-03", "a size that no conductor has"),
        ("0 kcmil", "SIZE-03", "a size that no conductor has"),
        ("#25 mm²", "SIZE-03", "a size that no conductor has"),
        ("99999 mm²", "SIZE-03", "a size that no conductor has"),
    ],
)
def test_refusals(text: object, code: str, words: str) -> None:
    with pytest.raises(InputError) as caught:
        parse_conductor_size(text, where=WHERE)
    assert caught.value.code == code
    assert words in str(caught.value)
