"""Which case each arrangement serves, and the reason it gives for the others."""

import pytest

from turnwright.arrangements import NotServed
from turnwright.arrangements.wishes import accepted

MOTOR_230 = {"system": "230 3ph", "current": "50 A", "neutral": False}
ICE = {"name": "ice maker", "system": "230 1ph", "current": "16 A", "neutral": False}


def refused(answer):
    assert isinstance(answer, NotServed)
    return answer.code


def test_buck_boost_takes_the_pair_that_comes_nearest_at_nominal_and_measured_supply(build):
    """208 V and 205 V measured, 230 V wanted: 240/24 V gives 228.8 and 225.5 V (turns ratio)."""
    case = build.case({"system": "208Y/120", "measured": ["205 V"]}, ICE)
    proposal = build.one("buck-boost", case)
    assert proposal.winding_v == (240.0, 24.0)
    assert float(proposal.output.line_v) == pytest.approx(228.8)
    assert "225.5 V at 205 V" in next(f.message for f in proposal.remarks() if f.code == "buck-boost-output")
    (ask,) = proposal.asks(build.picture(case, proposal))
    assert ask.formula(**ask.inputs, derating=1.0) == pytest.approx(16 * 24 / 1000)


def test_buck_boost_keeps_every_output_inside_what_the_loads_accept(build):
    for volts in range(185, 225, 3):
        case = build.case({"system": "208Y/120", "measured": [f"{volts} V"]}, ICE)
        answer = build.ask("buck-boost", case)
        within = accepted(case.loads)
        if isinstance(answer, NotServed):
            assert answer.code in ("no-winding-pair", "small-correction", "large-correction")
        else:
            ratio = float(answer[0].output.line_v) / 208
            assert within.low_v <= ratio * volts <= within.high_v
            assert within.low_v <= ratio * 208 <= within.high_v


def test_buck_boost_of_three_wires_takes_two_units_and_of_four_only_a_four_wire_supply(build):
    two = build.one("buck-boost", build.case("208Y/120", MOTOR_230))
    assert (two.units, two.phases, two.unit_phases) == (2, 3, 1)
    low = {"system": "208Y/120", "measured": ["190 V", "191 V", "189 V"]}
    wye = {"system": "208Y/120", "kva": "12 kVA"}
    asked = {"choices": {"arrangement": "buck-boost"}}
    assert build.one("buck-boost", build.case(low, wye, **asked)).units == 3
    assert refused(build.ask("buck-boost", build.case("240 3ph", wye, **asked))) == "no-new-neutral"


@pytest.mark.parametrize(
    ("load", "code"),
    [
        ({"system": "480 3ph", "kva": "10 kVA"}, "large-correction"),
        ({"system": "208 3ph", "kva": "10 kVA"}, "small-correction"),
        ({"system": "240/120 delta", "kva": "10 kVA"}, "no-new-neutral"),
        ({**MOTOR_230, "grounded_wye": True}, "needs-isolation"),
        ({**MOTOR_230, "neutral": True}, "no-new-neutral"),
    ],
)
def test_buck_boost_is_not_for(load, code, build):
    assert refused(build.ask("buck-boost", build.case("208Y/120", load))) == code


def test_windings_in_series_with_the_line_never_serve_a_shielded_or_mixed_job(build):
    for name in ("buck-boost", "autotransformer"):
        shielded = build.case("208Y/120", MOTOR_230, choices={"shield": True})
        assert refused(build.ask(name, shielded)) == "needs-isolation"
        mixed = build.case("208Y/120", MOTOR_230, {"system": "480 3ph", "kva": "5 kVA"})
        assert refused(build.ask(name, mixed)) == "several-voltages"


def test_buck_boost_comes_before_isolation_unless_a_size_is_insisted_on(build):
    free = build.one("buck-boost", build.case("208Y/120", ICE))
    insisted = build.one("buck-boost", build.case("208Y/120", ICE, choices={"kva": "5 kVA"}))
    isolation = build.one("isolation", build.case("208Y/120", ICE))
    assert free.rank < isolation.rank < insisted.rank


def test_autotransformer_shares_the_neutral_of_a_four_wire_supply_and_makes_none(build):
    wye = {"system": "400Y/230", "kva": "50 kVA"}
    shared = build.one("autotransformer", build.case("480Y/277", wye))
    assert not shared.derived and shared.output.neutral_v is not None
    assert refused(build.ask("autotransformer", build.case("480 3ph", wye))) == "no-new-neutral"
    grounded = {"system": "480Y/277", "grounding": "resistance"}
    assert refused(build.ask("autotransformer", build.case(grounded, wye))) == "no-new-neutral"
    same = build.case("480 3ph", {"system": "480 3ph", "kva": "5 kVA"})
    assert refused(build.ask("autotransformer", same)) == "same-volts"


@pytest.mark.parametrize("grounding", ["corner", "ungrounded", "resistance"])
def test_grounding_of_the_supply_passes_through_a_series_winding(grounding, build):
    case = build.case({"system": "240 3ph", "grounding": grounding}, {"system": "208 3ph", "kva": "9 kVA"})
    for name in ("buck-boost", "autotransformer"):
        assert "grounding-passes" in [finding.code for finding in build.one(name, case).remarks()]


def test_open_delta_gives_three_wires_only(build):
    assert build.one("open delta", build.case("480 3ph", {"system": "240 3ph", "kva": "30 kVA"})).units == 2
    wye = build.case("480 3ph", {"system": "208Y/120", "kva": "30 kVA"})
    assert refused(build.ask("open delta", wye)) == "open-delta-without-neutral"
    single = build.case("480 3ph", {"system": "240 1ph", "kva": "30 kVA"})
    assert refused(build.ask("open delta", single)) == "phases"


def test_zigzag_makes_a_neutral_on_an_ungrounded_three_wire_supply_only(build):
    lamps = {"system": "277 1ph", "kva": "2 kVA", "quantity": 6}
    floating = {"system": "480 3ph", "grounding": "ungrounded"}
    proposal = build.one("zig-zag", build.case(floating, lamps))
    assert proposal.output.text == "480Y/277" and proposal.shunt
    for supply in ("480Y/277", "120/240 1ph", {"system": "480 3ph", "grounding": "corner"}):
        assert refused(build.ask("zig-zag", build.case(supply, lamps))) == "zig-zag"
    assert (
        "changes no voltage"
        in build.ask("zig-zag", build.case(floating, {"system": "208Y/120", "kva": 5})).message
    )
    motor = build.case(floating, {"system": "480 3ph", "kva": "9 kVA"})
    assert "nothing for a zig-zag" in build.ask("zig-zag", motor).message


def test_scott_only_where_it_is_asked_for_and_for_two_wire_loads_of_one_voltage(build):
    oven = {"system": "240 1ph", "kva": "20 kVA", "quantity": 2}
    assert refused(build.ask("scott", build.case("480 3ph", oven))) == "not-asked"
    asked = {"choices": {"arrangement": "scott"}}
    assert build.one("scott", build.case("480 3ph", oven, **asked)).units == 2
    for supply, loads in (
        ("240 1ph", [oven]),
        ("480 3ph", [{"system": "240 3ph", "kva": "9 kVA"}]),
        ("480 3ph", [oven, {"system": "120 1ph", "kva": "1 kVA"}]),
        ("480 3ph", [{"system": "120/240 1ph", "kva": "9 kVA"}]),
    ):
        assert refused(build.ask("scott", build.case(supply, *loads, **asked))) == "scott"


def test_high_leg_is_for_three_phase_with_a_little_of_half_its_volts(build):
    motors, lamps = {"system": "240 3ph", "kva": "60 kVA"}, {"system": "120 1ph", "kva": "1 kVA"}
    unit, bank = build.ask("high leg", build.case("480 3ph", motors, lamps))
    assert (unit.units, unit.unit_phases, bank.units, bank.unit_phases) == (1, 3, 3, 1)
    assert refused(build.ask("high leg", build.case("480 3ph", motors))) == "no-high-leg"
    assert refused(build.ask("high leg", build.case("240 1ph", lamps))) == "no-high-leg"


def test_mid_tap_of_a_three_phase_unit_carries_a_twentieth(build):
    """5 % of the rating (common practice): 3 kVA on the tap ask for 60 kVA."""
    case = build.case(
        "480 3ph", {"system": "240 3ph", "kva": "20 kVA"}, {"system": "120 1ph", "kva": "3 kVA"}
    )
    unit, bank = build.ask("high leg", case)
    picture = build.picture(case, unit)
    asked = {ask.basis: ask.formula(**ask.inputs, derating=1.0) for ask in unit.asks(picture)}
    assert asked["neutral"] == pytest.approx(60.0)
    assert [ask.basis for ask in bank.asks(picture)] == ["heat"]


def test_a_grounded_wye_that_is_asked_for_is_wound_where_the_trade_has_none(build):
    case = build.case(
        "240 3ph", {"name": "drive", "system": "240 3ph", "kva": "20 kVA", "grounded_wye": True}
    )
    assert build.one("isolation", case).output.text == "240Y/139"


def test_a_secondary_that_is_insisted_on_must_suit_every_load(build):
    wye = {"system": "208Y/120", "kva": "20 kVA"}
    answer = build.ask("isolation", build.case("480Y/277", wye, choices={"secondary": "240 3ph"}))
    assert refused(answer) == "secondary-does-not-serve" and "208Y/120" in answer.message
    near = build.case("480Y/277", {"system": "400 3ph", "kva": "20 kVA"}, choices={"secondary": "415Y/240"})
    assert build.one("isolation", near).output.text == "415Y/240"


@pytest.mark.parametrize("name", ["isolation", "bank", "open delta"])
def test_a_grounded_corner_that_is_asked_for_is_kept(name, build):
    """On a plate or insisted on; a plain delta is nobody's decision yet. The winding has no corner of its own."""
    on_plate = build.one(name, build.case("480Y/277", {"system": "240 delta corner", "kva": "12 kVA"}))
    assert (on_plate.output.grounding, on_plate.secondary.grounding) == ("corner", None)
    plain = {"system": "240 3ph", "kva": "12 kVA"}
    insisted = build.case("480Y/277", plain, choices={"secondary": "240 delta corner"})
    assert build.one(name, insisted).output.grounding == "corner"
    left = build.case("480Y/277", plain, choices={"secondary": "240 delta"})
    assert build.one(name, left).output.grounding is None


def test_an_autotransformer_passes_on_where_the_supply_is_grounded(build):
    asked = {"choices": {"secondary": "240 delta corner"}}
    load = {"system": "240 3ph", "kva": "12 kVA"}
    assert (
        refused(build.ask("autotransformer", build.case("480Y/277", load, **asked)))
        == "corner-needs-windings"
    )
    assert not isinstance(
        build.ask("autotransformer", build.case("480 delta corner", load, **asked)), NotServed
    )
