"""The unit whose heat is followed: the pick of a job, or one that exists."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from turnwright.examine.records import Assumed
from turnwright.model.case import Case
from turnwright.model.job import Nameplate
from turnwright.quantities import Quantity
from turnwright.thermal.nameplate import Basis, RatedHeat, heat_of
from turnwright.thermal.tables import constant

if TYPE_CHECKING:
    from turnwright.examine.options import Options
    from turnwright.examine.subject import Subject

_SAYS = {
    "rise": "average winding rise",
    "insulation": "insulation class",
    "time_constant": "thermal time constant",
    "k_rating": "K rating",
    "p_ecr": "winding eddy loss over I²R",
    "load_loss_at": "temperature of the load loss",
    "winding": "metal of the windings",
}
LOSSES = ("no_load_loss", "load_loss")


class Price(Struct, frozen=True):
    """A price, and the currency it is in."""

    value: float
    currency: str


class Followed(Struct, frozen=True, kw_only=True):
    """A unit, what a metered load is measured by, and what stands in.

    rated_a    rated current of the load side; None: not known, or not asked for [A]
    rated_kva  power at rated current, through the unit [kVA]
    average_c  ambient where none was metered, on average [degC]
    peak_c     the same, at the peak [degC]
    place      what is assumed of the place it stands in
    price      of a kWh; None: not known
    """

    name: str
    rated_a: float | None
    rated_kva: float
    heat: RatedHeat
    average_c: float
    peak_c: float
    place_known: bool
    place: tuple[Assumed, ...]
    price: Price | None
    assumed: tuple[Assumed, ...]


def followed_pick(subject: Subject, options: Options) -> Followed:
    """Return the pick of a job, ready to be followed: a unit that nobody has measured yet."""
    from turnwright.selection.currents import (
        full_load_kva,  # a unit without a job needs none of the selection
    )
    from turnwright.selection.heat import basis_of, heat_of_size

    case, pick, proposal = subject.case, subject.blocks.pick, subject.sized.proposal
    rated_a = subject.blocks.currents.secondary_rated_a
    basis = basis_of(case, subject.regime)
    basis = replace(
        basis, standard=options.standard or basis.standard, ageing=options.ageing, cooling=options.cooling
    )
    heat = heat_of_size(case, subject.sized, basis)
    return Followed(
        name=f"{pick.kva:g} kVA",
        rated_a=rated_a,
        rated_kva=full_load_kva(proposal.phases)(current_a=rated_a, voltage_v=proposal.output.line_v),
        heat=heat,
        average_c=case.site.ambient_average_c,
        peak_c=case.site.ambient_peak_c,
        place_known=any(fact.key.startswith("site.ambient") and fact.known == "given" for fact in case.facts),
        place=(),
        price=price_of(options.price_kwh, case),
        assumed=_assumed(heat, "the unit is not bought yet"),
    )


def followed_plate(plate: Nameplate, options: Options) -> Followed:
    """Return a unit that exists, ready to be followed.

    Raises:
        InputError: HEAT-02, HEAT-04, HEAT-09, a nameplate that cannot be used.
    """
    in_amperes = options.load is not None and options.load.load_is == "current_a"
    name = plate.unit or "the unit"
    basis = Basis(standard=options.standard or "ieee", ageing=options.ageing, cooling=options.cooling)
    heat = heat_of(plate, name, name, basis)
    enclosure = plate.enclosure if isinstance(plate.enclosure, str) else "ventilated"
    more: tuple[Assumed, ...] = ()
    if enclosure not in ("ventilated", "open"):
        what = f"heat rises with load as in a ventilated unit, exponent {heat.model.exponent:g}"
        more = (Assumed(what, f"no figure is carried for an enclosure that is {enclosure}"),)
    return Followed(
        name=name,
        rated_a=_rated_a(plate, heat.kva) if in_amperes else None,
        rated_kva=heat.kva,
        heat=heat,
        average_c=constant("usual_ambient_average_c"),
        peak_c=constant("usual_ambient_peak_c"),
        place_known=False,
        place=(Assumed("altitude up to 1000 m", "higher up the air is thinner and the rise larger"),),
        price=price_of(options.price_kwh, None),
        assumed=(*_assumed(heat, "the nameplate does not tell"), *more),
    )


def _rated_a(plate: Nameplate, kva: float) -> float | None:
    from turnwright.fleet.rated import rated_current_a

    return rated_current_a(plate, kva)


def price_of(given: Quantity | None, case: Case | None) -> Price | None:
    """Return the price of a kWh, the one given beside the job before that of the job; None: not known."""
    if given is not None:
        return None if given.high is None else Price(given.high, given.unit_written)
    found = None if case is None else case.choices.price_kwh
    if found is None:
        return None
    from turnwright.selection.yearly_loss import currency_of

    return Price(float(found), currency_of(found))


def _assumed(heat: RatedHeat, why: str) -> tuple[Assumed, ...]:
    """Return what stands in for what the nameplate does not tell; of losses nothing does."""
    return tuple(
        Assumed(f"{_SAYS[key]}: {value}", why) for key, value in heat.assumed.items() if key not in LOSSES
    )
