"""The units whose cost is compared: of a list, offers of the job, or the pick and the next size by what is usual."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.errors import InputError
from turnwright.examine.subject import Subject
from turnwright.intake.case_offers import told_apart
from turnwright.model.case import CaseOffer
from turnwright.model.job import Nameplate
from turnwright.regimes.common.build import build_of, differences, usual_build
from turnwright.selection.owning import Candidate, band_w, candidate_of_offer
from turnwright.selection.screen import size_up
from turnwright.selection.sizing import law
from turnwright.selection.yearly_loss import loss_frame
from turnwright.working import CLOSED

THREE = 3
"""Phases of a listed unit that does not say."""


def candidates_of(subject: Subject, stock: tuple[Nameplate, ...]) -> tuple[Candidate, ...]:
    """Return the units to compare.

    Raises:
        InputError: COST-03, a unit of the list or an offer without a rated power.
    """
    if not stock:
        offers = subject.case.offers
        return tuple(_offered(subject, each) for each in offers) if offers else tuple(_sizes(subject))
    names = told_apart([plate.unit or f"unit {number}" for number, plate in enumerate(stock, 1)])
    return tuple(_listed(plate, name) for plate, name in zip(stock, names, strict=True))


def _offered(subject: Subject, offer: CaseOffer) -> Candidate:
    proposal = subject.sized.proposal
    found = candidate_of_offer(offer, proposal.unit_phases, proposal.units)
    if found is None:
        raise _no_rating(offer.name)
    return found


def _no_rating(name: str) -> InputError:
    return InputError("COST-03", name, "its rated kVA is not known.", 'Write kva, as "75 kVA".')


def _listed(plate: Nameplate, name: str) -> Candidate:
    kva = None if plate.kva is None else plate.kva.low
    if kva is None:
        raise _no_rating(name)
    no_load, load = (
        each.high if each is not None else None for each in (plate.no_load_loss, plate.load_loss)
    )
    known = no_load is not None and load is not None
    enclosure = plate.enclosure if isinstance(plate.enclosure, str) else None
    winding = plate.winding if isinstance(plate.winding, str) else None
    rise_k = None if plate.rise is None else plate.rise.high
    k_rating = None if plate.k_rating is None else plate.k_rating.low
    phases = getattr(plate.primary, "phases", None) or THREE
    return Candidate(
        name=name,
        kva=kva,
        rise_k=rise_k,
        winding=winding,
        no_load_loss_w=None if no_load is None else 1000.0 * no_load,
        load_loss_w=None if load is None else 1000.0 * load,
        loss_band_w=None
        if known
        else band_w(usual_build(phases, kva, differences(enclosure, winding, k_rating, rise_k))),
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
        count, frame = proposal.units, loss_frame(subject.case, sized, subject.regime)
        yield Candidate(
            name=f"{kva:g} kVA" if count == 1 else f"{count} of {kva:g} kVA",
            kva=float(kva) * count,
            rise_k=sized.unit.rise_k,
            loss_band_w=band_w(build_of(sized.unit), count),
            ceiling_35_w=None if need.loss_ceiling_w is None else need.loss_ceiling_w * count,
            law_share=None if frame is None else frame.law_share,
        )
