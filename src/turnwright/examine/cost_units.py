"""The units whose cost is compared: those of a list, or the pick and the next size with the bands of the trade."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from turnwright.errors import InputError
from turnwright.examine.subject import Subject
from turnwright.model.job import Nameplate
from turnwright.regimes.common.build import Build, build_of, usual_build
from turnwright.selection.screen import size_up
from turnwright.selection.sizing import law
from turnwright.working import CLOSED

THREE = 3
"""Phases of a listed unit that does not say."""


class Candidate(Struct, frozen=True, kw_only=True):
    """A unit with what is known of its losses and its price.

    no_load_loss_w, load_loss_w  None: not known [W]
    loss_band_w                  full-load loss by the trade, low and high end, where the losses are not known [W]
    ceiling_35_w                 most that the law lets it lose at 35 % load; None: no law says [W]
    price                        None: not known
    """

    name: str
    kva: float
    rise_k: float | None = None
    winding: str | None = None
    no_load_loss_w: float | None = None
    load_loss_w: float | None = None
    loss_band_w: tuple[float, float] | None = None
    ceiling_35_w: float | None = None
    price: float | None = None
    currency: str = ""

    @property
    def known(self) -> bool:
        """Both losses are known."""
        return self.no_load_loss_w is not None and self.load_loss_w is not None


def candidates_of(subject: Subject, stock: tuple[Nameplate, ...]) -> tuple[Candidate, ...]:
    """Return the units to compare.

    Raises:
        InputError: COST-03, a unit of the list without a rated power.
    """
    if not stock:
        return tuple(_sizes(subject))
    names = [plate.unit or f"unit {number}" for number, plate in enumerate(stock, 1)]
    told = [
        f"{name} ({names[:i].count(name) + 1})" if name in names[:i] else name for i, name in enumerate(names)
    ]
    return tuple(_listed(plate, name) for plate, name in zip(stock, told, strict=True))


def _listed(plate: Nameplate, name: str) -> Candidate:
    kva = None if plate.kva is None else plate.kva.low
    if kva is None:
        raise InputError("COST-03", name, "its rated kVA is not known.", 'Write kva, as "75 kVA".')
    no_load, load = (
        each.high if each is not None else None for each in (plate.no_load_loss, plate.load_loss)
    )
    known = no_load is not None and load is not None
    enclosure = plate.enclosure if isinstance(plate.enclosure, str) else None
    phases = getattr(plate.primary, "phases", None) or THREE
    return Candidate(
        name=name,
        kva=kva,
        rise_k=None if plate.rise is None else plate.rise.high,
        winding=plate.winding if isinstance(plate.winding, str) else None,
        no_load_loss_w=None if no_load is None else 1000.0 * no_load,
        load_loss_w=None if load is None else 1000.0 * load,
        loss_band_w=None if known else _band_w(usual_build(phases, kva, (enclosure,))),
        price=None if plate.price is None else plate.price.high,
        currency="" if plate.price is None else plate.price.unit_written,
    )


def _sizes(subject: Subject) -> Iterator[Candidate]:
    """Yield the pick and the next standard size, of which nobody knows the losses yet."""
    own, proposal = subject.sized.unit, subject.sized.proposal
    larger = [kva for kva in subject.regime.sizes_kva[proposal.unit_phases] if kva > own.kva]
    for kva in (own.kva, *larger[:1]):
        sized = subject.sized
        if kva != own.kva:
            sized = size_up(
                subject.case, proposal, sized.picture, kva, sized.derating, subject.regime, CLOSED
            )
        need = law(subject.case, sized, subject.regime, CLOSED)
        count = proposal.units
        yield Candidate(
            name=f"{kva:g} kVA" if count == 1 else f"{count} of {kva:g} kVA",
            kva=float(kva) * count,
            rise_k=sized.unit.rise_k,
            loss_band_w=_band_w(build_of(sized.unit), count),
            ceiling_35_w=None if need.loss_ceiling_w is None else need.loss_ceiling_w * count,
        )


def _band_w(build: Build, count: int = 1) -> tuple[float, float]:
    """The full-load loss that is usual for units of a size and build, low and high end. [W]"""
    return build.loss_low_w * count, build.loss_high_w * count
