"""Networks that cannot be solved, or hardly: refused by name, or solved with what is open said; no silent number."""

import subprocess
import sys
from math import inf, isfinite, nan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.circuit import (
    Core,
    CurrentLoad,
    Impedance,
    Injection,
    Network,
    PowerLoad,
    Source1,
    Source3,
    Winding,
    delta_load,
    load,
    solve,
    supply1,
    supply3,
    wye_load,
)
from turnwright.circuit.connections import three_phase, two_windings, zigzag_earthing
from turnwright.circuit.layout import NODE_LIMIT
from turnwright.errors import InputError

H, X = ("H1", "H2", "H3"), ("X1", "X2", "X3")
SUPPLY = supply3("SUP", H, 480.0, 14e3, 6.0)
ONE = Source1("SUP", "a", "0", 100.0, 1 + 0j)
UNIT = two_windings("T", 10.0, ("a", "0", 100.0), ("b", "0", 50.0), 2.0, 3.0)


def refused(network: Network, harmonic: int = 1) -> InputError:
    with pytest.raises(InputError) as caught:
        solve(network, harmonic)
    return caught.value


@pytest.mark.parametrize(
    ("network", "code", "named"),
    [
        (Network(nan, (ONE,)), "CIR-01", "frequency_hz"),
        (Network(0.0, (ONE,)), "CIR-01", "frequency_hz"),
        (Network(60.0, (Source1("S", "a", "0", nan, 1j),)), "CIR-01", "S"),
        (Network(60.0, (Source1("S", "a", "0", -1.0, 1j),)), "CIR-01", "S"),
        (Network(60.0, (Source1("S", "a", "0", 1.0, complex(-1, 1)),)), "CIR-01", "S"),
        (Network(60.0, (Source1("S", "a", "0", 1.0, 1j, inf),)), "CIR-01", "S"),
        (Network(60.0, (Source3("S", H, inf, 1j, 1j),)), "CIR-01", "S"),
        (Network(60.0, (ONE,), (), (Impedance("z", "a", "0", nan),)), "CIR-01", "z"),
        (Network(60.0, (ONE,), (), (Impedance("z", "a", "0", -1.0),)), "CIR-01", "z"),
        (Network(60.0, (ONE,), (), (Impedance("z", "a", "0", 1.0, nan),)), "CIR-01", "z"),
        (Network(60.0, (ONE,), (), (Impedance("z", "a", "0", 1.0, xc_ohm=-1.0),)), "CIR-01", "z"),
        (Network(60.0, (ONE,), (), (), (Injection("J", "a", "0", 1, nan, 0.0),)), "CIR-01", "J"),
        (Network(60.0, (ONE,), (), (), (Injection("J", "a", "0", 0, 1.0, 0.0),)), "CIR-01", "J"),
        (Network(60.0, (ONE,), loads=(PowerLoad("P", "a", "0", nan),)), "CIR-01", "P"),
        (Network(60.0, (ONE,), loads=(CurrentLoad("C", "a", "0", 1.0, inf),)), "CIR-01", "C"),
        (Network(60.0, (ONE,), (), (Impedance("z", "a", "0", 1.0),) * 2), "CIR-02", "z"),
        (Network(60.0, (ONE, ONE)), "CIR-02", "SUP:a"),
        (Network(60.0, (ONE,), (UNIT,), (Impedance("T.w1", "a", "0", 1.0),)), "CIR-02", "T.w1"),
        (Network(60.0, (ONE,), (), (Impedance("z", "a", "a", 1.0),)), "CIR-03", "z"),
        (Network(60.0, (ONE,), (), (Impedance("z", "P", "Q", 1.0),)), "CIR-04", "z"),
        (Network(60.0, (), (), (Impedance("z", "a", "0", 1.0),)), "CIR-04", "network"),
        (Network(60.0, (ONE,), (), (Impedance("z", "a", "A", 1.0),)), "CIR-08", "network"),
        (Network(60.0, (ONE,), (), (Impedance("z", "a", "", 1.0),)), "CIR-08", "network"),
        (Network(60.0, (ONE,), (Core("T", 1.0, (), ()),)), "CIR-09", "T"),
        (Network(60.0, (ONE,), (Core("T", 1.0, UNIT.windings, ()),)), "CIR-09", "T"),
        (Network(60.0, (ONE,), (Core("T", 0.0, UNIT.windings, (1.0,)),)), "CIR-01", "T"),
        (Network(60.0, (ONE,), (Core("T", 1.0, UNIT.windings, (-1.0,)),)), "CIR-01", "T"),
        (Network(60.0, (ONE,), (Core("T", 1.0, UNIT.windings, (nan,)),)), "CIR-01", "T"),
        (
            Network(60.0, (ONE,), (Core("T", 1.0, (UNIT.windings[0], Winding("b", "0", 0.0, 1.0)), (1.0,)),)),
            "CIR-01",
            "T.w2",
        ),
    ],
)
def test_a_description_that_cannot_be_is_refused_by_name(network: Network, code: str, named: str) -> None:
    error = refused(network)
    assert error.code == code
    assert named in f"{error.where} {error.what}"
    assert error.what.endswith(".")
    assert error.fix.endswith(".")


def test_two_ideal_sources_that_disagree_are_both_named() -> None:
    error = refused(Network(60.0, (Source1("A", "a", "0", 100.0, 0j), Source1("B", "a", "0", 101.0, 0j))))
    assert error.code == "CIR-05"
    assert "A:a" in error.what
    assert "B:a" in error.what
    assert "at a" in error.what


def test_a_shorted_ideal_source_is_refused() -> None:
    ideal = supply3("SUP", H, 480.0, inf, 5.0)
    error = refused(Network(60.0, (ideal,), (), (Impedance("fault", "H1", "H2", 0.0),)))
    assert error.code == "CIR-05"
    assert "fault" in error.what


def test_a_short_through_an_ideal_transformer_is_refused() -> None:
    core = Core("T", 1.0, (Winding("a", "0", 100.0, 0.0), Winding("b", "0", 50.0, 0.0)), (0.0,))
    ideal = Source1("A", "a", "0", 100.0, 0j)
    error = refused(Network(60.0, (ideal,), (core,), (Impedance("short", "b", "0", 0.0),)))
    assert error.code == "CIR-05"
    assert "short" in error.what


def test_a_current_without_a_way_back_is_refused() -> None:
    error = refused(Network(60.0, (ONE,), (), (), (Injection("J", "a", "Q", 1, 5.0, 0.0),)))
    assert error.code == "CIR-05"
    assert "J" in error.what
    assert "Q" in error.what


def test_a_load_that_cannot_be_carried_is_refused() -> None:
    # 100 V behind 1 ohm gives at most 2500 W
    assert refused(Network(60.0, (ONE,), loads=(PowerLoad("P", "a", "0", 2501.0),))).code == "CIR-07"
    found = solve(Network(60.0, (ONE,), loads=(PowerLoad("P", "a", "0", 2499.0),)))
    assert found.power_va("P").real == pytest.approx(2499.0, rel=1e-9)
    assert abs(found.voltage_v("a")) > 50.0


def test_an_asked_name_that_is_not_there_is_refused_with_the_nearest() -> None:
    found = solve(Network(60.0, (ONE,), (), (Impedance("heater", "a", "0", 9.0),)))
    for ask in (lambda: found.current_a("heeter"), lambda: found.power_va("heeter")):
        with pytest.raises(InputError, match="Did you mean heater") as caught:
            ask()
        assert caught.value.code == "CIR-08"
    with pytest.raises(InputError, match="no such node"):
        found.voltage_v("b")
    with pytest.raises(InputError, match="no such core"):
        found.absorbed_va("heater")


def test_ungrounded_delta_names_its_nodes_and_keeps_its_differences() -> None:
    bank = three_phase("T", "Dd0", 45.0, 480.0, 240.0, 2.0, 3.0)
    loads = delta_load("L", X, 30.0, 0.85, 240.0)
    floating = solve(Network(60.0, (SUPPLY,), bank.cores, loads))
    (open_,) = floating.undetermined
    assert (open_.kind, set(open_.names)) == ("potential", set(X))
    assert not floating.is_determined("X1")
    assert floating.is_determined("H1")
    assert abs(sum(floating.voltage_v(node) for node in X)) < 1e-9
    tied = solve(Network(60.0, (SUPPLY,), bank.cores, (*loads, Impedance("corner", "X2", "0", 0.0))))
    assert tied.undetermined == ()
    assert tied.voltage_v("X1", "X3") == pytest.approx(floating.voltage_v("X1", "X3"), rel=1e-9)
    assert abs(tied.current_a("corner")) < 1e-9


def test_earth_fault_on_an_ungrounded_system_carries_nothing_and_shifts_it() -> None:
    bank = three_phase("T", "Dd0", 45.0, 480.0, 240.0, 2.0, 3.0)
    found = solve(Network(60.0, (SUPPLY,), bank.cores, (Impedance("fault", "X1", "0", 0.0),)))
    assert abs(found.current_a("fault")) < 1e-9
    assert abs(found.voltage_v("X2")) == pytest.approx(240.0, rel=1e-3)


@pytest.mark.parametrize("magnetizing_pct", [0.0, 3.0])
def test_zigzag_without_magnetizing_branch_is_solved_and_its_core_flux_reported(
    magnetizing_pct: float,
) -> None:
    isolated = supply3("SUP", H, 480.0, 14e3, 6.0, star=None)
    zigzag = zigzag_earthing("Z", 9.0, 480.0, 2.0, 3.0, neutral="0", magnetizing_pct=magnetizing_pct)
    found = solve(Network(60.0, (isolated,), zigzag.cores, (Impedance("fault", "H1", "0", 0.0),)))
    # Z0 = Z / 3 on the base of kVA and line volts; with the source: I = 3 V / (2 Z1 + Z0)
    z0 = complex(2, 3) / 100 * 480.0**2 / 9e3 / 3
    expected = 3 * 480.0 / 3**0.5 / abs(2 * SUPPLY.z1_ohm + z0)
    assert abs(found.current_a("fault")) == pytest.approx(expected, rel=1e-9 if not magnetizing_pct else 1e-3)
    if magnetizing_pct:
        assert found.undetermined == ()
    else:
        (open_,) = found.undetermined
        assert (open_.kind, set(open_.names)) == ("voltage", {"Z.Z1", "Z.Z2", "Z.Z3"})


def test_wye_wye_without_any_neutral_reports_its_star_points() -> None:
    bank = three_phase("T", "Yy0", 45.0, 480.0, 240.0, 2.0, 3.0)
    found = solve(Network(60.0, (SUPPLY,), bank.cores, delta_load("L", X, 30.0, 0.85, 240.0)))
    kinds = {open_.kind: set(open_.names) for open_ in found.undetermined}
    assert kinds["voltage"] == {"T.primary.star", "T.secondary.star"}
    # the smallest: no zero-sequence flux
    assert abs(found.voltage_v("T.primary.star")) < 1e-9


def test_wye_wye_with_open_primary_star_gives_no_current_to_a_load_to_neutral() -> None:
    bank = three_phase("T", "Yyn0", 45.0, 480.0, 208.0, 2.0, 3.0, secondary_neutral="0")
    found = solve(Network(60.0, (SUPPLY,), bank.cores, (load("L", "X1", "0", 5.0, 0.9, 120.0),)))
    assert abs(found.current_a("L")) < 1e-9
    assert abs(found.voltage_v("T.primary.star")) == pytest.approx(480 / 3**0.5, rel=1e-9)


def test_links_without_impedance_in_parallel_share_and_are_reported() -> None:
    links = (Impedance("one", "a", "b", 0.0), Impedance("two", "a", "b", 0.0), Impedance("z", "b", "0", 3.0))
    found = solve(Network(60.0, (ONE,), (), links))
    (open_,) = found.undetermined
    assert (open_.kind, set(open_.names)) == ("current", {"one", "two"})
    assert found.current_a("z") == pytest.approx(25.0)
    assert found.current_a("one") + found.current_a("two") == pytest.approx(25.0)


def test_ideal_units_and_ideal_source() -> None:
    core = Core("T", 1.0, (Winding("a", "0", 100.0, 0.0), Winding("b", "c", 50.0, 0.0)), (0.0,))
    ideal = Source1("SUP", "a", "0", 100.0, 0j)
    found = solve(
        Network(60.0, (ideal,), (core,), (Impedance("z", "b", "c", 2.0), Impedance("tie", "c", "0", 0.0)))
    )
    assert found.current_a("z") == pytest.approx(25.0)
    assert found.current_a("SUP:a") == pytest.approx(12.5)


def test_mismatched_delta_circulates_what_its_impedance_allows() -> None:
    volts = (252.0, 240.0, 240.0)
    cores = tuple(
        two_windings(f"T{k}", 25.0, (H[k], H[(k + 1) % 3], 480.0), (X[k], X[(k + 1) % 3], v), 2.0, 3.0)
        for k, v in enumerate(volts)
    )
    stiff = supply3("SUP", H, 480.0, inf, 1.0)
    found = solve(Network(60.0, (stiff,), cores, (Impedance("corner", "X2", "0", 0.0),)))
    z = sum(complex(2, 3) / 100 * v**2 / 25e3 for v in volts)
    assert abs(found.current_a("T0.w2")) == pytest.approx(12.0 / abs(z), rel=1e-9)


def test_a_leg_of_a_delta_reversed_is_next_to_a_short() -> None:
    cores = tuple(
        two_windings(
            f"T{k}",
            25.0,
            (H[k], H[(k + 1) % 3], 480.0),
            (X[(k + 1) % 3], X[k], 240.0) if k == 0 else (X[k], X[(k + 1) % 3], 240.0),
            2.0,
            3.0,
        )
        for k in range(3)
    )
    stiff = supply3("SUP", H, 480.0, inf, 1.0)
    found = solve(Network(60.0, (stiff,), cores, (Impedance("corner", "X2", "0", 0.0),)))
    z = complex(2, 3) / 100 * 240.0**2 / 25e3
    assert abs(found.current_a("T0.w2")) == pytest.approx(480.0 / abs(3 * z), rel=1e-9)


def test_impedances_twelve_orders_apart_keep_their_digits() -> None:
    near, far = 1e-6, 1e6
    elements = (
        Impedance("link", "a", "b", near),
        Impedance("far", "b", "0", far),
        Impedance("near", "b", "c", near),
    )
    found = solve(Network(60.0, (Source1("SUP", "a", "0", 100.0, near + 0j),), (), (*elements,)))
    assert found.formulation == "full"
    assert found.current_a("link").real == pytest.approx(100.0 / (far + 2 * near), rel=1e-12)
    assert found.residual < 1e-12
    assert found.condition > 1.0
    stiff = solve(Network(60.0, (ONE,), (), (Impedance("z", "a", "0", 1.0),)))
    assert stiff.condition < 10.0


def test_open_ends_are_told() -> None:
    found = solve(Network(60.0, (ONE,), (), (Impedance("z", "a", "lost", 1.0),)))
    assert found.open_nodes == ("lost",)
    assert found.current_a("z") == 0


def test_constant_power_star_without_neutral() -> None:
    bank = three_phase("T", "Dyn1", 45.0, 480.0, 208.0, 2.4, 3.2, secondary_neutral="0")
    loads = tuple(PowerLoad(f"P{k}", f"X{k}", "N", 10e3, 5e3) for k in (1, 2, 3))
    network = Network(60.0, (SUPPLY,), bank.cores, loads=loads)
    found = solve(network)
    assert found.power_va("P1") == pytest.approx(10e3 + 5e3j, rel=1e-9)
    assert abs(found.voltage_v("N")) < 1e-9
    (open_,) = solve(network, 3).undetermined
    assert open_.names == ("N",)


def test_too_many_nodes_are_refused_at_once() -> None:
    chain = tuple(Impedance(f"z{k}", f"n{k}", f"n{k + 1}", 0.1) for k in range(10_000))
    error = refused(Network(60.0, (Source1("SUP", "n0", "0", 100.0, 1 + 0j),), (), chain))
    assert error.code == "CIR-06"
    assert str(NODE_LIMIT) in error.what


def test_too_many_things_left_open_are_refused() -> None:
    shorts = tuple(Impedance(f"z{k}", "a", "0", 0.0) for k in range(1000))
    assert refused(Network(60.0, (ONE,), (), shorts)).code == "CIR-06"
    many = tuple(Impedance(f"z{k}", "a", f"n{k % 399}", 0.0) for k in range(2000))
    assert refused(Network(60.0, (ONE,), (), many)).code == "CIR-06"


def test_as_many_nodes_as_are_allowed_are_solved() -> None:
    chain = tuple(Impedance(f"z{k}", f"n{k}", f"n{k + 1}", 0.1) for k in range(NODE_LIMIT - 1))
    end = Impedance("end", f"n{NODE_LIMIT - 1}", "0", 0.1)
    found = solve(Network(60.0, (Source1("SUP", "n0", "0", 100.0, 0j),), (), (*chain, end)))
    assert found.current_a("end") == pytest.approx(100.0 / (0.1 * NODE_LIMIT), rel=1e-9)


any_float = st.floats(allow_nan=True, allow_infinity=True)


@settings(max_examples=150, deadline=None)
@given(st.lists(any_float, min_size=14, max_size=14), st.integers(-1, 40))
def test_any_numbers_give_an_answer_or_one_clear_refusal(v: list[float], harmonic: int) -> None:
    core = Core(
        "T",
        v[0],
        (Winding("a", "0", v[1], v[2], v[3]), Winding("b", "0", v[4], v[5])),
        (v[6],),
        v[7],
        v[8],
    )
    source = Source1("SUP", "a", "0", v[9], complex(v[10], v[11]))
    network = Network(60.0, (source,), (core,), (Impedance("z", "b", "0", v[12], v[13]),))
    try:
        found = solve(network, harmonic)
    except InputError as error:
        assert error.code in ("CIR-01", "CIR-05")
        return
    for value in (*found.voltages_v.values(), *found.currents_a.values()):
        assert isfinite(value.real)
        assert isfinite(value.imag)


@pytest.mark.parametrize("bad", [nan, inf, 0.0, -1.0])
def test_builders_refuse_numbers_that_cannot_be(bad: float) -> None:
    attempts = [
        lambda: supply3("S", H, bad, 1e4, 5.0),
        lambda: supply1("S", "a", "0", bad, 1e4, 5.0),
        lambda: load("z", "a", "0", bad, 0.9, 120.0),
        lambda: load("z", "a", "0", 1.0, 0.9, bad),
        lambda: wye_load("z", X, "0", bad, 0.9, 208.0),
    ]
    for attempt in attempts:
        with pytest.raises(InputError) as caught:
            attempt()
        assert caught.value.code == "CIR-01"
    with pytest.raises(InputError):
        load("z", "a", "0", 1.0, 1.1, 120.0)
    with pytest.raises(InputError):
        supply3("S", H, 480.0, nan, 5.0)


def test_the_quick_path_imports_no_array_library() -> None:
    program = (
        "import sys\n"
        "from turnwright.circuit import Network, delta_load, solve, supply3\n"
        "from turnwright.circuit.connections import three_phase\n"
        "import turnwright.circuit.studies, turnwright.circuit.network_file\n"
        "bank = three_phase('T', 'Dyn1', 45.0, 480.0, 208.0, 2.4, 3.2)\n"
        "supply = supply3('SUP', ('H1', 'H2', 'H3'), 480.0, 14e3, 6.0)\n"
        "solve(Network(60.0, (supply,), bank.cores, delta_load('L', ('X1', 'X2', 'X3'), 30.0, 0.9, 208.0)))\n"
        "assert not {'numpy', 'scipy', 'dss'} & set(sys.modules)\n"
    )
    subprocess.run([sys.executable, "-c", program], check=True)
