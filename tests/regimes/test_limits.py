"""Every rule that compares with a number: what it says just below, at, and just above that number.

The numbers are those of the clauses and of the trade that stand beside each row, not those of the tables of the tool.
"""

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

import pytest

from turnwright.model.result import Finding
from turnwright.regimes import Facts

Patch = dict[str, Any]
NOT_CHECKED = "not checked"
NOTHING: Patch = {}


class Edge(NamedTuple):
    """One fact of the standard example made this and that, and what the rule says then.

    says     value of the fact -> severity of the finding; None: silent; "not checked"
    example  change to the standard example
    beside   other facts that are set for all of it
    """

    regime: str
    rule: str
    fact: str
    says: Mapping[Any, str | None]
    example: Patch = NOTHING
    beside: Mapping[str, Any] = NOTHING


def severity(findings: list[Finding]) -> str | None:
    if not findings:
        return None
    (finding,) = findings
    return NOT_CHECKED if finding.code.endswith("-not-checked") else finding.severity


OUTDOOR = {"site": {"place": "outdoor"}}
CEILING = {"site": {"place": "ceiling"}}
TWO_LOADS = {"load": [{"system": "208Y/120", "kva": "10 kVA"}, {"system": "208Y/120", "kva": "9 kVA"}]}
DELTA = {"load": [{"system": "240 3ph", "kva": "20 kVA"}]}
MOTOR = {"load": [{"name": "fan", "system": "200 3ph", "hp": "10 hp"}]}
ELECTRONICS: Patch = {
    "load": [
        {
            "system": "208Y/120",
            "kva": "20 kVA",
            "kind": "electronics",
            "harmonics": {"3": 45},
            "neutral": True,
        }
    ]
}
FIRE_PUMP = {
    "load": [{"name": "fire pump", "system": "208 3ph", "kva": "14.5 kVA"}],
    "choices": {"kva": "30 kVA"},
}
SENSITIVE = {"load": [{"name": "racks", "system": "60/120 1ph", "kva": "5 kVA"}]}
SOLAR: Patch = {
    "supply": {"system": "208Y/120"},
    "load": [
        {"name": "solar", "system": "480Y/277", "kva": "40 kVA", "kind": "inverter", "feeds_back": True}
    ],
}
SPOT_WELDER: Patch = {
    "supply": {"system": "208Y/120"},
    "load": [
        {"system": "480 1ph", "current": "100 A", "kind": "welder", "duty": {"on": "10 %"}, "name": "spot"}
    ],
}
LIFT = {"load": [{"name": "lift", "system": "208 3ph", "kva": "12 kVA", "kind": "lift"}]}
CHARGER: Patch = {
    "load": [{"name": "charger", "system": "208Y/120", "kva": "9 kVA", "kind": "charger", "continuous": True}]
}
HALF: Patch = {
    "load": [
        {"system": "208Y/120", "kva": "10 kVA", "kind": "electronics", "neutral": True},
        {"system": "208Y/120", "kva": "10 kVA", "kind": "heating"},
    ]
}
SHOP: Patch = {
    "load": [{"system": "240 3ph", "kva": "30 kVA"}, {"system": "120 1ph", "kva": "14 kVA"}],
    "choices": {"secondary": "240/120 delta"},
}
IEC_DELTA = {"load": [{"system": "275 3ph", "kva": "12 kVA"}]}
IEC_LAMPS = {"load": [{"system": "400Y/230", "kva": "12 kVA", "kind": "lighting"}]}
THEATRE = {"load": [{"name": "operating theatre", "system": "230 1ph", "kva": "5 kVA"}]}
SHORT_RUNS = {"circuit": {"primary_length": "10 ft", "secondary_length": "9 ft"}}
AT_25_FT = {"circuit": {"secondary_length": "25 ft"}}

AMPACITY = "blocks.conductors.secondary.ampacity_a"
PRIMARY, AFTER = "blocks.protection.primary_a", "blocks.protection.secondary_devices_a"

UNITED_STATES = [
    # one of the facts alone is a question of earthquakes; how strong they are is then another
    Edge("us", "seismic", "case.site.seismic_g", {None: None, 0.9: "caution"}),
    Edge("us", "seismic", "case.site.essential", {None: None, False: None, True: "not checked"}),
    Edge("us", "fifty-hertz-supply", "case.supply.frequency_hz", {50.0: "caution", 60.0: None}),
    Edge("us", "two-lines", "proposal.units", {1: "caution", 2: None},
         {"load": [{"system": "240 1ph", "kva": "5 kVA"}]}),
    # 230.95: 1000 A and more on a solidly grounded wye over 150 V to ground
    Edge("us", "ground-fault-protection", PRIMARY, {999.0: None, 1000.0: "caution"}),
    Edge(
        "us",
        "ground-fault-protection",
        "case.supply.system",
        {"208Y/120": None, "240Y/139": None, "480Y/277": "caution", "480 3ph": None},
        beside={PRIMARY: 1200.0},
    ),
    Edge("us", "ground-fault-protection", AFTER, {(1200.0,): None}),
    Edge(
        "us",
        "ground-fault-protection",
        "proposal.output",
        {"480Y/277": "caution", "480/240 delta": None, "240/480 1ph": None, "208Y/120": None},
        beside={AFTER: (1000.0,)},
    ),
    # 240.87: 1200 A and more, on either side
    Edge("us", "arc-energy", PRIMARY, {1199.0: None, 1200.0: "caution"}),
    Edge("us", "arc-energy", AFTER, {(1199.0,): None, (400.0, 1200.0): "caution"}),
    # Table 450.3(B): below 9 A
    Edge(
        "us", "small-current", "blocks.currents.primary_rated_a",
               {1.99: "note", 2.0: "note", 8.99: "note", 9.0: None}
    ),
    # Table 450.3(B): over the limit of a primary device alone, up to that with a secondary device
    Edge(
        "us",
        "primary-over-125",
        PRIMARY,
        {45.0: None, 50.0: "note", 90.0: "note", 100.0: None},
        beside={
            "blocks.protection.primary_only_max_a": 45.0,
            "blocks.protection.primary_with_secondary_max_a": 90.0,
        },
    ),
    # 110.9; 240.83(C): 5 kA without a mark; ordinary breakers have 14 kA at 480 V, 10 kA at 240 V
    Edge(
        "us",
        "interrupting-rating",
        "blocks.fault.primary_a",
        {5000.0: None, 5001.0: "note", 14000.0: "note", 14001.0: "caution"},
        beside={"blocks.protection.interrupting_min_a": None},
    ),
    Edge(
        "us",
        "interrupting-rating",
        "blocks.protection.interrupting_min_a",
        {5000.0: None, 10000.0: "note", 10001.0: "caution"},
        DELTA,
        {"blocks.fault.primary_a": None},
    ),
    # 215.2: 225 A less 100 A; what runs 3 h counts 125 %
    Edge("us", "panel-room", "blocks.currents.primary_load_a",
         {100.0: "note", 100.1: "caution", 125.0: "caution", 125.1: "stop"}),
    Edge("us", "panel-room", "blocks.currents.primary_load_a", {125.0: "note", 125.1: "stop"},
         beside={"picture.design_line_a": (55.0,), "blocks.currents.secondary_load_a": 55.0}),
    Edge("us", "panel-fault-rating", "case.supply.fault_current_a", {22000.0: None, 22001.0: "stop"}),
    # 450.13(B): 50 kVA; 450.21, 450.22: 112.5 kVA
    Edge("us", "ceiling", "unit.kva", {50.0: "caution", 50.1: "stop"}, CEILING),
    Edge("us", "clearance", "unit.kva", {112.5: "note", 112.6: None}),
    Edge("us", "large-indoors", "unit.kva", {112.5: None, 112.6: "caution"}),
    Edge("us", "outdoor-distance", "unit.kva", {112.5: None, 112.6: "caution"}, OUTDOOR),
    # 450.14: not for class 2, 100 VA; 450.11(A): impedance from 25 kVA; 250.30(A)(5): 1000 VA
    Edge("us", "disconnect", "unit.kva", {0.1: None, 0.101: "note"}),
    Edge("us", "nameplate", "unit.kva", {24.9: None, 25.0: "note"}),
    Edge("us", "small-unit-electrode", "unit.kva", {1.0: "note", 1.01: None}),
    # Table 110.26(A)(1) at 277 V: 3 ft deep, 30 in wide; 110.26(A)(3): 6.5 ft high
    Edge("us", "working-space", "case.site.room.length_m", {0.91: "stop", 0.9144: "note"},
         {"site": {"room": {"length": "9 m", "width": "0.8 m", "height": "3 m"}}}),
    Edge("us", "working-space", "case.site.room.width_m", {0.76: "stop", 0.762: "note"},
         {"site": {"room": {"length": "9 m", "width": "9 m", "height": "3 m"}}}),
    Edge("us", "working-space", "case.site.room.height_m", {1.98: "stop", 1.9812: "note"},
         {"site": {"room": {"length": "9 m", "width": "9 m", "height": "3 m"}}}),
    # 210.8(B): up to 150 V to ground
    Edge(
        "us",
        "gfci-behind",
        "proposal.output",
        {"208Y/120": "note", "120/240 1ph": "note", "240/120 delta": None, "480Y/277": None, "240 3ph": None},
        {"site": {"conditions": ["damp"]}},
    ),
    # 250.20(A): below 50 V; 250.20(B): 50 V and more, and within 150 V; 250.21(B): a detector from 120 V
    Edge("us", "low-voltage-output", "proposal.output.line_v", {49.9: "caution", 50.0: None}, DELTA),
    Edge("us", "output-grounding", "proposal.output.line_v", {49.9: None, 50.0: "caution"}, DELTA),
    # 220.61(B): 200 A; 310.15(E): the larger part, half, nonlinear
    Edge("us", "neutral-reduction", "picture.neutral_fundamental_a", {200.0: None, 200.1: "note"}),
    # 240.21(B)(3): both runs together 25 ft, 7.62 m
    Edge("us", "feeder-tap", "case.circuit.primary_length_m", {4.876: "note", 4.878: None},
         beside={"case.circuit.secondary_length_m": 2.7432}),
    # 240.21(C)(2), (6): 45 A · 480 / 208 = 103.85 A, a tenth is 10.38 A, a third 34.62 A
    Edge("us", "secondary-length", AMPACITY, {10.38: "stop", 10.39: "note"}, SHORT_RUNS),
    Edge("us", "secondary-length", AMPACITY, {34.61: "stop", 34.62: "note"}, AT_25_FT),
    # 630.31(A)(2): 0.32 · 100 A
    Edge("us", "welder-conductors", AMPACITY, {31.9: "stop", 32.0: "note"}, SPOT_WELDER),
    # 705.12: 40 kVA at 208 V · 125 % = 138.8 A is 20 % of 693.9 A
    Edge("us", "interactive-bus", "case.supply.panel_rating_a", {693.0: "caution", 694.0: None}, SOLAR),
    # 695.5(A): 14.5 kVA · 125 % = 18.125 kVA
    Edge("us", "fire-pump-size", "unit.kva", {18.12: "stop", 18.125: None}, FIRE_PUMP),
    # 647.4(D): 2.5 %
    Edge("us", "sensitive-power", "blocks.conductors.secondary.drop_pct", {2.5: "caution", 2.51: "stop"},
           SENSITIVE),
    # C84.1 range A at the service of 480 V: 456 to 504 V
    Edge("us", "supply-voltage", "case.supply.measured_v",
         {(456.0, 480.0, 504.0): None, (480.0, 480.0, 504.1): "caution", (480.0, 455.9, 480.0): "caution"}),
    # 620.14: one lift counts in full, two 95 % each; 620.62 begins at two
    Edge("us", "lift-demand", "case.loads.0.demand_factor", {1.0: None, 0.99: "stop"}, LIFT),
    Edge("us", "lift-demand", "case.loads.0.demand_factor", {0.96: "note", 0.95: None, 0.94: "stop"}, LIFT,
         {"case.loads.0.quantity": 2.0}),
    Edge("us", "lift-coordination", "case.loads.0.quantity", {1.0: None, 2.0: "caution"}, LIFT),
    # 625.41: charging is continuous; less than in full only with load management
    Edge("us", "charging-continuous", "case.loads.0.continuous", {True: "note", False: "stop"}, CHARGER),
    Edge("us", "charging-continuous", "case.loads.0.demand_factor", {1.0: "note", 0.99: "caution"}, CHARGER),
    # 220.57: 7200 VA
    Edge("us", "charger-least-load", "picture.loads.0.on_kva", {7.2: None, 7.19: "caution"}, CHARGER),
    # the larger part of the load nonlinear, 310.15(E): over half
    Edge("us", "neutral-counts", "picture.loads.0.running_kva", {10.0: None, 10.1: "note"}, HALF),
    # a quarter of the load at 120 V makes a high leg the wrong system; a mid tap carries about 5 % of one unit
    Edge("us", "mid-tap-share", "picture.loads.1.running_kva", {10.0: None, 10.1: "caution"}, SHOP,
         {"proposal.units": 2, "picture.loads.0.running_kva": 30.0}),
    Edge("us", "mid-tap-share", "picture.loads.1.running_kva", {2.25: None, 2.26: "caution"}, SHOP,
         {"proposal.units": 1, "picture.loads.0.running_kva": 30.0, "unit.kva": 45.0}),
    # ASCE 7 13.1.4: in D, E and F nothing to 400 lb (181 kg) where it need not work afterwards
    Edge("us", "seismic", "unit.mass_kg", {181.0: "note", 181.5: "caution"},
           {"site": {"seismic": "D", "seismic_g": 1.0}}),
    Edge("us", "seismic", "unit.mass_kg", {1.0: "caution", 181.0: "caution"},
         {"site": {"seismic": "D", "seismic_g": 1.0, "essential": True}}),
    Edge("us", "seismic", "case.site.seismic", {"A": "note", "B": "note", "C": "note", "D": "caution",
           "F": "caution"},
         {"site": {"seismic": "D", "seismic_g": 1.0}}),
    # a K rating is that of the current the unit may carry in full: UL 1561
    Edge("us", "k-rating", "blocks.demand.k_at_load", {1.0: None, 1.01: "caution"}, ELECTRONICS,
           {"unit.k_rating": 1.0}),
    Edge("us", "k-rating", "blocks.demand.k_at_load", {4.0: None, 4.01: "caution"}, ELECTRONICS,
           {"unit.k_rating": 4.0}),
]  # fmt: skip
CANADA = [
    # 14-102: 1000 A over 150 V to ground, 2000 A up to that
    Edge("ca", "ground-fault-protection", PRIMARY, {999.0: None, 1000.0: "caution"}),
    Edge("ca", "ground-fault-protection", AFTER, {(1999.0,): None, (2000.0,): "caution"}),
    # 16-200: 30 V, 100 VA
    Edge("ca", "class-2", "unit.kva", {0.1: "note", 0.101: None},
           {"load": [{"system": "24 1ph", "kva": "0.04 kVA"}]}),
    Edge("ca", "class-2", "proposal.output.line_v", {30.0: "note", 30.1: None},
         {"load": [{"system": "24 1ph", "kva": "0.04 kVA"}]}),
    # 8-102: 3 % in one run, 5 % in all
    Edge("ca", "drop", "blocks.conductors.primary.drop_pct", {3.0: None, 3.01: "caution"},
         beside={"blocks.conductors.secondary.drop_pct": 0.5}),
    Edge("ca", "drop", "blocks.conductors.primary.drop_pct", {2.5: None, 2.51: "caution"},
         beside={"blocks.conductors.secondary.drop_pct": 2.5}),
    Edge("ca", "panel-room", "blocks.currents.primary_load_a", {125.0: "note", 125.1: "stop"}),
]  # fmt: skip
IEC = [
    # 60364-4-41 Table 41.1: nothing is asked up to 50 V
    Edge("iec", "disconnection-time", "proposal.output.neutral_nominal_v", {50.0: None, 50.1: "note"}),
    Edge("iec", "sockets", "proposal.output.neutral_nominal_v", {50.0: None, 50.1: "note"}),
    # 414: 50 V
    Edge("iec", "unearthed-output", "proposal.output.line_v", {50.0: "note", 50.1: "caution"}, IEC_DELTA),
    # 60898-1: type C trips at once from 10 times its rating; c of 60909: 0.9 / 1.1 of 2000 A is 1636.4 A
    Edge(
        "iec",
        "earth-fault",
        AFTER,
        {(163.0,): None, (164.0,): "caution", (): None},
        beside={"blocks.fault.line_ground_a": 2000.0},
    ),
    Edge("iec", "earth-fault", "blocks.fault.line_ground_a", {None: None}, beside={AFTER: (16.0,)}),
    Edge("iec", "earth-fault", "blocks.protection.kind", {"breaker": "caution", "fuse": None},
         beside={"blocks.fault.line_ground_a": 1.0}),
    # a device above the rated current does not protect the windings
    Edge("iec", "overload", "blocks.protection.secondary_a", {20.0: None, 20.1: "caution"},
         beside={"blocks.currents.secondary_rated_a": 20.0}),
    # inrush 12 times rated current; a type D breaker holds to 10 times its rating
    Edge("iec", "switch-on", PRIMARY, {23.9: "caution", 24.0: "note"},
         beside={"blocks.currents.primary_rated_a": 20.0}),
    # Annex G: 5 %, to lighting 3 %
    Edge("iec", "voltage-drop", "blocks.conductors.primary.drop_pct", {4.0: None, 4.01: "caution"},
         beside={"blocks.conductors.secondary.drop_pct": 1.0}),
    Edge("iec", "voltage-drop", "blocks.conductors.primary.drop_pct", {2.0: None, 2.01: "caution"}, IEC_LAMPS,
         {"blocks.conductors.secondary.drop_pct": 1.0}),
    # Annex E: 15 %, all orders divisible by three: √(9² + 12²) = 15
    Edge("iec", "neutral-reduced", "picture.spectrum",
         {((3, 15.0), (5, 40.0)): None, ((3, 15.1),): "caution", ((3, 9.0), (9, 12.0)): None,
          ((3, 9.0), (9, 12.1)): "caution"}),
    # 61558-2-4: 40 kVA of three phases
    Edge("iec", "short-circuit-class", "unit.kva", {40.0: "note", 40.1: None}),
    Edge("iec", "rated-at-load", "unit.kva", {40.0: "note", 40.1: None}),
]  # fmt: skip
EVERYWHERE = [
    Edge(regime, rule, fact, says, example, beside)
    for regime in ("us", "ca", "iec")
    for rule, fact, says, example, beside in (
        # 30 °C average, 40 °C peak, 1000 m: the usual service of dry types
        ("warm-place", "case.site.ambient_average_c", {30.0: None, 30.1: "caution"}, {},
               {"case.site.ambient_peak_c": 40.0}),
        ("warm-place", "case.site.ambient_peak_c", {40.0: None, 40.1: "caution"}, {},
               {"case.site.ambient_average_c": 30.0}),
        ("thin-air", "case.site.altitude_m", {1000.0: None, 1001.0: "note"}, {}, {}),
        # usual practice: half to four fifths
        ("loading-band", "blocks.demand.loading_pct", {49.9: "note", 50.0: None, 80.0: None, 80.1: "caution"},
               {}, {}),
        # 2 kW of heat ask for the room
        ("room-heat", "blocks.pick.heat_w", {1999.0: None, 2000.0: NOT_CHECKED}, {}, {}),
        # 25 kg: what one person lifts
        ("mass", "unit.mass_kg", {25.0: None, 25.1: "note"}, {}, {}),
        # one unit of 200 kg on a hoist of so much
        ("way-in", "case.site.way_in_mass_kg", {199.0: "stop", 200.0: "note"}, {}, {"unit.mass_kg": 200.0}),
        # a third more than the mean of 12, 9 and 9 kVA: 20 %
        ("uneven-phases", "picture.phase_kva", {(12.0, 9.0, 9.0): None, (12.1, 9.0, 9.0): "note"}, {}, {}),
        # 20 % at a bus of its own, 15 % beside others
        ("start-dip", "blocks.voltage.start_dip_pct", {20.0: None, 20.1: "caution"}, {}, {}),
        ("start-dip", "blocks.voltage.start_dip_pct", {15.0: None, 15.1: "caution"}, {},
               {"case.loads.0.quantity": 2.0}),
        # C84.1: 3 % at the service; NEMA MG 1: motors 1 %, and above 5 % they must not run. Of 480 V: 14.4, 4.8, 24 V
        ("supply-unbalance", "case.supply.measured_v",
         {(480.0, 494.39, 465.61): None, (480.0, 494.41, 465.59): "caution"}, {}, {}),
        ("supply-unbalance", "case.supply.measured_v",
         {(480.0, 484.79, 475.21): None, (480.0, 475.19, 484.81): "caution",
         (480.0, 456.01, 503.99): "caution",
          (480.0, 455.99, 504.01): "stop"}, {}, {"case.loads.0.kind": "motor"}),
        # only where something else than the utility may feed it
        ("phase-shift", "case.choices.units", {None: None, 1: None, 2: "note"}, {},
               {"proposal.vector_group": "Dyn11"}),
        ("phase-shift", "case.supply.source", {"utility": None, "generator": "note"}, {},
               {"proposal.vector_group": "Dyn1"}),
        ("phase-shift", "proposal.vector_group",
         {"Dyn1": "note", "Dyn5": "note", "YNd7": "note", "YNd11": "note", "Dd0": None, "Dd6": None,
         "Dz10": None,
          None: None}, {}, {"case.supply.source": "generator"}),
        # a set carries the load with growth
        ("source-carries-load", "case.supply.source_kva", {19.9: "stop", 20.0: None}, {},
         {"case.supply.source": "generator", "blocks.demand.kva_with_growth": 20.0}),
    )
]  # fmt: skip
EDGES = [*UNITED_STATES, *CANADA, *IEC, *EVERYWHERE]


@pytest.mark.parametrize("edge", EDGES, ids=lambda edge: f"{edge.regime} {edge.rule} {edge.fact}")
def test_a_rule_turns_at_its_number(
    seen_in: Callable[[str, Patch, Mapping[str, Any]], Facts],
    judged: Callable[[str, Facts], list[Finding]],
    edge: Edge,
) -> None:
    def says(value: Any) -> str | None:
        facts = seen_in(edge.regime, edge.example, {**edge.beside, edge.fact: value})
        return severity(judged(edge.rule, facts))

    said = {value: says(value) for value in edge.says}
    assert said == edge.says
