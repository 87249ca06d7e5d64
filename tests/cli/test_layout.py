"""Lines of 80 columns, and figures that never go the unsafe way."""

import io
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.cli.text.layout import WIDTH, Ink, columns_of, entry, ink_of, sides, spread, wrap
from turnwright.documents.words.figures import amperes, bare, clean, fault_current
from turnwright.documents.words.sides import Side
from turnwright.quantities import fixed

SIZES = st.floats(min_value=1e-3, max_value=1e7)


@given(SIZES, st.integers(0, 4))
def test_a_demand_is_never_shown_smaller_and_a_limit_never_larger(value: float, decimals: int) -> None:
    noise = value * 1e-11
    assert float(fixed(value, decimals, "up")) >= value - noise
    assert float(fixed(value, decimals, "down")) <= value + noise
    assert abs(float(fixed(value, decimals)) - value) <= 0.5 * 10**-decimals + noise


@given(SIZES)
def test_a_fault_current_is_never_shown_smaller(value: float) -> None:
    figures, unit = fault_current(value).split(" ")
    assert float(figures) * (1000 if unit == "kA" else 1) >= value * (1 - 1e-9)


@given(st.floats(min_value=-1e9, max_value=1e9))
def test_bare_keeps_six_digits(value: float) -> None:
    assert float(bare(value)) == pytest.approx(value, rel=1e-5, abs=1e-12)


@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_no_figure_for_what_is_no_number(value: float) -> None:
    with pytest.raises(ValueError, match="no figure"):
        fixed(value, 1)


@given(st.text(), st.integers(1, 90))
def test_wrap_keeps_the_text_within_the_width(text: str, width: int) -> None:
    lines = wrap(text, width)
    assert "".join("".join(lines).split()) == "".join(clean(text).split())
    assert all(columns_of(line) <= max(width, 2) for line in lines)


@given(st.text())
def test_nothing_that_steers_a_terminal_comes_through(text: str) -> None:
    assert all(c.isprintable() for c in clean(text))


@given(st.text(max_size=200), st.text(max_size=60), st.text(max_size=12))
def test_no_entry_is_wider_than_the_page(text: str, right: str, label: str) -> None:
    lines = entry(clean(label)[:8], text, right)
    assert all(columns_of(line) <= WIDTH for line in lines if columns_of(clean(label)) <= 8)


@given(st.text(max_size=200), st.text(max_size=100))
def test_spread_keeps_both_texts(left: str, right: str) -> None:
    shown = "".join("".join(spread(left, right)).split())
    assert shown == "".join((clean(left) + clean(right)).split())


def test_the_right_text_ends_at_the_edge() -> None:
    (line,) = spread("Tile works", "NEC 2023")
    assert columns_of(line) == WIDTH and line.endswith("NEC 2023")


def test_sizes_of_a_column_end_under_each_other() -> None:
    lines = sides(
        [Side("rated current", "1360.8 A", "832.7 A", True), Side("load", "317.5 A", "32.7 A", True)]
    )
    assert [line.index("A ") for line in lines[1:]] == [lines[1].index("A ")] * 2
    assert len({len(line) for line in lines[1:]}) == 1


def test_a_row_without_cells_is_left_out_and_a_wide_cell_goes_on_below() -> None:
    lines = sides([Side("empty", "", ""), Side("wide", "word " * 12, "")])
    assert not any("empty" in line for line in lines)
    assert len(lines) > 2 and all(columns_of(line) <= WIDTH for line in lines)
    assert sides([]) == []


def test_currents_of_a_row_have_the_same_decimals() -> None:
    assert amperes((9.04, 360.8)) == ["9.04 A", "360.80 A"]
    assert amperes((36.04, None), "up") == ["36.1 A", ""]


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_colour_only_on_a_terminal_that_wants_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    assert ink_of(Terminal()).on
    assert not ink_of(io.StringIO()).on
    assert not ink_of(None).on
    monkeypatch.setenv("TERM", "dumb")
    assert not ink_of(Terminal()).on
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("NO_COLOR", "1")
    assert not ink_of(Terminal()).on


def test_ink_only_adds_emphasis() -> None:
    assert Ink(False).strong("stop") == "stop"
    assert Ink(True).label("stop", "stop").replace("\x1b[1;31m", "").replace("\x1b[0m", "") == "stop"
