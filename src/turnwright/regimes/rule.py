"""A rule judges the facts it declares and yields findings; the runner turns an absent fact into "not checked"."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Any

from msgspec import Struct

from turnwright.arrangements import Proposal
from turnwright.demand import LoadPicture
from turnwright.model.case import Case
from turnwright.model.result import Blocks, Finding, Severity
from turnwright.model.unit import Unit
from turnwright.reference import EditionTable
from turnwright.regimes.said import cited


class Facts(Struct, frozen=True, kw_only=True):
    """All that a rule may look at: the case, what is proposed for it, and the numbers of the answer."""

    case: Case
    proposal: Proposal
    unit: Unit
    picture: LoadPicture
    blocks: Blocks


class Said(Struct, frozen=True, kw_only=True):
    """What a rule found; the runner adds id, clause, severity and how the clause is known."""

    message: str
    value: float | None = None
    limit: float | None = None
    unit: str | None = None
    severity: Severity | None = None


class Rule(Struct, frozen=True, kw_only=True):
    """One rule beside its clause.

    id         its row in the table of rules, which has statement, clause and editions; also the code of its findings
    severity   of its findings unless they say otherwise
    refuses    a stop of this rule forbids the unit in this place
    needs      paths of facts that must be there (`site.room.height_m`); an absent one means "not checked"
    check      facts -> findings
    trips      changes to the standard example job that trip it; clean: that leave it silent
    """

    id: str
    severity: Severity
    check: Callable[[Facts], Iterable[Said]]
    refuses: bool = False
    needs: tuple[str, ...] = ()
    trips: dict[str, Any] = {}
    clean: dict[str, Any] = {}

    def missing(self, facts: Facts) -> tuple[str, ...]:
        """Return the paths among `needs` that the case does not have."""
        return tuple(path for path in self.needs if _at(facts.case, path) is None)


def _at(node: Any, path: str) -> Any:
    for part in path.split("."):
        if node is None:
            return None
        node = getattr(node, part)
    return node


def run(rules: Iterable[Rule], facts: Facts, table: EditionTable) -> Iterator[Finding]:
    """Yield what the rules of an edition find, and what could not be checked for want of a fact.

    table : the rules that hold in the edition, with statement and clause
    """
    rows = {str(row.text("rule")): row for row in table.rows}
    for rule in rules:
        row = rows.get(rule.id)
        if row is None:
            continue
        missing = rule.missing(facts)
        if missing:
            message = f"Not checked: {row.text('statement')} Needs {', '.join(missing)}."
            yield cited(f"{rule.id}-not-checked", "note", message, row.source)
            continue
        for said in rule.check(facts):
            severity = said.severity or rule.severity
            yield cited(
                rule.id,
                severity,
                said.message,
                row.source,
                value=said.value,
                limit=said.limit,
                unit=said.unit,
            )
