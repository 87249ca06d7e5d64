"""Which of its sentences a rule chooses, and which it leaves out, by the clause beside each row."""

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

import pytest

from turnwright.model.result import Finding
from turnwright.regimes import Facts

Patch = dict[str, Any]
NOTHING: Patch = {}


class Choice(NamedTuple):
    """A fact of the standard example made this and that, and words of what the rule then says.

    says     value of the fact -> words of one of its findings; None: silent
    example  change to the standard example
    beside   other facts that are set for all of it
    """

    regime: str
    rule: str
    fact: str
    says: Mapping[Any, str | None]
    example: Patch = NOTHING
    beside: Mapping[str, Any] = NOTHING


def load(**facts: Any) -> Patch:
    return {"load": [{"name": "one", "system": "208Y/120", "kva": "20 kVA", **facts}]}


THEATRE = load(name="operating theatre", system="230 1ph", kva="5 kVA")
FEEDS = load(kind="drive", feeds_back=True)
UNKNOWN = load(kind="electronics")
HARMONICS = load(kind="electronics", harmonics={"3": 45, "9": 5}, neutral=True)
WELDER: Patch = {
    "supply": {"system": "208Y/120"},
    **load(system="480 1ph", kva=None, current="100 A", kind="welder", duty={"on": "10 %"}),
}
NO_LAW = {"blocks.efficiency.law_pct": None}
PRIMARY, GROUNDING, SYSTEM = "blocks.protection.primary_a", "case.supply.grounding", "case.supply.system"
TO_GROUND = "case.supply.measured_to_ground_v"

UNITED_STATES = [
    # the last height of the table is 4500 m: above it the share is a bound
    Choice("us", "thin-air", "case.site.altitude_m",
           {4500.0: "insulates about 67 %", 4600.0: "insulates less than 67 %"}),
    # 250.30(A)(1): what is bonded, by what the output has
    Choice("us", "bond-once", "proposal.output",
           {"208Y/120": "Bond the new neutral of", "240 delta corner": "Bond the grounded corner of",
            "240 1ph": "Bond the side that becomes the neutral"},
           {}, {"blocks.grounding.system_bonding_jumper": "8 AWG"}),
    # 240.85: the smallest slash rating whose larger number is not below the volts
    Choice("us", "slash-rating", SYSTEM, {
        "208 3ph": "such as 120/240 V", "240 3ph": "such as 120/240 V", "277 3ph": "such as 480Y/277 V",
        "480 3ph": "such as 480Y/277 V", "500 3ph": "such as 600Y/347 V", "600 3ph": "such as 600Y/347 V",
    }, beside={GROUNDING: "corner"}),
    # Table 450.3(B): 167 % below 9 A, 300 % below 2 A
    Choice("us", "small-current", "blocks.currents.primary_rated_a", {
        1.99: "may be 300 %", 2.0: "may be 167 %", 8.99: "may be 167 %",
    }),
    # 250.36: 480 V
    Choice("us", "impedance-grounded-supply", SYSTEM, {
        "480Y/277": "to its neutral. The", "416Y/240": "below 480 V it is not allowed",
    }, beside={GROUNDING: "resistance"}),
    # 110.14(D): lugs for aluminum are marked so
    Choice("us", "torque-means", "case.circuit.conductor", {
        "copper": "kit tightened", "aluminum": "kit, marked AL for aluminum conductors, tightened",
    }, load(kva="250 kVA")),
    # 450.13(B): 50 kVA
    Choice("us", "shaft", "unit.kva", {50.0: "50 kVA only ventilated", 51.0: "51 kVA is over the 50 kVA"},
           {"site": {"place": "shaft"}}),
    # 10 CFR 431.192: what the definition leaves out, and what it does not
    Choice("us", "efficiency-outside", "unit.kva", {
        14.9: "below 15 kVA", 15.0: "was not applied", 1000.0: "was not applied", 1000.1: "above 1000 kVA",
    }, beside=NO_LAW),
    Choice("us", "efficiency-outside", "unit.taps_pct", {
        (10.0, -10.0): "taps span 20 %", (10.0, -9.9): "was not applied",
    }, beside=NO_LAW),
    Choice("us", "efficiency-outside", "unit.enclosure", {
        "nonventilated": "sealed and nonventilated", "encapsulated": "sealed and nonventilated",
        "open": "was not applied", "cast": "was not applied", None: "was not applied",
    }, beside=NO_LAW),
    Choice("us", "efficiency-outside", "unit.primary.line_v", {600.0: "was not applied", 601.0: "over 600 V"},
           beside=NO_LAW),
    Choice("us", "efficiency-outside", "case.supply.frequency_hz", {50.0: "60 Hz units"}, beside=NO_LAW),
    Choice("us", "efficiency-outside", "case.choices.manufactured", {
        "2006": "made before 2007-01-01", "2007-01": "was not applied",
    }, beside=NO_LAW),
    Choice("us", "efficiency-outside", "proposal.arrangement", {
        "buck-boost": "autotransformers are", "autotransformer": "autotransformers are",
        "zig-zag": "grounding",
    }, beside=NO_LAW),
    # 210.9, 215.11: 208 to 240 V needs no common neutral, 480 to 600 V none in industry
    Choice("us", "autotransformer-neutral", "case.loads.0.system", {
        "240 3ph": None, "230 3ph": "from 208 V to 230 V needs", "208 3ph": "correction of 208 V",
    }, {"supply": {"system": "208 3ph"}, **load(system="240 3ph"),
    "choices": {"arrangement": "autotransformer"}}),
    # 210.5(C): two systems of one voltage are not told apart
    Choice("us", "identify-systems", "proposal.output", {"208Y/120": "Mark the 208Y/120", "480Y/277": None}),
    # 230.95: only what is called a wye; 250.20(B): from 50 V on
    Choice("us", "output-grounding", "proposal.output", {
        "48 1ph": None, "120 1ph": "one side must be", "150 3ph": "one phase must be",
        "240 1ph": "one side grounded, or",
        "240 3ph": "one corner grounded, or",
    }),
    # 250.20(A)
    Choice("us", "low-voltage-output", SYSTEM, {"480Y/277": "over 150 V to ground", "208Y/120": None},
           beside={"proposal.output": "24 1ph"}),
    Choice("us", "low-voltage-output", GROUNDING, {"ungrounded": "the supply is ungrounded", None: None},
           beside={"proposal.output": "24 1ph", SYSTEM: "208Y/120"}),
    Choice("us", "low-voltage-output", "case.site.place", {"outdoor": "runs outdoors", "indoor": None},
           beside={"proposal.output": "24 1ph", SYSTEM: "208Y/120"}),
    # volts to ground that fit what is told say nothing
    Choice("us", "to-ground-says", TO_GROUND, {
        (277.0, 278.0, 276.0): None, (0.0, 480.0, 480.0): "one corner grounded",
        (15.0, 440.0, 450.0): "no grounded system",
        (240.0, 416.0, 240.0): "high leg",
    }),
    Choice("us", "to-ground-says", TO_GROUND, {(24.0, 480.0, 480.0): None, (24.1, 480.0, 480.0): "it floats"},
           beside={SYSTEM: "480 3ph", GROUNDING: "corner"}),
    Choice("us", "to-ground-says", TO_GROUND, {(15.0, 440.0, 450.0): None, (277.0, 277.0, 277.0): "wye with"},
           beside={SYSTEM: "480 3ph", GROUNDING: "ungrounded"}),
    Choice("us", "to-ground-says", TO_GROUND, {(120.0, 208.0, 120.0): None, (120.0, 120.0, 120.0): "floats"},
           beside={SYSTEM: "240/120 delta", GROUNDING: None}),
    # equipment of 380 to 415 V comes from 50 Hz countries
    Choice("us", "plate-frequency", "case.loads.0.system", {
        "379Y/219": None, "380Y/220": "380 to 415 V", "415Y/240": "380 to 415 V", "416Y/240": None,
    }),
    # NEC 500 to 505: class and zone
    Choice("us", "classified", "case.site.classified", {
        "class I division 1": "or have one certified for it", "class I division 2": "A place outside is better still",
        "class II division 2": "a ventilated unit is not that",
        "zone 0": "Put it outside the classified place, with",
        "zone 1": "or have one certified for it",
    }, {"site": {"conditions": ["hazardous"]}}, {"unit.enclosure": "ventilated"}),
    Choice("us", "classified", "unit.enclosure", {
        "nonventilated": "The nonventilated unit meets that", "encapsulated": "The encapsulated unit meets that",
        "cast": "a cast unit is not that", "open": "an open unit is not that",
    }, {"site": {"classified": "class II division 2"}}),
    Choice("us", "classified", "case.site.classified", {
        "class I division 1": "keep the vault sealed", "class III": "keep the vault sealed",
        "zone 1": "certified for it",
    }, {"site": {"place": "vault"}}, {"unit.enclosure": "ventilated"}),
]  # fmt: skip
CANADA = [
    # CSA C22.2 No. 5
    Choice("ca", "slash-rating", SYSTEM, {
        "208 3ph": "marked 120/240 V", "240 3ph": "marked 120/240 V", "277 3ph": "marked 277/480 V",
        "480 3ph": "marked 277/480 V", "500 3ph": "marked 347/600 V", "600 3ph": "marked 347/600 V",
    }, beside={GROUNDING: "corner"}),
    # SOR/2016-311 s. 703
    Choice("ca", "efficiency-outside", "unit.kva", {14.9: "begins at 15 kVA", 15.0: None, 7500.0: None,
           7501.0: "at 7500"},
           beside=NO_LAW),
    Choice("ca", "efficiency-outside", "unit.kva", {833.0: None, 834.0: "ends at 833 kVA"},
           beside={**NO_LAW, "unit.phases": 1}),
    Choice("ca", "efficiency-outside", "unit.enclosure", {"nonventilated": "sealed and", "open": None,
           "cast": None},
           beside=NO_LAW),
    Choice("ca", "efficiency-outside", "case.supply.frequency_hz", {50.0: "60 Hz units"}, beside=NO_LAW),
    Choice("ca", "efficiency-outside", "proposal.arrangement", {"zig-zag": "grounding units"}, beside=NO_LAW),
    # 10-106: what can be grounded within 150 V
    Choice("ca", "output-grounding", "proposal.output", {
        "120 1ph": "one side must be", "150 1ph": "one side must be", "151 1ph": "has no neutral",
        "240 3ph": "has no neutral",
    }),
    # CSA C235 knows 575 V as the plate of 600 V
    Choice("ca", "motor-voltage", "case.loads.0.system", {"600 3ph": None, "460 3ph": "at, 575 V",
           "460 1ph": None},
           load(system="460 3ph", kind="motor")),
]  # fmt: skip
IEC = [
    # IEC 60898-1: miniature breakers to 125 A
    Choice("iec", "switch-on", "blocks.protection.primary_a",
           {125.0: "needs type D", 126.0: "needs a magnetic trip", 80.0: "needs type D"}),
    # 60364-4-41 Table 41.1
    Choice("iec", "disconnection-time", "proposal.output.neutral_nominal_v", {
        51.0: "within 0.8 s", 120.0: "within 0.8 s", 127.0: "within 0.4 s", 230.0: "within 0.4 s",
        231.0: "within 0.2 s",
        400.0: "within 0.2 s", 401.0: "within 0.1 s",
    }),
    # the same by U_0 of the supply as it is called (IEC 60038): 230 V of 400 V; of two wires one may be earthed
    Choice("iec", "primary-disconnection", SYSTEM, {
        "400Y/230": "within 0.4 s", "400 3ph": "within 0.4 s", "690 3ph": "within 0.2 s",
        "208 3ph": "within 0.8 s",
        "480 3ph": "within 0.2 s", "230 1ph": "within 0.4 s", "240 1ph": "within 0.2 s",
        "127 1ph": "within 0.4 s",
        "120 1ph": "within 0.8 s", "48 1ph": None,
    }, beside={PRIMARY: 32.0}),
    Choice("iec", "primary-disconnection", PRIMARY, {32.0: "up to 32 A",
           32.1: "within 5 s (as a distribution"}),
    Choice("iec", "primary-disconnection", PRIMARY, {32.0: "TT: a fault", 40.0: "within 1 s"},
           beside={"case.supply.earthing": "TT"}),
    Choice("iec", "primary-disconnection", SYSTEM, {"230 1ph": "within 0.2 s", "400Y/230": "within 0.2 s"},
           beside={"case.supply.earthing": "TT", PRIMARY: 16.0}),
    Choice("iec", "primary-disconnection", "case.supply.earthing", {
        "IT": "the first fault on the supply side is monitored", "TN-C": "TN-C: a fault",
        "TN-S": "TN-S: a fault",
    }),
    # 411.6: a second fault; 413: a separated circuit has two wires, to 500 V
    Choice("iec", "unearthed-output", "proposal.output", {
        "500 1ph": "separated circuit (to 500 V", "520 1ph": "within 0.1 s where all cases are on one earth; or",
        "275 3ph": "within 0.4 s where all cases are on one earth; or", "400 3ph": "within 0.4 s",
        "50 1ph": "as SELV",
    }, load(system="230 1ph", kva="5 kVA")),
    # 61558-2-15: 0.5 to 10 kVA, 250 V
    Choice("iec", "medical", "unit.kva", {
        0.49: "outside its 0.5 to 10 kVA", 0.5: "not tripped.", 10.0: "not tripped.",
        10.1: "outside its 0.5 to 10 kVA",
    }, THEATRE),
    Choice("iec", "medical", "proposal.output.line_v", {250.0: "not tripped.", 251.0: "outside its"}, THEATRE,
           {"unit.kva": 10.0}),
    # 61558-2-4: 40 kVA of three phases, 25 kVA of one; -2-6: extra-low voltage, 16 kVA; -2-13: shared windings, 40 kVA
    Choice("iec", "product-standard", "unit.kva", {40.0: "2-4, which holds to 40",
           40.1: "2-4 ends at 40 kVA"}),
    Choice("iec", "product-standard", "unit.kva", {25.0: "2-4, which holds to 25",
           25.1: "2-4 ends at 25 kVA"},
           beside={"unit.phases": 1}),
    Choice("iec", "product-standard", "proposal.output.line_v",
           {50.0: "2-6, which holds to 16", 50.1: "2-4, which"},
           beside={"unit.kva": 16.0}),
    Choice("iec", "product-standard", "unit.kva", {40.0: "2-13, which holds to 40",
           40.1: "2-13 ends at 40 kVA"},
           beside={"unit.phases": 1, "proposal.derived": False}),
    # 61558-1: 50 V at load may be more without
    Choice("iec", "rated-at-load", "unit.for_drop.resistance_pct",
           {4.0: "as for larger units.", 4.3: "Over 50 V it would"},
           beside={"proposal.output.line_v": 48.0, "unit.kva": 5.0}),
    # IEC 60076-11: the mildest climatic class that is cold enough; the class of insulation by its rise
    Choice("iec", "cold", "case.site.ambient_lowest_c", {
        -5.0: "class C1,", -5.1: "class C2,", -25.0: "class C2,", -25.1: "class C4,", -40.0: "class C4,",
        -50.0: "class C5,",
        -50.1: "below every climatic class (-50 °C)", None: None,
    }),
    Choice("iec", "classes", "unit.rise_k", {
        60.0: "class A (105 °C)", 80.0: "class B (130 °C)", 100.0: "class F (155 °C)",
        125.0: "class H (180 °C)",
        150.0: "class R (220 °C)", 115.0: "no class of IEC 60076-11",
    }),
    # who asks for volts of the 60 Hz world, or for 60 Hz, may mean a 60 Hz unit
    Choice("iec", "fifty-hertz", "proposal.output", {
        "208Y/120": "50 Hz", "240 3ph": "50 Hz", "480Y/277": "50 Hz", "600 3ph": "50 Hz", "400Y/230": None,
        "500 3ph": None,
    }),
    Choice("iec", "fifty-hertz", "case.loads.0.frequencies_hz",
           {(50.0,): None, (): None, (50.0, 60.0): "50 Hz"}),
    # 312.2
    Choice("iec", "derived-earthing", "case.supply.earthing", {
        "TT": "same electrode", "IT": "stay IT", "TN-C": "never joined again",
    }),
]  # fmt: skip
EVERYWHERE = [
    Choice(regime, rule, fact, says, example, beside)
    for regime in ("us", "ca", "iec")
    for rule, fact, says, example, beside in (
        # lines that a load on and off is on
        ("flicker", "proposal.phases", {1: "two of the three lines", 3: "three lines"}, WELDER, {}),
        ("flicker", SYSTEM, {"240 1ph": "both lines"}, WELDER, {"proposal.phases": 1}),
        # a set, a UPS, an inverter
        ("electronic-source", "case.supply.source", {"ups": "Fed by a UPS", "inverter": "Fed by an inverter"},
        {}, {}),
        ("regenerates", "case.supply.source", {
            "utility": "into the supply", "generator": "about 10 % of its rating", "ups": "none of it",
        }, FEEDS, {}),
        # orders of the zero sequence stay in a delta
        ("triplens", "proposal.primary.connection", {"delta": "(3, 9) circulate", "wye": "pass through"},
        HARMONICS, {}),
        ("triplens", "picture.spectrum", {((3, 0.0), (5, 30.0)): None, ((3, 5.0),): "(3) circulate"},
        HARMONICS,
         {"proposal.primary.connection": "delta"}),
        ("triplens", "proposal.phases", {1: None}, HARMONICS, {}),
        # a shield that was not asked for is spoken of, one that was is not
        ("shield", "unit.shield", {True: "is specified", False: "Ask whether it is wanted",
        None: "Ask whether"}, UNKNOWN, {}),
        ("shield", "case.choices.shield", {True: None}, UNKNOWN, {"unit.shield": True}),
        # an earthed star for drives
        ("drive-winding", "proposal.output.connection", {"wye": "the delta winding to the line",
        "delta": ": size by"},
         load(kind="drive"), {}),
        # the same volts on both sides give a neutral, or isolation
        ("same-volts", SYSTEM, {"208 3ph": "gives a new neutral only", "208Y/120": "gives isolation only",
        "230 3ph": None},
         {}, {"proposal.output": "208Y/120"}),
    )
]  # fmt: skip
CHOICES = [*UNITED_STATES, *CANADA, *IEC, *EVERYWHERE]


@pytest.mark.parametrize("choice", CHOICES, ids=lambda one: f"{one.regime} {one.rule} {one.fact}")
def test_a_rule_chooses_its_sentence(
    seen_in: Callable[[str, Patch, Mapping[str, Any]], Facts],
    judged: Callable[[str, Facts], list[Finding]],
    choice: Choice,
) -> None:
    wrong = {}
    for value, words in choice.says.items():
        facts = seen_in(choice.regime, choice.example, {**choice.beside, choice.fact: value})
        said = [finding.message for finding in judged(choice.rule, facts)]
        if not (any(words in each for each in said) if words is not None else said == []):
            wrong[value] = said
    assert wrong == {}
