"""Load lists as people keep them: what each row became, that nothing is left out in silence."""

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.ask import LoadList, job_of_sheet
from turnwright.ask.load_list.cells import size_in, system_in
from turnwright.ask.load_list.headings import column_of, folded
from turnwright.errors import InputError
from turnwright.intake import read_job
from turnwright.intake.sheet_file import Sheet, Span, sheet_of_csv
from turnwright.narrow import select

KITCHEN = """Fellmoor Community Hall - kitchen equipment,,,,,,,
Rev 3 - by kitchen planner,,,,,,,
,,,,,,,
Item,Equipment Description,Qty.,Volts,Ph,"Connected Load (kW)",Breaker (A),Remarks
1,Combi oven,2,208,3,"18,5",60,gas boosted
2,Dishwasher,1,208V,3,14 kW,50,
3,Coffee machine,1,120,1,1.8,20,
4,Fryer,1,208,1,TBD,,by others
5,Freezer compressor,1,208,3,3 HP,20,
6,Spare,,,,,,
,Total,,,,52.8,,
,,,,,,,
"Note: future dishwasher 2nd phase",,,,,,,
"""
PANEL = """PANEL LP-2,,,,,,,,,,,,
208Y/120V 3PH 4W,,,MAIN: 225A MCB,,,AIC: 22K,,,,,,
FED FROM: T-2 480Y/277V,,,,,,,,,,,,
CKT,DESCRIPTION,POLES,TRIP,A,B,C,CKT,DESCRIPTION,POLES,TRIP,A,B,C
1,Lighting east,1,20,1200,,,2,Receptacles,1,20,900,,
3,Lighting west,1,20,,1100,,4,Receptacles,1,20,,720,
5,Water heater,2,30,,,2250,6,AHU-1,3,40,,,3100
7,,,,2250,,,8,,,,3100,,
9,Spare,1,20,,,,10,,,,,3100,
11,Space,,,,,,12,Space,,,,,
,TOTAL,,,3450,1100,2250,,,,,4000,3820,3100
"""
PUMPS = """Tag;Machine;No. of Units;Motor kW;Voltage;cos phi;DOL/SD/VFD
P-1;Raw water pump;2;7,5;400 V 3~;0,86;DOL
P-2;Filter blower;1;11;400/3/50;0,88;VFD
;Sum;;26;;;
"""
Read = Callable[..., LoadList]


def read(text: str, **options: Any) -> LoadList:
    return job_of_sheet(sheet_of_csv(text, "list.csv"), **options)


def test_a_kitchen_list_with_a_title_units_in_cells_a_sum_and_remarks() -> None:
    found = read(KITCHEN)
    fates = {row.number: row.fate for row in found.rows}
    assert fates == {
        5: "load",
        6: "load",
        7: "load",
        8: "load",
        9: "load",
        10: "spare",
        11: "sum",
        13: "heading",
    }
    oven, washer, coffee, fryer, freezer = found.job.load
    assert (oven.kw.text, oven.quantity.value, oven.system.text, oven.kind) == (
        "18.5 kW",
        2.0,
        "208 3ph",
        "heating",
    )
    assert (washer.kw.text, coffee.system.text, freezer.hp.text) == ("14 kW", "120 1ph", "3 hp")
    assert fryer.kva.form == "unknown"
    assert [one.key.partition(".")[0] for one in found.questions] == ["supply", "load[3]"]
    assert found.job.title == "Fellmoor Community Hall - kitchen equipment"
    assert any("Breaker (A)" in row for row in found.text.splitlines() if "not read" in row)
    assert any("sum" in one and "not checked" in one for one in found.assumed)


def test_the_lines_of_the_job_name_their_cells() -> None:
    found = read(KITCHEN)
    assert 'kw = "18.5 kW"                 # row 5: 18,5' in found.text
    assert "# row 11, sum: Total · 52.8" in found.text and "Rev 3" in found.text


def test_a_panel_schedule_with_two_halves_poles_and_lines() -> None:
    found = read(PANEL)
    east, west, heater, sockets, more, fan = found.job.load
    assert (east.kva.value, east.system.text, east.lines) == (1.2, "120 1ph", "A")
    assert (west.lines, sockets.lines, more.lines) == ("B", "A", "B")
    assert (heater.kva.value, heater.system.text, heater.lines) == (4.5, "208 1ph", "CA")
    assert (round(fan.kva.value, 9), fan.system.text, fan.lines) == (9.3, "208 3ph", None)
    assert found.job.supply.system.text == "480Y/277"
    assert [row.number for row in found.rows if row.fate == "part"] == [8, 8, 9]
    assert not any("come to" in one for one in found.assumed)
    assert any("read as VA" in one for one in found.assumed)
    assert round(select(found.job).demand.kva, 2) == pytest.approx(
        17.72, abs=0.1
    )  # 1.2 + 1.1 + 4.5 + 0.9 + 0.72 + 9.3


def test_a_list_of_motors_with_decimal_commas() -> None:
    found = read(PUMPS, supply="480 3ph")
    raw, blower = found.job.load
    assert (raw.name, raw.kw.value, raw.quantity.value, raw.power_factor.value) == (
        "P-1 Raw water pump",
        7.5,
        2.0,
        0.86,
    )
    assert raw.shaft is True and raw.start == "across the line" and blower.start == "drive"
    assert blower.system.text == "400 3ph" and blower.frequency[0].value == 50.0
    assert found.job.supply.system.text == "480 3ph"
    assert any("shaft" in one for one in found.assumed)


def test_a_sum_that_is_wrong_is_told() -> None:
    found = read("Load,kVA\nOven,12\nSaw,8\nTotal,25\n")
    assert any('row 4 says 25 under "kVA"; the rows above it come to 20' in one for one in found.assumed)
    assert len(found.job.load) == 2


def test_a_sum_without_its_name_is_no_load() -> None:
    found = read("Load,kVA\nOven,12\nSaw,8\n,20\n")
    assert [row.fate for row in found.rows] == ["load", "load", "sum"]


def test_headings_over_several_columns_and_units_below() -> None:
    rows = (
        ("Equipment", "Load", "", "Supply", ""),
        ("", "kVA", "PF", "Volts", "Ph"),
        ("", "", "(pu)", "(V)", ""),
        ("Kiln", "12", "0.98", "240", "1"),
        ("Mill", "20", "", "240", "3"),
    )
    merged = (Span(0, 1, 0, 2), Span(0, 3, 0, 4))
    kiln, mill = job_of_sheet(Sheet("list.xlsx", rows, merged)).job.load
    assert (kiln.kva.value, kiln.power_factor.value, kiln.system.text) == (12.0, 0.98, "240 1ph")
    assert mill.system.text == "240 3ph"


def test_cells_merged_downwards_hold_for_their_rows_but_a_size_does_not() -> None:
    rows = (
        ("Load", "Volts", "Ph", "kVA"),
        ("Oven", "208", "3", "9"),
        ("Lamp", "", "", "2"),
        ("Saw", "", "", "4"),
    )
    merged = (Span(1, 1, 3, 1), Span(1, 2, 3, 2))
    found = job_of_sheet(Sheet("list.xlsx", rows, merged))
    assert [load.system.text for load in found.job.load] == ["208 3ph"] * 3


def test_a_voltage_that_stands_for_the_whole_list() -> None:
    text = "Load,kVA\nOven,12\nSaw,8\n"
    assert {one.key for one in read(text).questions} >= {"load[0].system", "load[1].system"}
    found = read(text, system="208Y/120", supply="480Y/277")
    assert not found.questions and found.job.load[1].system.text == "208Y/120"


def test_somebody_says_what_a_column_holds() -> None:
    text = "What,Zeta,Omega\nOven,12000,3\nSaw,8000,5\n"
    with pytest.raises(InputError, match="no row of this list says"):
        read(text)
    text = "Load,kVA,Zeta\nOven,12,9\n"
    assert read(text, columns={"kVA": "-", "C": "kw"}).job.load[0].kw.value == 9.0
    assert read(text, columns={"Zeta": "kva in VA", "B": "-"}).job.load[0].kva.value == 0.009
    with pytest.raises(InputError, match="there is no column"):
        read(text, columns={"Eta": "kw"})
    with pytest.raises(InputError, match="is nothing that a column"):
        read(text, columns={"Zeta": "kilowat"})


@pytest.mark.parametrize(
    ("heading", "role", "unit"),
    [
        ("F.L.A.", "current", ""),
        ("Full Load Amps", "current", "A"),
        ("Connected Load (VA)", "kva", "VA"),
        ("Total Connected kVA", "total?", "kVA"),
        ("Motor HP", "hp", "hp"),
        ("Watts ea.", "kw", "W"),
        ("No. of Units", "quantity", ""),
        ("Cos φ", "power_factor", ""),
        ("Demand Factor", "demand_factor", ""),
        ("Demand kVA", "size?", "kVA"),
        ("Voltage/Phase", "system", ""),
        ("Equipment Served", "name", ""),
        ("MCA", "current?", ""),
        ("MOCP (A)", "", ""),
        ("Wire size", "", ""),
    ],
)
def test_headings(heading: str, role: str, unit: str) -> None:
    column = column_of(0, heading)
    assert column.role == role and (not unit or column.unit == unit), folded(heading)


@pytest.mark.parametrize(
    ("text", "unit", "key", "value"),
    [
        ("12,5", "kW", "kw", "12.5 kW"),
        ("1,250", "VA", "kva", "1250 VA"),
        ("900 W", "kVA", "kw", "900 W"),
        ("7-1/2 HP", "kW", "hp", "7.5 hp"),
        ("20-25", "A", "current", "20..25 A"),
        ("~20", "kVA", "kva", "about 20 kVA"),
    ],
)
def test_sizes_in_cells(text: str, unit: str, key: str, value: str) -> None:
    found = size_in(text, unit)
    assert found is not None and (found.key, found.value) == (key, value)


@pytest.mark.parametrize(
    ("volts", "phases", "wires", "text"),
    [
        ("208", "3", "", "208 3ph"),
        ("120/208V", "3φ", "4", "208Y/120"),
        ("277", "1", "2", "277 1ph"),
        ("460/3/60", "", "", "460 3ph"),
        ("208", "2", "", "208 1ph"),
        ("120/240", "1", "3", "120/240 1ph"),
        ("230/460", "3", "", None),
    ],
)
def test_voltages_in_cells(volts: str, phases: str, wires: str, text: str | None) -> None:
    assert system_in(volts, phases, wires, motor=False) == text


def test_two_sizes_in_one_row_are_told() -> None:
    found = read("Load,kVA,Amps,Volts,Ph\nOven,12,33.3,208,3\n")
    assert found.job.load[0].kva.value == 12.0 and found.job.load[0].current is None
    assert any("33.3" in one and "not used" in one for one in found.assumed)


def test_a_total_for_several_pieces_is_not_multiplied() -> None:
    found = read("Load,Qty,Total kVA,Volts,Ph\nOven,4,12,208,3\n")
    assert found.job.load[0].kva.value == 12.0 and found.job.load[0].quantity is None
    assert any("all 4 pieces" in one for one in found.assumed)


def test_a_minimum_circuit_ampacity_counts_only_where_nothing_else_does() -> None:
    assert read("Unit,MCA,FLA,V,Ph\nRTU-1,31,26,208,3\n").job.load[0].current.value == 26.0
    alone = read("Unit,MCA,MOCP,V,Ph\nRTU-1,31,50,208,3\n")
    assert alone.job.load[0].current.value == 31.0 and any("a quarter more" in one for one in alone.assumed)


SIZES = ["12", "7,5", "1,200", "208", "208Y/120", "3", "5 HP", "900 W"]
CELLS = st.sampled_from(["", "-", "TBD", "n/a", "Oven", "Total", "Spare", '"', "x", *SIZES])


@given(st.lists(st.lists(CELLS, min_size=6, max_size=6), max_size=8))
def test_every_row_that_is_not_empty_has_a_fate_and_the_file_reads_back(rows: list[list[str]]) -> None:
    head = ("Load", "Qty", "Volts", "Ph", "kVA", "Breaker")
    sheet = Sheet("list.csv", (head, *map(tuple, rows)))
    try:
        found = job_of_sheet(sheet)
    except InputError as error:
        assert error.code in ("LST-03",)
        return
    said = {row.number for row in found.rows}
    for number, row in enumerate(rows, 2):
        if any(cell not in ("", "-", "n/a") for cell in row):
            assert number in said
    assert len(read_job(found.text).load) == sum(row.fate == "load" for row in found.rows)
    assert found == job_of_sheet(sheet)
