"""Twelve jobs as Canadian engineers state them, each answered by hand from the code first.

By hand: rated current S / (√3 · V) or S / V; 26-254: device before the unit at most 125 % of it, next rating of
Table 13 up, or 300 % (down) where one of at most 125 % (down) follows; 26-256: conductors of 125 % of rated
current on both sides; 14-104(2): 15, 20, 30 A for 14, 12, 10 AWG; Table 2 at 75 °C: 35 A 10 AWG, 50 A 8, 65 A 6,
85 A 4, 100 A 3, 115 A 2, 150 A 1/0, 175 A 2/0, 200 A 3/0, 230 A 4/0; Table 16: 10 AWG to 60 A, 8 to 100 A, 6 to
200 A; 8-104: 125 % of load that runs for hours, as the devices are marked for 80 %.
"""

from typing import Any

import pytest

from turnwright.intake import job_from_mapping
from turnwright.model.result import Blocks, Result
from turnwright.narrow import select

MILL = {"system": "600Y/347", "frequency": "60 Hz"}
C75 = {"terminals": "75 degC", "conductor": "copper"}


def answer(supply: dict[str, Any], *loads: dict[str, Any], **tables: Any) -> Result:
    job = {"regime": "ca", "supply": supply, "load": list(loads), "circuit": C75, **tables}
    return select(job_from_mapping(job, "job"), ledger_open=False, ask=False)


def picked(result: Result) -> Blocks:
    assert result.verdict == "selected" and result.blocks is not None
    return result.blocks


def codes(result: Result) -> set[str]:
    return {finding.code for finding in result.findings}


def wires(blocks: Blocks) -> tuple[str, str]:
    runs = blocks.conductors
    assert runs.primary is not None and runs.secondary is not None
    assert runs.primary.sets == runs.secondary.sets == 1
    return runs.primary.size, runs.secondary.size


def devices(blocks: Blocks) -> tuple[float | None, tuple[float, ...]]:
    return blocks.protection.primary_a, blocks.protection.secondary_devices_a


def test_a_packaging_line_of_480_v_on_600():
    """60 kVA in a 75 kVA Dyn1 unit: 72.2 A and 90.2 A rated.

    Before it at most 90.2 → 100 A alone, 216.5 → 200 A with one after it of 112.8 → 110 A. Load 57.7 A · 1.25 = 72.2 A
    and 90.2 A fit under 90 A and 110 A. Conductors 90.2 A: 3 AWG; 112.8 A: 2 AWG. Bonding 90 A: 8 AWG, 110 A: 6 AWG.
    """
    line = {"name": "packaging line", "system": "480Y/277", "kva": "60 kVA", "continuous": True}
    blocks = picked(answer(MILL, line))
    assert (blocks.pick.kva, blocks.pick.primary, blocks.pick.secondary) == (75, "600 delta", "480Y/277")
    assert blocks.pick.vector_group == "Dyn1"
    plan = blocks.protection
    assert (plan.primary_only_max_a, plan.primary_with_secondary_max_a, plan.secondary_max_a) == (
        100,
        200,
        110,
    )
    assert devices(blocks) == (90, (110,)) and wires(blocks) == ("3 AWG", "2 AWG")
    assert blocks.grounding.equipment_conductor == "8 AWG"
    assert blocks.grounding.load_equipment_conductor == blocks.grounding.system_bonding_jumper == "6 AWG"


def test_lamps_of_347_v_salvaged_for_a_208_v_shop():
    """8 · 1.5 kVA = 12 kVA over three lines, two lines with three lamps: 4.5 kVA · 3 = 13.5 kVA → 15 kVA step-up.

    Rated 41.6 A and 14.4 A; load 13.0 A · 1.25 = 16.2 A exceeds 125 % of 14.4 A = 18.0 → 15 A, so no device after it:
    the one before is 50 A (52.0 A is 125 %), 17.3 A by the volts on 347 V wires: over the 15 A of 14 AWG, so 12 AWG.
    """
    lamps = {
        "name": "salvaged high bays",
        "system": "347 1ph",
        "kva": "1.5 kVA",
        "quantity": 8,
        "kind": "lighting",
        "continuous": True,
    }
    result = answer({"system": "208Y/120", "frequency": "60 Hz"}, lamps)
    blocks = picked(result)
    assert (blocks.pick.kva, blocks.pick.secondary, blocks.pick.vector_group) == (15, "600Y/347", "YNd1")
    assert blocks.demand.kva_required == pytest.approx(13.5)
    assert devices(blocks) == (50, ()) and wires(blocks) == ("6 AWG", "12 AWG")
    assert {"step-up", "no-secondary-device"} <= codes(result)
    assert blocks.efficiency.law_pct == pytest.approx(97.89)


def test_an_office_of_208_v_that_will_grow():
    """30 kVA · 1.25 = 37.5 kVA → 45 kVA: 43.3 A and 124.9 A; 54.1 → 60 A alone, 129.9 → 125 A; 156.1 → 150 A after it.

    36.1 A · 1.25 = 45.1 A and 104.1 A · 1.25 = 130.1 A fit under 50 A and 150 A. 54.1 A: 6 AWG; 156.1 A: 2/0 AWG.
    """
    office = {"name": "office", "system": "208Y/120", "kva": "30 kVA", "continuous": True}
    blocks = picked(answer(MILL, office, choices={"growth": "25 %"}))
    assert blocks.pick.kva == 45 and blocks.efficiency.law_pct == pytest.approx(98.40)
    plan = blocks.protection
    assert (plan.primary_only_max_a, plan.primary_with_secondary_max_a, plan.secondary_max_a) == (
        60,
        125,
        150,
    )
    assert devices(blocks) == (50, (150,)) and wires(blocks) == ("6 AWG", "2/0 AWG")


def test_a_control_house_of_120_240_v_on_two_lines_of_600():
    """8 kVA → 10 kVA: 16.7 A and 41.7 A; 20.8 → 25 A alone, 52.1 → 50 A after it; 13.3 A · 1.25 = 16.7 A under 20 A.

    20.8 A: 12 AWG has 25 A and takes 20 A; 52.1 A: 6 AWG. The mid point is grounded: within 150 V it must be (10-106).
    A fault at half the winding is larger than one between the lines. Under 15 kVA there is no federal level.
    """
    house = {"name": "control house", "system": "120/240 1ph", "kva": "8 kVA", "continuous": True}
    result = answer({**MILL, "system": "600 3ph", "grounding": "ungrounded"}, house)
    blocks = picked(result)
    assert (blocks.pick.phases, blocks.pick.kva, blocks.pick.secondary) == (1, 10, "120/240 1ph")
    assert devices(blocks) == (20, (50,)) and wires(blocks) == ("12 AWG", "6 AWG")
    assert blocks.grounding.system_bonding_jumper == "10 AWG"
    assert blocks.fault.line_ground_a > blocks.fault.secondary_a
    assert {"two-lines", "slash-rating", "efficiency-outside", "coil-links"} <= codes(result)


def test_a_mine_pump_of_575_v_on_a_480_v_set():
    """60 hp at 575 V: 62 A by Table 44, 64.4 kVA on 600 V; 125 % of it, 80.5 kVA → 112.5 kVA step-up, YNd1.

    Not a boost of 480 V by a tenth: 528 V is 8 % under the plate with the set at nominal. Set over unit 250 /
    112.5 = 2.2. Rated 135.3 A and 108.3 A: 169 A and 135 A: 2/0 and 1/0 AWG; 135.3 → 125 A after it, 77.5 A · 1.25
    under 150 A.
    """
    pump = {
        "name": "mine pump",
        "system": "575 3ph",
        "hp": "60 hp",
        "kind": "motor",
        "start": "soft starter",
        "continuous": True,
    }
    source = {"source": "generator", "source_kva": "250 kVA", "source_reactance": "15 %"}
    result = answer({"system": "480Y/277", "frequency": "60 Hz", **source}, pump)
    blocks = picked(result)
    assert blocks.demand.kva == pytest.approx(62 * 600 * 3**0.5 / 1000)
    assert (blocks.pick.arrangement, blocks.pick.kva, blocks.pick.vector_group) == (
        "isolation",
        112.5,
        "YNd1",
    )
    assert devices(blocks) == (150, (125,)) and wires(blocks) == ("2/0 AWG", "1/0 AWG")
    assert {"generator-source", "step-up", "back-fed-neutral", "motor-tables"} <= codes(result)
    boost = next(option for option in result.options if option.arrangement == "buck-boost")
    assert boost.status == "not possible" and "8.2 %" in boost.why


def test_a_drive_on_a_600_v_system_grounded_through_a_resistor():
    """80 kVA, harmonics and the motor's quarter: 100 kVA → 112.5 kVA; separate windings give it a grounded 480Y/277.

    108.3 A and 135.3 A: 150 A alone, 325 → 300 A, 169 → 150 A. 135.3 A: 1/0 AWG at 150 A. Breakers straight 600 V.
    """
    drive = {
        "name": "fan drive",
        "system": "480 3ph",
        "kva": "80 kVA",
        "kind": "drive",
        "grounded_wye": True,
        "continuous": True,
        "harmonics": {"5": 35, "7": 15, "11": 7},
    }
    result = answer({**MILL, "grounding": "resistance"}, drive)
    blocks = picked(result)
    assert (blocks.pick.kva, blocks.pick.secondary) == (112.5, "480Y/277")
    plan = blocks.protection
    assert (plan.primary_only_max_a, plan.primary_with_secondary_max_a, plan.secondary_max_a) == (
        150,
        300,
        150,
    )
    assert blocks.conductors.primary.size == "1/0 AWG"
    assert {"impedance-grounded-supply", "slash-rating", "drive-winding", "bond-once"} <= codes(result)
    assert "drive-supply" not in codes(result)


def test_a_german_press_for_both_frequencies():
    """38 kVA at 400Y/230 → 45 kVA: 43.3 A and 65.0 A; 81.2 → 80 A after it; 54.8 A · 1.25 = 68.5 A under it.

    54.1 A: 6 AWG, 81.2 A: 4 AWG. No ware of the shelf, and the law of 45 kVA holds all the same: 98.40 %.
    """
    press = {
        "name": "press",
        "system": "400Y/230",
        "kva": "38 kVA",
        "frequency": "50/60 Hz",
        "continuous": True,
    }
    result = answer(MILL, press)
    blocks = picked(result)
    assert (blocks.pick.kva, blocks.pick.secondary, blocks.pick.availability) == (45, "400Y/230", "to order")
    assert devices(blocks) == (50, (80,)) and wires(blocks) == ("6 AWG", "4 AWG")
    assert blocks.efficiency.law_pct == pytest.approx(98.40)
    assert "plate-frequency" not in codes(result) and "certified" in codes(result)


def test_a_test_bench_that_needs_50_hz():
    """A transformer gives out 60 Hz: refused; a converter instead, and 30 kVA for the pieces that bear 60 Hz."""
    bench = {"name": "test bench", "system": "400Y/230", "kva": "20 kVA", "frequency": "50 Hz"}
    result = answer(MILL, bench)
    assert result.verdict == "refused" and "frequency-stays" in codes(result)
    assert "converter" in result.instead[0].what
    assert result.instead[1].blocks is not None and result.instead[1].blocks.pick.kva == 30


def test_a_chipper_of_575_v_needs_no_transformer():
    """575 V is the plate of 600 V systems: straight on the supply."""
    chipper = {"name": "chipper", "system": "575 3ph", "hp": "100 hp", "kind": "motor"}
    result = answer(MILL, chipper)
    said = next(f for f in result.findings if f.code == "no-transformer-needed")
    assert said.severity == "caution" and "motor-voltage" not in codes(result)


def test_a_hot_and_corrosive_bleach_plant():
    """40 kVA where it is 40 °C on average: 45 kVA carries 0.92 of it, 41.4 kVA, by the trade rule: it just does.

    50 °C at the wires, 0.82 of the 90 °C column: 6 AWG 75 · 0.82 = 61.5 A ≥ 54.1 A; 2/0 195 · 0.82 = 159.9 A ≥ 156.1 A.
    """
    panel = {"name": "bleach plant panel", "system": "208Y/120", "kva": "40 kVA", "continuous": True}
    place = {"ambient_average": "40 degC", "ambient_peak": "50 degC", "conditions": ["corrosive"]}
    result = answer({**MILL, "system": "600 3ph", "grounding": "resistance"}, panel, site=place)
    blocks = picked(result)
    assert blocks.pick.kva == 45 and blocks.demand.kva_required == pytest.approx(40 / 0.92, rel=1e-3)
    assert blocks.pick.enclosure == "cast" and wires(blocks) == ("6 AWG", "2/0 AWG")
    assert blocks.conductors.primary.ampacity_a == pytest.approx(61.5)
    assert blocks.conductors.secondary.ampacity_a == pytest.approx(159.9)
    assert {"wet-place", "warm-place", "derated-by-ambient"} <= codes(result)


def test_block_heaters_in_an_arctic_yard():
    """30 · 1.2 kVA over three lines: 36 kVA → 45 kVA; -45 °C is colder than ordinary; snow asks for a closed case."""
    heaters = {
        "name": "block heaters",
        "system": "120 1ph",
        "kva": "1.2 kVA",
        "quantity": 30,
        "kind": "heating",
        "continuous": True,
    }
    place = {"place": "outdoor", "conditions": ["snow"], "ambient_lowest": "-45 degC"}
    result = answer(MILL, heaters, site=place)
    blocks = picked(result)
    assert (blocks.pick.kva, blocks.pick.secondary, blocks.pick.enclosure) == (
        45,
        "208Y/120",
        "nonventilated",
    )
    assert {"cold", "snow", "outdoors", "efficiency-outside"} <= codes(result)
    assert blocks.efficiency.law_pct is None


def test_chargers_are_continuous_whatever_the_hours():
    """6 · 7.2 kW at 208 V: two on each pair of lines, 43.2 kVA → 45 kVA at 96 %; 119.9 A · 1.25 = 149.9 A under 150 A.

    41.6 A · 1.25 = 52.0 A: 60 A before it, the most that is allowed alone; 150 A counted with their harmonics: 3/0 AWG.
    """
    chargers = {
        "name": "chargers",
        "system": "208 1ph",
        "kw": "7.2 kW",
        "power_factor": 1.0,
        "quantity": 6,
        "kind": "charger",
        "continuous": True,
    }
    result = answer(MILL, chargers)
    blocks = picked(result)
    assert blocks.pick.kva == 45 and blocks.demand.loading_pct == pytest.approx(96.0, abs=0.05)
    assert devices(blocks) == (60, (150,)) and wires(blocks) == ("6 AWG", "3/0 AWG")
    assert {"charging", "loading-band", "spectrum-unknown"} <= codes(result)


def test_an_old_shop_of_240_v_delta_in_aluminum_under_the_code_of_2015():
    """55 kVA → 75 kVA Dd0: 72.2 A and 180.4 A; 225.5 → 225 A after it; Table 4: 90.2 A: 1 AWG (100), 225.5 A: 300
    kcmil (230).

    No neutral: a corner or ground detection has to be decided. The rules had other numbers then: 26-256, 26-258.
    """
    shop = {"name": "old shop", "system": "240 3ph", "kva": "55 kVA", "continuous": True}
    aluminum = {"terminals": "75 degC", "conductor": "aluminum"}
    supply = {**MILL, "system": "600 3ph", "grounding": "ungrounded"}
    result = answer(supply, shop, edition="2015", circuit=aluminum)
    blocks = picked(result)
    assert (blocks.pick.kva, blocks.pick.vector_group) == (75, "Dd0")
    assert devices(blocks) == (90, (225,)) and wires(blocks) == ("1 AWG", "300 kcmil")
    assert blocks.grounding.system_bonding_jumper is None and "output-grounding" in codes(result)
    clauses = {finding.code: finding.clause for finding in result.findings}
    assert clauses["secondary-device"] == "CEC 2015 26-256"
    assert clauses["conductors-125"] == "CEC 2015 26-258"
