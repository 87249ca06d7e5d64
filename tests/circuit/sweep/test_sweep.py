"""What a sweep refuses, which form it takes, and what it hands back."""

import sys
from importlib.machinery import ModuleSpec
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.circuit import CurrentLoad, Impedance, Network, Source1
from turnwright.circuit import sweep as package
from turnwright.circuit.connections import single_phase
from turnwright.circuit.layout import lay_out
from turnwright.circuit.sweep import run, sweep
from turnwright.circuit.sweep.batched import left_over
from turnwright.circuit.sweep.elements import array_elements
from turnwright.circuit.sweep.varied import fields_of
from turnwright.errors import InputError, MissingExtra, UnknownKey

HEATER = Impedance("heater", "A", "0", 5.0)
PLAIN = Network(60.0, (Source1("SUP", "A", "0", 240.0, 1 + 0.5j),), (), (HEATER,))


def refused(varied: dict[str, Any], network: Network = PLAIN, **more: Any) -> InputError:
    with pytest.raises(InputError) as caught:
        sweep(network, varied, **more)
    return caught.value


@pytest.mark.parametrize(
    ("varied", "code"),
    [
        ({}, "CIR-15"),
        ({"heater.r_ohm": []}, "CIR-15"),
        ({"heater.r_ohm": [[5.0]]}, "CIR-15"),
        ({"heater.r_ohm": ["warm"]}, "CIR-15"),
        ({"heater.r_ohm": [1.0, float("nan")]}, "CIR-15"),
        ({"heater.r_ohm": [1.0, float("inf")]}, "CIR-15"),
        ({"heater.r_ohm": [1.0, -2.0]}, "CIR-15"),
        ({"heater.r_ohm": [1.0, 2.0], "SUP.voltage_v": [240.0]}, "CIR-15"),
        ({"heater.role": [1.0]}, "CIR-15"),
        ({"heter.r_ohm": [1.0]}, "CIR-08"),
        ({"heater": [1.0]}, "CIR-08"),
        ({"SUP.z_ohm": [-1 + 0j]}, "CIR-15"),
    ],
)
def test_values_that_cannot_be_are_refused(varied: dict[str, Any], code: str) -> None:
    assert refused(varied).code == code


def test_the_nearest_word_is_named() -> None:
    assert "heater" in refused({"heter.r_ohm": [1.0]}).fix
    assert "r_ohm" in refused({"heater.r_om": [1.0]}).fix
    assert isinstance(refused({"heater.r_om": [1.0]}), UnknownKey)


def test_loads_of_constant_current_and_ideal_cores_are_not_swept() -> None:
    assert (
        refused({"heater.r_ohm": [1.0]}, PLAIN.with_(loads=[CurrentLoad("lamp", "A", "0", 1.0)])).code
        == "CIR-16"
    )
    unit = single_phase("T", 5.0, 240.0, 120.0, 2.0, 3.0, primary=("A", "0"), secondary=("X1", "X2"))
    network = PLAIN.with_(cores=unit.cores)
    assert refused({f"{unit.cores[0].name}.magnetizing_pct": [1.0]}, network).code == "CIR-15"


def test_too_many_variants_and_no_order_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(run, "MOST_VARIANTS", 3)
    assert sweep(PLAIN, {"heater.r_ohm": [1.0] * 3}).variants == 3
    assert refused({"heater.r_ohm": [1.0] * 4}).code == "CIR-06"
    assert refused({"heater.r_ohm": [1.0]}, harmonic=0).code == "CIR-01"


def test_a_variant_that_contradicts_itself_is_named() -> None:
    network = Network(60.0, (*PLAIN.sources, Source1("TWIN", "A", "0", 240.0, 1 + 0j)), (), (HEATER,))
    varied = {"SUP.z_ohm": [1.0, 0.0], "TWIN.z_ohm": [1.0, 0.0], "TWIN.voltage_v": [240.0, 230.0]}
    error = refused(varied, network)
    assert error.code == "CIR-05" and error.where.startswith("variant 2")


def test_without_numba_the_plain_form_says_so_where_it_matters(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(run, "find_spec", lambda name: None)
    few = sweep(PLAIN, {"heater.r_ohm": [1.0, 2.0]})
    assert (few.form, few.note) == ("batched", "")
    monkeypatch.setattr(run, "COLD_WORTH", 1.0)
    many = sweep(PLAIN, {"heater.r_ohm": [1.0, 2.0]})
    assert many.form == "batched" and "turnwright[fleet]" in many.note
    with pytest.raises(MissingExtra) as caught:
        sweep(PLAIN, {"heater.r_ohm": [1.0]}, form="lanes")
    assert caught.value.code == "CIR-14"


def test_the_compiled_form_is_loaded_where_it_pays(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(run, "find_spec", lambda name: ModuleSpec(name, None))
    monkeypatch.setattr(run, "COMPILED", "no.such.module")
    assert sweep(PLAIN, {"heater.r_ohm": [1.0, 2.0]}).form == "batched"
    monkeypatch.setattr(run, "COLD_WORTH", 1.0)
    assert sweep(PLAIN, {"heater.r_ohm": [1.0, 2.0]}).form == "lanes"


def test_without_numpy_the_extra_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "numpy", None)
    with pytest.raises(MissingExtra) as caught:
        package.__getattr__("sweep")
    assert caught.value.code == "CIR-14" and "arrays" in caught.value.fix


def test_what_comes_back_is_named_and_in_the_order_of_the_values() -> None:
    found = sweep(PLAIN, {"heater.r_ohm": [5.0, 11.0, 23.0]})
    assert (found.variants, found.nodes, found.branches) == (3, ("A",), ("SUP:A", "heater"))
    wanted = 240.0 / (np.array([5.0, 11.0, 23.0]) + 1 + 0.5j)
    assert found.current_a("heater") == pytest.approx(wanted)
    assert found.voltage_v("A", "0") == pytest.approx(240.0 - wanted * (1 + 0.5j))
    for attempt in (lambda: found.current_a("lamp"), lambda: found.voltage_v("B")):
        with pytest.raises(InputError) as caught:
            attempt()
        assert caught.value.code == "CIR-08"


def test_every_kind_of_element_has_fields() -> None:
    unit = single_phase("T", 5.0, 240.0, 120.0, 2.0, 3.0, primary=("A", "0"), secondary=("X1", "X2"))
    assert {"kva", "reactance_pct.1-2", "w2.rated_v"} <= {*fields_of(unit.cores[0])}


@pytest.mark.parametrize("form", ["lanes", "batched"])
def test_a_variant_in_which_nothing_drives_is_at_rest(form: Any) -> None:
    network = PLAIN.with_(impedances=[Impedance("line", "A", "B", 1.0), Impedance("lamp", "B", "0", 9.0)])
    found = sweep(network, {"SUP.voltage_v": [240.0, 0.0]}, form=form)
    assert found.voltage_v("B")[1] == found.current_a("lamp")[1] == 0.0
    assert found.residual[1] == 0.0
    assert not len(found.pivoted)


@pytest.mark.parametrize("volts", [1e-3, 240.0, 24e3])
def test_what_an_equation_is_missed_by_is_a_share_of_the_largest_volts(volts: float) -> None:
    """A source of its volts V without impedance, and V (1 + 1/1000) given as the answer."""
    source = Source1("SUP", "A", "0", volts, 0j)
    layout = lay_out(Network(60.0, (source,), (), (HEATER,)))
    answer = np.array([[1.001 * volts + 0j]])
    missed = left_over(layout, array_elements(layout, {}, 1), np.arange(1), answer, -answer / HEATER.r_ohm)
    assert missed == pytest.approx([0.001 / 1.001])


OHM = st.floats(0.01, 100.0)
ROWS = st.lists(st.tuples(OHM, OHM, st.floats(-50.0, 50.0)), min_size=1, max_size=40)


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.tuples(OHM, OHM, st.floats(-50.0, 50.0)), min_size=1, max_size=40),
    st.sampled_from(["lanes", "batched"]),
)
def test_a_divider_obeys_its_law_in_every_variant(
    values: list[tuple[float, float, float]], form: Any
) -> None:
    network = PLAIN.with_(
        impedances=[Impedance("line", "A", "B", 1.0), Impedance("load", "B", "0", 1.0, 1.0)]
    )
    line, r, x = (np.array(column) for column in zip(*values, strict=True))
    found = sweep(network, {"line.r_ohm": line, "load.r_ohm": r, "load.x_ohm": x}, form=form)
    share = (r + 1j * x) / (line + r + 1j * x)
    assert found.voltage_v("B") == pytest.approx(found.voltage_v("A") * share, rel=1e-9)
    assert float(found.residual.max()) < 1e-12
