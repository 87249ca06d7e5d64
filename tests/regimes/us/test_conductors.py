"""Conductors against published examples, a second copy of the ampacity table, and the laws of the clauses."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from turnwright.regimes import RunNeed
from turnwright.regimes.us.ampacity import Surroundings, terminal_column_c
from turnwright.regimes.us.conductors import Conductors, voltage_drop_pct
from turnwright.working import CLOSED

CONDUCTORS = Conductors("2023")
PLAIN = RunNeed(
    side="primary",
    device_a=125.0,
    load_a=90.0,
    design_a=112.0,
    before_a=None,
    next_size_up=True,
    metal="copper",
    terminals_c=75.0,
    ambient_c=30.0,
    counted=3,
    conductors=3,
    raceway="steel",
    length_m=None,
    voltage_v=480.0,
    phases=3,
    power_factor=None,
)


@pytest.mark.parametrize(
    ("device_a", "size", "sets"),
    [
        # smallest copper at 75 °C for a device, next standard rating above the ampacity up to 800 A (NEC 240.4(B));
        # sizes by hand from NEC Table 310.16
        # 240.4(D): 15 A on 14 AWG, 20 A on 12 AWG, 30 A on 10 AWG; above 800 A the ampacity itself
        (15, "14 AWG", 1), (20, "12 AWG", 1), (30, "10 AWG", 1), (35, "8 AWG", 1), (800, "500 kcmil", 2),
        (1000, "400 kcmil", 3),
        (50, "8 AWG", 1), (60, "6 AWG", 1), (70, "6 AWG", 1), (100, "3 AWG", 1), (125, "2 AWG", 1), (175, "2/0 AWG", 1),
        (450, "4/0 AWG", 2), (600, "250 kcmil", 2),
    ],
)  # fmt: skip
def test_primary_conductors_by_240_4_b(device_a, size, sets):
    plan = CONDUCTORS(replace(PLAIN, device_a=float(device_a), load_a=1.0, design_a=1.0), CLOSED)
    assert (plan.size, plan.sets) == (size, sets)


@pytest.mark.parametrize(
    ("device_a", "size", "sets"),
    [
        (70, "4 AWG", 1),
        (80, "4 AWG", 1),
        (100, "3 AWG", 1),
        (200, "3/0 AWG", 1),
        (250, "250 kcmil", 1),
        (1000, "400 kcmil", 3),
    ],
)
def test_secondary_conductors_without_next_size_up(device_a, size, sets):
    """NEC 240.21(C): the ampacity is not below the device they end in; sizes by hand from Table 310.16."""
    need = replace(
        PLAIN, side="secondary", next_size_up=False, device_a=float(device_a), load_a=1.0, design_a=1.0
    )
    plan = CONDUCTORS(need, CLOSED)
    assert (plan.size, plan.sets) == (size, sets)
    assert plan.ampacity_a >= device_a


def test_drop_with_table_8_resistance(example):
    """10 AWG, 193 ft, 13.6 A, 120 V: direct current resistance, unity power factor."""
    case = example("vd-10awg-table8")
    drop = voltage_drop_pct(13.6, 1.24, 0.0, 1.0, 193.0, 120.0, 2.0)
    assert 120 * (1 - drop / 100) == pytest.approx(case["recomputed"]["load_voltage"]["value"], abs=0.05)


def test_drop_with_table_9_effective_impedance(example):
    """1 AWG, aluminum conduit, 150 ft, 100 A, 240 V three-phase, power factor 0.85; the printed effective Z is 0.16."""
    case = example("vd-1awg-table9")["recomputed"]
    row = CONDUCTORS.impedances.row(size="1 AWG")
    drop = voltage_drop_pct(
        100.0,
        row.number("r_cu_aluminum_ohm_per_kft"),
        row.number("x_pvc_aluminum_ohm_per_kft"),
        0.85,
        150.0,
        240.0,
        3**0.5,
    )
    assert drop == pytest.approx(case["drop_percent"]["value"], rel=0.04)  # 0.16 is rounded to two figures


def test_disputed_claim_of_the_ratio_rule_is_not_followed(example):
    """A forum reply lets 40 A feed 4 AWG through 480/208 delta-wye: 36.8 A reflected allows 35 A at the most, and only
    where 240.4(F) applies. Here the secondary has its own device, and the tap rule asks a third."""
    case = example("nec-ratio-protection-9892")
    assert case["status"] == "disputed"
    before_a = 100.0 * 480 / 208
    need = replace(
        PLAIN,
        side="secondary",
        next_size_up=False,
        before_a=before_a,
        device_a=15.0,
        load_a=1.0,
        design_a=1.0,
    )
    assert CONDUCTORS(need, CLOSED).ampacity_a >= before_a / 3
    near = CONDUCTORS(replace(need, length_m=2.0), CLOSED)
    assert before_a / 10 <= near.ampacity_a < before_a / 3


def test_terminals_of_unknown_rating():
    assert terminal_column_c(None, 100.0) == 60
    assert terminal_column_c(None, 101.0) == 75


def test_correction_starts_from_the_90_degree_column_and_the_terminals_cap_it():
    """3/0 copper, 40 °C, four current-carrying conductors: 225 · 0.91 · 0.8 = 163.8 A (NEC 310.15)."""
    wires = {w.size: w for w in CONDUCTORS.ampacities.wires(Surroundings("copper", 75, 40.0, 4))}
    assert wires["3/0 AWG"].corrected_a == pytest.approx(163.8)
    assert wires["3/0 AWG"].terminal_a == 200


@pytest.mark.parametrize(
    ("size", "conductors", "kind", "raceway"),
    [
        # Chapter 9 Table 5, XHHW, and one more of the size for grounding, in 40 % of Table 4 (31 % of two together):
        # 4 · 0.3197 = 1.2788 in² in 1.342; 4 · 0.0590 in 0.346; 4 · 0.6984 = 2.794 in 3.538; 2 · 0.1825 in 0.464
        ("4/0 AWG", 3, "steel", "EMT 2"),
        ("6 AWG", 3, "steel", "EMT 1"),
        ("500 kcmil", 3, "steel", "EMT 3"),
        ("1/0 AWG", 1, "steel", "EMT 1-1/4"),
        ("4/0 AWG", 3, "pvc", "PVC-40 2"),
        ("4/0 AWG", 4, "pvc", "PVC-40 2-1/2"),
        ("2000 kcmil", 3, "steel", None),
    ],
)
def test_raceways_by_chapter_9(size, conductors, kind, raceway):
    assert CONDUCTORS.raceways.smallest(size, conductors, kind) == raceway


def test_a_place_too_hot_for_any_conductor_is_told():
    plan = CONDUCTORS(replace(PLAIN, ambient_c=120.0), CLOSED)
    assert [finding.code for finding in plan.findings] == ["no-primary-conductor"]


AMPS = st.floats(min_value=1, max_value=1500)


@given(device=AMPS, load=AMPS, ambient=st.floats(0, 60), counted=st.integers(3, 9), up=st.booleans())
def test_conductors_carry_load_and_device(device, load, ambient, counted, up):
    need = replace(
        PLAIN,
        device_a=device,
        load_a=load,
        design_a=load,
        ambient_c=ambient,
        counted=counted,
        next_size_up=up,
    )
    plan = CONDUCTORS(need, CLOSED)
    if plan.sets == 0:
        return
    assert plan.ampacity_a >= load * (1 - 1e-9)
    if not up or device > 800:
        assert plan.ampacity_a >= device * (1 - 1e-9)


@given(load=AMPS, more=st.floats(1, 2))
def test_more_load_never_takes_a_smaller_conductor(load, more):
    small = CONDUCTORS(replace(PLAIN, device_a=load, load_a=load, design_a=load), CLOSED)
    large = CONDUCTORS(replace(PLAIN, device_a=load * more, load_a=load * more, design_a=load * more), CLOSED)
    assert large.sets == 0 or large.total_area >= small.total_area * 0.7 or large.sets > small.sets
    assert (
        large.sets == 0
        or large.ampacity_a >= small.ampacity_a * (1 - 1e-9)
        or large.ampacity_a >= load * more
    )


@pytest.mark.parametrize(("length_m", "share"), [(3.048, 10), (3.05, 3), (None, 3)])
def test_a_tenth_of_the_device_before_it_within_10_ft_a_third_beyond(length_m, share):
    """NEC 240.21(C)(2), (6): 230 A before the transformer as it counts behind it; 23 A or 76.7 A."""
    need = replace(
        PLAIN, side="secondary", next_size_up=False, before_a=230.0, device_a=15.0, load_a=1.0, design_a=1.0
    )
    sizes = {10: "12 AWG", 3: "4 AWG"}  # Table 310.16 at 75 °C: 25 A and 85 A
    assert CONDUCTORS(replace(need, length_m=length_m), CLOSED).size == sizes[share]


@pytest.mark.parametrize(
    ("change", "drop_pct"),
    [
        # Chapter 9 Table 9, 1/0 copper: 0.12 and 0.055 ohm/kft in steel, 0.044 in PVC; 100 A over 100 ft at 0.8:
        # √3 · 100 · (0.12 · 0.8 + 0.055 · 0.6) · 0.1 / 480 · 100
        ({}, 0.46548),
        ({"raceway": "pvc"}, 0.44167),
        ({"phases": 1}, 0.46548 * 2 / 3**0.5),
        ({"power_factor": 1.0}, 0.43301),
        # without a power factor by |Z|: √(0.12² + 0.055²) = 0.13200
        ({"power_factor": None}, 0.47633),
        ({"length_m": None}, None),
        ({"voltage_v": 240.0}, 0.93097),
    ],
)
def test_drop_of_a_run_by_table_9(change, drop_pct):
    run = {"device_a": 150.0, "load_a": 100.0, "design_a": 100.0, "length_m": 30.48, "power_factor": 0.8}
    run["next_size_up"] = False
    plan = CONDUCTORS(replace(PLAIN, **{**run, **change}), CLOSED)
    assert (plan.size, plan.sets) == ("1/0 AWG", 1)
    assert plan.drop_pct == (drop_pct if drop_pct is None else pytest.approx(drop_pct, rel=1e-4))


def test_sets_share_the_current():
    """Two sets of 500 kcmil, 0.029 and 0.048 ohm/kft in steel: 600 A are 300 A each."""
    run = {"device_a": 800.0, "load_a": 600.0, "design_a": 600.0, "length_m": 30.48, "power_factor": 1.0}
    plan = CONDUCTORS(replace(PLAIN, **run), CLOSED)
    assert (plan.size, plan.sets) == ("500 kcmil", 2)
    assert plan.drop_pct == pytest.approx(3**0.5 * 300 * 0.029 * 0.1 / 480 * 100)
    assert (plan.set_area, plan.total_area) == (500_000, 1_000_000)
