"""Overcurrent devices: IEC 60364-4-43. No clause sets a percentage of the transformer's rated current."""

from __future__ import annotations

from turnwright.model.result import Finding, Protection
from turnwright.reference import load
from turnwright.regimes.common.devices import SAME, too_small
from turnwright.regimes.iec.numbers import limit
from turnwright.regimes.procedures import DeviceNeed, DevicePlan
from turnwright.regimes.said import cited
from turnwright.working import Ledger, formula


@formula("smallest rated current ≥ max(I_B, share · I_rated)", "A", "IEC 60364-4-43 433.1 and inrush")
def before_a(
    design_a: float, rated_a: float, over_rated: float, ratings_a: tuple[float, ...]
) -> float | None:
    """Return the device before the transformer: it carries the load and rides through switching on. [A]

    design_a   : design current I_B [A]
    rated_a    : rated current of the transformer on that side [A]
    over_rated : device over rated current [-]
    ratings_a  : preferred rated currents, ascending [A]
    Source: IEC 60364-4-43 433.1 (I_B ≤ I_n); common practice for the share

    Example:
        >>> before_a(design_a=20.0, rated_a=36.1, over_rated=1.25, ratings_a=(32.0, 40.0, 50.0))
        50.0
    """
    least_a = max(design_a, rated_a * over_rated)
    return next((rating for rating in ratings_a if rating >= least_a * (1 - SAME)), None)


@formula(
    "largest rated current ≤ I_rated that carries I_B, else the smallest that does",
    "A",
    "IEC 60364-4-43 433.1",
)
def after_a(design_a: float, rated_a: float, ratings_a: tuple[float, ...]) -> float | None:
    """Return the device after the transformer: it carries the load, and where it can spares the windings. [A]

    design_a  : design current I_B [A]
    rated_a   : rated current of the transformer on that side [A]
    ratings_a : preferred rated currents, ascending [A]
    Source: IEC 60364-4-43 433.1 (I_B ≤ I_n)

    Example:
        >>> after_a(design_a=55.0, rated_a=72.2, ratings_a=(50.0, 63.0, 80.0))
        63.0
        >>> after_a(design_a=70.0, rated_a=72.2, ratings_a=(50.0, 63.0, 80.0))
        80.0
    """
    carrying = [rating for rating in ratings_a if rating >= design_a * (1 - SAME)]
    sparing = [rating for rating in carrying if rating <= rated_a * (1 + SAME)]
    return sparing[-1] if sparing else next(iter(carrying), None)


class Devices:
    """The procedure: `Devices()(need, work)`."""

    def __init__(self) -> None:
        table = load("iec_device_ratings").newest()
        self.source = table.rows[0].source
        self.rule = load("iec_limits").newest().row(key="overload_factor").source
        self.over_rated = limit("primary_over_rated")
        self.ratings = {
            kind: tuple(row.number("rating_a") for row in table.rows if row.yes(kind))
            for kind in ("breaker", "fuse")
        }

    def __call__(self, need: DeviceNeed, work: Ledger) -> DevicePlan:
        """Return the chosen devices; nothing is permitted or forbidden by a percentage."""
        kind = need.kind or "breaker"
        primary_a = need.existing_primary_a
        if primary_a is None:
            primary_a = work.calc(
                "protection.primary_a",
                before_a,
                design_a=need.primary_design_a,
                rated_a=need.primary_rated_a,
                over_rated=self.over_rated,
                ratings_a=self.ratings[kind],
            )
        secondaries = () if need.autotransformer else self._secondaries(need, kind, work)
        plan = Protection(
            primary_only_max_a=None,
            primary_with_secondary_max_a=None,
            secondary_max_a=None,
            primary_a=primary_a,
            secondary_a=secondaries[0] if len(secondaries) == 1 else (sum(secondaries) or None),
            secondary_devices_a=secondaries,
            kind=kind,
            interrupting_min_a=None,
        )
        return DevicePlan(protection=plan, findings=tuple(self._findings(need, plan)))

    def _secondaries(self, need: DeviceNeed, kind: str, work: Ledger) -> tuple[float, ...]:
        if need.wanted_secondary_a:
            return need.wanted_secondary_a
        value: float | None = work.calc(
            "protection.secondary_a",
            after_a,
            design_a=need.secondary_design_a,
            rated_a=need.secondary_rated_a,
            ratings_a=self.ratings[kind],
        )
        return () if value is None else (value,)

    def _findings(self, need: DeviceNeed, plan: Protection) -> list[Finding]:
        found: list[Finding] = []
        if plan.primary_a is None:
            message = (
                f"No {plan.kind} of the preferred series carries {need.primary_design_a:.1f} A: split the "
                "load."
            )
            found.append(
                cited(
                    "no-primary-device", "stop", message, self.source, value=need.primary_design_a, unit="A"
                )
            )
        elif plan.primary_a < need.primary_design_a * (1 - SAME):
            found.append(too_small("primary", plan.primary_a, need.primary_design_a, self.rule))
        if need.autotransformer:
            return found
        if plan.secondary_a is None:
            message = (
                f"No {plan.kind} of the preferred series carries {need.secondary_design_a:.1f} A: split the "
                "load."
            )
            found.append(
                cited(
                    "no-secondary-device",
                    "stop",
                    message,
                    self.source,
                    value=need.secondary_design_a,
                    unit="A",
                )
            )
        elif plan.secondary_a < need.secondary_design_a * (1 - SAME):
            found.append(too_small("secondary", plan.secondary_a, need.secondary_design_a, self.rule))
        return found
