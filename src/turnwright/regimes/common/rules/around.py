"""Rules about the board before the unit and the place about it, as rules of one regime: its words decide."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.arrangements import same_volts
from turnwright.regimes.common.rules import plain
from turnwright.regimes.common.rules.occasions import says
from turnwright.regimes.common.rules.volts import Changes
from turnwright.regimes.rule import Check, Facts, Rule, Said


def in_condition(*names: str) -> Changes:
    """Return the change to a place that is like this."""
    return {"site": {"conditions": list(names)}}


QUIET, DUST = in_condition("quiet"), in_condition("dust")


def board_rules(board: str, carries: str, room: Check | None = None) -> tuple[Rule, ...]:
    """Return the rules about the board that feeds the unit.

    board    what the trade calls it
    carries  what one of 100 A carries already where no unit fits any more
    room     the check of its room where the code asks for more
    """
    return (
        Rule(
            id="panel-room",
            severity="note",
            needs=("supply.panel_rating_a", "supply.panel_load_a"),
            check=room or plain.panel_room(board),
            trips={"supply": {"panel_rating": "100 A", "panel_load": carries}},
            clean={"supply": {"panel_rating": None}},
        ),
        Rule(
            id="panel-fault-rating",
            severity="stop",
            applies=plain.board_is_told,
            needs=("supply.panel_fault_rating_a", "supply.fault_current_a"),
            check=plain.panel_fault_rating(board),
            trips={"supply": {"fault_current": "30 kA", "panel_fault_rating": "22 kA"}},
            clean={"supply": {"fault_current": "14 kA", "panel_fault_rating": "22 kA"}},
        ),
    )


def neutral_unused(three_wire: str) -> Rule:
    """Return the rule about a neutral of the supply that nothing is tied to; `three_wire` is a supply without."""
    return Rule(
        id="supply-neutral-unused",
        severity="note",
        applies=plain.supply_has_neutral,
        check=plain.supply_neutral_unused,
        clean={"supply": {"system": three_wire}},
    )


def identify_systems(board: str, conductors: str, colors: str, one_system: Changes) -> Rule:
    """Return the rule about telling two systems apart in one building.

    board, conductors, colors   as the trade calls them
    one_system                  a load that has the volts of the supply
    """

    def check(facts: Facts) -> Iterator[Said]:
        supply, output = facts.case.supply.system, facts.proposal.output
        if not same_volts(supply.line_v, output.line_v):
            yield Said(
                message=(
                    f"Mark the {output.text} {board} with its volts and the transformer it comes from, and tell its "
                    f"{conductors} from those of the {supply.text} system; lines are {colors}."
                )
            )

    return Rule(id="identify-systems", severity="note", applies=plain.derived, check=check, clean=one_system)


def outdoors(text: str) -> Rule:
    """Return the rule about a unit under the sky."""
    return Rule(
        id="outdoors",
        severity="note",
        applies=plain.outside,
        check=says(text),
        trips={"site": {"place": "outdoor"}},
        clean={},
    )


def dust(text: str) -> Rule:
    """Return the rule about a dusty place."""
    return Rule(
        id="dust", severity="caution", applies=plain.is_dusty, check=says(text), trips=DUST, clean=QUIET
    )


def wet_place(text: str) -> Rule:
    """Return the rule about water, salt and corrosive air; which of them it is stands before the text."""

    def check(facts: Facts) -> Iterator[Said]:
        yield Said(message=f"{plain.wet_words(facts)}: {text}")

    return Rule(
        id="wet-place",
        severity="caution",
        applies=plain.is_wet,
        check=check,
        trips=in_condition("washdown"),
        clean=DUST,
    )


def quiet_place() -> Rule:
    """Return the rule about people near who want to hear nothing."""
    return Rule(
        id="quiet-place",
        severity="caution",
        applies=plain.is_quiet,
        check=plain.quiet_place,
        trips=QUIET,
        clean=DUST,
    )
