"""Rules go by what a proposal is, not by what it is called."""

from collections.abc import Callable, Iterable
from typing import Any

import pytest
from msgspec.structs import replace

from turnwright.quantities import parse_system
from turnwright.regimes import Facts, run
from turnwright.regimes.us import regime
from turnwright.regimes.us.rules import RULES

OF_A_NEW_SYSTEM = {
    "secondary-device", "secondary-length", "bond-once", "electrode", "pipes-and-steel", "supply-neutral-unused",
    "terminal-bar", "identify-systems",
}  # fmt: skip
OF_A_SHARED_WINDING = {"autotransformer-device", "autotransformer-mark", "not-a-new-system"}


def codes(facts: Facts) -> set[str]:
    return {finding.code for finding in run(RULES, facts, regime("2023").rule_table)}


@pytest.fixture(scope="module")
def plain(facts: Callable[..., Facts]) -> Facts:
    return facts({})


def with_proposal(facts: Facts, **traits: Any) -> Facts:
    return replace(facts, proposal=replace(facts.proposal, **traits))


def test_a_new_system_is_bonded_and_its_conductors_protected(plain: Facts) -> None:
    assert codes(plain) >= OF_A_NEW_SYSTEM
    assert not codes(plain) & OF_A_SHARED_WINDING


def test_a_shared_winding_makes_no_system(plain: Facts) -> None:
    shared = codes(with_proposal(plain, derived=False))
    assert not shared & OF_A_NEW_SYSTEM
    assert shared >= OF_A_SHARED_WINDING


def test_what_stands_beside_the_line_is_no_autotransformer_for_the_load(plain: Facts) -> None:
    beside = codes(with_proposal(plain, derived=False, shunt=True))
    assert "grounding-autotransformer" in beside
    assert not beside & OF_A_SHARED_WINDING


def test_covered_conductors_need_no_device_where_the_ratio_allows_it(plain: Facts) -> None:
    """240.21(C)(1): 45 A × 480 / 208 is 103.8 A; conductors of 110 A are covered, of 100 A they are not."""
    run = plain.blocks.conductors.secondary
    assert run is not None and plain.blocks.protection.primary_a == 45

    def carrying(ampacity_a: float) -> set[str]:
        conductors = replace(plain.blocks.conductors, secondary=replace(run, ampacity_a=ampacity_a))
        blocks = replace(plain.blocks, conductors=conductors)
        return codes(replace(with_proposal(plain, covered=True), blocks=blocks))

    own = {"secondary-device", "secondary-length", "panelboard-protection"}
    assert "primary-covers-secondary" in carrying(110) and not carrying(110) & own
    assert {"primary-covers-secondary", *own} <= carrying(100)


def test_a_high_leg_by_any_name(plain: Facts) -> None:
    output = parse_system("240/120 delta", where="test")
    assert {"high-leg-mark", "high-leg-loads", "slash-rating"} <= codes(with_proposal(plain, output=output))


def test_a_corner_is_no_open_question_of_grounding(plain: Facts) -> None:
    floating, corner = (parse_system(text, where="test") for text in ("240 delta", "240 delta corner"))
    assert "output-grounding" in codes(with_proposal(plain, output=floating))
    tied = codes(with_proposal(plain, output=corner))
    assert "output-grounding" not in tied
    assert {"grounded-phase", "slash-rating"} <= tied


@pytest.mark.parametrize("enclosure", ["cast", "encapsulated", "nonventilated"])
def test_a_closed_unit_is_not_told_to_be_exchanged(facts: Callable[..., Facts], enclosure: str) -> None:
    seen = facts({"site": {"conditions": ["dust", "damp", "salt", "washdown", "corrosive", "snow"]}})
    said = messages(replace(seen, unit=replace(seen.unit, enclosure=enclosure)))
    open_to_air = messages(replace(seen, unit=replace(seen.unit, enclosure="ventilated")))
    assert all("instead of a ventilated one" in text for text in open_to_air.values())
    assert all(f"the {enclosure} unit is the right kind" in text for text in said.values())


def messages(facts: Facts) -> dict[str, str]:
    of_place: Iterable[str] = ("dust", "damp", "salt", "washdown", "corrosive", "snow")
    return {
        finding.code: finding.message
        for finding in run(RULES, facts, regime("2023").rule_table)
        if finding.code in of_place
    }
