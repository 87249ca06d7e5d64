"""Overcurrent devices by percent of the rated current: two regimes of North America differ by table only."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from msgspec import Struct

from turnwright.model.result import Finding, Protection
from turnwright.quantities import figure
from turnwright.reference import EditionTable, Source, from_below
from turnwright.regimes.procedures import DeviceNeed, DevicePlan
from turnwright.regimes.said import cited
from turnwright.working import Ledger, formula

SAME = 1e-9  # two ratings closer than this (relative) are one rating: 125 % of 40 A is 50 A, whatever the float says


@formula("I_rated · limit / 100", "A")
def percent_of_rated_a(rated_a: float, limit_pct: float) -> float:
    """Return the limit of a device in percent of the rated current. [A]

    rated_a   : rated current of that side [A]
    limit_pct : entry of the table of limits [%]
    Source: the limit carries it, as NEC Table 450.3(B)

    Example:
        >>> percent_of_rated_a(rated_a=100.0, limit_pct=125.0)
        125.0
    """
    return rated_a * limit_pct / 100


@formula("smallest standard rating ≥ limit", "A")
def next_standard_a(limit_a: float, ratings_a: tuple[float, ...]) -> float | None:
    """Return the limit when it is a standard rating, else the next higher one; None above the last. [A]

    limit_a   : the limit [A]
    ratings_a : standard ratings, ascending [A]
    Source: the clause that lets a limit be rounded up, as NEC 450.3(B) note 1 and 240.6(A)

    Example:
        >>> next_standard_a(limit_a=45.1, ratings_a=(40.0, 45.0, 50.0))
        50.0
    """
    return next((rating for rating in ratings_a if rating >= limit_a * (1 - SAME)), None)


@formula("largest standard rating ≤ limit", "A")
def standard_within_a(limit_a: float, ratings_a: tuple[float, ...]) -> float | None:
    """Return the largest standard rating that does not exceed the limit; None below the first. [A]

    limit_a   : the limit [A]
    ratings_a : standard ratings, ascending [A]
    Source: definition

    Example:
        >>> standard_within_a(limit_a=90.2, ratings_a=(80.0, 90.0, 100.0))
        90.0
    """
    return next((rating for rating in reversed(ratings_a) if rating <= limit_a * (1 + SAME)), None)


@formula("largest standard rating ≤ target that carries the load, else the next above, within the limit", "A")
def chosen_a(least_a: float, target_a: float, limit_a: float, ratings_a: tuple[float, ...]) -> float | None:
    """Return the standard rating nearest under `target_a` that carries `least_a`; None if none does. [A]

    least_a  : what the device must carry: noncontinuous + the increased continuous load [A]
    target_a : 125 % of the rated current: protects the windings and rides through switching on [A]
    limit_a  : largest rating permitted [A]
    ratings_a : standard ratings, ascending [A]
    Source: common practice within the limits of the code

    Example:
        >>> chosen_a(38.0, 45.1, 90.0, (35.0, 40.0, 45.0, 50.0))
        45.0
        >>> chosen_a(48.0, 45.1, 90.0, (35.0, 40.0, 45.0, 50.0))
        50.0
    """
    fitting = [r for r in ratings_a if least_a * (1 - SAME) <= r <= limit_a * (1 + SAME)]
    under = [r for r in fitting if r <= target_a * (1 + SAME)]
    return under[-1] if under else (fitting[0] if fitting else None)


class DeviceFormulas(Struct, frozen=True):
    """The four calculations under the clauses of a regime."""

    percent: Callable[..., Any]
    up: Callable[..., Any]
    within: Callable[..., Any]
    pick: Callable[..., Any]


class Limit(Struct, frozen=True):
    """A limit of the table: percent of the rated current, and the standard rating it comes to, if any."""

    percent_a: float
    rating_a: float | None


NO_LIMIT = Limit(0.0, None)


class PercentDevices:
    """The procedure: `PercentDevices(limits, ratings, load_rule, formulas)(need, work)`.

    limits          percent by method, side and rated current, each with its permission to round up
    ratings         standard ratings by kind
    load_rule       where it says what share of continuous load a device must carry
    secondary_rule  True where the device before the transformer never protects the conductors after it
    between         clause that permits fuses of ratings beside the standard ones; None: none does
    """

    def __init__(
        self,
        limits: EditionTable,
        ratings: EditionTable,
        load_rule: Source,
        formulas: DeviceFormulas,
        *,
        secondary_rule: bool = True,
        between: Source | None = None,
    ) -> None:
        self.limits = limits
        self.standard = ratings
        self.load_rule = load_rule
        self.formulas = formulas
        self.secondary_rule = secondary_rule
        self.between = between
        self.ratings = {
            kind: tuple(row.number("rating_a") for row in ratings.rows if row.yes(kind))
            for kind in ("breaker", "fuse")
        }

    def __call__(self, need: DeviceNeed, work: Ledger) -> DevicePlan:
        """Return the permitted and the chosen devices."""
        kind = need.kind or "breaker"
        plan = self._plan(need, kind, work)
        needs_secondary = self.secondary_rule and not need.covered
        if need.kind is None and (plan.primary_a is None or (plan.secondary_a is None and needs_secondary)):
            fused = self._plan(need, "fuse", work)
            if fused.primary_a is not None or self._odd_fuse(need, fused) is not None:
                return DevicePlan(protection=fused, findings=self._findings(need, fused, changed=True))
        return DevicePlan(protection=plan, findings=self._findings(need, plan, changed=False))

    def _plan(self, need: DeviceNeed, kind: str, work: Ledger) -> Protection:
        if need.autotransformer:
            only = self._limit(
                "autotransformer", "input", need.primary_rated_a, kind, "primary_only_max_a", work
            )
            return _protection(
                kind, only, NO_LIMIT, NO_LIMIT, self._primary(need, only, only, kind, work), ()
            )
        only = self._limit("primary only", "primary", need.primary_rated_a, kind, "primary_only_max_a", work)
        method = "primary and secondary"
        both = self._limit(
            method, "primary", need.primary_rated_a, kind, "primary_with_secondary_max_a", work
        )
        after = self._limit(method, "secondary", need.secondary_rated_a, kind, "secondary_max_a", work)
        secondaries = self._secondaries(need, after, kind, work)
        primary = self._primary(need, only, _most(only, both) if secondaries else only, kind, work)
        return _protection(kind, only, both, after, primary, secondaries)

    def _limit(self, method: str, side: str, rated_a: float, kind: str, name: str, work: Ledger) -> Limit:
        rows = self.limits.where(method=method, side=side)
        row = from_below(rows, "rated_current_from_a", "rated_current_below_a", rated_a)
        percent_a = work.calc(
            f"protection.{name}.percent_a",
            self.formulas.percent,
            rated_a=rated_a,
            limit_pct=row.number("max_pct"),
        )
        pick = self.formulas.up if row.yes("next_size_up") else self.formulas.within
        return Limit(
            percent_a, work.calc(f"protection.{name}", pick, limit_a=percent_a, ratings_a=self.ratings[kind])
        )

    def _primary(self, need: DeviceNeed, only: Limit, limit: Limit, kind: str, work: Ledger) -> float | None:
        """The existing device, else one near the limit that needs no secondary device."""
        if need.existing_primary_a is not None or limit.rating_a is None:
            return need.existing_primary_a
        value: float | None = work.calc(
            "protection.primary_a",
            self.formulas.pick,
            least_a=need.primary_design_a,
            target_a=only.percent_a,
            limit_a=limit.rating_a,
            ratings_a=self.ratings[kind],
        )
        return value

    def _secondaries(self, need: DeviceNeed, limit: Limit, kind: str, work: Ledger) -> tuple[float, ...]:
        if need.wanted_secondary_a or limit.rating_a is None:
            return need.wanted_secondary_a
        value = work.calc(
            "protection.secondary_a",
            self.formulas.pick,
            least_a=need.secondary_design_a,
            target_a=limit.percent_a,
            limit_a=limit.rating_a,
            ratings_a=self.ratings[kind],
        )
        return () if value is None else (value,)

    def _findings(self, need: DeviceNeed, plan: Protection, changed: bool) -> tuple[Finding, ...]:
        found: list[Finding] = []
        if changed:
            found.append(_fuses_instead(plan, self.standard.rows[0].source))
        table = self.limits.rows[0].source
        found += _primary_findings(need, plan, table, self.load_rule, self._odd_fuse(need, plan))
        if not need.autotransformer:
            found += _secondary_findings(need, plan, table, self.load_rule, self.secondary_rule)
        return tuple(found)

    def _odd_fuse(self, need: DeviceNeed, plan: Protection) -> Finding | None:
        """Where no standard rating lies within the limit, but one beside them that is permitted would."""
        if plan.primary_a is not None or self.between is None or need.kind == "breaker":
            return None
        method = "autotransformer" if need.autotransformer else "primary only"
        rows = self.limits.where(method=method, side="input" if need.autotransformer else "primary")
        row = from_below(rows, "rated_current_from_a", "rated_current_below_a", need.primary_rated_a)
        limit_a = percent_of_rated_a(need.primary_rated_a, row.number("max_pct"))
        if need.primary_design_a > limit_a * (1 + SAME):
            return None
        least, most = figure(need.primary_design_a, rounding="up"), figure(limit_a, rounding="down")
        message = (
            f"No standard device lies between the {least} A of the load and the {most} A permitted before the "
            "transformer. A time-delay fuse rated between them does: its rating need not be a standard one."
        )
        return cited(
            "no-standard-device",
            "caution",
            message,
            self.between,
            value=need.primary_design_a,
            limit=limit_a,
            unit="A",
        )


def _most(only: Limit, both: Limit) -> Limit:
    """The larger limit: a secondary device takes nothing from what is permitted without one."""
    return both if (both.rating_a or 0.0) >= (only.rating_a or 0.0) else only


def _protection(
    kind: str, only: Limit, both: Limit, after: Limit, primary: float | None, secondaries: tuple[float, ...]
) -> Protection:
    total = secondaries[0] if len(secondaries) == 1 else (sum(secondaries) or None)
    return Protection(
        primary_only_max_a=only.rating_a,
        primary_with_secondary_max_a=both.rating_a,
        secondary_max_a=after.rating_a,
        primary_a=primary,
        secondary_a=total,
        secondary_devices_a=secondaries,
        kind=kind,
        interrupting_min_a=None,
    )


def _fuses_instead(plan: Protection, standard: Source) -> Finding:
    return cited(
        "fuses-instead",
        "note",
        "No standard breaker is small enough for these currents: fuses are taken.",
        standard,
        value=plan.primary_a,
        unit="A",
    )


def _primary_findings(
    need: DeviceNeed, plan: Protection, table: Source, load_rule: Source, odd_fuse: Finding | None
) -> list[Finding]:
    limit_a, least_a, device_a = plan.primary_limit_a, need.primary_design_a, plan.primary_a
    if device_a is None and odd_fuse is not None:
        return [odd_fuse]
    if device_a is None:
        message = (
            f"No standard {plan.kind} carries {least_a:.1f} A and stays within the limit before the "
            "transformer."
        )
        return [cited("no-primary-device", "stop", message, table, value=least_a, limit=limit_a, unit="A")]
    if limit_a is not None and device_a > limit_a * (1 + SAME):
        message = (
            f"The existing {device_a:g} A device is larger than the {limit_a:g} A permitted: exchange it, or put one "
            "within the limit before the transformer."
        )
        return [
            cited("primary-device-too-large", "stop", message, table, value=device_a, limit=limit_a, unit="A")
        ]
    if device_a < least_a * (1 - SAME):
        return [too_small("primary", device_a, least_a, load_rule)]
    return []


def too_small(side: str, device_a: float, least_a: float, load_rule: Source) -> Finding:
    """Return the finding of a device, or of several together, that the load is too large for."""
    before = side == "primary"
    message = (
        f"The existing {device_a:g} A device is smaller than the {least_a:.1f} A that load and its continuous "
        "share ask for: it trips. A larger device with conductors for it, or less load."
        if before
        else f"The secondary devices add up to {device_a:g} A; {least_a:.1f} A is asked for by the load."
    )
    code = "primary-device-too-small" if before else "secondary-devices-too-small"
    return cited(code, "stop", message, load_rule, value=device_a, limit=least_a, unit="A")


def _secondary_findings(
    need: DeviceNeed, plan: Protection, table: Source, load_rule: Source, secondary_rule: bool
) -> list[Finding]:
    limit_a, total_a, least_a = plan.secondary_max_a, plan.secondary_a, need.secondary_design_a
    if total_a is None:
        if need.covered:
            return []
        return [_no_secondary(plan.kind, least_a, limit_a, table, secondary_rule)]
    found = []
    if limit_a is not None and total_a > limit_a * (1 + SAME):
        message = f"The secondary devices add up to {total_a:g} A; {limit_a:g} A is permitted."
        found.append(
            cited(
                "secondary-devices-too-large", "stop", message, table, value=total_a, limit=limit_a, unit="A"
            )
        )
    if total_a < least_a * (1 - SAME):
        found.append(too_small("secondary", total_a, least_a, load_rule))
    return found


def _no_secondary(
    kind: str, least_a: float, limit_a: float | None, table: Source, secondary_rule: bool
) -> Finding:
    code = "no-secondary-device"
    nothing = f"No standard {kind} carries {least_a:.1f} A and stays within the limit after the transformer"
    if secondary_rule:
        message = f"{nothing}: a larger unit, or a device listed for 100 % of its rating, is needed."
        return cited(code, "stop", message, table, value=least_a, limit=limit_a, unit="A")
    message = f"{nothing}: the device before it protects the conductors after it too."
    return cited(code, "note", message, table, value=least_a, limit=limit_a, unit="A")
