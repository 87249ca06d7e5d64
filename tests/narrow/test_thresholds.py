"""Where the pick changes: each turn separates two outcomes of the engine, by hand-checked formulas."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.errors import InputError
from turnwright.intake import job_from_mapping
from turnwright.model.job import Job
from turnwright.narrow import select, thresholds
from turnwright.narrow.put import put


def test_growth_turns_where_load_times_growth_fills_the_size(job_of: Callable[..., Job]) -> None:
    """26 kVA · (1 + g) = 30 kVA at g = 15.38 %, and 45 kVA at 73.08 %."""
    found = thresholds(job_of(), "choices.growth", (0.0, 100.0))
    assert [(turn.below.kva, turn.above.kva) for turn in found] == [(30.0, 45.0), (45.0, 75.0)]
    assert [turn.last for turn in found] == pytest.approx([15.3846, 73.0769], abs=0.02)


def test_a_current_turns_where_it_fills_the_size(job_of: Callable[..., Job]) -> None:
    """30 kVA at 208 V three-phase is 83.27 A."""
    job = job_of(load=[{"system": "208 3ph", "current": "80 A"}])
    (turn, *_) = thresholds(job, "load[0].current", (70.0, 100.0))
    assert turn.last <= 83.2716 <= turn.first + 1e-9 and turn.text == "83.2 A"


@given(st.floats(5, 100))
def test_both_sides_of_a_turn_are_what_they_are_said_to_be(load_kva: float) -> None:
    job = job_from_mapping(
        {"supply": {"system": "480Y/277"}, "load": [{"system": "208Y/120", "kva": f"{load_kva:.3f} kVA"}]}
    )
    for turn in thresholds(job, "load[0].kva"):
        below = select(put(job, "load[0].kva", f"{turn.last!r} kVA"), ledger_open=False, ask=False).pick
        above = select(put(job, "load[0].kva", f"{turn.first!r} kVA"), ledger_open=False, ask=False).pick
        assert (below and below.kva, above and above.kva) == (turn.below.kva, turn.above.kva)
        assert turn.first - turn.last <= load_kva * 1.5e-4 + 1e-9
        shown = float(turn.text.removesuffix(" kVA"))
        assert shown <= turn.last


def test_a_stop_is_a_turn_too(job_of: Callable[..., Job]) -> None:
    """26 kVA draw 31.27 A at 480 V: a panel with less to spare cannot carry it."""
    job = job_of(supply={"system": "480Y/277", "panel_rating": "100 A", "panel_load": "60 A"})
    (turn,) = thresholds(job, "supply.panel_load", (0.0, 100.0))
    assert turn.last == pytest.approx(68.73, abs=0.02)
    assert "panel-room" in turn.above.stops and "panel-room" not in turn.below.stops


def test_nothing_turns_where_nothing_changes(job_of: Callable[..., Job]) -> None:
    assert thresholds(job_of(), "choices.growth", (0.0, 10.0)) == ()


@pytest.mark.parametrize(
    ("key", "between", "code"),
    [
        ("site.place", None, "NRW-01"),
        ("load[0].name", None, "NRW-01"),
        ("choices.growth", (20.0, 10.0), "NRW-02"),
        ("load[0].momentary", None, "NRW-02"),
    ],
)
def test_what_cannot_be_searched(
    key: str, between: tuple[float, float] | None, code: str, job_of: Callable[..., Job]
) -> None:
    with pytest.raises(InputError) as caught:
        thresholds(job_of(), key, between)
    assert caught.value.code == code
