"""The forms of the calculation against each other: the plain one is the measure of all."""

import math
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.errors import InputError, MissingExtra
from turnwright.fleet.forms import choosing, compiled, lanes
from turnwright.fleet.forms.arrays import follow_arrays, lagged
from turnwright.fleet.forms.constants import constants_of
from turnwright.fleet.forms.plain import follow_plain
from turnwright.fleet.forms.shapes import P, Pieces, S
from turnwright.thermal.ageing import law_of
from turnwright.thermal.profile import HeatModel, Losses

LOSSES = Losses(no_load_w=350.0, ohmic_w=1700.0, eddy_w=136.0, other_w=67.0, reference_c=170.0, zero_c=234.5)
QUICK = {"arrays": follow_arrays, "float64": lanes.follow_float64, "float32": lanes.follow_float32}
NEAR = {"arrays": 1e-11, "float64": 2e-9, "float32": 3e-5}
"""Relative error of the ageing; rise, loss and hot spot are nearer."""
KELVIN = {"arrays": 1e-10, "float64": 1e-7, "float32": 5e-4}
STEP_H = 0.25


def unit(tau=1.5, rise=180.0, system=220, q=1.6, losses=LOSSES, eddy=0.08, k_rating=1.0):
    return HeatModel(
        average_rise_k=rise / 1.2,
        hot_spot_rise_k=rise,
        exponent=q,
        time_constant_h=tau,
        eddy_pu=eddy,
        k_rating=k_rating,
        law=law_of(system),
        losses=losses,
    )


def pieces_of(models, loads, ambients, factors=None, rise=None):
    lengths = np.array([len(each) for each in loads], np.int64)
    constants = np.array([constants_of(each) for each in models])
    constants[:, P.SHARE] = [choosing.share_of(each, STEP_H) for each in models]
    return Pieces(
        load=np.concatenate(loads).astype(np.float32),
        ambient=np.concatenate(ambients).astype(np.float32),
        factor=np.concatenate(factors).astype(np.float32) if factors else np.empty(0, np.float32),
        start=np.concatenate([[0], np.cumsum(lengths)[:-1]]).astype(np.int64),
        length=lengths,
        constants=constants,
        rise=np.full(len(models), -1.0) if rise is None else np.asarray(rise, float),
    )


def check(form, pieces, models):
    measure = follow_plain(pieces, models, [STEP_H] * len(models))
    found = QUICK[form](pieces)
    near = NEAR[form]
    assert found[:, S.AGEING] == pytest.approx(measure[:, S.AGEING], rel=near, abs=1e-30)
    assert found[:, S.LOAD_LOSS] == pytest.approx(measure[:, S.LOAD_LOSS], rel=near / 10, abs=near / 10)
    for column in (S.HOTTEST, S.RISE):
        assert found[:, column] == pytest.approx(measure[:, column], abs=KELVIN[form])
    assert (found[:, S.OVER] == measure[:, S.OVER]).all()


@pytest.mark.parametrize("form", QUICK)
@pytest.mark.parametrize("harmonic", [False, True])
def test_every_form_tells_what_the_plain_one_tells(form, harmonic):
    """Lengths round the bounds of vectors, groups and blocks; units that differ in everything."""
    rng = np.random.default_rng(11)
    lengths = [1, 2, 15, 16, 17, 31, 33, 63, 64, 65, 1919, 1920, 1921, 3900]
    taus = [0.05, 0.3, 0.5, 1.0, 1.5, 2.0, 4.0, 8.0, 20.0, 100.0, 0.5, 1.0, 3.0, 6.0]
    systems = [105, 120, 130, 155, 180, 185, 200, 220, 220, 150, 155, 220, 180, 105]
    models = [
        unit(tau, rng.uniform(60, 190), system, rng.choice([1.6, 2.0]), k_rating=rng.choice([1.0, 4.0]))
        for tau, system in zip(taus, systems, strict=True)
    ]
    loads = [np.round(rng.uniform(0, 1.5, n), 3) for n in lengths]
    ambients = [rng.uniform(-20, 45, n) for n in lengths]
    factors = [rng.uniform(1, 15, n) for n in lengths] if harmonic else None
    rise = [-1.0 if i % 2 else 40.0 for i in range(len(lengths))]
    check(form, pieces_of(models, loads, ambients, factors, rise), models)


courses = st.lists(
    st.tuples(st.floats(0, 2, width=32), st.floats(-40, 60, width=32)), min_size=1, max_size=80
)


@pytest.mark.parametrize("form", QUICK)
@given(courses, st.floats(0.05, 30.0), st.sampled_from([105, 155, 220]))
@settings(max_examples=40)
def test_any_course(form, course, tau, system):
    model = unit(tau, system=system)
    load, ambient = (np.array(each) for each in zip(*course, strict=True))
    check(form, pieces_of([model], [load], [ambient]), [model])


@pytest.mark.parametrize("form", QUICK)
def test_a_divided_profile_goes_on_where_it_was(form):
    """Cut where no block of the form ends; the state carried is the rise at the end."""
    rng = np.random.default_rng(5)
    model, load, ambient = unit(3.0), rng.uniform(0, 1.4, 5000), rng.uniform(0, 40, 5000)
    whole = QUICK[form](pieces_of([model], [load], [ambient]))[0]
    first = QUICK[form](pieces_of([model], [load[:1777]], [ambient[:1777]]))[0]
    rest = pieces_of([model], [load[1777:]], [ambient[1777:]], rise=[first[S.RISE]])
    second = QUICK[form](rest)[0]
    assert second[S.RISE] == pytest.approx(whole[S.RISE], rel=1e-6)
    for column in (S.AGEING, S.LOAD_LOSS, S.OVER):
        assert first[column] + second[column] == pytest.approx(whole[column], rel=1e-6)
    assert max(first[S.HOTTEST], second[S.HOTTEST]) == pytest.approx(whole[S.HOTTEST], rel=1e-6)


@pytest.mark.parametrize("form", QUICK)
def test_without_losses_no_loss_comes_out_but_everything_else(form):
    model = unit(losses=None)
    pieces = pieces_of([model], [np.full(40, 1.0)], [np.full(40, 30.0)])
    found = QUICK[form](pieces)[0]
    assert found[S.LOAD_LOSS] == pytest.approx(0.0, abs=1e-9)
    assert found[S.AGEING] == pytest.approx(40.0, rel=1e-5)


def test_a_slow_unit_is_not_left_to_float32():
    """With 0.1 % of the lag in a step float32 is wrong by 5e-5; such pieces are calculated in float64."""
    rng = np.random.default_rng(2)
    models = [unit(1.5), unit(240.0)]
    loads, ambients = [rng.uniform(0, 1.4, 8000)] * 2, [rng.uniform(0, 40, 8000)] * 2
    pieces = pieces_of(models, loads, ambients)
    mixed, fine = lanes.follow_float32(pieces), lanes.follow_float64(pieces)
    assert mixed[1].tolist() == fine[1].tolist()
    assert mixed[0].tolist() != fine[0].tolist()


@pytest.mark.parametrize("dtype", [np.float32, np.float64])
def test_short_functions(dtype):
    """exp2 and log2 of the compiled form against those of numpy."""
    numba = compiled.numba()
    power, logarithm = lanes.exp2, lanes.log2

    @numba.njit
    def both(x, y, out):
        for i in range(x.size):
            out[0, i], out[1, i] = power(x[i]), logarithm(y[i])

    x = np.linspace(-100, 80, 200_001).astype(dtype)
    y = np.geomspace(1e-6, 10, 200_001).astype(dtype)
    out = np.empty((2, x.size), dtype)
    both(x, y, out)
    exact = np.exp2(x.astype(np.float64)), np.log2(y.astype(np.float64))
    near = (3e-7, 2e-6) if dtype is np.float32 else (1e-10, 2e-11)
    assert np.abs(out[0] / exact[0] - 1).max() < near[0]
    assert np.abs(out[1] - exact[1]).max() < near[1]


@given(st.lists(st.floats(0, 300), min_size=1, max_size=200), st.floats(1e-4, 1.0), st.floats(0, 300))
@settings(max_examples=50)
def test_lag_side_by_side_is_the_lag_step_by_step(ultimate, share, initial):
    value, course = initial, []
    for each in ultimate:
        value += share * (each - value)
        course.append(value)
    assert lagged(np.array(ultimate), share, initial) == pytest.approx(course, rel=1e-9, abs=1e-9)


def test_pieces_are_shared_out_among_threads_and_come_back_in_order():
    rng = np.random.default_rng(1)
    models = [unit(1.0 + i) for i in range(7)]
    loads = [rng.uniform(0, 1.4, n) for n in (10, 500, 3, 40, 900, 1, 77)]
    pieces = pieces_of(models, loads, [np.full(len(each), 30.0) for each in loads])
    alone = follow_arrays(pieces)
    with ThreadPoolExecutor(3) as pool:
        for ways in (2, 3, 5, 50):
            shared = choosing.follow_pieces("arrays", pieces, models, [STEP_H] * 7, pool, ways)
            assert shared.tolist() == alone.tolist()


def test_the_form_is_chosen_by_size():
    assert choosing.choose("auto", 35_040 * 16) == "arrays"
    assert choosing.choose("auto", 35_040 * 1000) == "float32"
    assert choosing.choose("plain", 10**9) == "plain"
    with pytest.raises(InputError) as caught:
        choosing.choose("flaot32", 1)
    assert caught.value.code == "FLT-14"
    assert 'Did you mean "float32"' in caught.value.fix


def test_without_the_compiler(monkeypatch):
    monkeypatch.setattr(choosing, "is_available", lambda: False)
    assert choosing.choose("auto", 10**9) == "arrays"
    with pytest.raises(MissingExtra, match=r"numba is not installed.*turnwright\[fleet\].*FLT-15"):
        choosing.choose("float32", 1)


def test_small_fleets_do_not_load_the_compiler(place, make):
    """A new process: a profile of one day, form left to be chosen."""
    made = make.write(place / "p.parquet", make.profile("A"))
    code = (
        "import sys; from turnwright.fleet import run_fleet; "
        f"run_fleet({str(made)!r}, {str(place / 'units.csv')!r}, {str(place / 'out/o.csv')!r}); "
        "print('numba' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"


def test_where_nothing_can_be_kept_code_is_compiled_all_the_same(monkeypatch):
    """The compiler refuses to keep code where no folder can be written, as in a read-only installation."""

    class Refusing:
        def njit(self, **how):
            if how.get("cache"):
                raise RuntimeError("cannot cache function: no locator available")
            return lambda function: function

    monkeypatch.setattr(compiled, "numba", Refusing)
    assert compiled.entry(math.sqrt)(4.0) == 2.0


def test_compiled_code_is_kept_on_disk():
    lanes.follow_float32(pieces_of([unit()], [np.ones(4)], [np.full(4, 30.0)]))
    assert compiled.is_kept(lanes.run_pieces)
    assert choosing.is_kept("float32") and choosing.is_kept("arrays")
