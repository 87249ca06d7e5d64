"""From a nameplate to what heats and ages the unit, with a note of everything that stands in."""

from __future__ import annotations

from msgspec import Struct

from turnwright.errors import InputError
from turnwright.model.job import Nameplate, QuantityFact
from turnwright.thermal.ageing import AgeingLaw, Rule, law_of
from turnwright.thermal.classes import RatedRise, Standard, rated_rise
from turnwright.thermal.derating import Cooling, altitude_derating, altitude_rules
from turnwright.thermal.losses import ohmic_loss_w, other_stray_pu
from turnwright.thermal.profile import HeatModel, Losses
from turnwright.thermal.rise import rise_in_thin_air_k
from turnwright.thermal.tables import constant

USUAL_RISE_K = 150.0
METALS = {"copper": "resistance_zero_cu_c", "aluminum": "resistance_zero_al_c"}


class Basis(Struct, frozen=True, kw_only=True):
    """By which rules a unit is followed.

    standard  whose hot-spot rises: "ieee" or "iec"
    ageing    law of ageing: "iec", or "halving-10k", the trade's older rule
    cooling   "AN" self-cooled or "AF" forced air
    metal     of the windings where the nameplate does not tell; None: taken as copper, and told
    altitude_m  of the place; the thinner air above usual service lets the rise grow [m]
    altitude_rule  published rule for it; None, or one that does not hold for the cooling: the most severe
    """

    standard: Standard = "ieee"
    ageing: Rule = "iec"
    cooling: Cooling = "AN"
    metal: str | None = None
    altitude_m: float = 0.0
    altitude_rule: str | None = None


class RatedHeat(Struct, frozen=True, kw_only=True):
    """A unit ready to be followed.

    kva      rated power [kVA]
    rise     its rises at rated load, and where they come from
    assumed  key of the nameplate -> what stands in for it
    """

    kva: float
    rise: RatedRise
    model: HeatModel
    assumed: dict[str, str]


def heat_of(plate: Nameplate, name: str, where: str, basis: Basis) -> RatedHeat:
    """Return a unit ready to be followed; of a half-known fact the end that makes it hotter or older.

    plate : the nameplate
    name  : of the unit, for messages
    where : file and row it stands in, for messages
    Raises:
        InputError: HEAT-09 without rated kVA; HEAT-02, HEAT-04 for a rise or class out of range.

    Example:
        >>> from turnwright.intake.unit_file import unit_from_mapping
        >>> plate = unit_from_mapping({"kva": "75", "rise": "150 K", "time_constant": "1 h"})
        >>> heat = heat_of(plate, "T-1", "row 2", Basis())
        >>> heat.model.hot_spot_rise_k, sorted(heat.assumed)
        (180.0, ['insulation', 'k_rating', 'load_loss', 'no_load_loss', 'p_ecr'])
    """
    kva = _size(plate.kva, "low")
    if kva is None:
        fix = 'Write kva, as "75 kVA".'
        raise InputError("HEAT-09", where, f"the rated kVA of {name} is not known.", fix)
    assumed: dict[str, str] = {}
    rise = _rise(plate, basis, assumed)
    eddy = _size(plate.p_ecr, "high")
    if eddy is None:
        eddy = constant("p_ecr_high_pct") / 100.0
        assumed["p_ecr"] = f"{eddy:g}, the high end of the usual range"
    exponent = constant("hot_spot_exponent_an" if basis.cooling == "AN" else "hot_spot_exponent_af")
    rule = basis.altitude_rule if basis.altitude_rule in altitude_rules(basis.cooling) else None
    share = altitude_derating(basis.altitude_m, basis.cooling, rule).factor
    model = HeatModel(
        average_rise_k=rise_in_thin_air_k(rise.average_k, share, exponent),
        hot_spot_rise_k=rise_in_thin_air_k(rise.hot_spot_k, share, exponent),
        exponent=exponent,
        time_constant_h=_time_constant(plate, assumed),
        eddy_pu=eddy,
        k_rating=_k_rating(plate, assumed),
        law=_law(plate, rise, basis, assumed),
        losses=_losses(plate, rise, eddy, basis, assumed),
    )
    return RatedHeat(kva=kva, rise=rise, model=model, assumed=assumed)


def _size(given: QuantityFact, side: str) -> float | None:
    """Return one end of a quantity in the unit used inside, None where it is not known."""
    if given is None or given.low is None or given.high is None:
        return None
    return given.high if side == "high" else given.low


def _rise(plate: Nameplate, basis: Basis, assumed: dict[str, str]) -> RatedRise:
    average = _size(plate.rise, "high")
    if average is None:
        average = USUAL_RISE_K
        assumed["rise"] = f"{average:g} K, the highest usual one"
    return rated_rise(average, basis.standard)


def _law(plate: Nameplate, rise: RatedRise, basis: Basis, assumed: dict[str, str]) -> AgeingLaw:
    system = _size(plate.insulation, "low")
    if system is None:
        below = constant("rated_hot_spot_below_class_k")
        usual = rise.hot_spot_k + constant("usual_ambient_average_c") + below
        system = rise.system_c if rise.system_c is not None else usual
        assumed["insulation"] = f"{system:g} °C, the class of a rise of {rise.average_k:g} K"
    return law_of(system, basis.ageing)


def _time_constant(plate: Nameplate, assumed: dict[str, str]) -> float:
    seconds = _size(plate.time_constant, "low")
    hours = 0.0 if seconds is None else seconds / 3600.0
    if seconds is None:
        hours = constant("time_constant_low_h")
        assumed["time_constant"] = f"{hours:g} h, the shortest usual one: it follows every peak"
    return hours


def _k_rating(plate: Nameplate, assumed: dict[str, str]) -> float:
    rating = _size(plate.k_rating, "low")
    if rating is None:
        assumed["k_rating"] = "1, built for sinusoidal current"
    return 1.0 if rating is None else rating


def _losses(
    plate: Nameplate, rise: RatedRise, eddy_pu: float, basis: Basis, assumed: dict[str, str]
) -> Losses | None:
    no_load_kw, load_kw = _size(plate.no_load_loss, "high"), _size(plate.load_loss, "high")
    if no_load_kw is None or load_kw is None:
        for key, value in (("no_load_loss", no_load_kw), ("load_loss", load_kw)):
            if value is None:
                assumed[key] = "nothing: without it there is no energy and no cost"
        return None
    reference = _size(plate.load_loss_at, "low")
    if reference is None:
        reference = rise.average_k + constant("reference_temperature_adder_k")
        assumed["load_loss_at"] = f"{reference:g} °C, average rise plus 20 K"
    other = other_stray_pu(eddy_pu, constant("eddy_share_of_stray"), constant("other_stray_share"))
    ohmic = ohmic_loss_w(1000.0 * load_kw, eddy_pu, other)
    metal = plate.winding if isinstance(plate.winding, str) else basis.metal
    if metal is None:
        assumed["winding"] = "copper, for the change of loss with temperature"
    return Losses(
        no_load_w=1000.0 * no_load_kw,
        ohmic_w=ohmic,
        eddy_w=eddy_pu * ohmic,
        other_w=other * ohmic,
        reference_c=reference,
        zero_c=constant(METALS[metal or "copper"]),
    )
