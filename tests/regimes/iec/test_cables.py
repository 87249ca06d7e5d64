"""Cables and devices: I_B ≤ I_n ≤ I_z, I_2 ≤ 1.45 I_z, protective conductors, against the standard and its laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from turnwright.regimes import DeviceNeed, GroundingNeed, RunNeed
from turnwright.regimes.iec import capacity as of
from turnwright.regimes.iec.conductors import Conductors
from turnwright.regimes.iec.devices import Devices
from turnwright.regimes.iec.grounding import ProtectiveConductors
from turnwright.working import CLOSED, Ledger

CONDUCTORS, DEVICES, PROTECTIVE = Conductors(), Devices(), ProtectiveConductors()
PLAIN = RunNeed(
    side="secondary",
    device_a=100.0,
    load_a=85.0,
    design_a=85.0,
    before_a=None,
    next_size_up=False,
    metal="copper",
    terminals_c=None,
    ambient_c=30.0,
    counted=3,
    conductors=4,
    raceway="steel",
    length_m=None,
    voltage_v=400.0,
    phases=3,
    power_factor=None,
    installation="C",
    insulation="PVC",
)


@pytest.mark.parametrize(
    ("method", "insulation", "ambient", "size", "amps"),
    [
        # by hand from Tables B.52.4, B.52.5, B.52.10, B.52.12 and B.52.14: the smallest that carries 100 A
        ("C", "PVC", 30.0, "35 mm²", 119.0),
        ("C", "PVC", 40.0, "35 mm²", 119 * 0.87),
        ("B2", "PVC", 40.0, "50 mm²", 118 * 0.87),
        ("C", "XLPE", 30.0, "25 mm²", 119.0),
        ("E", "XLPE", 40.0, "25 mm²", 127 * 0.91),
        ("E", "PVC", 30.0, "25 mm²", 101.0),
    ],
)
def test_smallest_cable_for_100_a(method, insulation, ambient, size, amps):
    need = replace(PLAIN, installation=method, insulation=insulation, ambient_c=ambient)
    plan = CONDUCTORS(need, CLOSED)
    assert (plan.size, plan.sets) == (size, 1)
    assert plan.ampacity_a == pytest.approx(amps)
    assert plan.ampacity_a >= need.device_a


def test_no_next_size_up():
    """I_n ≤ I_z has no exception: 101 A of 25 mm² in free air does not take a 125 A device."""
    assert CONDUCTORS(replace(PLAIN, installation="E", device_a=125.0), CLOSED).size == "35 mm²"


def test_a_fuse_may_ask_for_the_next_cable():
    """I_2 of a gG link is 1.6 I_n: 100 A needs 110.3 A; 25 mm² in free air has 101 A."""
    assert CONDUCTORS(replace(PLAIN, installation="E", device_kind="fuse"), CLOSED).size == "35 mm²"


def test_the_ground_is_taken_at_the_average():
    """Table B.52.15: 25 °C in the ground is 0.95 for PVC whatever the peak of the air."""
    ledger = Ledger()
    CONDUCTORS(replace(PLAIN, installation="D1", ambient_c=40.0, ground_c=25.0), ledger)
    assert ledger.steps["conductors.secondary.capacity_a"].inputs["temperature_factor"] == 0.95


def test_parallel_cables_are_a_group():
    """Table B.52.17: two cables side by side on a wall carry 0.85 each."""
    plan = CONDUCTORS(replace(PLAIN, device_a=630.0, load_a=500.0, design_a=500.0), CLOSED)
    assert plan.sets == 2
    one = next(c for c in of.cables("C", "PVC", 3, "copper") if c.size == plan.size)
    assert plan.ampacity_a == pytest.approx(2 * 0.85 * one.table_a)


def test_where_nobody_says_how_they_are_laid_conduit_comes_first_then_a_tray():
    """118 A of 50 mm² in conduit on a wall (B2); 630 A is more than two such cables carry, on a tray (E) two do."""
    small = replace(PLAIN, installation=None)
    assert (CONDUCTORS(small, CLOSED).size, CONDUCTORS(small, CLOSED).ampacity_a) == ("50 mm²", 118)
    large = CONDUCTORS(replace(small, device_a=630.0, load_a=500.0, design_a=500.0), CLOSED)
    assert (large.sets, large.size) == (2, "185 mm²")
    assert large.ampacity_a == pytest.approx(2 * 0.88 * 364)


def test_terminals_below_90_degrees_take_the_column_of_70():
    need = replace(PLAIN, insulation="XLPE")
    assert CONDUCTORS(need, CLOSED).size == "25 mm²"
    assert CONDUCTORS(replace(need, terminals_c=75.0), CLOSED).size == "35 mm²"
    assert CONDUCTORS(replace(need, terminals_c=90.0), CLOSED).size == "25 mm²"


def test_aluminium_begins_at_16_mm2():
    """Table 52.2."""
    assert (
        CONDUCTORS(replace(PLAIN, metal="aluminum", device_a=6.0, load_a=5.0, design_a=5.0), CLOSED).size
        == "16 mm²"
    )


def test_third_harmonics_make_the_cable_larger():
    """33 to 45 % by the neutral: 85 A with 40 % ask for 3 · 0.4 · 85 = 102 A after a factor of 0.86."""
    plan = CONDUCTORS(replace(PLAIN, device_a=0.0, third_harmonic_pct=40.0), CLOSED)
    assert plan.ampacity_a >= 102 and plan.size == "35 mm²"


def test_drop_of_annex_g():
    """u = b (ρ1 L / S cos φ + λ L sin φ) I_B: 100 A, 50 m, 35 mm², cos φ 0.8, three-phase: 2.80 V of 230.9 V."""
    plan = CONDUCTORS(replace(PLAIN, load_a=100.0, length_m=50.0, power_factor=0.8), CLOSED)
    volts = (0.0225 * 50 / 35 * 0.8 + 0.08e-3 * 50 * 0.6) * 100
    assert plan.drop_pct == pytest.approx(volts / (400 / 3**0.5) * 100)


def test_a_place_too_hot_is_told():
    plan = CONDUCTORS(replace(PLAIN, ambient_c=65.0), CLOSED)
    assert [finding.code for finding in plan.findings] == ["no-secondary-conductor"]


AMPS = st.floats(min_value=1, max_value=900)


@given(
    device=AMPS,
    load=AMPS,
    ambient=st.floats(-10, 60),
    method=st.sampled_from(list(of.METHODS)),
    kind=st.sampled_from(["breaker", "fuse"]),
    content=st.floats(0, 70),
)
def test_a_cable_carries_load_and_device(device, load, ambient, method, kind, content):
    need = replace(
        PLAIN,
        device_a=device,
        load_a=load,
        design_a=load,
        ambient_c=ambient,
        installation=method,
        device_kind=kind,
        third_harmonic_pct=content,
    )
    plan = CONDUCTORS(need, CLOSED)
    if plan.sets == 0:
        return
    asked = of.harmonic(content).asked_a(load, content)
    assert plan.ampacity_a >= max(asked, device) * (1 - 1e-9)
    assert of.tripping_multiple(kind, device) * device <= 1.45 * plan.ampacity_a * (1 + 1e-9)


def device_need(primary_a, secondary_a, load=0.8, **other):
    facts = {
        "primary_rated_a": primary_a,
        "secondary_rated_a": secondary_a,
        "primary_design_a": primary_a * load,
        "secondary_design_a": secondary_a * load,
        "kind": None,
        "existing_primary_a": None,
        "wanted_secondary_a": (),
        "covered": False,
        "autotransformer": False,
    }
    return DeviceNeed(**(facts | other))


def test_devices_of_a_63_kva_unit():
    """90.9 A and 174.9 A rated, 80 % load: R10 above 1.25 · 90.9 A is 125 A, the last below 174.9 A is 160 A."""
    plan = DEVICES(device_need(90.9, 174.9), CLOSED)
    assert (plan.protection.primary_a, plan.protection.secondary_a, plan.protection.kind) == (
        125,
        160,
        "breaker",
    )
    assert plan.protection.primary_only_max_a is None
    assert plan.findings == ()


def test_a_full_load_takes_the_rating_above():
    assert DEVICES(device_need(90.9, 174.9, load=1.0), CLOSED).protection.secondary_a == 200


def test_an_existing_device_below_the_load_is_told():
    plan = DEVICES(device_need(90.9, 174.9, existing_primary_a=63.0), CLOSED)
    assert [finding.code for finding in plan.findings] == ["primary-device-too-small"]


def test_a_load_above_the_series_is_told():
    plan = DEVICES(device_need(9000.0, 9000.0), CLOSED)
    assert {finding.code for finding in plan.findings} == {"no-primary-device", "no-secondary-device"}


@given(rated=AMPS, load=st.floats(0.05, 1.2), kind=st.sampled_from(["breaker", "fuse"]))
def test_a_device_is_never_below_the_design_current(rated, load, kind):
    facts = device_need(rated, rated, load, kind=kind)
    plan = DEVICES(facts, CLOSED).protection
    assert plan.primary_a is None or plan.primary_a >= facts.primary_design_a * (1 - 1e-9)
    assert plan.secondary_a is None or plan.secondary_a >= facts.secondary_design_a * (1 - 1e-9)


@pytest.mark.parametrize(
    ("line", "pe"),
    [
        # Table 54.2: S to 16 mm², 16 mm² to 35 mm², S/2 above, and the next size there is (IEC 60228)
        (1.5, "1.5 mm²"), (16, "16 mm²"), (25, "16 mm²"), (35, "16 mm²"), (50, "25 mm²"), (70, "35 mm²"),
        (95, "50 mm²"), (120, "70 mm²"), (185, "95 mm²"), (240, "120 mm²"),
    ],
)  # fmt: skip
def test_protective_conductors(line, pe):
    need = GroundingNeed(
        primary_device_a=10.0,
        secondary_device_a=10.0,
        metal="copper",
        set_area=float(line),
        total_area=float(line),
        primary_set_area=float(line),
        secondary_set_area=float(line),
        neutral_bonded=True,
        derived=True,
    )
    found = PROTECTIVE(need, CLOSED)
    assert (found.equipment_conductor, found.load_equipment_conductor) == (pe, pe)
    assert (found.bonding_jumper, found.system_bonding_jumper) == (None, None)
    assert found.electrode_conductor == ("6 mm²" if line < 6 else pe)
    assert PROTECTIVE(replace(need, neutral_bonded=False), CLOSED).electrode_conductor is None


@pytest.mark.parametrize(
    ("volts", "bonded", "after"), [(50.0, False, None), (50.1, False, "10 mm²"), (50.0, True, "10 mm²")]
)
def test_nothing_of_selv_is_tied_to_earth(volts, bonded, after):
    """IEC 60364-4-41 414.4: to 50 V, as long as no point of it is earthed."""
    need = GroundingNeed(
        primary_device_a=10.0,
        secondary_device_a=10.0,
        metal="copper",
        set_area=10.0,
        total_area=10.0,
        primary_set_area=16.0,
        secondary_set_area=10.0,
        neutral_bonded=bonded,
        derived=True,
        secondary_v=volts,
    )
    assert PROTECTIVE(need, CLOSED).load_equipment_conductor == after
    shared = PROTECTIVE(replace(need, derived=False), CLOSED)
    assert shared.equipment_conductor == shared.load_equipment_conductor == "16 mm²"
    assert shared.electrode_conductor is None


@pytest.mark.parametrize(
    ("existing_a", "wanted", "codes"),
    [
        # 433.1: I_B ≤ I_n, of 72.7 A before and 139.9 A after
        (80.0, (160.0,), []),
        (72.72, (139.92,), []),
        (72.71, (160.0,), ["primary-device-too-small"]),
        (80.0, (139.91,), ["secondary-devices-too-small"]),
        (80.0, (80.0, 63.0), []),
        (80.0, (80.0, 50.0), ["secondary-devices-too-small"]),
    ],
)
def test_a_device_carries_the_design_current(existing_a, wanted, codes):
    plan = DEVICES(device_need(90.9, 174.9, existing_primary_a=existing_a, wanted_secondary_a=wanted), CLOSED)
    assert [finding.code for finding in plan.findings] == codes
    assert plan.protection.secondary_a == sum(wanted)


def test_a_shared_winding_has_no_device_after_it():
    plan = DEVICES(device_need(90.9, 174.9, autotransformer=True), CLOSED)
    assert (plan.protection.secondary_devices_a, plan.protection.secondary_a, plan.findings) == ((), None, ())
