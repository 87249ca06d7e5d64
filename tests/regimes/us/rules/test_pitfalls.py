"""What went wrong in the field, told in forums and field notes, and the rule that says it beforehand.

Numbers and wording follow a list of pitfalls gathered from public threads; the threads are named in the sources of the
rules.
"""

from collections.abc import Callable
from typing import Any, NamedTuple

import pytest

from turnwright.errors import InputError
from turnwright.intake import job_from_mapping
from turnwright.regimes.us.rules.example import changed


class Pitfall(NamedTuple):
    number: int
    what: str
    rule: str
    patch: dict[str, Any]


UP: dict[str, Any] = {"supply": {"system": "208Y/120"}, "load": [{"system": "480 3ph", "kva": "40 kVA"}]}
UP_TO_DELTA = {**UP, "choices": {"secondary": "480 delta"}}
HIGH_LEG_SUPPLY: dict[str, Any] = {"supply": {"system": "240/120 delta"}}
HIGH_LEG: dict[str, Any] = {"load": [{"name": "club", "system": "240/120 delta", "kva": "20 kVA"}]}
BOOST: dict[str, Any] = {"supply": {"system": "208Y/120"}, "choices": {"arrangement": "buck-boost"}}
DRIVE: dict[str, Any] = {
    "load": [{"name": "pump drive", "system": "208Y/120", "kva": "20 kVA", "kind": "drive"}]
}
SOLAR: dict[str, Any] = {
    "supply": {"system": "208Y/120"},
    "load": [
        {"name": "solar", "system": "480Y/277", "kva": "20 kVA", "kind": "inverter", "feeds_back": True}
    ],
}
CEILING_75: dict[str, Any] = {"site": {"place": "ceiling"}, "choices": {"kva": "75 kVA"}}
PARALLEL: dict[str, Any] = {"load": [{"system": "208Y/120", "kva": "250 kVA"}]}
SNOW: dict[str, Any] = {"site": {"place": "outdoor", "conditions": ["snow"]}}
QUIET: dict[str, Any] = {"site": {"conditions": ["quiet"]}}
CORNER: dict[str, Any] = {"supply": {"system": "480 3ph", "grounding": "corner"}}
MOVABLE: dict[str, Any] = {"site": {"temporary": True}}
ALUMINUM: dict[str, Any] = {"circuit": {"conductor": "aluminum"}}
UNEVEN: dict[str, Any] = {
    "load": [
        {"system": "208Y/120", "kva": "20 kVA"},
        {"system": "120 1ph", "kva": "10 kVA", "lines": "A"},
    ]
}
LABELLED_208: dict[str, Any] = {
    "supply": {"system": "208Y/120", "measured_to_ground": ["120 V", "208 V", "121 V"]},
    "load": [{"system": "480 3ph", "kva": "20 kVA"}],
}
FLOATS: dict[str, Any] = {"supply": {"measured_to_ground": ["15 V", "440 V", "450 V"]}}
UNBALANCED: dict[str, Any] = {
    "supply": {"measured": ["480 V", "472 V", "491 V"]},
    "load": [{"name": "compressor", "system": "200 3ph", "hp": "10 hp"}],
}
SOCKETS: dict[str, Any] = {"load": [{"name": "sockets", "system": "120 1ph", "kva": "2 kVA", "quantity": 9}]}
MOTOR_230: dict[str, Any] = {
    "supply": {"system": "208Y/120"},
    "load": [{"name": "saw", "system": "230 3ph", "hp": "20 hp"}],
}
BIG_DEVICE: dict[str, Any] = {"circuit": {"primary_device": "80 A"}}
ONE_PHASE: dict[str, Any] = {"load": [{"system": "120/240 1ph", "kva": "9 kVA"}]}
OPEN_DELTA: dict[str, Any] = {
    "load": [{"system": "240 3ph", "kva": "20 kVA"}],
    "choices": {"arrangement": "open delta"},
}
AUTO_416: dict[str, Any] = {
    "load": [{"system": "416 3ph", "kva": "20 kVA"}],
    "choices": {"arrangement": "autotransformer"},
}

PITFALLS = (
    Pitfall(1, "the 208 V neutral carried to X0 of a back-fed unit", "back-fed-neutral", UP_TO_DELTA),
    Pitfall(2, "X0 bonded on a back-fed unit", "back-fed-neutral", UP_TO_DELTA),
    Pitfall(3, "a unit burnt three times because X0 of its fed wye was tied", "back-fed-neutral", UP_TO_DELTA),
    Pitfall(4, "step-down units bought where step-up was needed", "step-up", UP),
    Pitfall(5, "a temporary feed with grounds and X0 tied", "temporary-ground", MOVABLE),
    Pitfall(6, "480 V between lines and 15 V to ground", "to-ground-says", FLOATS),
    Pitfall(7, "a back-fed unit needs a bigger breaker", "step-up", UP),
    Pitfall(8, "breakers trip when units are switched on again", "inrush", {}),
    Pitfall(9, "the strap from core to case taken for the bond", "bond-once", {}),
    Pitfall(10, "grounded at panel, transformer, or both?", "bond-once", {}),
    Pitfall(11, "a panel labelled 208/120 was a high leg", "to-ground-says", LABELLED_208),
    Pitfall(12, "a high leg wired black, blue, red", "high-leg-supply", HIGH_LEG_SUPPLY),
    Pitfall(13, "120 V gear clipped to the high leg", "high-leg-loads", HIGH_LEG),
    Pitfall(14, "the 208 V to neutral taken for usable", "high-leg-supply", HIGH_LEG_SUPPLY),
    Pitfall(15, "slash-rated breakers on a high leg", "slash-rating", HIGH_LEG_SUPPLY),
    Pitfall(16, "a slash-rated breaker on a corner", "slash-rating", CORNER),
    Pitfall(17, "no device because the primary protects it", "secondary-device", {}),
    Pitfall(18, "is the panel's main at the secondary?", "secondary-length", {}),
    Pitfall(19, "the transformer protected, its conductors not", "secondary-device", {}),
    Pitfall(20, "a panel with main lugs and the disconnect 100 ft off", "panelboard-protection", {}),
    Pitfall(21, "250 % thought to need a thermal protector", "primary-over-125", BIG_DEVICE),
    Pitfall(23, "the wye taken as primary of a drive isolation unit", "drive-winding", DRIVE),
    Pitfall(24, "one phase measured, another at 105 %", "uneven-phases", UNEVEN),
    Pitfall(25, "the protector set wider on an unbalanced supply", "supply-unbalance", UNBALANCED),
    Pitfall(26, "ten bonds between neutral and ground", "bond-once", {}),
    Pitfall(27, "a second bond six inches from the first", "bond-once", {}),
    Pitfall(28, "a three-phase unit with a single-phase panel", "panel-phases", SOCKETS),
    Pitfall(30, "an autotransformer from 480 to 416 V", "autotransformer-neutral", AUTO_416),
    Pitfall(31, "the bond of a grid-tied unit left unclear", "interconnection", SOLAR),
    Pitfall(32, "75 kVA drawn above a ceiling", "ceiling", CEILING_75),
    Pitfall(33, "the limit of 50 kVA not known", "ceiling", CEILING_75),
    Pitfall(34, "a transformer in return air", "return-air", {"site": {"place": "ceiling"}}),
    Pitfall(35, "vents tight to concrete", "vents", {}),
    Pitfall(36, "the maker's 6 in against the 12 in of the rule", "clearance", {}),
    Pitfall(37, "a fire-rated room built for nothing, or missed", "large-indoors", PARALLEL),
    Pitfall(38, "snow in a rain-proof case", "snow", SNOW),
    Pitfall(39, "drifted snow under the shields", "snow", SNOW),
    Pitfall(40, "a side entry with plain locknuts", "outdoors", SNOW),
    Pitfall(41, "the bolts of the pads left tight", "quiet-place", QUIET),
    Pitfall(42, "rigid conduit and a corner, then complaints", "quiet-place", QUIET),
    Pitfall(43, "a brace that rattled", "quiet-place", QUIET),
    Pitfall(44, "a lug burnt through", "torque-means", ALUMINUM),
    Pitfall(45, "no common view on lug hardware", "torque-means", ALUMINUM),
    Pitfall(46, "a steel raceway around the electrode conductor not bonded", "electrode", {}),
    Pitfall(47, "the jumpers mixed up with parallel sets", "parallel-jumpers", PARALLEL),
    Pitfall(48, "a grounding conductor on a painted case", "terminal-bar", {}),
    Pitfall(49, "a movable unit without a plan for its electrode", "temporary-ground", MOVABLE),
    Pitfall(50, "a 230 V motor moved to a 208 V site", "plate-208-230", MOTOR_230),
    Pitfall(51, "a boost unit made starting worse", "boost-and-start", {**MOTOR_230, **BOOST}),
    Pitfall(52, "a 60 Hz unit on 50 Hz at full volts", "fifty-hertz-supply", {"supply": {"frequency": "50 Hz"}}),
    Pitfall(53, "four leads a side joined by guess", "coil-links", ONE_PHASE),
    Pitfall(54, "an interrupter before an isolation unit trusted behind it", "gfci-behind", MOVABLE),
    Pitfall(55, "a unit not in phase with the bus", "phase-shift", {"supply": {"source": "generator"}}),
    Pitfall(56, "volts and winding of an inverter asked after the purchase", "interconnection", SOLAR),
    Pitfall(57, "an open delta loaded by thirds", "open-delta", OPEN_DELTA),
    Pitfall(58, "the equipment grounding conductor sized by the electrode table", "electrode", {}),
)  # fmt: skip
REFUSED_EARLIER = {
    22: "which of the tables holds for the highest winding: nothing over 1000 V is read",
    29: "208 V boosted for a load with a neutral: the arrangement does not serve it",
}
"""Pitfalls that cannot get as far as a rule."""


@pytest.mark.parametrize("pitfall", PITFALLS, ids=lambda pitfall: f"{pitfall.number} {pitfall.what}")
def test_the_rule_speaks_before_it_happens(found: Callable[..., list[Any]], pitfall: Pitfall) -> None:
    assert found(pitfall.rule, pitfall.patch)


def test_no_pitfall_is_forgotten() -> None:
    numbers = [pitfall.number for pitfall in PITFALLS]
    assert sorted([*numbers, *REFUSED_EARLIER]) == list(range(1, 59))


def test_a_winding_over_1000_v_is_not_read() -> None:
    with pytest.raises(InputError, match="only systems up to 1000 V") as caught:
        job_from_mapping(changed({"supply": {"system": "4160 3ph"}}), "example")
    assert caught.value.code == "SYS-04"


def test_a_boost_unit_serves_no_load_with_a_neutral_of_another_voltage(answer: Callable[..., Any]) -> None:
    result = answer({**BOOST, "load": [{"system": "120/240 1ph", "kva": "5 kVA", "neutral": True}]})
    assert result.verdict == "refused"
    assert any("neutral" in finding.message for finding in result.findings if finding.severity == "stop")
