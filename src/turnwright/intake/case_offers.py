"""The units that are offered, as far as their cost goes, each fact with its origin."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from turnwright.intake.facts import Facts
from turnwright.model.case import CaseOffer
from turnwright.model.job import Nameplate, SystemFact
from turnwright.model.keys import UNIT
from turnwright.quantities import VoltageSystem
from turnwright.working import Number

_UNIT = {key.name: key for key in UNIT}
W_PER_KW = 1000.0


def told_apart(names: Sequence[str]) -> list[str]:
    """Return names of which none stands twice.

    Example:
        >>> told_apart(["T-1", "T-2", "T-1"])
        ['T-1', 'T-2', 'T-1 (2)']
    """
    return [
        f"{name} ({names[:i].count(name) + 1})" if name in names[:i] else name for i, name in enumerate(names)
    ]


def offers_of(offers: tuple[Nameplate, ...], facts: Facts) -> tuple[CaseOffer, ...]:
    """Return the offers of a job in their order; one without a name is called by its number."""
    names = told_apart([plate.unit or f"offer {number}" for number, plate in enumerate(offers, 1)])
    return tuple(
        _offer(plate, name, f"offer[{index}]", facts)
        for index, (plate, name) in enumerate(zip(offers, names, strict=True))
    )


def _offer(plate: Nameplate, name: str, path: str, facts: Facts) -> CaseOffer:
    def size(name: str) -> Number | None:
        return facts.optional(f"{path}.{name}", getattr(plate, name), _UNIT[name])

    def word(name: str) -> str | None:
        return facts.optional_word(f"{path}.{name}", getattr(plate, name))

    def system(name: str, given: SystemFact) -> VoltageSystem | None:
        return facts.system(f"{path}.{name}", given) if isinstance(given, VoltageSystem) else None

    facts.word(f"{path}.unit", plate.unit)
    return CaseOffer(
        name=name,
        kva=size("kva"),
        primary=system("primary", plate.primary),
        secondary=system("secondary", plate.secondary),
        rise_k=size("rise"),
        winding=word("winding"),
        enclosure=word("enclosure"),
        k_rating=size("k_rating"),
        no_load_loss_w=_watts(size("no_load_loss")),
        load_loss_w=_watts(size("load_loss")),
        price=size("price"),
        currency="" if plate.price is None else plate.price.unit_written,
    )


def _watts(kilowatts: Number | None) -> Number | None:
    """Return a loss in watts that still knows where it stands."""
    if kilowatts is None:
        return None
    watts = kilowatts * W_PER_KW
    return Number(watts, replace(kilowatts.step, value=watts, unit="W"))
