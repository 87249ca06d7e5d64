"""Which loads hang on one unit: all together, each piece on its own, or split by the volts they ask for."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from turnwright.arrangements import NominalSystem, offers, shared_outputs
from turnwright.arrangements.high_leg import NAME as HIGH_LEG
from turnwright.arrangements.high_leg import middle_kva, middle_share_pct
from turnwright.arrangements.outputs import accepts, candidates
from turnwright.demand import demand_of
from turnwright.model.case import Case, CaseLoad
from turnwright.model.result import Finding
from turnwright.regimes import Regime
from turnwright.regimes.common.rules.looks import occasions
from turnwright.working import CLOSED


class Group(Struct, frozen=True, kw_only=True):
    """Loads that one unit serves, as a case of their own.

    pieces         of equal units, each with one piece of the load; 1: one unit for all the loads
    demand_factor  of the pieces together, which the supply sees
    """

    case: Case
    pieces: int = 1
    demand_factor: float = 1.0


class Grouping(Struct, frozen=True, kw_only=True):
    """The groups, the loads that need no transformer beside the others, and why the loads were split."""

    groups: tuple[Group, ...]
    direct: tuple[CaseLoad, ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def is_whole(self) -> bool:
        """Whether all loads hang on one unit."""
        return len(self.groups) == 1 and self.groups[0].pieces == 1 and not self.direct


def grouping_of(case: Case, regime: Regime) -> Grouping:
    """Return the units that the loads of a case are spread over."""
    own = [load for load in case.loads if load.own_unit]
    together = tuple(load for load in case.loads if not load.own_unit)
    if not own and (len(together) == 1 or case.choices.units == 1 or _one_secondary(case, regime)):
        high = _high_leg_share(case, regime) if len(together) > 1 and case.choices.units is None else None
        if high is None:
            return Grouping(groups=(Group(case=case),))
        return Grouping(
            groups=_split(case, together, regime.systems, without_high_leg=True), findings=(high,)
        )
    shared = with_loads(case, together)
    groups: tuple[Group, ...] = ()
    direct: tuple[CaseLoad, ...] = ()
    if together and _one_secondary(shared, regime):
        groups = (Group(case=shared),)
    elif together and case.choices.secondary is None:
        direct = tuple(load for load in together if is_served(case, load))
        rest = tuple(load for load in together if load not in direct) or together
        direct = () if rest == together else direct
        groups = _split(case, rest, regime.systems)
    elif together:
        groups = (Group(case=shared),)
    return Grouping(groups=groups + tuple(_own(case, load) for load in own), direct=direct)


def with_loads(case: Case, loads: tuple[CaseLoad, ...]) -> Case:
    """Return a case with some of its loads; a load that excludes one that is left out runs with all."""
    names = {load.name for load in loads}
    kept = tuple(
        load if load.never_with is None or load.never_with in names else replace(load, never_with=None)
        for load in loads
    )
    return replace(case, loads=kept)


def is_served(case: Case, load: CaseLoad) -> bool:
    """Whether the supply has already what a load asks for."""
    return offers(case.supply.system, load) and _may_hang_on_it(case, load)


def may_be_served(case: Case, load: CaseLoad) -> bool:
    """Whether the supply has the phases and neutral a load asks for, and volts near those of its plate."""
    return (
        load.system.phases == case.supply.system.phases
        and accepts(case.supply.system, load)
        and _may_hang_on_it(case, load)
    )


def _may_hang_on_it(case: Case, load: CaseLoad) -> bool:
    return (
        case.supply.frequency_hz in (load.frequencies_hz or (case.supply.frequency_hz,))
        and not load.own_unit
        and not case.choices.shield
        and "isolated power" not in occasions(load.name)
    )


def _one_secondary(case: Case, regime: Regime) -> bool:
    return bool(shared_outputs(case, regime.systems))


def _own(case: Case, load: CaseLoad) -> Group:
    pieces = max(int(-(-load.quantity // 1)), 1)
    if pieces == 1:
        return Group(case=with_loads(case, (load,)))
    one = replace(load, quantity=1.0, demand_factor=1.0)
    return Group(case=with_loads(case, (one,)), pieces=pieces, demand_factor=float(load.demand_factor))


def _split(
    case: Case,
    loads: tuple[CaseLoad, ...],
    systems: tuple[NominalSystem, ...],
    without_high_leg: bool = False,
) -> tuple[Group, ...]:
    """Return groups that one system each serves: the system that serves most first, ties by the usual order."""
    left = list(loads)
    groups: list[Group] = []
    while left:
        best: list[CaseLoad] = []
        for one in candidates(tuple(left), systems):
            if without_high_leg and one.system.high_leg:
                continue
            served = [load for load in left if offers(one.system, load)]
            if len(served) > len(best) and _reachable(case, served):
                best = served
        if not best:
            best = [left[0]]
        groups.append(Group(case=with_loads(case, tuple(best))))
        left = [load for load in left if load not in best]
    ordered = sorted(groups, key=lambda group: group.case.loads[0].index)
    return (*ordered[:1], *(Group(case=_without_size(group.case)) for group in ordered[1:]))


def _without_size(case: Case) -> Case:
    """A size somebody names is that of the first unit; the others are free."""
    return replace(case, choices=replace(case.choices, kva=None, proposed_kva=None))


def _reachable(case: Case, loads: list[CaseLoad]) -> bool:
    return case.supply.system.phases == 3 or all(load.system.phases == 1 for load in loads)


def _high_leg_share(case: Case, regime: Regime) -> Finding | None:
    """Why a high leg, the only secondary for all, is the wrong system here; None where it will do."""
    choices = case.choices
    if choices.secondary is not None or choices.arrangement is not None or choices.units is not None:
        return None
    outputs = shared_outputs(case, regime.systems)
    if not all(output.system.high_leg for output in outputs):
        return None
    if any(load.system.high_leg for load in case.loads):
        return None
    picture = demand_of(case, outputs[0].system, regime.demand, CLOSED)
    share = middle_share_pct(middle_kva(case, picture), float(picture.kva_with_growth))
    limit = regime.practice.row(key="high_leg_120v_share_pct")
    if share <= limit.number("value"):
        return None
    return Finding(
        code="high-leg-share",
        severity="note",
        message=(
            f"{share:.0f} % of the load hangs on the middle of one winding: above {limit.number('value'):g} % a "
            f"{HIGH_LEG} cannot be balanced, so the {_listed(case)} get separate units."
        ),
        clause=limit.source.cite(),
        known=limit.source.known,
        value=share,
        limit=float(limit.number("value")),
        unit="%",
    )


def _listed(case: Case) -> str:
    return " and the ".join(dict.fromkeys(f"{load.system.text} loads" for load in case.loads))
