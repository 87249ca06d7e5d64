"""What is asked in a guided intake, in the order that ends a bad job soonest, and where to look for the answer."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from turnwright.model.job import Job, Load
from turnwright.narrow.asking import ask_words, load_words
from turnwright.quantities import UNKNOWN, Quantity, VoltageSystem

SIZE = "size"
MORE = "more"
MOST_LOADS = 50
_OWN_WORDS = {
    "name": "What has to run? A word or two: kiln, pumps, kitchen panel.",
    "quantity": "How many pieces of {load} are there?",
    "start_dip_limit": "How far may the voltage dip while {load} starts, in percent?",
    "locked_rotor_code": "Which code letter is on the nameplate of {load}?",
}
_HELP = {
    "name": "It stands on every paper; any word you both know will do.",
    "system": "Nameplate: 208 3PH, 3~ 400 V, 120/240 1PH. A photo of the plate settles it. Supply: the label in the"
    " panel's door is often wrong; measure between the lines, and from each line to neutral or ground.",
    SIZE: "Nameplate: FLA, RLA or A is the current; kVA, kW or HP do as well. Of one piece, not of all.",
    "frequency": "Nameplate: Hz. 50/60 Hz takes both.",
    "neutral": "A white or blue wire, a terminal marked N, or 120 V inside a 208 V machine means yes.",
    "quantity": "Pieces that are alike; others are another load.",
    "continuous": "Three hours or more at its full load: heating, lighting, chargers, computing mostly yes.",
    "start": "In the motor's cabinet: a contactor alone is across the line; a box of electronics is a soft starter"
    " or a drive.",
    "locked_rotor_code": "Nameplate: CODE or KVA CODE, a letter. It says how hard it starts.",
    "start_dip_limit": "15 % is usual where others share the bus, 20 % where nobody does.",
    "growth": "15 to 25 % is usual where nobody knows.",
    "grounding": "At the service: a neutral bonded to ground is solid; a lamp or a relay that watches for ground means"
    " ungrounded.",
    "fault_current": "The utility says it, or the label at the service: available fault current, in A or kA.",
    "panel_rating": "The main breaker or the label inside the door.",
    "panel_load": "A clamp meter at the busiest hour, or the meter's maximum demand.",
    "primary_length": "One way, from the panel to where the transformer will stand.",
    "secondary_length": "One way, from the transformer to its first device.",
    "place": "Indoors on floor or wall, outdoors, on a roof, above a ceiling, in a shaft, in a vault.",
    "altitude": "Height above sea level; up to 1000 m nothing changes.",
    "ambient_average": "The air around the unit over a whole day; boiler rooms and roofs are warm.",
    "edition": "The authority having jurisdiction says which edition is adopted.",
}


class Step(NamedTuple):
    """One question of the intake.

    key   path in the job file; `load[0].size` for any of the sizes, `load[1].more` for one load more
    ask   in plain words
    help  where to look
    need  whether nothing can be said without it
    """

    key: str
    ask: str
    help: str
    need: bool = False

    @property
    def name(self) -> str:
        """The last part of the key."""
        return self.key.rpartition(".")[2]


def step_for(job: Job, key: str, *, need: bool = False) -> Step:
    """Return the question for a key.

    Example:
        >>> step_for(Job(load=(Load(name="kiln"),)), "load[0].size").ask
        'How large is load 1, kiln: amperes, kVA, kW or hp of one piece, from its nameplate?'
    """
    name = key.rpartition(".")[2]
    found = re.match(r"load\[(\d+)\]", key)
    label = load_words(job, int(found[1])) if found else ""
    if name == MORE:
        return Step(
            key, "Is there another load on the same transformer? Its name, or Enter for no.", _HELP["name"]
        )
    own = _OWN_WORDS.get(name)
    asked = own.format(load=label) if own else ask_words(job, key.replace(f".{SIZE}", ".current")).ask
    if name == "panel_rating":
        asked = "How many amperes is the panel that feeds it rated for?"
    return Step(key, asked, _HELP.get(name, "Enter leaves it open, ? says that nobody knows."), need)


def steps(job: Job) -> Iterator[Step]:
    """Yield what the job does not say yet: what ends it soonest first, the trade's order after that.

    job : as known so far
    """
    loads = job.load or (Load(),)
    for index, load in enumerate(loads):
        yield from _plate(job, index, load)
    if not isinstance(job.supply.system, VoltageSystem):
        yield step_for(job, "supply.system", need=True)
    for index, load in enumerate(loads):
        yield from _more_of(job, index, load)
    if len(loads) < MOST_LOADS:
        yield step_for(job, f"load[{len(loads)}].{MORE}")
    yield from _rest(job)


def _plate(job: Job, index: int, load: Load) -> Iterator[Step]:
    path = f"load[{index}]"
    if load.name is None and not _has_size(load) and load.system is None:
        yield step_for(job, f"{path}.name")
    if not isinstance(load.system, VoltageSystem):
        yield step_for(job, f"{path}.system", need=True)
    if not _has_size(load):
        yield step_for(job, f"{path}.{SIZE}", need=True)


def _has_size(load: Load) -> bool:
    return any(
        size is not None and size.form != "unknown" for size in (load.current, load.kva, load.kw, load.hp)
    )


def _more_of(job: Job, index: int, load: Load) -> Iterator[Step]:
    path = f"load[{index}]"
    wanted = ["frequency", "neutral", "quantity", "continuous"]
    if load.hp is not None or load.kind == "motor":
        wanted += ["start", "locked_rotor_code", "start_dip_limit"]
    if isinstance(load.system, VoltageSystem) and load.system.has_neutral:
        wanted.remove("neutral")
    for name in wanted:
        if getattr(load, name) is None:
            yield step_for(job, f"{path}.{name}")


_LATER = (
    "choices.growth",
    "supply.grounding",
    "supply.fault_current",
    "supply.panel_rating",
    "supply.panel_load",
    "circuit.primary_length",
    "circuit.secondary_length",
    "site.place",
    "site.altitude",
    "site.ambient_average",
    "edition",
)


def _rest(job: Job) -> Iterator[Step]:
    for key in _LATER:
        table, _, name = key.rpartition(".")
        held = getattr(getattr(job, table) if table else job, name)
        if held is None:
            yield step_for(job, key)


def is_open(held: object) -> bool:
    """Return whether a fact is absent or written as unknown."""
    return held is None or held is UNKNOWN or (isinstance(held, Quantity) and held.form == "unknown")
