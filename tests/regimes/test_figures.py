"""What findings state: their value, limit and the figures in their words, worked by hand beside each row.

A limit is rounded down and a demand up, to three figures (two of a band), never before the decimal point.
"""

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

import pytest

from turnwright.model.result import Finding
from turnwright.regimes import Facts

Patch = dict[str, Any]


class Stated(NamedTuple):
    """A change to the standard example, facts set beside it, and what one rule then states."""

    regime: str
    rule: str
    example: Patch
    beside: Mapping[str, Any]
    words: tuple[str, ...]
    value: float | None = None
    limit: float | None = None


OPEN_DELTA = {"load": [{"system": "240 3ph", "kva": "20 kVA"}], "choices": {"arrangement": "open delta"}}
GENERATOR = {"supply": {"source": "generator", "source_kva": "100 kVA"}}
HIGH_LEG = {"load": [{"name": "shop", "system": "240/120 delta", "kva": "20 kVA"}]}
SHOP: Patch = {
    "load": [{"system": "240 3ph", "kva": "30 kVA"}, {"system": "120 1ph", "kva": "14 kVA"}],
    "choices": {"secondary": "240/120 delta"},
}
SOLAR: Patch = {
    "supply": {"system": "208Y/120"},
    "load": [
        {"name": "solar", "system": "480Y/277", "kva": "20 kVA", "kind": "inverter", "feeds_back": True}
    ],
}
ROOM = {"site": {"room": {"length": "9 m", "width": "9 m", "height": "3 m", "ventilated": True}}}
DRIVE: Patch = {
    "load": [{"name": "hoist", "system": "208Y/120", "kva": "20 kVA", "kind": "drive", "feeds_back": True}]
}
QUIET = {"site": {"conditions": ["quiet"], "room": {"length": "4 m", "width": "3 m", "height": "3 m"}}}
TWO_OF_50_DB = {
    "unit.sound_db": 50.0,
    "unit.kva": 30.0,
    "unit.enclosure": None,
    "unit.k_rating": 1.0,
    "unit.rise_k": None,
    "proposal.units": 2,
}
BELLS: Patch = {"load": [{"name": "bells", "system": "24 1ph", "kva": "0.04 kVA"}]}
SPOT_WELDER: Patch = {
    "load": [
        {"name": "spot", "system": "400 1ph", "current": "100 A", "kind": "welder", "duty": {"on": "25 %"}}
    ]
}
PRIMARY, AFTER = "blocks.protection.primary_a", "blocks.protection.secondary_devices_a"

STATED = [
    # two units of 45 kVA; 1.3 times 90 kVA
    Stated("us", "generator-source", GENERATOR, {"proposal.units": 2, "unit.kva": 45.0},
           ("times 90 kVA", "(117 kVA and more); it has 100 kVA, which is short"), 100.0, 117.0),
    # 2 times 100 kVA against 8 times 90 kVA
    Stated("us", "electronic-source", {"supply": {"source": "ups", "source_kva": "100 kVA"}},
           {"proposal.units": 2, "unit.kva": 45.0},
           ("(200 kVA; switching on 90 kVA may ask for 720 kVA",), 720.0, 200.0),
    # 16-202(2): 20 A
    Stated("ca", "class-2", BELLS, {PRIMARY: 15.0}, ("20 A at most",), 15.0, 20.0),
    # √0.25 of 100 A; the run carries 60 A
    Stated(
        "iec",
        "welder-conductors",
        SPOT_WELDER,
        {"blocks.conductors.secondary.ampacity_a": 60.0},
        ("100 A at 25 % duty", "like 50 A"),
        50.0,
        60.0,
    ),
    # 3 % of 4 % is 0.75; of 4.9 % 0.6122, rounded down
    Stated("us", "voltage-drop", {}, {"blocks.conductors.primary.drop_pct": 4.0}, ("at most 0.75 times",), 4.0, 3.0),
    Stated("us", "voltage-drop", {}, {"blocks.conductors.primary.drop_pct": 4.9}, ("at most 0.612 times",)),
    # √3 / 2 and √3 / 3
    Stated("us", "open-delta", OPEN_DELTA, {}, ("86.6 % of their sum", "57.7 % of three")),
    Stated("us", "phase-shift", GENERATOR, {}, ("by 30 degrees",), 30.0),
    # √(240² − 120²)
    Stated("us", "high-leg-supply", {"supply": {"system": "240/120 delta"}}, {},
           ("208 V to neutral", "the other two 120 V"), 207.846),
    Stated("us", "high-leg-mark", HIGH_LEG, {}, ("208 V to ground",), 207.846),
    # 14 of 44 kVA; 3 of 45 kVA
    Stated("us", "mid-tap-share", SHOP, {}, ("31.8 % of the load", "over 25 %"), 31.818, 25.0),
    Stated("us", "mid-tap-share", SHOP,
           {"proposal.units": 1, "unit.kva": 45.0, "picture.loads.1.running_kva": 3.0},
           ("3 kVA on the mid tap are 6.67 %", "about 5 %"), 6.667, 5.0),
    # amperes as kiloamperes, up; a rating down
    Stated("us", "panel-fault-mark", {}, {"blocks.fault.maximum_a": 2134.0}, ("up to 2.14 kA",), 2134.0),
    Stated("us", "interrupting-rating", {},
           {"blocks.fault.primary_a": 14010.0, "blocks.protection.interrupting_min_a": None},
           ("supply side must interrupt 14.1 kA: more than the 14 kA",), 14010.0, 14000.0),
    Stated("us", "panel-fault-rating", {},
           {"case.supply.fault_current_a": 30010.0, "case.supply.panel_fault_rating_a": 22090.0},
           ("deliver 30.1 kA", "rated 22 kA"), 30010.0, 22090.0),
    Stated("iec", "panel-fault-rating", {},
           {"case.supply.fault_current_a": 30010.0, "case.supply.panel_fault_rating_a": 22090.0},
           ("deliver 30.1 kA", "rated 22 kA"), 30010.0, 22090.0),
    # 225 A less 100 A
    Stated("us", "panel-room", {}, {"blocks.currents.primary_load_a": 24.06}, ("125 A to spare", "24.1 A"),
           24.06, 125.0),
    Stated("ca", "panel-room", {}, {"blocks.currents.primary_load_a": 130.01},
           ("225 A carries 100 A", "131 A more"),
           130.01, 125.0),
    # 0.7 m, 0.8 m and 1.9 m in feet, down
    Stated("us", "working-space", ROOM, {"case.site.room.width_m": 0.7}, ("2.29 ft wide", "2.5 ft"), 2.2966,
           2.5),
    Stated("us", "working-space", ROOM, {"case.site.room.width_m": 0.8, "case.site.room.length_m": 0.8},
           ("2.62 ft long", "3 ft"), 2.6247, 3.0),
    Stated("us", "working-space", ROOM, {"case.site.room.height_m": 1.9}, ("6.23 ft high", "6.5 ft"), 6.2336,
           6.5),
    Stated("us", "working-space", ROOM, {}, ("3 ft deep, 3.5 ft before a grounded wall, 4 ft", "30 in wide",
           "6.5 ft high"),
           3.5),
    # 515 V and 450 V of 480 V; C84.1 range A 456 to 504 V
    Stated("us", "supply-voltage", {}, {"case.supply.measured_v": (515.0, 480.0, 480.0)},
           ("515 V against 504 V", "107 % of nominal"), 515.0, 504.0),
    Stated("us", "supply-voltage", {}, {"case.supply.measured_v": (450.0, 480.0, 480.0)},
           ("450 V against 456 V", "93.8 % of nominal"), 450.0, 456.0),
    # average 460 V, farthest 440 V: 4.35 %
    Stated("us", "supply-unbalance", {}, {"case.supply.measured_v": (440.0, 465.0, 475.0)},
           ("by 4.35 % over 3 %",),
           4.3478, 3.0),
    # an 80 K unit carries 30 % more, one of 115 K 15 % more: 23 kVA / 1.3 and / 1.15
    Stated("us", "warm-place", {"site": {"ambient_peak": "50 degC"}}, {"blocks.demand.kva_required": 23.0},
           ("50 °C around", "usual 40 °C", "Instead of 23 kVA at 150 K: 20 kVA at 115 K or 17.7 kVA at 80 K"),
           50.0, 40.0),
    # 225 A · 20 % = 45 A; 20 kVA / (√3 · 208 V) · 125 % = 69.39 A
    Stated("us", "interactive-bus", SOLAR, {}, ("69.4 A come back", "only 45 A may", "120 %"), 69.394, 45.0),
    # 20 kVA over 30 kVA of 2 %, of 480 V
    Stated("us", "volts-rise", SOLAR,
           {"unit.for_drop.resistance_pct": 2.0, "unit.kva": 30.0},
           ("rise by up to 1.34 %", "to 486 V"), 1.3333),
    # 45 A · 480 / 208
    Stated("us", "primary-covers-secondary", {},
           {"proposal.covered": True, PRIMARY: 45.0, "blocks.conductors.secondary.ampacity_a": 115.0},
           ("counts as 104 A", "they carry 115 A"), 103.846, 115.0),
    Stated("us", "secondary-length", {}, {"blocks.conductors.secondary.ampacity_a": 10.0, PRIMARY: 45.0},
           ("carry 10 A", "within 10 ft", "must carry 10.4 A, 1/10"), 10.0, 10.3846),
    # 12 times the rated current of 30 kVA at 480 V, 36.08 A
    Stated("us", "inrush", {}, {}, ("8 to 12 times", "for 0.1 s", "up to 434 A"), 433.01),
    # 20 kVA run on
    Stated("us", "continuous-load", {}, {}, ("20 kVA run 3 h or more", "125 %"), 20.0),
    # 50 / 60
    Stated("us", "fifty-hertz-supply", {"supply": {"frequency": "50 Hz"}}, {}, ("83.3 % of its volts",), 50.0,
           60.0),
    Stated("us", "no-line-to-neutral", {}, {"proposal.output": "480 3ph"}, ("no 277 V",), 277.128),
    # a set of 100 kVA before 30 kVA
    Stated("us", "generator-source", GENERATOR, {"unit.kva": 30.0},
           ("0.75 to 1.25 times 30 kVA", "1.3 to 2 times", "39 kVA and more", "3.33 times the unit"), 100.0,
           39.0),
    # 2 · 80 kVA against 8 · 30 kVA
    Stated("us", "electronic-source", {"supply": {"source": "ups", "source_kva": "80 kVA"}},
           {"unit.kva": 30.0},
           ("1.5 to 2 times", "160 kVA", "240 kVA and more"), 240.0, 160.0),
    # a set takes a tenth of 100 kVA back
    Stated("us", "regenerates", {**DRIVE, **GENERATOR}, {}, ("up to 20 kVA", "about 10 % of its rating"),
           20.0, 10.0),
    # ASCE 7-16 13.3-1 at the roof: 0.4 · 1.0 · 1.5 / 2.5 · 3 = 0.72 of 400 kg · 9.80665 m/s²
    Stated("us", "seismic", {"site": {"seismic": "D", "seismic_g": 1.0, "essential": True}},
           {"unit.mass_kg": 400.0},
           ("0.72 of its weight", "up to 2.83 kN", "importance factor 1.5"), 2.8243),
    # 400 kg on the least depth of 30 kVA, 390 mm square: 25.8 kPa; 3922.7 N over 2.5 kPa: 1.57 m²
    Stated("us", "floor-load", {"site": {"floor_load": "2.5 kPa"}},
           {"unit.mass_kg": 400.0, "unit.k_rating": 1.0},
           ("up to 25.8 kPa (400 kg)", "2.5 kPa", "over 1.57 m²"), 25.790, 2.5),
    # usual sizes of 30 kVA: 110 to 230 kg, to 720 × 580 × 920 mm; 50 mm of room at the door
    Stated("us", "mass", {}, {"unit.k_rating": 1.0, "unit.enclosure": None, "unit.winding": None},
           ("110 to 230 kg", "0.72 × 0.58 × 0.92 m"), 230.0),
    Stated("us", "way-in", {"site": {"way_in_height": "0.9 m"}},
           {"unit.k_rating": 1.0, "unit.enclosure": None},
           ("0.9 m high", "takes 0.97 m"), 0.9, 0.97),
    Stated("us", "way-in", {"site": {"way_in_width": "0.4 m"}},
           {"unit.k_rating": 1.0, "unit.enclosure": None},
           ("0.4 m wide", "0.44 m"), 0.4, 0.44),
    # a cast unit is a quarter larger and up to half heavier
    Stated("us", "mass", {}, {"unit.k_rating": 1.0, "unit.enclosure": "cast", "unit.winding": None},
           ("121 to 345 kg", "0.9 × 0.73 × 1.2 m"), 345.0),
    # 33.3 A · 125 %; 600 V over 208 V
    Stated("ca", "conductors-125", {},
           {"blocks.currents.primary_rated_a": 28.87, "blocks.currents.secondary_rated_a": 83.27},
           ("125 %", "36.1 A before", "105 A after"), 104.0875),
    Stated("ca", "panel-through-transformer", {}, {PRIMARY: 30.0}, ("86.6 A", "30 A times 2.88"), 86.538),
    # 60364-5-52 Annex E: √(30² + 40²)
    Stated("iec", "neutral-reduced", {}, {"picture.spectrum": ((3, 30.0), (5, 70.0), (9, 40.0))},
           ("of 50 %",), 50.0, 15.0),
    # 2000 A · 0.9 / 1.1 = 1636 A, 10 · 200 A
    Stated("iec", "earth-fault", {}, {"blocks.fault.line_ground_a": 2000.0, AFTER: (200.0,)},
           ("1636 A at least", "from 2000 A only"), 1636.36, 2000.0),
    # 12 · 20 A against 10 · 32 A
    Stated("iec", "switch-on", {}, {PRIMARY: 32.0, "blocks.currents.primary_rated_a": 20.0},
           ("up to 240 A", "type D", "holds to 320 A"), 240.0, 320.0),
    # 25 kA · √0.1 s / 115 = 68.7 mm² of PVC; (115 · 16)² = 3.385·10⁶, down
    Stated("iec", "cable-withstand", {},
           {"case.supply.fault_current_a": 25010.0, "blocks.conductors.primary.size": "16 mm²",
            "blocks.conductors.secondary": None},
           ("25.1 kA for 0.1 s", "68.8 mm² (k 115)", "3.38·10⁶"), 16.0, 68.77),
    # 690 V at 50 Hz is 13.8 V/Hz, the flux of 828 V at 60 Hz
    Stated("iec", "fifty-hertz", {"load": [{"system": "208Y/120", "kva": "20 kVA"}]}, {},
           ("13.8 V/Hz", "at 828 V", "83 %"), 13.8),
    # 400 V and 3 % of resistance
    Stated("iec", "rated-at-load", {}, {"unit.for_drop.resistance_pct": 3.0}, ("up to 412 V",), 412.0),
    # a common neutral watched from 100 % of its phase: 66 A over 55 A
    *(Stated(regime, "neutral-over-phase", {},
             {"picture.neutral_a": 66.0, "picture.neutral_harmonic_a": 66.0,
             "picture.line_a": (55.0, 54.0, 50.0)},
             ("120 % of the phase current", "66 A against 55 A", "200 %"), 120.0, 100.0) for regime in ("us",
             "ca", "iec")),
    # 80 % of 30 kVA; 20 % of headroom over 28 kVA
    Stated("us", "loading-band", {}, {"blocks.demand.loading_pct": 93.3,
           "blocks.demand.kva_with_growth": 28.0},
           ("93 %", "50-80 %", "120 % of the load would be 33.6 kVA"), 93.3, 80.0),
    # 12 kVA against a mean of 9.333 kVA
    Stated("us", "uneven-phases", {}, {"picture.phase_kva": (8.0, 12.0, 8.0)},
           ("Phase B carries 28.6 % more",), 28.571, 20.0),
    # a room 4 m high with 3 kW: 3.4121 BTU/h a watt; 3000 W / (1.2 kg/m³ · 1005 J/(kg·K) · 15 K) = 0.1658
    # m³/s, 351.4 cfm; openings by 0.22 · kW / √(half the height), 0.467 m², the upper one a tenth larger
    Stated("us", "room-heat", ROOM, {"case.site.room.height_m": 4.0, "blocks.pick.heat_w": 3000.0},
           ("3000 W (10237 BTU/h)", "about 352 cfm", "0.47 m² free opening low, 0.52 m² high"), 3000.0),
    Stated("ca", "room-heat", ROOM, {"case.site.room.height_m": 4.0, "blocks.pick.heat_w": 3000.0},
           ("3000 W at", "about 598 m³/h", "0.47 m² free opening low, 0.52 m² high"), 3000.0),
    # two of 50 dB: 53.01 dB; walls of 30 kVA 2 · (0.72 + 0.58) · 0.92 = 2.392 m²: 56.80 dB of power; 66 m² · 5 % absorb
    # it: + 10 · log (4 / 3.3); outdoors at 10 m: - 10 · log (2 π · 100)
    Stated("us", "sound-together", QUIET, TWO_OF_50_DB,
           ("2 units of 50 dB are 53 dB", "about 57.6 dB", "sound power 56.8 dB", "5 % of 66 m²"), 57.633),
    Stated("us", "sound-together", QUIET, {**TWO_OF_50_DB, "case.site.room": None,
           "case.site.place": "outdoor"},
           ("2 units of 50 dB are 53 dB", "about 28.8 dB at 10 m", "sound power 56.8 dB"), 28.815),
    Stated("us", "sound-together", QUIET, {**TWO_OF_50_DB, "unit.sound_db": None},
           ("2 units together give 3.01 dB more", "about 3.85 dB over"), 3.8457),
]  # fmt: skip


@pytest.mark.parametrize("stated", STATED, ids=lambda one: f"{one.regime} {one.rule} {one.words[0]}")
def test_a_finding_states_what_comes_out_by_hand(
    seen_in: Callable[[str, Patch, Mapping[str, Any]], Facts],
    judged: Callable[[str, Facts], list[Finding]],
    stated: Stated,
) -> None:
    (finding,) = judged(stated.rule, seen_in(stated.regime, stated.example, stated.beside))
    assert [words for words in stated.words if words not in finding.message] == [], finding.message
    for has, wanted in ((finding.value, stated.value), (finding.limit, stated.limit)):
        assert wanted is None or has == pytest.approx(wanted, rel=2e-4)
