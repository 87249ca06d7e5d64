"""Twelve jobs as engineers of the IEC world state them, each answered by hand from the standards first.

By hand: rated current S / (√3 · V) or S / V; the device before the unit carries the load and 1.25 times rated current
(inrush, type D), the one after it is the largest of the series that carries the load and is not above rated
current, else the next above. Series: 6 10 16 20 25 32 40 50 63 80 100 125 160 200 250 320 A. Cables: I_n ≤ I_z,
I_z from 60364-5-52 Annex B times the temperature factor: 40 °C air where nothing is said, PVC 0.87, XLPE 0.91;
ground 30 °C, PVC 0.89, XLPE 0.93. Protective conductors by Table 54.2. Largest fault c · I_rated / z with c 1.1
and the low end of the usual z.
"""

from typing import Any

import pytest

from turnwright.intake import job_from_mapping
from turnwright.model.result import Blocks, Finding, Result
from turnwright.narrow import select

GRID = {"system": "400Y/230", "frequency": "50 Hz", "earthing": "TN-S"}
SINGLE = {"system": "230 1ph", "frequency": "50 Hz", "earthing": "TN-S"}


def answer(supply: dict[str, Any], *loads: dict[str, Any], laid: str = "C", **tables: Any) -> Result:
    circuit = {"installation": laid, **tables.pop("circuit", {})}
    job = {"regime": "iec", "supply": supply, "load": list(loads), "circuit": circuit, **tables}
    return select(job_from_mapping(job, "job"), ledger_open=False, ask=False)


def picked(result: Result) -> Blocks:
    assert result.verdict == "selected" and result.blocks is not None
    return result.blocks


def said(result: Result, code: str) -> Finding:
    return next(finding for finding in result.findings if finding.code == code)


def codes(result: Result) -> set[str]:
    return {finding.code for finding in result.findings}


def devices(blocks: Blocks) -> tuple[float | None, tuple[float, ...]]:
    return blocks.protection.primary_a, blocks.protection.secondary_devices_a


def cables(blocks: Blocks) -> tuple[str, str]:
    runs = blocks.conductors
    assert runs.primary is not None and runs.secondary is not None
    assert runs.primary.sets == runs.secondary.sets == 1
    return runs.primary.size, runs.secondary.size


def protective(blocks: Blocks) -> tuple[str | None, str | None]:
    return blocks.grounding.equipment_conductor, blocks.grounding.load_equipment_conductor


def test_drives_of_400_v_on_690_v_it():
    """46 kVA, a quarter for the largest, and √((1 + 9 · 0.08) / 1.08) = 1.26 for a spectrum that nobody knows: 72.6 →
    80 kVA Dyn11, 66.9 A and 115.5 A; 83.7 → 100 A; 66.4 ≤ 100 ≤ 115.5 A.

    On a tray (E), XLPE at 30 °C: 16 mm² carries 100 A. 25 kA for 0.1 s would ask for 25 000 · √0.1 / 143 = 55.3 mm²:
    16 mm² stands (143 · 16)² = 5.23e6 A²s, which the device has to keep. The drives want an earthed star: TN-S or IT is
    for somebody to decide on an IT supply.
    """
    drives = {"name": "drives", "system": "400 3ph", "kva": "46 kVA", "kind": "drive", "grounded_wye": True}
    result = answer(
        {"system": "690 3ph", "frequency": "50 Hz", "earthing": "IT", "fault_current": "25 kA"},
        drives,
        laid="E",
        site={"ambient_peak": "30 degC", "ambient_average": "25 degC"},
        circuit={"insulation": "XLPE", "terminals": "90 degC"},
    )
    blocks = picked(result)
    assert (blocks.pick.kva, blocks.pick.secondary, blocks.pick.vector_group) == (80, "400Y/230", "Dyn11")
    assert devices(blocks) == (100, (100,)) and cables(blocks) == ("16 mm²", "16 mm²")
    assert protective(blocks) == ("16 mm²", "16 mm²")
    assert blocks.demand.kva_required == pytest.approx(46 * 1.25 * (1.72 / 1.08) ** 0.5)
    withstand = said(result, "cable-withstand")
    assert withstand.limit == pytest.approx(55.28, abs=0.01) and "5.23·10⁶ A²s" in withstand.message
    assert said(result, "derived-earthing").severity == "caution"
    assert "second one disconnects within 5 s" in said(result, "primary-disconnection").message


def test_an_imported_machine_of_480_v_for_both_frequencies():
    """30 → 31.5 kVA step-up YNd11: 45.5 A and 37.9 A; 56.8 → 63 A; 36.1 A: none of 36.1 to 37.9, so 40 A, above rated.

    Clipped direct, 0.87: 63 A wants 72.4 A: 16 mm² (76); 40 A wants 46 A: 10 mm² (57). Fault 1.1 · 37.9 / 3 % = 1389 A.
    Nobody here stocks pairs of small windings: no boost to 440 V. A 60 Hz unit on 50 Hz has five sixths of its volts.
    """
    machine = {"name": "moulding machine", "system": "480 3ph", "kva": "30 kVA", "frequency": "50/60 Hz"}
    result = answer(GRID, machine)
    blocks = picked(result)
    assert (blocks.pick.kva, blocks.pick.secondary, blocks.pick.vector_group) == (31.5, "480Y/277", "YNd11")
    assert devices(blocks) == (63, (40,)) and cables(blocks) == ("16 mm²", "10 mm²")
    assert blocks.fault.maximum_a == pytest.approx(1389, abs=1)
    assert {"overload", "fifty-hertz", "step-up"} <= codes(result)
    boost = next(option for option in result.options if option.arrangement == "buck-boost")
    assert boost.status == "not possible" and "no ware here" in boost.why


def test_an_operating_theatre():
    """5.5 → 6.3 kVA, within 0.5 to 10 kVA of IEC 61558-2-15: 27.4 A both sides; 34.2 → 40 A, 25 A carries 23.9 A.

    B2, two loaded, 0.87: 40 A wants 46 A: 10 mm² (52); 25 A wants 28.7 A: 4 mm² (30). No point is earthed.
    """
    theatre = {"name": "operating theatre", "system": "230 1ph", "kva": "5.5 kVA"}
    result = answer(SINGLE, theatre, laid="B2")
    blocks = picked(result)
    assert (blocks.pick.phases, blocks.pick.kva) == (1, 6.3)
    assert devices(blocks) == (40, (25,)) and cables(blocks) == ("10 mm²", "4 mm²")
    assert blocks.grounding.electrode_conductor is None
    assert (
        "61558-2-15" in said(result, "medical").message
        and "alarmed, not tripped" in said(result, "medical").message
    )
    assert "unearthed-output" not in codes(result)


def test_a_japanese_lathe_of_200_v():
    """18 → 20 kVA: 28.9 A and 57.7 A; 36.1 → 40 A; 52.0 A: none to 57.7 A, so 63 A, above rated: a sensor or more kVA.

    0.87: 40 A wants 46 A: 10 mm² (57); 63 A wants 72.4 A: 16 mm² (76). 115 V to earth: 0.8 s.
    """
    lathe = {"name": "lathe", "system": "200 3ph", "kva": "18 kVA", "frequency": "50/60 Hz"}
    result = answer(GRID, lathe)
    blocks = picked(result)
    assert (blocks.pick.kva, blocks.pick.secondary) == (20, "200Y/115")
    assert devices(blocks) == (40, (63,)) and cables(blocks) == ("10 mm²", "16 mm²")
    assert protective(blocks) == ("10 mm²", "16 mm²")
    assert said(result, "overload").limit == pytest.approx(57.7, abs=0.05)
    assert said(result, "disconnection-time").value == 0.8


def test_an_old_motor_of_230_v_on_a_tt_farm():
    """11 kW / 0.88 / 0.84 = 14.9 kVA and a quarter: 18.6 → 20 kVA: 28.9 A and 50.2 A; 40 A and 50 A (37.4 to 50.2 A).

    In ducts, PVC, 0.89: 40 A wants 44.94 A: 10 mm² (50); 50 A wants 56.2 A: 16 mm² (64). TT, above 32 A: 1 s, by a
    residual-current device that lets inrush pass.
    """
    motor = {
        "name": "barn mill",
        "system": "230 3ph",
        "kw": "11 kW",
        "shaft": True,
        "efficiency": 0.88,
        "power_factor": 0.84,
        "kind": "motor",
        "start": "star delta",
    }
    result = answer({**GRID, "earthing": "TT"}, motor, laid="D1", site={"conditions": ["dust", "damp"]})
    blocks = picked(result)
    assert blocks.demand.kva_required == pytest.approx(11 / 0.88 / 0.84 * 1.25)
    assert blocks.pick.kva == 20 and devices(blocks) == (40, (50,))
    assert cables(blocks) == ("10 mm²", "16 mm²")
    fed = said(result, "primary-disconnection")
    assert fed.value == 1 and fed.severity == "caution" and "residual-current" in fed.message
    assert {"farm", "dust", "wet-place", "derived-earthing"} <= codes(result)


def test_a_bench_isolated_from_two_lines():
    """5 → 6.3 kVA of 400 to 230 V: 15.8 A and 27.4 A; 19.7 → 20 A; 25 A carries 21.7 A.

    Two loaded, 0.87: 20 A wants 23 A: 2.5 mm² (27); 25 A wants 28.7 A: 4 mm² (36). One piece alone may hang on it as a
    separated circuit; several need a monitor.
    """
    bench = {"name": "repair bench", "system": "230 1ph", "kva": "5 kVA", "neutral": False}
    result = answer(GRID, bench, choices={"arrangement": "isolation"})
    blocks = picked(result)
    assert (blocks.pick.kva, blocks.pick.primary, blocks.pick.availability) == (6.3, "400 1ph", "usual stock")
    assert devices(blocks) == (20, (25,)) and cables(blocks) == ("2.5 mm²", "4 mm²")
    floating = said(result, "unearthed-output").message
    assert "separated circuit" in floating and "insulation monitor" in floating
    assert {"two-lines", "short-circuit-class", "rated-at-load"} <= codes(result)


def test_lamps_of_24_v_inside_a_boiler():
    """0.9 → 1 kVA safety isolating (61558-2-6): 4.3 A and 41.7 A; 5.4 → 6 A; 40 A carries 37.5 A.

    0.87: 6 A: 1.5 mm² (19.5); 40 A wants 46 A: 6 mm² (46). Nothing of SELV is tied to earth: no protective conductor
    after it, no autotransformer. The 24 V stand at rated load.
    """
    lamps = {"name": "boiler inspection lamps", "system": "24 1ph", "kva": "0.9 kVA", "kind": "lighting"}
    result = answer(SINGLE, lamps)
    blocks = picked(result)
    assert blocks.pick.kva == 1 and devices(blocks) == (6, (40,)) and cables(blocks) == ("1.5 mm²", "6 mm²")
    assert protective(blocks) == ("1.5 mm²", None) and blocks.grounding.electrode_conductor is None
    assert "61558-2-6" in said(result, "product-standard").message
    assert said(result, "unearthed-output").severity == "note" and "narrow-place" in codes(result)
    shared = next(option for option in result.options if option.arrangement == "autotransformer")
    assert shared.status == "not possible"
    assert said(result, "rated-at-load").value < 50


def test_tools_of_42_v_on_three_phases():
    """9 → 10 kVA, within 16 kVA of 61558-2-6: 14.4 A and 137.5 A; 18.0 → 20 A; 125 A carries 123.7 A.

    Three loaded, 0.87: 20 A wants 23 A: 2.5 mm² (24); 125 A wants 143.7 A: 50 mm² (144).
    """
    tools = {"name": "hand tools", "system": "42 3ph", "kva": "9 kVA"}
    result = answer(GRID, tools)
    blocks = picked(result)
    assert blocks.pick.kva == 10 and devices(blocks) == (20, (125,))
    assert cables(blocks) == ("2.5 mm²", "50 mm²") and protective(blocks) == ("2.5 mm²", None)
    assert "61558-2-6" in said(result, "product-standard").message


def test_a_building_site_of_110_v_with_its_middle_earthed():
    """3 → 4 kVA: 17.4 A and 36.4 A; 21.7 → 25 A; 32 A carries 27.3 A; B2, 0.87: 4 mm² (30), 6 mm² (38).

    55 V to earth: 0.8 s. A fault at half the winding is the largest. Earthing conductor 6 mm² at least.
    """
    tools = {"name": "site tools", "system": "55/110 1ph", "kva": "3 kVA"}
    place = {"place": "outdoor", "temporary": True}
    result = answer({**SINGLE, "earthing": "TT"}, tools, laid="B2", site=place)
    blocks = picked(result)
    assert (blocks.pick.kva, blocks.pick.secondary) == (4, "55/110 1ph")
    assert devices(blocks) == (25, (32,)) and cables(blocks) == ("4 mm²", "6 mm²")
    assert blocks.grounding.electrode_conductor == "6 mm²"
    assert blocks.fault.maximum_a == blocks.fault.line_ground_a > blocks.fault.secondary_a
    assert "61558-2-23" in said(result, "site-supply").message
    assert said(result, "disconnection-time").value == 0.8


def test_a_ship_of_690_v_it_at_60_hz():
    """85 kVA at 45 °C: more than 85, less than 100 kVA: 83.7 A and 251.0 A; 104.6 → 125 A; 250 A carries 213.4 A.

    Tray, XLPE, 45 °C 0.87: 125 A wants 143.7 A: 35 mm² (158); 250 A wants 287.4 A: 95 mm² (298). 60 Hz stays 60 Hz.
    """
    ship = {"system": "690 3ph", "frequency": "60 Hz", "earthing": "IT", "fault_current": "30 kA"}
    hotel = {"name": "ship galley", "system": "230 3ph", "kva": "85 kVA"}
    place = {"ambient_average": "45 degC", "ambient_peak": "45 degC", "conditions": ["salt"]}
    result = answer(ship, hotel, laid="E", site=place, circuit={"insulation": "XLPE", "terminals": "90 degC"})
    blocks = picked(result)
    assert (blocks.pick.kva, blocks.pick.frequency_hz) == (100, 60)
    assert devices(blocks) == (125, (250,)) and cables(blocks) == ("35 mm²", "95 mm²")
    assert {"ship", "wet-place", "warm-place", "cable-withstand"} <= codes(result)
    assert "fifty-hertz" not in codes(result)
    assert said(result, "derived-earthing").severity == "caution"


def test_shore_supply_of_a_moored_vessel():
    """55 → 63 kVA Dyn11 for isolation alone: 90.9 A; 113.7 → 125 A; 80 A carries 79.4 A.

    In ducts, PVC, 0.89: 125 A wants 140.4 A: 70 mm² (143); 80 A wants 89.9 A: 35 mm² (98); PE 35 and 16 mm².
    """
    vessel = {"name": "moored vessel", "system": "400Y/230", "kva": "55 kVA"}
    place = {"place": "outdoor", "conditions": ["salt"]}
    result = answer(GRID, vessel, laid="D1", choices={"arrangement": "isolation"}, site=place)
    blocks = picked(result)
    assert (blocks.pick.kva, blocks.pick.vector_group) == (63, "Dyn11")
    assert devices(blocks) == (125, (80,)) and cables(blocks) == ("70 mm²", "35 mm²")
    assert protective(blocks) == ("35 mm²", "16 mm²")
    assert {"marina", "no-transformer-needed", "same-volts"} <= codes(result) and "ship" not in codes(result)


def test_a_vessel_of_60_hz_on_a_shore_of_50_hz():
    """Refused: the frequency stays. A converter, and 63 kVA of 400 to 440 V for what bears 50 Hz."""
    vessel = {"name": "vessel", "system": "440 3ph", "kva": "55 kVA", "frequency": "60 Hz"}
    result = answer(GRID, vessel)
    assert result.verdict == "refused" and "frequency-stays" in codes(result)
    assert "converter" in result.instead[0].what and result.instead[1].blocks is not None
    assert result.instead[1].blocks.pick.kva == 63


def test_an_inverter_of_800_v_feeding_400_v():
    """100 kVA: 144.3 A and 72.2 A; 180.4 → 200 A; 72.2 A: 80 A, above rated. E, PVC, 0.87: 95 mm² (238), 25 mm² (101).

    The volts rise, they do not drop; 462 V to earth: 0.1 s.
    """
    inverter = {
        "name": "inverter",
        "system": "800 3ph",
        "kva": "100 kVA",
        "kind": "inverter",
        "feeds_back": True,
    }
    result = answer({**GRID, "fault_current": "15 kA"}, inverter, laid="E")
    blocks = picked(result)
    assert (
        blocks.pick.kva == 100 and devices(blocks) == (200, (80,)) and cables(blocks) == ("95 mm²", "25 mm²")
    )
    assert {"volts-rise", "interconnection", "source-on-the-load-side", "unearthed-output"} <= codes(result)
    assert "voltage-drop" not in codes(result)
    assert "within 0.1 s" in said(result, "unearthed-output").message


def test_a_borehole_pump_of_690_v_far_away():
    """90 kW / 0.93 / 0.86 = 112.5 kVA and a quarter: 140.7 → 160 kVA YNd11: 230.9 A and 133.9 A; 288.7 → 320 A; 125 A.

    In ducts, XLPE, 0.93: 320 A wants 344.1 A: 300 mm² (365); 125 A wants 134.4 A: 50 mm² (135). 400 m of it drop
    √3 · 94.2 · (0.45 · 0.86 + 0.08 · 0.51) · 0.4 / 690 = 4.0 %, and the unit as much again: said.
    """
    pump = {
        "name": "borehole pump",
        "system": "690 3ph",
        "kw": "90 kW",
        "shaft": True,
        "efficiency": 0.93,
        "power_factor": 0.86,
        "kind": "motor",
        "start": "soft starter",
    }
    lengths = {"primary_length": "20 m", "secondary_length": "400 m"}
    result = answer(
        {**GRID, "earthing": "TN-C-S"},
        pump,
        laid="D1",
        circuit={"insulation": "XLPE", "terminals": "90 degC", **lengths},
    )
    blocks = picked(result)
    assert (blocks.pick.kva, blocks.pick.secondary, blocks.pick.vector_group) == (160, "690Y/400", "YNd11")
    assert devices(blocks) == (320, (125,)) and cables(blocks) == ("300 mm²", "50 mm²")
    assert protective(blocks) == ("150 mm²", "25 mm²")
    assert blocks.conductors.secondary is not None
    assert blocks.conductors.secondary.drop_pct == pytest.approx(4.04, abs=0.01)
    assert "voltage-drop" in codes(result)


def test_a_shop_of_220_127_v_at_60_hz():
    """9 → 10 kVA on 380Y/220: 15.2 A and 26.2 A; 19.0 → 20 A; 25 A carries 23.6 A; 0.87: 2.5 mm² (24), 4 mm² (32)."""
    shop = {"name": "shop", "system": "220Y/127", "kva": "9 kVA"}
    result = answer({"system": "380Y/220", "frequency": "60 Hz", "earthing": "TN-S"}, shop)
    blocks = picked(result)
    assert (blocks.pick.kva, blocks.pick.frequency_hz) == (10, 60)
    assert devices(blocks) == (20, (25,)) and cables(blocks) == ("2.5 mm²", "4 mm²")
    assert said(result, "disconnection-time").value == 0.4
