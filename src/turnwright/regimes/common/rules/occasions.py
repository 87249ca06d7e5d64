"""What a load, a place or a short stay asks for beside its volts: a text of the code, said where it fits."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from turnwright.model.case import CaseLoad
from turnwright.quantities import figure
from turnwright.regimes.common.rules.loads import on_current_a
from turnwright.regimes.common.rules.looks import named
from turnwright.regimes.common.rules.plain import SAME, labels, start
from turnwright.regimes.common.rules.volts import Volts
from turnwright.regimes.rule import Check, Facts, Lacks, Rule, Said
from turnwright.working import formula

Which = Callable[[Facts], tuple[CaseLoad, ...]]


def by_name(occasion: str) -> Which:
    """Return the loads whose names say that they are such."""
    return lambda facts: named(facts, occasion)


def by_kind(*kinds: str) -> Which:
    """Return the loads of these kinds."""
    return lambda facts: facts.of_kind(*kinds)


def asks(which: Which, text: str) -> Check:
    """Return the check that says a text of loads, where there are such."""

    def check(facts: Facts) -> Iterator[Said]:
        loads = which(facts)
        if loads:
            yield Said(message=f"{start(labels(loads))}: {text}")

    return check


def says(text: str) -> Check:
    """Return the check that says a text wherever its rule applies."""

    def check(facts: Facts) -> Iterator[Said]:
        yield Said(message=text)

    return check


def in_place(condition: str) -> Callable[[Facts], bool]:
    """Return whether the place is such."""
    return lambda facts: condition in facts.case.site.conditions


def condition(name: str, text: str) -> Rule:
    """Return the rule that says a text in places of a condition, which is also its id."""
    return Rule(
        id=name,
        severity="caution",
        applies=in_place(name),
        check=says(text),
        trips={"site": {"conditions": [name]}},
        clean={"site": {"conditions": ["quiet"]}},
    )


def temporary(id_: str, text: str) -> Rule:
    """Return the rule that says a text of a short stay."""
    return Rule(
        id=id_,
        severity="caution",
        applies=lambda facts: facts.case.site.temporary,
        check=says(text),
        trips={"site": {"temporary": True}},
        clean={},
    )


class Occasions:
    """Makes the rules of loads that ask for more than volts: `volts` of the examples."""

    def __init__(self, volts: Volts) -> None:
        self.volts = volts

    def named(self, id_: str, occasion: str, text: str, name: str, other: str) -> Rule:
        """Return the rule of loads that their names give away: one that does, one that only looks so."""
        return Rule(
            id=id_,
            severity="caution",
            check=asks(by_name(occasion), text),
            trips=self.volts.load(name=name),
            clean=self.volts.load(name=other),
        )

    def of_kind(self, id_: str, kind: str, text: str) -> Rule:
        """Return the rule of loads of a kind."""
        return Rule(
            id=id_,
            severity="caution",
            check=asks(by_kind(kind), text),
            trips=self.volts.load(kind),
            clean=self.volts.load("general"),
        )

    def feeding_back(self, text: str) -> Rule:
        """Return the rule of loads that give power back."""
        return Rule(
            id="source-on-the-load-side",
            severity="caution",
            check=asks(lambda facts: tuple(one for one in facts.case.loads if one.feeds_back), text),
            trips=self.volts.load("inverter", feeds_back=True),
            clean=self.volts.load("general"),
        )

    def welding(self) -> Rule:
        """Return the rule of welders."""
        return Rule(
            id="welder-conductors",
            severity="note",
            applies=lambda facts: "welder" in facts.kinds,
            check=welder,
            trips=self.volts.load("welder", duty={"on": "20 %"}),
            clean=self.volts.load("general"),
        )


@formula("I_on · √duty", "A")
def duty_current_a(on_a: float, duty_pct: float) -> float:
    """Return the steady current that heats as much as one that comes and goes. [A]

    on_a     : while it is on [A]
    duty_pct : share of the time it is on [%]
    Source: root mean square over the cycle

    Example:
        >>> round(duty_current_a(on_a=100.0, duty_pct=10.0), 1)
        31.6
    """
    return on_a * float((duty_pct / 100) ** 0.5)


def welder(facts: Facts) -> Iterator[Said | Lacks]:
    """Conductors of a welder carry the root mean square of its current over the cycle; its drop counts in full."""
    run = facts.blocks.conductors.secondary
    for one in facts.of_kind("welder"):
        on_a = on_current_a(facts, one)
        if one.duty_on_pct is None or on_a is None:
            yield Lacks((f"load[{one.index}].duty",))
            continue
        counted_a = duty_current_a(on_a, one.duty_on_pct)
        carries = run is None or counted_a <= run.ampacity_a * (1 + SAME)
        yield Said(
            message=(
                f"{start(one.label)}: {figure(on_a)} A at {one.duty_on_pct:g} % duty heat its conductors like "
                f"{figure(counted_a, rounding='up')} A; the voltage drop while it welds counts in full."
                f"{'' if carries else ' The conductors here are too small for that.'}"
            ),
            value=counted_a,
            limit=None if run is None else run.ampacity_a,
            unit="A",
            severity="note" if carries else "stop",
        )
