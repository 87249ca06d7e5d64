"""Random jobs whose facts are all known, as the tool reads them and as the slow path reads them."""

from __future__ import annotations

import random
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Output:
    """A kind of supply and output; sizes in kVA.

    joined : how primary and secondary are joined: "Dyn", "Dd", "Ii" (two wires), "Iin" (three wires)
    places : where a load may hang: 3 three-phase, "LL" between lines, "LN" from line to neutral, with its system
    """

    name: str
    regime: str
    supply: str
    secondary: str
    supply_v: float
    secondary_v: float
    joined: str
    places: dict[str, str]


OUTPUTS = (
    Output(
        "480 to 208Y/120",
        "us",
        "480Y/277",
        "208Y/120",
        480,
        208,
        "Dyn",
        {"3": "208 3ph", "LL": "208 1ph", "LN": "120 1ph"},
    ),
    Output(
        "208 to 480Y/277",
        "us",
        "208Y/120",
        "480Y/277",
        208,
        480,
        "Dyn",
        {"3": "480 3ph", "LL": "480 1ph", "LN": "277 1ph"},
    ),
    Output(
        "600 to 208Y/120",
        "ca",
        "600Y/347",
        "208Y/120",
        600,
        208,
        "Dyn",
        {"3": "208 3ph", "LL": "208 1ph", "LN": "120 1ph"},
    ),
    Output(
        "690 to 400Y/230",
        "iec",
        "690 3ph",
        "400Y/230",
        690,
        400,
        "Dyn",
        {"3": "400 3ph", "LL": "400 1ph", "LN": "230 1ph"},
    ),
    Output("480 to 240 delta", "us", "480 3ph", "240 3ph", 480, 240, "Dd", {"3": "240 3ph", "LL": "240 1ph"}),
    Output("480 to 240", "us", "480 1ph", "240 1ph", 480, 240, "Ii", {"LL": "240 1ph"}),
    Output(
        "480 to 120/240",
        "us",
        "480 1ph",
        "120/240 1ph",
        480,
        240,
        "Iin",
        {"LL": "240 1ph", "LN": "120 1ph"},
    ),
)


@dataclass(frozen=True)
class Load:
    """One load: where it hangs, kVA of one piece, power factor, pieces; fixed lines or none; a motor or not."""

    place: str
    kva: float
    power_factor: float
    pieces: int
    lines: str
    motor: bool


@dataclass(frozen=True)
class Facts:
    """What a random job says, for the slow path."""

    output: Output
    loads: tuple[Load, ...]
    growth: float
    impedance_pct: float
    resistance_pct: float
    fault_a: float
    x_over_r: float

    @property
    def fixed(self) -> bool:
        """Whether every load of one phase says which lines it hangs on."""
        return all(load.lines or load.place == "3" for load in self.loads)


FREE = 4
"""Pieces without fixed lines: the slow path tries every way of spreading them."""
LINES = {"LL": ("AB", "BC", "CA"), "LN": ("A", "B", "C")}


def lines_of(output: Output, place: str) -> tuple[str, ...]:
    """Return where a load of one phase can hang."""
    if output.joined.startswith("I"):
        return {"LL": ("AB",), "LN": ("A", "B")}[place]
    return LINES[place]


def random_facts(draw: random.Random) -> Facts:
    """Return a random job of one of the outputs."""
    output = draw.choice(OUTPUTS)
    scale = draw.choice((1.0, 3.0, 10.0))
    loads, free = [], FREE
    for _ in range(draw.randint(1, 5)):
        place = draw.choice(tuple(output.places))
        motor = place == "3" and draw.random() < 0.3
        kva = round(draw.uniform(1.0, 12.0) * scale * (3 if place == "3" else 1), 2)
        pieces, lines = draw.choice((1, 1, 2, 3)), ""
        if place != "3":
            pieces = min(pieces, max(free, 1))
            options = lines_of(output, place)
            if len(options) == 1 or free < pieces or draw.random() < 0.5:
                lines = draw.choice(options)
            else:
                free -= pieces
        loads.append(Load(place, kva, round(draw.uniform(0.6, 1.0), 2), pieces, lines, motor))
    impedance = round(draw.uniform(2.0, 6.0), 2)
    return Facts(
        output=output,
        loads=tuple(loads),
        growth=draw.choice((0.0, 10.0, 15.0, 25.0)),
        impedance_pct=impedance,
        resistance_pct=round(impedance * draw.uniform(0.2, 0.8), 2),
        fault_a=1000.0 * draw.randint(8, 60),
        x_over_r=round(draw.uniform(1.5, 12.0), 1),
    )


def job_of(facts: Facts) -> dict[str, Any]:
    """Return the job that says these facts, as a mapping."""
    output = facts.output
    loads = []
    for load in facts.loads:
        said: dict[str, Any] = {
            "system": output.places[load.place],
            "kva": f"{load.kva} kVA",
            "power_factor": load.power_factor,
            "quantity": load.pieces,
            "kind": "motor" if load.motor else "heating",
        }
        if load.lines:
            said["lines"] = load.lines
        loads.append(said)
    return {
        "schema": 1,
        "regime": output.regime,
        "supply": {
            "system": output.supply,
            "frequency": "50 Hz" if output.regime == "iec" else "60 Hz",
            "fault_current": f"{facts.fault_a} A",
            "x_over_r": facts.x_over_r,
        },
        "load": loads,
        "site": {"ambient_average": "25 degC", "ambient_peak": "35 degC", "altitude": "200 m"},
        "choices": {
            "arrangement": "isolation",
            "secondary": output.secondary,
            "units": 1,
            "growth": f"{facts.growth} %",
            "impedance": f"{facts.impedance_pct} %",
            "resistance": f"{facts.resistance_pct} %",
        },
    }
