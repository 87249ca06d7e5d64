"""Any text, any object: only `InputError` comes out, with a message on one line."""

import string

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from turnwright.errors import InputError
from turnwright.quantities import (
    KINDS,
    UNKNOWN,
    Quantity,
    parse_conductor_size,
    parse_frequencies,
    parse_quantity,
    parse_system,
)

WHERE = "job.toml, line 3, supply.system"
# Near misses say more than noise: the pieces that real texts are made of, in any order.
PIECES = [
    *"0123456789.,-+/~#% '\"",
    *(
        "..",
        "…",
        "−",
        "\u00a0",
        "e",
        "x",
        "×",
        "Y",
        "Δ",
        "φ",
        "N",
        "PE",
        "3N~",
        "A",
        "kVA",
        "hp",
        "degC",
        "°",
        "V",
        "kV",
        "Hz",
    ),
    *(
        "about ",
        "unknown",
        "nan",
        "inf",
        "each",
        "max",
        "up to",
        "ph",
        "3ph",
        "1ph",
        "wire",
        "delta",
        "corner",
        "high leg",
    ),
    *(
        "480",
        "277",
        "208",
        "120",
        "240",
        "1/0",
        "AWG",
        "kcmil",
        "mm²",
        "USD",
        "two",
        "split",
        "grounded",
        "dc",
    ),
]
TEXTS = st.one_of(
    st.text(max_size=90),
    st.text(alphabet=string.printable, max_size=90),
    st.lists(st.sampled_from(PIECES), max_size=14).map("".join),
    st.lists(st.sampled_from(PIECES), max_size=14).map(" ".join),
)
OBJECTS = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.binary(max_size=5),
    st.lists(st.integers(), max_size=3),
    st.dictionaries(st.text(max_size=3), st.integers(), max_size=2),
    st.sampled_from([10**400, -(10**5000), 3j, object(), float("nan"), b"480"]),
)


def check_message(error: InputError) -> None:
    assert error.where == WHERE
    assert error.code.split("-")[0] in {"QTY", "SYS", "SIZE"}
    assert error.what.endswith((".", "?")), error.what
    assert error.fix.endswith("."), error.fix
    assert str(error).isprintable()
    assert len(str(error)) < 700


@given(
    text=st.one_of(TEXTS, OBJECTS), kind=st.sampled_from(list(KINDS)), zero=st.booleans(), bare=st.booleans()
)
@example(text="1/0 hp", kind="motor power", zero=True, bare=True)
@example(text="9" * 80, kind="current", zero=True, bare=True)
@example(text=" ." * 40, kind="current", zero=True, bare=True)
def test_any_quantity(text: object, kind: str, zero: bool, bare: bool) -> None:
    try:
        found = parse_quantity(text, kind, where=WHERE, zero=zero, allow_bare=bare)
    except InputError as error:
        check_message(error)
        return
    assert isinstance(found, Quantity)
    if found.form == "unknown":
        assert found.low is found.high is None
        return
    assert found.low is not None
    assert found.high is not None
    entry = KINDS[found.kind]
    assert entry.least * 1.1 <= found.low <= found.high <= entry.most * 1.1


@given(text=st.one_of(TEXTS, OBJECTS))
def test_any_quantity_of_two_kinds(text: object) -> None:
    try:
        parse_quantity(text, ("multiple", "current"), where=WHERE)
    except InputError as error:
        check_message(error)


@given(text=st.one_of(TEXTS, OBJECTS))
def test_any_frequency(text: object) -> None:
    try:
        found = parse_frequencies(text, where=WHERE)
    except InputError as error:
        check_message(error)
    else:
        assert len(found) in (1, 2)


@given(text=st.one_of(TEXTS, OBJECTS))
@example(text="480Y/")
@example(text="/120")
@example(text=",")
@example(text="3 -")
@example(text="0.0000001 3ph")
def test_any_system(text: object) -> None:
    try:
        found = parse_system(text, where=WHERE)
    except InputError as error:
        check_message(error)
        return
    if found is UNKNOWN:
        return
    assert 1.0 <= found.line_v <= 1000.0
    # What was understood, written in the notation, means the same again.
    assert parse_system(found.text, where=WHERE) == found


@given(text=st.one_of(TEXTS, OBJECTS))
@example(text="0000000 AWG")
@example(text="99999999999999 kcmil")
def test_any_conductor(text: object) -> None:
    try:
        found = parse_conductor_size(text, where=WHERE)
    except InputError as error:
        check_message(error)
        return
    if found is not UNKNOWN:
        assert found.area_mm2 > 0.0
        assert parse_conductor_size(found.text, where=WHERE) == found


@pytest.mark.parametrize("parse", [parse_system, parse_conductor_size])
def test_long_texts_are_refused_before_they_are_read(parse) -> None:
    with pytest.raises(InputError) as caught:
        parse("480Y/277 " * 200_000, where=WHERE)
    assert len(str(caught.value)) < 500
