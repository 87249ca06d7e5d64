"""How a fact of the job is asked for, in the words of the trade, and why it matters."""

from __future__ import annotations

import re

from msgspec import Struct

from turnwright.model.job import Job
from turnwright.model.keys import key_of

_LOAD = re.compile(r"load\[(\d+)\]\.(.+)")


class Asked(Struct, frozen=True):
    """A question in words and the reason for it."""

    ask: str
    why: str


_OF_A_LOAD = {
    "system": Asked(
        "What does the nameplate of {load} say: volts, phases, wires?",
        "Amperes without volts and phases are no size: they decide which units are possible at all.",
    ),
    "current": Asked(
        "How large is {load}: amperes, kVA, kW or hp of one piece, from its nameplate?",
        "Everything is sized on it.",
    ),
    "quantity": Asked("How many pieces of {load} are there?", "One is counted until somebody says so."),
    "power_factor": Asked(
        "What power factor is on the nameplate of {load}?",
        "A load in kW draws the more kVA the lower its power factor; an angle that is not known earns no reduction.",
    ),
    "efficiency": Asked(
        "What efficiency is on the nameplate of {load}?", "Shaft power over efficiency is what it draws."
    ),
    "demand_factor": Asked(
        "How much of {load} runs at the same time, and why is that sure?",
        "All of it is counted until somebody gives a reason for less.",
    ),
    "duty.on": Asked(
        "For how much of each period is {load} on?",
        "A short duty heats less; a drop limit counts the on-value.",
    ),
    "start": Asked(
        "How is {load} started: across the line, soft starter, drive?",
        "A start across the line can ask for a larger unit than the running load.",
    ),
    "spectrum": Asked(
        "What harmonic currents does {load} draw: measured, or what rectifier has it?",
        "Harmonics heat the windings and the neutral more than the same amperes of plain sine.",
    ),
    "harmonics": Asked(
        "What harmonic currents does {load} draw, in percent of the fundamental by order?",
        "Harmonics heat the windings and the neutral more than the same amperes of plain sine.",
    ),
    "neutral": Asked(
        "Does {load} need a neutral?",
        "It decides between a wye and a three-wire output, and what must be bonded.",
    ),
    "continuous": Asked(
        "Does {load} run for three hours or more at a time?", "Devices and conductors get 125 % of what does."
    ),
    "frequency": Asked("Which frequency does the nameplate of {load} ask for?", "No winding changes it."),
    "firing": Asked(
        "How is {load} controlled: by phase angle or in bursts?",
        "Phase angle makes harmonics and notches, bursts make the supply flicker.",
    ),
    "regulation_limit": Asked(
        "How much may the voltage drop in the transformer while {load} is on?",
        "It can ask for more than heat does.",
    ),
}
_ELSEWHERE = {
    "supply.system": Asked(
        "What is the supply: volts between lines and to neutral, phases, wires, best as measured?",
        "It decides which units are possible at all; a label is often wrong.",
    ),
    "supply.frequency": Asked("Which frequency has the supply?", "No winding changes it."),
    "supply.grounding": Asked(
        "How is the supply grounded: solid, corner, mid-tap, through a resistance, not at all?",
        "It decides which breakers may be used and whether a unit is needed for the ground alone.",
    ),
    "supply.source_kva": Asked(
        "How many kVA has the generator, UPS or inverter, and which subtransient reactance?",
        "It decides whether the unit can be switched on, how deep a start dips, and the fault current.",
    ),
    "supply.fault_current": Asked(
        "What fault current can the supply deliver at its terminals?",
        "It sets the interrupting ratings on both sides; an infinite source is the cautious reading.",
    ),
    "supply.panel_rating": Asked(
        "How many amperes is the panel that feeds it rated for, and how many does it carry already?",
        "A transformer that the panel cannot carry is no answer.",
    ),
    "site.ambient_average": Asked(
        "How warm is it around the unit, averaged over a day?", "Rated power falls above 30 °C average."
    ),
    "site.ambient_peak": Asked(
        "How warm does it get around the unit?",
        "Conductors are taken at the peak, and the average follows it.",
    ),
    "site.altitude": Asked(
        "How high above sea level does it stand?", "Thin air cools less: rated power falls above 1000 m."
    ),
    "site.place": Asked(
        "Where will it stand: which room, floor or wall, indoors or out?",
        "Enclosure, clearances, fire-rated rooms and the limit above ceilings depend on it.",
    ),
    "site.classified": Asked(
        "Which class, division and group, or zone, has the hazardous place, by whose drawing?",
        "It decides whether an ordinary, a closed or only a certified unit may stand there, or none.",
    ),
    "site.seismic": Asked(
        "Which seismic design category has the building?",
        "What has to work after an earthquake is anchored by calculation and certified.",
    ),
    "choices.growth": Asked(
        "How much may the load grow over the years this unit stands there?",
        "Growth of 15 to 25 % is usual; none is counted until somebody says so.",
    ),
    "edition": Asked(
        "Which edition of the installation code is adopted there?",
        "Clauses and some numbers differ by edition.",
    ),
}


def load_words(job: Job, index: int) -> str:
    """Return a load as people call it.

    Example:
        >>> from turnwright.model.job import Load
        >>> load_words(Job(load=(Load(name="mixer"),)), 0)
        'load 1, mixer'
    """
    name = job.load[index].name if index < len(job.load) else None
    return f"load {index + 1}, {name}" if name else f"load {index + 1}"


def ask_words(job: Job, path: str) -> Asked:
    """Return how to ask for the fact at a key path.

    Example:
        >>> ask_words(Job(), "site.altitude").ask
        'How high above sea level does it stand?'
        >>> ask_words(Job(), "choices.impedance").ask
        'What is the impedance of the transformer?'
    """
    of_load = _LOAD.fullmatch(path)
    if of_load is not None:
        load = load_words(job, int(of_load[1]))
        known = _OF_A_LOAD.get(of_load[2])
        if known is not None:
            return Asked(known.ask.format(load=load), known.why)
        return Asked(_generic(path, load), "It is written as half-known.")
    return _ELSEWHERE.get(path) or Asked(_generic(path, ""), "It is written as half-known.")


def _generic(path: str, load: str) -> str:
    """A question made of what a key means, where no words of its own are known for it."""
    key = key_of(path)
    says = path if key is None else key.says
    head = f"{load[:1].upper()}{load[1:]}: " if load else ""
    if key is not None and key.kind == "yes/no":
        return f"{head or 'Is it so: '}{says}, yes or no?"
    if says.startswith(("what ", "how ", "where ", "whose ")):
        return f"{head}{says if head else says[:1].upper() + says[1:]}: what is known of it?"
    return f"What is the {says} of {load}?" if load else f"What is the {says}?"
