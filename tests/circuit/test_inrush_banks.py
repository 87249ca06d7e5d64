"""Units switched on together: laws, single loops as a limit, and the decks of a circuit simulator."""

import importlib.util
import shutil
from math import pi, sqrt
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from turnwright.circuit.inrush import energize, energizing
from turnwright.circuit.inrush_banks import Bank, BankInrush, ClosedDelta, Supply, delta, switch_on_banks, wye
from turnwright.circuit.inrush_solution import Curve, flux_that_fits
from turnwright.errors import InputError

RING = ClosedDelta(1.0, 1.5)
LEFT = (0.6, -0.3, -0.3)
SUPPLY = Supply(60.0, 480.0, z_ohm=0.01 + 0.06j, neutral_ohm=0.005 + 0.02j, closing_angle_deg=20.0)


def unit(windings: tuple[tuple[str, str], ...], name: str = "T1", **more: Any) -> Bank:
    volts = 480.0 if windings == delta() or len(windings) == 1 else 480.0 / sqrt(3)
    facts = {
        "name": name, "kva": 25.0, "voltage_v": volts, "windings": windings, "resistance_pct": 1.0,
        "reactance_pct": 1.5, "magnetizing_pct": 2.0, "knee_pu": 1.2, "saturated_pu": 0.2,
        "residual_pu": LEFT[: len(windings)],
    }  # fmt: skip
    return Bank(**{**facts, **more})


CASES: dict[str, tuple[Supply, list[Bank]]] = {
    "delta": (SUPPLY, [unit(delta())]),
    "wye on the neutral": (SUPPLY, [unit(wye("N"))]),
    "wye without": (SUPPLY, [unit(wye())]),
    "wye without, ring": (SUPPLY, [unit(wye(), closed=RING)]),
    "wye on the neutral, ring": (SUPPLY, [unit(wye("N"), closed=RING)]),
    "one core between two lines": (SUPPLY, [unit((("B", "C"),))]),
    "one core, one phase": (replace(SUPPLY, phases=1), [unit((("A", "B"),))]),
    "two units": (SUPPLY, [unit(delta()), unit(wye(), "T2", kva=10.0, residual_pu=(-0.2, 0.5, -0.3))]),
    "three legs, delta": (SUPPLY, [unit(delta(), outside_pct=50.0)]),
    "three legs, wye on the neutral": (SUPPLY, [unit(wye("N"), outside_pct=30.0)]),
    "three legs, wye without": (SUPPLY, [unit(wye(), outside_pct=50.0)]),
    "three legs, wye on the neutral, ring": (SUPPLY, [unit(wye("N"), closed=RING, outside_pct=50.0)]),
    "three legs, wye without, ring": (SUPPLY, [unit(wye(), closed=RING, outside_pct=50.0)]),
    "open delta": (SUPPLY, [unit((("A", "B"), ("B", "C")), voltage_v=480.0)]),
}


@pytest.fixture(scope="session")
def spice() -> ModuleType:
    path = Path(__file__).parent / "oracles" / "spice.py"
    spec = importlib.util.spec_from_file_location("spice", path)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def peaks(found: BankInrush, cycles: int = 1) -> list[float]:
    return [abs(peak.current_a) for line in found.lines for peak in found.solved.peaks(line, cycles)]


@pytest.mark.system
@pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed")
@pytest.mark.parametrize("name", CASES)
def test_agrees_with_a_circuit_simulator(name: str, spice: ModuleType) -> None:
    supply, banks = CASES[name]
    found = switch_on_banks(supply, banks, 2.0)
    start = {one: found.solved.current_a(one, 0.0) for one in found.solved.coils.taken}
    rows = spice.run(spice.deck(supply, banks, start, 2.0, 2e-6))
    end = 2.0 / supply.hz
    assert rows[-1][0] == pytest.approx(end, rel=1e-6)  # it came to the end
    largest = max(peaks(found, 2))
    for column, line in enumerate(found.lines, 1):
        errors = [abs(-row[column] - found.solved.current_a(line, min(row[0], end))) for row in rows[::50]]
        assert max(errors) < 1e-5 * largest


@settings(max_examples=10, deadline=None)
@given(st.floats(-180, 180), st.floats(-0.8, 0.8), st.floats(0.05, 0.5))
def test_one_core_on_one_phase_is_the_single_loop(angle: float, residual: float, saturated: float) -> None:
    supply = Supply(60.0, 480.0, 1, 0.01 + 0.015j, closing_angle_deg=angle)
    bank = unit((("A", "B"),), saturated_pu=saturated, residual_pu=(residual,))
    found = switch_on_banks(supply, [bank], 2.0)
    loop = energize(
        energizing(
            25.0, 480.0, 60.0, 1.0, 1.5, 2.0, 1.2, saturated, residual, 0.02 + 0.03j, angle, cycles=2.0
        )
    )
    for t in (0.0, 0.003, 0.0085, 0.02, 0.0333):
        assert found.solved.current_a("A", t) == pytest.approx(loop.current_a(t), abs=1e-6)
        assert found.solved.flux_wb(0, t) == pytest.approx(loop.flux_wb(t), abs=1e-9)


@pytest.mark.parametrize("name", CASES)
def test_currents_of_the_lines_sum_to_nothing_without_a_neutral(name: str) -> None:
    supply, banks = CASES[name]
    found = switch_on_banks(supply, banks, 2.0)
    grounded = any("N" in pair for bank in banks for pair in bank.windings)
    for t in (0.001, 0.006, 0.012, 0.03):
        total = sum(found.solved.current_a(line, t) for line in found.lines)
        assert grounded or abs(total) < 1e-9 * max(peaks(found))


def test_each_delta_core_on_an_infinite_source_is_alone() -> None:
    found = switch_on_banks(replace(SUPPLY, z_ohm=0j), [unit(delta())], 2.0)
    # line A to C lags A to the star point by 30°
    alone = energize(energizing(25.0, 480.0, 60.0, 1.0, 1.5, 2.0, 1.2, 0.2, 0.6, 0j, 20.0 - 30.0, cycles=2.0))
    for t in (0.002, 0.008, 0.02):
        assert found.solved.current_a("T1.1", t) == pytest.approx(alone.current_a(t), abs=1e-6)


def test_equal_units_closed_together_are_one_of_their_common_rating() -> None:
    two = switch_on_banks(SUPPLY, [unit(delta()), unit(delta(), "T2")], 2.0)
    one = switch_on_banks(SUPPLY, [unit(delta(), kva=50.0)], 2.0)
    for line in "ABC":
        assert two.solved.current_a(line, 0.007) == pytest.approx(one.solved.current_a(line, 0.007), rel=1e-9)
        assert two.solved.i2t_a2s(line) == pytest.approx(one.solved.i2t_a2s(line), rel=1e-9)
    assert two.solved.current_a("T1.A", 0.007) == pytest.approx(
        two.solved.current_a("A", 0.007) / 2, rel=1e-9
    )


def test_voltage_at_the_terminals_is_that_of_the_source_less_the_drop() -> None:
    found, stiff = (
        switch_on_banks(replace(SUPPLY, z_ohm=z), [unit(delta())], 1.0) for z in (0.05 + 0.2j, 0j)
    )
    for t in (0.0041, 0.0093):
        emf = sqrt(2) * 480.0 * _sine(60.0 * t * 360 + 20.0 + 30.0)
        assert stiff.terminal_v("A", "B", t) == pytest.approx(emf, abs=1e-6)
        h = 1e-7
        slope = [
            (found.solved.current_a(x, t + h) - found.solved.current_a(x, t - h)) / (2 * h) for x in "AB"
        ]
        now = [found.solved.current_a(x, t) for x in "AB"]
        drop = 0.05 * (now[0] - now[1]) + 0.2 / (2 * pi * 60.0) * (slope[0] - slope[1])
        assert found.terminal_v("A", "B", t) == pytest.approx(emf - drop, abs=0.05)


def _sine(degrees: float) -> float:
    from math import radians, sin

    return sin(radians(degrees))


def test_residual_flux_that_a_star_point_cannot_carry_settles_at_once() -> None:
    found = switch_on_banks(SUPPLY, [unit(wye(), residual_pu=(0.6, 0.2, 0.1))], 1.0)
    fluxes = [found.solved.flux_wb(core, 0.0) for core in range(3)]
    assert sum(found.solved.current_a(line, 0.0) for line in "ABC") == pytest.approx(0.0, abs=1e-9)
    assert fluxes[0] - fluxes[1] == pytest.approx(0.4 * sqrt(2) * 480 / sqrt(3) / (2 * pi * 60), rel=1e-9)


@pytest.mark.parametrize(
    ("fluxes", "settled"),
    [
        ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0)),
        ((0.5, -0.25, -0.25), (0.5, -0.25, -0.25)),
        ((0.75, 0.75, 0.75), (0.0, 0.0, 0.0)),
        ((-0.75, 0.75, 0.75), (-1.0, 0.5, 0.5)),
    ],
)
def test_below_the_knee_fluxes_settle_about_their_mean(
    fluxes: tuple[float, ...], settled: tuple[float, ...]
) -> None:
    assert flux_that_fits(fluxes, (Curve(1.0, 2.0, 0.1),) * 3) == pytest.approx(settled, abs=1e-12)


def test_i2t_until_a_time_grows_to_that_of_the_whole() -> None:
    solved = switch_on_banks(SUPPLY, [unit(delta())], 3.0).solved
    parts = [solved.i2t_a2s("A", t) for t in (0.005, 0.02, 0.05)]
    assert parts == sorted(parts) and parts[-1] == pytest.approx(solved.i2t_a2s("A"), rel=1e-12)


def test_legs_far_from_each_other_are_three_cores() -> None:
    """The freer the way through the air, the less of the flux of a leg has to come back through the others."""
    apart, wide, joined = (
        switch_on_banks(SUPPLY, [unit(wye("N"), outside_pct=pct)], 1.0) for pct in (None, 1e7, 30.0)
    )
    assert peaks(wide) == pytest.approx(peaks(apart), rel=1e-4)
    assert peaks(joined) != pytest.approx(peaks(apart), rel=1e-3)


def test_the_currents_of_joined_legs_are_those_of_the_drop_between_their_yokes() -> None:
    """N i = mmf(q) + R Σ q / N, leg by leg."""
    bank = unit(wye("N"), outside_pct=40.0)
    found = switch_on_banks(SUPPLY, [bank], 2.0)
    base = bank.voltage_v**2 / (bank.kva * 1e3)
    air_h = 3 * 0.40 * base / (2 * pi * SUPPLY.hz)
    for t in (0.001, 0.004, 0.0093, 0.021):
        fluxes = [found.solved.flux_wb(leg, t) for leg in range(3)]
        for leg, curve in enumerate(found.solved.coils.curves):
            asked = curve.current_a(fluxes[leg]) + sum(fluxes) / air_h
            assert found.solved.current_a(f"T1.{leg + 1}", t) == pytest.approx(asked, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize(
    ("supply", "bank", "code"),
    [
        ({"hz": 0.0}, {}, "CIR-01"), ({"line_v": float("nan")}, {}, "CIR-01"), ({"z_ohm": -1 + 0j}, {}, "CIR-01"),
        ({"hz": float("inf")}, {}, "CIR-01"), ({"line_v": -1.0}, {}, "CIR-01"),
        ({"closing_angle_deg": float("inf")}, {}, "CIR-01"), ({"phases": 1}, {}, "CIR-03"),
        ({}, {"kva": 0.0}, "CIR-01"), ({}, {"saturated_pu": float("nan")}, "CIR-01"),
        ({}, {"residual_pu": (0.1,)}, "CIR-01"), ({}, {"resistance_pct": -1.0}, "CIR-01"),
        ({}, {"windings": ()}, "CIR-03"), ({}, {"windings": (("A", "A"),) * 3}, "CIR-03"),
        ({}, {"windings": (("N", "A"),) * 3}, "CIR-03"),
        ({}, {"windings": (("A", "star"), ("B", "C"), ("C", "A"))}, "CIR-03"),
        ({}, {"windings": (("A", "star"),), "residual_pu": (0.0,)}, "CIR-03"),
        ({}, {"outside_pct": 0.0}, "CIR-01"), ({}, {"outside_pct": float("nan")}, "CIR-01"),
        ({}, {"outside_pct": 50.0, "residual_pu": (0.6, 0.0, 0.0)}, "CIR-01"),
        ({}, {"outside_pct": 50.0, "residual_pu": (1.6, -0.8, -0.8)}, "CIR-01"),
        ({}, {"outside_pct": 50.0, "windings": (("A", "B"),), "residual_pu": (0.0,)}, "CIR-03"),
        ({}, {"closed": ClosedDelta(0.0, 0.0), "reactance_pct": 0.0, "windings": wye("N")}, "CIR-05"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(supply: dict[str, Any], bank: dict[str, Any], code: str) -> None:
    ideal = {"z_ohm": 0j, "neutral_ohm": 0j} if "closed" in bank else {}
    with pytest.raises(InputError) as caught:
        switch_on_banks(replace(SUPPLY, **ideal, **supply), [replace(unit(delta()), **bank)], 1.0)
    assert caught.value.code == code


def test_no_units_names_twice_and_unknown_currents_are_refused() -> None:
    for banks, code in (([], "CIR-01"), ([unit(delta())] * 2, "CIR-02")):
        with pytest.raises(InputError) as caught:
            switch_on_banks(SUPPLY, banks, 1.0)
        assert caught.value.code == code
    with pytest.raises(InputError) as caught:
        switch_on_banks(SUPPLY, [unit(delta())], 1.0).solved.current_a("D", 0.0)
    assert caught.value.code == "CIR-08"
