"""Laws of the rules and of their runner."""

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from turnwright.regimes import Facts, Rule, Said, run
from turnwright.regimes.rule import Lacks
from turnwright.regimes.us import regime
from turnwright.regimes.us.rules import RULES
from turnwright.regimes.us.rules.example import STANDARD, changed

PUMP = {"name": "fire pump", "system": "208 3ph", "hp": "10 hp"}
CHARGER = {"name": "charger", "system": "208 1ph", "kva": "9 kVA", "kind": "charger", "continuous": False}
LIFTS = {
    "name": "lifts",
    "system": "208 3ph",
    "kva": "9 kVA",
    "quantity": 3,
    "kind": "lift",
    "demand_factor": 0.5,
}
STOPPED: tuple[dict[str, Any], ...] = (
    {"circuit": {"secondary_length": "60 ft"}},
    {"site": {"conditions": ["hazardous"]}},
    {"supply": {"panel_rating": "100 A", "panel_load": "90 A"}},
    {"supply": {"fault_current": "40 kA"}},
    {"site": {"room": {"length": "3 m", "width": "0.6 m", "height": "3 m"}}},
    {"supply": {"measured": ["440 V", "480 V", "500 V"]}, "load": [{"system": "208 3ph", "hp": "10 hp"}]},
    {"load": [PUMP]},
    {"load": [CHARGER]},
    {"load": [LIFTS]},
)  # fmt: skip
"""Jobs with a stop that concerns the place, the supply or one load."""
ADDED = st.fixed_dictionaries(
    {
        "system": st.sampled_from(["208Y/120", "208 3ph", "120 1ph", "208 1ph"]),
        "kva": st.floats(0.5, 30).map(lambda kva: f"{kva:.2f} kVA"),
        "continuous": st.booleans(),
        "kind": st.sampled_from(["general", "heating", "electronics", "motor", "lighting"]),
    }
)


@settings(max_examples=40)
@given(patch=st.sampled_from(STOPPED), added=st.lists(ADDED, min_size=1, max_size=3))
def test_adding_a_load_removes_no_stop(
    answer: Callable[..., Any], patch: dict[str, Any], added: list[dict[str, Any]]
) -> None:
    """A stop that concerns place, supply or one load stays whatever else is connected, or the job is refused."""
    before = answer(patch)
    stops = {finding.code for finding in before.findings if finding.severity == "stop"}
    assert stops
    after = answer({**patch, "load": [*changed(patch)["load"], *added]})
    kept = {finding.code for finding in after.findings if finding.severity == "stop"}
    assert after.verdict == "refused" or stops <= kept


def test_the_same_job_gives_the_same_findings(answer: Callable[..., Any]) -> None:
    assert answer({}).findings == answer({}).findings


def judged(facts: Facts, **of_rule: Any) -> list[Any]:
    """Run one made-up rule under the name of a row."""
    rule = Rule(id="panel-room", severity="caution", **of_rule)
    return list(run((rule,), facts, regime("2023").rule_table))


def test_an_absent_fact_is_not_checked_and_is_named(facts: Callable[..., Facts]) -> None:
    seen = facts({"supply": {"panel_rating": None}})
    (finding,) = judged(seen, check=lambda _: [], needs=("supply.panel_rating_a",))
    assert (finding.code, finding.severity) == ("panel-room-not-checked", "note")
    assert "Needs supply.panel_rating (rating of the panel that feeds the transformer)." in finding.message


def test_where_a_rule_does_not_apply_nothing_is_asked(facts: Callable[..., Facts]) -> None:
    seen = facts({"supply": {"panel_rating": None}})
    never = {
        "applies": lambda _: False,
        "needs": ("supply.panel_rating_a",),
        "check": lambda _: [Said(message="x")],
    }
    assert judged(seen, **never) == []


def test_a_fact_missed_while_judging_is_named_too(facts: Callable[..., Facts]) -> None:
    def check(_: Facts) -> list[Said | Lacks]:
        return [Said(message="One thing.", severity="stop"), Lacks(("load[0].duty",))]

    said, lacking = judged(facts({}), check=check)
    assert (said.code, said.severity, said.clause) == ("panel-room", "stop", "NEC 2023 215.2(A)(1)")
    assert lacking.code == "panel-room-not-checked" and "load[0].duty" in lacking.message


def test_a_rule_without_a_row_in_the_edition_is_silent(facts: Callable[..., Facts]) -> None:
    rule = next(rule for rule in RULES if rule.id == "source-both-sides")
    assert list(run((replace(rule, applies=None),), facts({}), regime("2023").rule_table)) == []


@pytest.mark.parametrize("system", ["240 3ph", "480 1ph"])
def test_an_output_without_neutral_has_no_neutral_to_bond(answer: Callable[..., Any], system: str) -> None:
    codes = {finding.code for finding in answer({"load": [{"system": system, "kva": "5 kVA"}]}).findings}
    assert "bond-once" not in codes
    assert "output-grounding" in codes


def test_24_v_that_must_be_grounded_is_bonded_once(answer: Callable[..., Any]) -> None:
    """250.20(A)(1): the supply has 277 V to ground, so one side of the 24 V is grounded, by a system bonding jumper."""
    result = answer({"load": [{"system": "24 1ph", "kva": "5 kVA"}]})
    assert {"bond-once", "low-voltage-output"} <= {finding.code for finding in result.findings}
    assert result.blocks.grounding.system_bonding_jumper is not None


def test_a_two_wire_output_of_120_v_must_be_grounded(found: Callable[..., list[Any]]) -> None:
    """250.20(B)(1): a system that can be grounded within 150 V to ground."""
    patch = {"load": [{"system": "120 1ph", "kva": "5 kVA"}], "choices": {"secondary": "120 1ph"}}
    (finding,) = found("output-grounding", patch)
    assert "must be grounded" in finding.message and finding.limit == 150


@pytest.mark.parametrize("name", ["isolated power, room 2", "electrolytic cells"])
def test_what_must_not_be_grounded_is_not_told_to_be_bonded(answer: Callable[..., Any], name: str) -> None:
    load = {"name": name, "system": "120/240 1ph", "kva": "5 kVA"}
    codes = {finding.code for finding in answer({"load": [load]}).findings}
    assert "must-not-ground" in codes
    assert not codes & {"bond-once", "output-grounding"}


def test_the_standard_example_is_not_changed_by_a_change() -> None:
    before = repr(STANDARD)
    changed({"site": {"place": "roof"}, "load": [], "supply": {"grounding": None}})
    assert repr(STANDARD) == before


def test_a_group_of_loads_is_spoken_of_by_its_own_numbers(answer: Callable[..., Any]) -> None:
    """Where the loads are spread over several units, a load keeps its number in the job file."""
    loads = [
        {"name": "press", "system": "240 3ph", "kva": "8 kVA"},
        {"name": "benches", "system": "208Y/120", "kva": "40 kVA", "kind": "electronics"},
    ]
    result = answer({"load": loads})
    assert result.verdict == "selected"
    said = [finding.message for finding in result.findings if finding.code == "spectrum-unknown"]
    assert len(said) == 1 and "load 2, benches" in said[0]


KINDS = ["general", "heating", "lighting", "electronics", "motor", "drive", "welder"]
KINDS += ["charger", "computing", "inverter", "lift", "imaging", "furnace"]
SYSTEMS = ["208Y/120", "120 1ph", "240 3ph", "480 1ph", "120/240 1ph", "400Y/230", "230 1ph"]
SUPPLIES = ["480Y/277", "208Y/120", "480 3ph", "240/120 delta", "480 delta corner"]
PLACES = ["indoor", "outdoor", "roof", "ceiling", "shaft", "vault"]
CONDITIONS = ["dust", "salt", "damp", "washdown", "corrosive", "snow", "hazardous", "quiet", "public"]
NAMES = [
    "",
    "fire pump",
    "bridge crane",
    "operating room",
    "stage dimmers",
    "arc welder",
    "electrolytic cells",
]
ANY_LOAD = st.fixed_dictionaries(
    {
        "name": st.sampled_from(NAMES),
        "system": st.sampled_from(SYSTEMS),
        "kva": st.sampled_from(["0.05 kVA", "2 kVA", "15 kVA", "120 kVA", "600 kVA"]),
        "kind": st.sampled_from(KINDS),
        "feeds_back": st.booleans(),
        "continuous": st.booleans(),
    },
    optional={
        "duty": st.just({"on": "10 %"}),
        "momentary": st.just("60 kVA"),
        "harmonics": st.just({"3": 45, "5": 25}),
        "quantity": st.sampled_from([2, 3]),
        "transformer": st.just("own"),
        "neutral": st.booleans(),
    },
)
ANY_JOB = st.fixed_dictionaries(
    {
        "edition": st.sampled_from(["2017", "2020", "2023"]),
        "load": st.lists(ANY_LOAD, min_size=1, max_size=3),
        "supply": st.fixed_dictionaries(
            {
                "system": st.sampled_from(
                    ["480Y/277", "208Y/120", "480 3ph", "240/120 delta", "480 delta corner"]
                ),
                "grounding": st.none(),
                "source": st.sampled_from(["utility", "generator", "ups", "inverter"]),
                "fault_current": st.sampled_from([None, "4 kA", "65 kA"]),
            }
        ),
        "site": st.fixed_dictionaries(
            {
                "place": st.sampled_from(PLACES),
                "conditions": st.lists(st.sampled_from(CONDITIONS), max_size=3, unique=True),
                "temporary": st.booleans(),
            }
        ),
        "circuit": st.fixed_dictionaries(
            {"secondary_length": st.sampled_from([None, "8 ft", "18 ft", "60 ft"])}
        ),
    }
)


@settings(max_examples=60)
@given(job=ANY_JOB)
def test_whatever_the_job_the_rules_speak_plainly(answer: Callable[..., Any], job: dict[str, Any]) -> None:
    names = {rule.id for rule in RULES}
    for finding in answer(job).findings:
        if finding.code in names:
            assert finding.message[0].isupper() or finding.message[0].isdigit()
            assert finding.message.endswith((".", "?"))
            assert "None" not in finding.message and "nan" not in finding.message.split()
            assert finding.value is None or finding.value == finding.value
