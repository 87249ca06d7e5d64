"""Site, circuit and choices of a case, and what stands in where the job does not say."""

from __future__ import annotations

from turnwright.intake.facts import Facts, unknown_too
from turnwright.model.case import CaseChoices, CaseCircuit, CaseRoom, CaseSite, Defaults
from turnwright.model.job import Choices, Circuit, Room, Site, WordFact
from turnwright.model.keys import CHOICES, CIRCUIT, ROOM, SITE
from turnwright.quantities import UNKNOWN, Quantity, VoltageSystem
from turnwright.working import Number

HAZARDOUS = "hazardous"
MOST_SEVERE = "most severe"
_SITE = {key.name: key for key in SITE}
_ROOM = {key.name: key for key in ROOM}
_CIRCUIT = {key.name: key for key in CIRCUIT}
_CHOICES = {key.name: key for key in CHOICES}


def site_of(site: Site, defaults: Defaults, facts: Facts) -> CaseSite:
    """Return where the unit stands."""
    average, peak = _ambient(site, defaults, facts)
    warm = average > defaults.ambient_average_c or peak > defaults.ambient_peak_c
    lowest = facts.optional("site.ambient_lowest", site.ambient_lowest, _SITE["ambient_lowest"])
    altitude = facts.size("site.altitude", site.altitude, _SITE["altitude"])
    if altitude is None:
        reason = unknown_too(site.altitude, "usual service condition, no derating up to here")
        text = f"up to {defaults.altitude_m:g} m"
        altitude = facts.assume("site.altitude", defaults.altitude_m, "m", reason, text)
    place = facts.word_or(
        "site.place", site.place, "indoor", unknown_too(site.place, "nothing says outdoors")
    )
    temporary = facts.flag("site.temporary", site.temporary)
    return CaseSite(
        ambient_average_c=average,
        ambient_peak_c=peak,
        ambient_lowest_c=lowest,
        altitude_m=altitude,
        altitude_rule=_rule("altitude_rule", site.altitude_rule, altitude > defaults.altitude_m, facts),
        ambient_rule=_rule("ambient_rule", site.ambient_rule, warm, facts),
        place=place,
        place_known=isinstance(site.place, str),
        temporary=temporary,
        conditions=_conditions(site, facts),
        classified=facts.optional_word("site.classified", site.classified),
        seismic=facts.optional_word("site.seismic", site.seismic),
        seismic_g=_optional(site, facts, "seismic_g"),
        essential=facts.yes("site.essential", site.essential),
        way_in_width_m=_optional(site, facts, "way_in_width"),
        way_in_height_m=_optional(site, facts, "way_in_height"),
        way_in_mass_kg=_optional(site, facts, "way_in_mass"),
        floor_load_kpa=_optional(site, facts, "floor_load"),
        room=_room(site.room, facts) if site.room is not None else None,
    )


def _optional(site: Site, facts: Facts, name: str) -> Number | None:
    return facts.optional(f"site.{name}", getattr(site, name), _SITE[name])


def _ambient(site: Site, defaults: Defaults, facts: Facts) -> tuple[float, float]:
    """Return average and peak; a missing one follows the other, so that the average never passes the peak."""
    average = facts.size("site.ambient_average", site.ambient_average, _SITE["ambient_average"])
    peak = facts.size("site.ambient_peak", site.ambient_peak, _SITE["ambient_peak"])
    apart_k = defaults.ambient_peak_c - defaults.ambient_average_c
    if average is None:
        degrees, reason = defaults.ambient_average_c, "usual service condition"
        if peak is not None:
            degrees = min(max(degrees, peak - apart_k), peak)
            reason = "usual service condition, fitted to the peak given"
        reason = unknown_too(site.ambient_average, reason)
        average = facts.assume("site.ambient_average", degrees, "°C", reason)
    if peak is None:
        degrees, reason = defaults.ambient_peak_c, "usual service condition; conductors are taken at the peak"
        if average + apart_k > degrees:
            degrees = average + apart_k
            reason = "usual distance above the average given; conductors are taken at the peak"
        peak = facts.assume("site.ambient_peak", degrees, "°C", unknown_too(site.ambient_peak, reason))
    return average, peak


def _rule(name: str, given: WordFact, derates: bool, facts: Facts) -> str | None:
    """Return the published rule that was chosen; None: the most severe one, noted where it takes something off."""
    path = f"site.{name}"
    if given is None and not derates:
        return None
    reason = unknown_too(given, "the published rules differ, and this is on the safe side")
    found = facts.word_or(path, given, MOST_SEVERE, reason)
    return None if found == MOST_SEVERE else found


def _conditions(site: Site, facts: Facts) -> tuple[str, ...]:
    given = site.conditions
    if given is UNKNOWN:
        facts.note("site.conditions", "none counted", "assumed", "the file says they are not known")
    if not isinstance(given, tuple):
        given = ()
    if isinstance(site.classified, str) and HAZARDOUS not in given:
        given = (*given, HAZARDOUS)
        facts.note("site.conditions", ", ".join(given), "computed", "the place is a classified one")
    elif given:
        facts.note("site.conditions", ", ".join(given), "given")
    return given


def _room(room: Room, facts: Facts) -> CaseRoom:
    length, width, height = (
        facts.optional(f"site.room.{name}", getattr(room, name), _ROOM[name])
        for name in ("length", "width", "height")
    )
    ventilated = facts.yes("site.room.ventilated", room.ventilated)
    return CaseRoom(length_m=length, width_m=width, height_m=height, ventilated=ventilated)


def circuit_of(circuit: Circuit, defaults: Defaults, facts: Facts) -> CaseCircuit:
    """Return the conductors and devices on both sides."""
    primary_length = _length("primary_length", circuit.primary_length, facts)
    secondary_length = _length("secondary_length", circuit.secondary_length, facts)
    conductor = _stand_in("conductor", circuit.conductor, "copper", "usual for these sizes", facts)
    terminals = facts.size("circuit.terminals", circuit.terminals, _CIRCUIT["terminals"])
    if terminals is None and defaults.unmarked_terminals is not None:
        reason = unknown_too(circuit.terminals, "what unmarked terminals are good for")
        facts.note("circuit.terminals", defaults.unmarked_terminals, "assumed", reason)
    raceway = _stand_in(
        "raceway", circuit.raceway, "steel", "the larger reactance, and so the larger drop", facts
    )
    installation = _installation(circuit, defaults, facts)
    insulation = _stand_in("insulation", circuit.insulation, defaults.insulation, "usual insulation", facts)
    device_kind = facts.optional_word("circuit.device_kind", circuit.device_kind)
    primary = facts.optional("circuit.primary_device", circuit.primary_device, _CIRCUIT["primary_device"])
    devices = [
        facts.optional(f"circuit.secondary_devices[{number}]", each, _CIRCUIT["secondary_devices"])
        for number, each in enumerate(circuit.secondary_devices)
    ]
    return CaseCircuit(
        primary_length_m=primary_length,
        secondary_length_m=secondary_length,
        conductor=conductor,
        terminals_c=terminals,
        raceway=raceway,
        installation=installation,
        insulation=insulation,
        device_kind=device_kind,
        primary_device_a=primary,
        secondary_devices_a=tuple(each for each in devices if each is not None),
    )


def _installation(circuit: Circuit, defaults: Defaults, facts: Facts) -> str | None:
    path = "circuit.installation"
    found = facts.word(path, circuit.installation)
    if found is None and defaults.installation is not None:
        reason = unknown_too(circuit.installation, "the way that carries least of those that are usual here")
        facts.note(path, defaults.installation, "assumed", reason)
    return found


def _length(name: str, given: Quantity | None, facts: Facts) -> Number | None:
    path = f"circuit.{name}"
    found = facts.size(path, given, _CIRCUIT[name])
    if found is None:
        facts.note(path, "not counted", "assumed", unknown_too(given, "no length is given"))
    return found


def _stand_in(name: str, given: object, stand_in: str, reason: str, facts: Facts) -> str:
    word = given if isinstance(given, str) else None
    return facts.word_or(f"circuit.{name}", word, stand_in, unknown_too(given, reason))


def choices_of(choices: Choices, defaults: Defaults, facts: Facts) -> CaseChoices:
    """Return what the user insists on."""

    def size(name: str) -> Number | None:
        given = getattr(choices, name)
        return None if given is None else facts.optional(f"choices.{name}", given, _CHOICES[name])

    secondary = choices.secondary if isinstance(choices.secondary, VoltageSystem) else None
    low, high = _impedance(choices, facts)
    reason = "the newest date the tables know"
    return CaseChoices(
        secondary=None if secondary is None else facts.system("choices.secondary", secondary),
        kva=size("kva"),
        proposed_kva=size("proposed_kva"),
        units=_units(choices, facts),
        growth_pct=_growth(choices, facts),
        rise_k=size("rise"),
        winding=facts.optional_word("choices.winding", choices.winding),
        impedance_pct=low if low == high else None,
        impedance_low_pct=None if low == high else low,
        impedance_high_pct=None if low == high else high,
        resistance_pct=size("resistance"),
        p_ecr=size("p_ecr"),
        k_rating=size("k_rating"),
        shield=facts.yes("choices.shield", choices.shield),
        arrangement=facts.optional_word("choices.arrangement", choices.arrangement),
        manufactured=facts.word_or(
            "choices.manufactured",
            choices.manufactured,
            defaults.manufactured,
            unknown_too(choices.manufactured, reason),
        ),
        price_kwh=size("price_kwh"),
        hours_per_year=size("hours_per_year"),
        years=size("years"),
        discount_pct=size("discount"),
    )


def _growth(choices: Choices, facts: Facts) -> Number:
    found = facts.size("choices.growth", choices.growth, _CHOICES["growth"])
    if found is None:
        reason = unknown_too(choices.growth, "none is counted")
        return facts.assume("choices.growth", 0.0, "%", reason, "none")
    return found


def _impedance(choices: Choices, facts: Facts) -> tuple[Number | None, Number | None]:
    """Return both ends of the impedance: equal where it is exact, None where it is free."""
    path, given, key = "choices.impedance", choices.impedance, _CHOICES["impedance"]
    if given is None or given.form == "unknown":
        reason = unknown_too(given, "the low end for faults, the high end for drop and dip")
        facts.note(path, "usual band", "assumed", reason)
        return None, None
    if given.form == "exact":
        exact = facts.size(path, given, key)
        return exact, exact
    facts.note(path, given.text, "given", "the low end for faults, the high end for drop and dip")
    return facts.ends(path, given)


def _units(choices: Choices, facts: Facts) -> int | None:
    found = facts.optional("choices.units", choices.units, _CHOICES["units"])
    return None if found is None else int(found)
