"""What is concluded from units beside one another against each of them judged one by one: the same."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.intake import job_from_mapping, unit_from_mapping
from turnwright.vetting import read_stock_list, vet, vet_stock
from turnwright.vetting import stock as stock_module

HEAD = "unit,kva,primary,secondary,impedance,rise,no_load_loss,load_loss,sound,price\n"
LIGHTS = {"system": "208Y/120", "kva": "30 kVA", "power_factor": 0.9}
MOTOR = {"name": "winch", "system": "208 3ph", "hp": "7.5 hp"}
JOBS = {
    "plain": {"supply": {"system": "480Y/277"}, "load": [LIGHTS]},
    "a winch starts": {"supply": {"system": "480Y/277", "fault_current": "12 kA"}, "load": [LIGHTS, MOTOR]},
    "a winch starts within 4 %": {
        "supply": {"system": "480Y/277"},
        "load": [LIGHTS, MOTOR | {"start_dip_limit": "4 %"}],
    },
    "drop": {"supply": {"system": "480Y/277"}, "load": [LIGHTS | {"regulation_limit": "2.5 %"}]},
    "impedance insisted on": {
        "supply": {"system": "480Y/277"},
        "load": [LIGHTS],
        "choices": {"impedance": "4 %"},
    },
    "iec": {"regime": "iec", "supply": {"system": "400Y/230", "frequency": "50 Hz"}, "load": [LIGHTS]},
    "on the ceiling": {
        "supply": {"system": "480Y/277"},
        "load": [LIGHTS],
        "site": {"place": "ceiling"},
    },
}


def listed(rows):
    return read_stock_list(HEAD + "\n".join(f"N{n},{row}" for n, row in enumerate(rows)) + "\n", "yard.csv")


def standing(found):
    fits = [
        (
            one.unit,
            one.joined,
            one.verdict,
            one.met,
            one.remarks,
            one.margin_pct,
            one.spare_kva,
            one.loading_pct,
        )
        for one in found.fits
    ]
    return fits, [(one.unit, one.why) for one in found.rejected]


def ladder(primary="480 delta"):
    """Two sizes in fine steps of impedance, each in three rises, some with losses."""
    steps = [1 + 0.5 * n for n in range(20)]
    rows = [f"{kva},{primary},208Y/120,{z},150,,,," for kva in (45, 75) for z in steps]
    rows += [
        f"75,{primary},208Y/120,{z},{rise},300 W,{900 + 60 * z} W,55,{z}" for z in steps for rise in (80, 115)
    ]
    return rows


@pytest.mark.parametrize("name", JOBS)
def test_many_impedances_are_told_the_same_as_each_alone(name):
    job = job_from_mapping(JOBS[name])
    rows = listed(ladder("400 delta" if name == "iec" else "480 delta"))
    assert standing(vet_stock(job, rows, in_full=3)) == standing(vet_stock(job, rows, in_full=None))


ROWS = st.builds(
    lambda kva, sides, z, rise, losses, sound: f"{kva},{sides},{z},{rise},{losses},{sound},",
    st.sampled_from([30, 45, 75, 112.5]),
    st.sampled_from(["480 delta,208Y/120", "208Y/120,480 delta", "480Y/277,208Y/120"]),
    st.one_of(st.just(""), st.floats(0.5, 20).map(lambda z: round(z, 2))),
    st.sampled_from(["", 80, 150]),
    st.sampled_from([",", "300 W,1200 W", "200 W,6000 W"]),
    st.sampled_from(["", 50]),
)


@settings(max_examples=15, deadline=None)
@given(name=st.sampled_from(sorted(set(JOBS) - {"iec"})), rows=st.lists(ROWS, min_size=3, max_size=25))
def test_any_list_is_told_the_same_as_each_alone(name, rows):
    job = job_from_mapping(JOBS[name])
    assert standing(vet_stock(job, listed(rows), in_full=1)) == standing(
        vet_stock(job, listed(rows), in_full=None)
    )


def test_the_first_ones_carry_what_vet_says_of_them():
    job = job_from_mapping(JOBS["plain"])
    found = vet_stock(job, listed(ladder()), in_full=4)
    assert [one.vetting is not None for one in found.fits[:6]] == [True] * 4 + [False] * 2
    rows = {f"N{n}": row.split(",") for n, row in enumerate(ladder())}
    for one in found.fits[:4]:
        kva, primary, secondary, z, rise, *_ = rows[one.unit]
        plate = {"kva": kva, "primary": primary, "secondary": secondary, "impedance": z, "rise": rise}
        alone = vet(job, unit_from_mapping(plate), ledger_open=False)
        assert (one.verdict, one.spare_kva, one.vetting.blocks.fault) == (
            alone.verdict,
            alone.spare_kva,
            alone.blocks.fault,
        )


def test_few_circuits_are_solved_for_many_rows(monkeypatch):
    counted = []
    whole = stock_module.Screen.vet
    monkeypatch.setattr(
        stock_module.Screen, "vet", lambda self, plate: counted.append(plate) or whole(self, plate)
    )
    rows = [f"{kva},480 delta,208Y/120,{2 + 0.01 * n},150,,,," for kva in (45, 75) for n in range(300)]
    found = vet_stock(job_from_mapping(JOBS["plain"]), listed(rows), in_full=5)
    assert len(found.fits) == 600 and len(counted) < 40


def test_a_conclusion_that_does_not_hold_has_every_row_judged(monkeypatch):
    """Where the whole evaluation of a shown unit disagrees, nothing concluded is kept."""
    whole = stock_module._seen
    once = iter([True])
    monkeypatch.setattr(
        stock_module, "_seen", lambda one: ("unfit", False, frozenset()) if next(once, False) else whole(one)
    )
    found = vet_stock(job_from_mapping(JOBS["plain"]), listed(ladder()[:30]), in_full=2)
    assert found.fits and all(one.vetting is not None for one in found.fits)
