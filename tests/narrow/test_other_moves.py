"""What an assumption moves besides the size, against the engine run by hand."""

import pytest

from turnwright.intake import read_job
from turnwright.narrow import put, select

TEXT = 'supply.system = "480Y/277"\n[[load]]\nsystem = "208Y/120"\nkva = "26 kVA"\nkind = "electronics"\n'


def moves(key: str) -> dict:
    return next(one.moves for one in select(read_job(TEXT)).questions if one.key == key)


def test_the_fault_current_moves_what_must_be_interrupted() -> None:
    job = read_job(TEXT)
    infinite = select(job, ask=False).blocks.protection.interrupting_min_a
    stated = select(put(job, "supply.fault_current", "10 kA"), ask=False).blocks.protection.interrupting_min_a
    found = moves("supply.fault_current")["interrupting_min_a"]
    assert found == pytest.approx([min(stated, infinite), max(stated, infinite)])


def test_a_spectrum_moves_the_k_rating() -> None:
    job = read_job(TEXT)
    ratings = {select(job, ask=False).blocks.pick.k_rating}
    for name in ("led_over25w_limit", "single_phase_smps"):
        ratings.add(select(put(job, "load[0].spectrum", name), ask=False).blocks.pick.k_rating)
    assert moves("load[0].spectrum")["k_rating"] == [min(ratings), max(ratings)]


def test_what_moves_nothing_claims_nothing() -> None:
    assert moves("supply.panel_rating") == {}
