"""What cannot be read: the code, the place, and the words of each message."""

import datetime
import pickle

import pytest

from turnwright.errors import InputError
from turnwright.quantities import parse_quantity

WHERE = "job.toml, line 12, load[1].current"
AMPS = 'Write "150 A", "110..140 A", "about 120 A" or "unknown"'


def refusal(text: object, kind="current", **options) -> InputError:
    with pytest.raises(InputError) as caught:
        parse_quantity(text, kind, where=WHERE, **options)
    assert caught.value.where == WHERE
    return caught.value


def test_the_message_is_one_sentence_of_what_and_one_of_how() -> None:
    error = refusal("150 amp each")
    assert str(error) == (
        'job.toml, line 12, load[1].current: "150 amp each" is not a current. '
        'Write "150 A", "110..140 A", "about 120 A" or "unknown"; for several pieces use quantity. [QTY-01]'
    )
    assert pickle.loads(pickle.dumps(error)).fix == error.fix


@pytest.mark.parametrize(
    ("text", "kind", "code", "words"),
    [
        ("2 x 150 A", "current", "QTY-01", "for several pieces use quantity"),
        ("150 A per piece", "current", "QTY-01", "for several pieces use quantity"),
        ("150 A FLA", "current", "QTY-01", 'leave out "FLA", or keep it under note'),
        ("lots", "current", "QTY-01", AMPS),
        ("?", "current", "QTY-01", 'What is not known is written "unknown"'),
        ("n/a", "current", "QTY-01", 'What is not known is written "unknown"'),
        ("\uff15 A", "current", "QTY-01", "is not a current"),
        ("$4100", "money", "QTY-01", '"4100 USD"'),
        ("", "current", "QTY-02", "a key that does not apply is left out"),
        (" \t", "current", "QTY-02", "nothing is written where a current is expected"),
        (
            "150 Ampz",
            "current",
            "QTY-03",
            '"Ampz" is not a unit for a current. Did you mean "A"? Units allowed: A, kA, mA.',
        ),
        ("150 furlongs", "length", "QTY-03", "Units allowed: m, mm, cm, ft, in."),
        ("150 MA", "current", "QTY-03", "A small m is a thousandth, a capital M a million."),
        ("5 mw", "real power", "QTY-03", "Units allowed: kW, W, MW."),
        ("4100 usd", "money", "QTY-03", 'three capital letters, as in "4100 USD"'),
        ("6 apples", "number", "QTY-03", 'Write "6"'),
        ("31 kVA", "current", "QTY-04", "is an apparent power, not a current"),
        ("31 kVA", "current", "QTY-04", "a load stated in kVA has its size under kva"),
        ("150 A", "apparent power", "QTY-04", "a load stated in A has its size under current"),
        ("11 kW", "motor power", "QTY-04", "under kw, with shaft = true for the output of a motor"),
        ("40 K", "temperature", "QTY-04", "K is kept for differences"),
        ("60 Hz", "current", "QTY-04", "is a frequency, not a current"),
        ("4100 KVA", "money", "QTY-04", "is an apparent power, not a price"),
        ("310 kVA", ("multiple", "current"), "QTY-04", "not a multiple or a current"),
        (4100, "money", "QTY-05", '"4100" has no unit. Write "4100 USD"'),
        (
            "1,500 A",
            "current",
            "QTY-06",
            'Write "1500 A" or "1.500 A": a point for decimals, nothing for thousands.',
        ),
        ("1,5 A", "current", "QTY-06", 'Write "1.5 A":'),
        ("1,500,000 A", "current", "QTY-06", 'Write "1500000 A":'),
        ("1.500,5 A", "current", "QTY-06", 'Write "1500.5 A":'),
        ("1,500.5 A", "current", "QTY-06", 'Write "1500.5 A":'),
        ("1,1..1,4 kA", "current", "QTY-06", 'Write "1.1..1.4 kA":'),
        ("about 1,2 kA", "current", "QTY-06", 'Write "about 1.2 kA":'),
        ("-5 A", "current", "QTY-07", "is below zero, which a current cannot be"),
        ("-5..5 A", "current", "QTY-07", "is below zero"),
        ("about -5 A", "current", "QTY-07", "is below zero"),
        ("-20 %", "percent", "QTY-07", "is below zero, which a percentage cannot be"),
        ("nan", "current", "QTY-08", '"nan" is not a finite number'),
        ("NaN A", "current", "QTY-08", "is not a finite number"),
        ("-inf A", "current", "QTY-08", "is not a finite number"),
        (float("nan"), "current", "QTY-08", "is not a finite number"),
        (float("inf"), "current", "QTY-08", "is not a finite number"),
        (
            "1e9 A",
            "current",
            "QTY-09",
            "sizes run from 0.000001 to 1000000 A. Check the unit and the decimal point.",
        ),
        ("1e999 A", "current", "QTY-09", "cannot be a current"),
        ("1e-9 A", "current", "QTY-09", "cannot be a current"),
        ("-300 degC", "temperature", "QTY-09", "sizes run from -273.15 to 2000 degC"),
        (10**30, "current", "QTY-09", "cannot be a current"),
        ("140..110 A", "current", "QTY-10", 'runs from the larger size to the smaller. Write "110..140 A".'),
        ("140 A..110 A", "current", "QTY-10", 'Write "110 A..140 A".'),
        ("110..", "current", "QTY-10", 'Write the smaller, two points, the larger, as in "110..140 A"'),
        ("110 A..", "current", "QTY-10", "is not a range of two sizes"),
        ("..140 A", "current", "QTY-10", "is not a range of two sizes"),
        (".5...75 hp", "motor power", "QTY-10", "is not a range of two sizes"),
        ("110..140..150 A", "current", "QTY-10", "is not a range of two sizes"),
        ("110 A..140 kVA", "current", "QTY-11", 'has ends in "A" and "kVA", which do not compare'),
        ("4 x..310 A", ("multiple", "current"), "QTY-11", 'has ends in "x" and "A"'),
        ("4000 USD..4500 CAD", "money", "QTY-11", "Use one unit for both ends"),
        ("110-140 A", "current", "QTY-12", 'Two points make a range: "110..140 A".'),
        ("110\u2013140 A", "current", "QTY-12", 'Two points make a range: "110..140 A".'),
        ("110 A to 140 A", "current", "QTY-12", 'Two points make a range: "110..140 A".'),
        ("1 500 A", "current", "QTY-12", 'Write "1500 A", with nothing between the digits.'),
        ("1_500 A", "current", "QTY-12", 'Write "1500 A", with nothing between the digits.'),
        ("150 A, 200 A", "current", "QTY-12", "holds two numbers"),
        ("7.5 hp / 5.6 kW", "motor power", "QTY-12", "holds two numbers"),
        ("50/60 Hz", "frequency", "QTY-12", "holds two numbers"),
        (True, "current", "QTY-13", '"true" is yes or no, not a current'),
        (None, "current", "QTY-13", "this is nothing, not a current"),
        (["150 A"], "current", "QTY-13", "this is a list, not a current"),
        ({"a": 1}, "current", "QTY-13", "this is a table, not a current"),
        (datetime.date(2027, 5, 1), "current", "QTY-13", "this is no text and no number"),
        (3j, "current", "QTY-13", "this is no text and no number"),
        ("about 0 A", "current", "QTY-15", "has no width: about means a tenth to either side"),
        ("about 110..140 A", "current", "QTY-15", 'Write "about 120 A", or a range, "110..140 A".'),
        ("about unknown", "current", "QTY-15", "is not one size with about before it"),
        ("up to 150 A", "current", "QTY-16", 'has only one end. Give both ends, as in "110..140 A".'),
        ("<= 150 A", "current", "QTY-16", "has only one end"),
        ("150 A max", "current", "QTY-16", "has only one end"),
        ("150 A or less", "current", "QTY-16", "has only one end"),
    ],
)
def test_each_refusal_says_what_and_how(text: object, kind, code: str, words: str) -> None:
    error = refusal(text, kind)
    assert error.code == code
    assert words in str(error)


def test_a_number_without_a_unit_can_be_refused() -> None:
    error = refusal(150, allow_bare=False)
    assert (error.code, error.what) == ("QTY-05", '"150" has no unit.')
    assert refusal("110..140", allow_bare=False).code == "QTY-05"


def test_a_number_too_long_to_print_is_refused() -> None:
    error = refusal(10**6000)
    assert (error.code, error.what[:25]) == ("QTY-09", '"a number of many digits"')


@pytest.mark.parametrize("text", ["0 A", 0, 0.0, "0..5 A", "about 0 A"])
def test_zero_can_be_refused(text: object) -> None:
    error = refusal(text, zero=False)
    assert error.code == "QTY-14"
    assert "what is not known is never 0" in error.fix


def test_a_long_text_is_refused_before_it_is_read() -> None:
    error = refusal("1" * 1_000_000 + " A")
    assert error.code == "QTY-01"
    assert len(str(error)) < 400


def test_a_message_stays_on_one_line() -> None:
    error = refusal("15\n0 \x00amp\u202e\ud800")
    assert str(error).isprintable()
