"""A rule judges the facts it declares and yields findings; the runner turns an absent fact into "not checked"."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import cached_property, lru_cache
from typing import Any

from msgspec import Struct

from turnwright.arrangements import Proposal
from turnwright.demand import LoadPicture
from turnwright.model.case import Case, CaseLoad
from turnwright.model.keys import key_of
from turnwright.model.result import Blocks, Finding, Severity
from turnwright.model.unit import Unit
from turnwright.reference import EditionTable, Row
from turnwright.regimes.said import cited


class Facts(Struct, frozen=True, kw_only=True, dict=True):
    """All that a rule may look at: the case, what is proposed for it, and the numbers of the answer."""

    case: Case
    proposal: Proposal
    unit: Unit
    picture: LoadPicture
    blocks: Blocks

    @cached_property
    def kinds(self) -> dict[str, tuple[CaseLoad, ...]]:
        """The loads by kind, in the order of the load list."""
        found: dict[str, tuple[CaseLoad, ...]] = {}
        for load in self.case.loads:
            found[load.kind] = (*found.get(load.kind, ()), load)
        return found

    def of_kind(self, *kinds: str) -> tuple[CaseLoad, ...]:
        """Return the loads of these kinds."""
        return tuple(load for kind in kinds for load in self.kinds.get(kind, ()))


class Said(Struct, frozen=True, kw_only=True):
    """What a rule found; the runner adds id, clause, severity and how the clause is known."""

    message: str
    value: float | None = None
    limit: float | None = None
    unit: str | None = None
    severity: Severity | None = None


class Lacks(Struct, frozen=True):
    """Facts that turned out to be needed while a rule was judging: keys of the job file, `load[0].duty`."""

    keys: tuple[str, ...]


Check = Callable[[Facts], Iterable[Said | Lacks]]


class Rule(Struct, frozen=True, kw_only=True, eq=False):
    """One rule beside its clause.

    id         its row in the table of rules, which has statement, clause and editions; also the code of its findings
    severity   of its findings unless they say otherwise
    refuses    a stop of this rule forbids the unit in this place
    applies    whether the rule has anything to say here at all; what it needs is asked for only then
    needs      paths of facts that must be there (`site.room.height_m`); an absent one means "not checked"
    check      facts -> findings, and what more it would have to know
    trips      changes to the standard example job that trip it; clean: that leave it silent
    """

    id: str
    severity: Severity
    check: Check
    refuses: bool = False
    applies: Callable[[Facts], bool] | None = None
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


def job_key(path: str) -> str:
    """Return the key of the job file that a path of the case comes from.

    Example:
        >>> job_key("supply.panel_rating_a"), job_key("site.room"), job_key("load[0].duty")
        ('supply.panel_rating', 'site.room', 'load[0].duty')
    """
    return path if key_of(path) is not None else path.rpartition("_")[0]


def run(rules: tuple[Rule, ...], facts: Facts, table: EditionTable) -> Iterator[Finding]:
    """Yield what the rules of an edition find, and what could not be checked for want of a fact.

    table : the rules that hold in the edition, with statement and clause
    """
    for rule, row in in_edition(rules, table):
        if rule.applies is not None and not rule.applies(facts):
            continue
        missing = rule.missing(facts) if rule.needs else ()
        if missing:
            yield _not_checked(rule, row, missing)
            continue
        for said in rule.check(facts):
            if isinstance(said, Lacks):
                yield _not_checked(rule, row, said.keys)
                continue
            yield cited(
                rule.id,
                said.severity or rule.severity,
                said.message,
                row.source,
                value=said.value,
                limit=said.limit,
                unit=said.unit,
            )


@lru_cache(maxsize=32)
def in_edition(rules: tuple[Rule, ...], table: EditionTable) -> tuple[tuple[Rule, Row], ...]:
    """Return the rules that hold in an edition, each with its row, in the order of the rules."""
    rows = {str(row.text("rule")): row for row in table.rows}
    return tuple((rule, rows[rule.id]) for rule in rules if rule.id in rows)


def _not_checked(rule: Rule, row: Row, paths: tuple[str, ...]) -> Finding:
    keys = [job_key(path) for path in paths]
    meant = [f"{key} ({said.says})" if (said := key_of(key)) else key for key in keys]
    message = f"Not checked: {row.text('statement')} Needs {' and '.join(meant)}."
    return cited(f"{rule.id}-not-checked", "note", message, row.source)
