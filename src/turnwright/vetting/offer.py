"""An offered unit held against the lines of a specification: each is met, differs, or the offer is silent on it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Literal, NamedTuple, Protocol

from msgspec import Struct
from msgspec.structs import replace

from turnwright.model.case import UNDER_THE_SKY
from turnwright.model.job import Nameplate
from turnwright.quantities import Quantity, VoltageSystem, parse_quantity, parse_system
from turnwright.vetting.losses import LAW_LOAD, heat_w
from turnwright.vetting.records import Verdict, Vetting

Answer = Literal["meets", "differs", "silent"]
SAME = 1e-6
WATTS_PER_KW = 1000.0
SILENT = ""


class Asked(Protocol):
    """A line of a specification: its name, what is required in words, and as a value an offer can be held to."""

    @property
    def name(self) -> str: ...  # noqa: D102
    @property
    def required(self) -> str: ...  # noqa: D102
    @property
    def value(self) -> Any: ...  # noqa: D102


class OfferLine(Struct, frozen=True, kw_only=True):
    """One line: what was asked, what is offered, and whether the one meets the other.

    offered   "" where the offer is silent
    has_key   whether a unit file has a key for it; what has none is asked for on paper
    """

    name: str
    asked: str
    offered: str
    answer: Answer
    has_key: bool


class OfferVetting(Struct, frozen=True, kw_only=True):
    """The answer to an offer.

    mark     of the unit in the specification, T1 for the first; "" where none was issued
    lines    of the specification, in its order
    vetting  the evaluation of the job with the offered unit
    """

    verdict: Verdict
    mark: str
    lines: tuple[OfferLine, ...]
    vetting: Vetting

    def counted(self, answer: Answer) -> int:
        """Return how many lines have this answer."""
        return sum(line.answer == answer for line in self.lines)

    @property
    def judged(self) -> Vetting:
        """The evaluation with the verdict of the offer."""
        return replace(self.vetting, verdict=self.verdict)

    def to_json(self) -> dict[str, Any]:
        """Return the answer as a dict of plain values, the structure that `vet --offer` prints."""
        tree = self.judged.to_json()
        lines = [
            {"name": one.name, "asked": one.asked, "offered": one.offered or None, "answer": one.answer}
            for one in self.lines
        ]
        return {**tree, "mark": self.mark or None, "lines": lines}


class Offer(NamedTuple):
    """What is offered: the nameplates, and the job evaluated with them."""

    plates: tuple[Nameplate, ...]
    vetting: Vetting

    @property
    def plate(self) -> Nameplate:
        """The first; several of an offer are of one kind."""
        return self.plates[0]


class Held(NamedTuple):
    """What is offered in words, and whether it is what was asked; None: it does not say enough."""

    offered: str
    meets: bool | None


def lines_of(asked: Sequence[Asked], offer: Offer) -> tuple[OfferLine, ...]:
    """Return each line of a specification with what an offer says to it."""
    return tuple(_line(one, offer) for one in asked)


def _line(asked: Asked, offer: Offer) -> OfferLine:
    judge = JUDGES.get(asked.name) or PARTLY.get(asked.name)
    found = None if judge is None else judge(asked.value, offer)
    answer: Answer = "silent"
    if found is not None and found.meets is not None:
        answer = "meets" if found.meets else "differs"
    return OfferLine(
        name=asked.name,
        asked=asked.required,
        offered=SILENT if found is None else found.offered,
        answer=answer,
        has_key=asked.name in JUDGES,
    )


def verdict_of(vetting: Vetting, lines: Sequence[OfferLine]) -> Verdict:
    """Return the verdict: a unit that does the job has conditions while a line differs, or is left open by the offer.

    Lines for which a unit file has no key are asked for on paper and leave the verdict as it is.
    """
    open_lines = any(one.answer == "differs" or (one.answer == "silent" and one.has_key) for one in lines)
    return "fit-with-conditions" if vetting.verdict == "fit" and open_lines else vetting.verdict


def _size(key: str, holds: Callable[[float, float], bool]) -> Callable[[Any, Offer], Held | None]:
    """A quantity of the nameplate; of a half-known one both ends have to hold."""

    def judge(asked: Any, offer: Offer) -> Held | None:
        found: list[Quantity | None] = [getattr(plate, key) for plate in offer.plates]
        given = [
            each for each in found if each is not None and each.low is not None and each.high is not None
        ]
        if not given or len(given) < len(found) or asked is None:
            return None
        text = ", ".join(dict.fromkeys(_shown(each) for each in given))
        ends = [float(end) for each in given for end in (each.low or 0.0, each.high or 0.0)]
        return Held(text, all(holds(end, float(asked)) for end in ends))

    return judge


def _shown(given: Quantity) -> str:
    """Return a quantity as written, with its unit where that was left out."""
    bare = given.text.strip()
    return f"{bare} {given.unit_written}".strip() if bare[-1:].isdigit() else bare


def _equal(offered: float, asked: float) -> bool:
    return abs(offered - asked) <= SAME * max(abs(asked), 1.0)


def _at_least(offered: float, asked: float) -> bool:
    return offered >= asked * (1 - SAME)


def _at_most(offered: float, asked: float) -> bool:
    return offered <= asked * (1 + SAME)


def _quantity(asked: Any, offer: Offer) -> Held | None:
    count = len(offer.plates)
    if count == 1 and offer.plate.quantity is not None:
        return _size("quantity", _at_least)(asked, offer)
    if count == 1 and asked > 1:
        return None
    return Held(str(count), count >= asked)


def _phases(asked: Any, offer: Offer) -> Held | None:
    sides = (offer.plate.primary, offer.plate.secondary)
    found = {side.phases for side in sides if isinstance(side, VoltageSystem) and side.phases is not None}
    return Held(str(max(found)), found == {asked}) if found else None


def _frequency(asked: Any, offer: Offer) -> Held | None:
    given = offer.plate.frequency
    hz = [each.low for each in given or () if each.low is not None]
    if not hz:
        return None
    return Held(f"{'/'.join(f'{each:g}' for each in hz)} Hz", any(_equal(each, asked) for each in hz))


def _winding(side: str) -> Callable[[Any, Offer], Held | None]:
    """The volts of a winding and how it is connected; volts alone do not say the latter."""

    def judge(asked: Any, offer: Offer) -> Held | None:
        given = getattr(offer.plate, side)
        if not isinstance(given, VoltageSystem):
            return None
        wanted = parse_system(asked, where=side)
        if not isinstance(wanted, VoltageSystem):
            return None
        volts = _equal(float(given.line_v), float(wanted.line_v))
        same = volts and given.phases in (None, wanted.phases) and given.high_leg == wanted.high_leg
        if not same:
            return Held(given.text, False)
        if given.phases is None or (given.phases == 3 and given.connection == "unknown"):
            return Held(given.text, None if wanted.connection != "unknown" else True)
        wires = given.wires is None or wanted.wires is None or given.wires >= wanted.wires
        kinds = {given.connection, wanted.connection}
        return Held(given.text, wires and ("unknown" in kinds or len(kinds) == 1))

    return judge


def _connection(asked: Any, offer: Offer) -> Held | None:
    blocks = offer.vetting.blocks
    if blocks is None:
        return None
    arrangement, group = blocks.pick.arrangement, blocks.pick.vector_group
    words = ", ".join(word for word in (arrangement, group) if word)
    sides = (offer.plate.primary, offer.plate.secondary)
    known = all(
        isinstance(side, VoltageSystem)
        and side.phases is not None
        and (side.phases == 1 or side.connection != "unknown")
        for side in sides
    )
    return Held(words, (arrangement, group) == tuple(asked) if known else None)


def _taps(asked: Any, offer: Offer) -> Held | None:
    has = _tap_sizes(offer)
    if not has:
        return None
    wanted = [_tap(each) for each in asked]
    return Held(_tap_words(has), all(any(_equal(tap, each) for each in has) for tap in wanted))


def _tap_to_set(asked: Any, offer: Offer) -> Held | None:
    has = _tap_sizes(offer)
    return Held(_tap_words(has), any(_equal(_tap(asked), each) for each in has)) if has else None


def _tap_sizes(offer: Offer) -> list[float]:
    return [tap.low for tap in offer.plate.taps if tap.low is not None]


def _tap_words(taps: Sequence[float]) -> str:
    return ", ".join(f"{tap:+g} %" if tap else "0 %" for tap in taps)


def _tap(text: str) -> float:
    return float(parse_quantity(text, "tap", where="taps").low or 0.0)


def _impedance(asked: Any, offer: Offer) -> Held | None:
    """Within the band that was computed with; without a band a statement is enough."""
    given = offer.plate.impedance
    if given is None or given.low is None or given.high is None:
        return None
    low, high = asked or (0.0, float("inf"))
    return Held(_shown(given), _at_least(given.low, low) and _at_most(given.high, high))


def _word(key: str) -> Callable[[Any, Offer], Held | None]:
    def judge(asked: Any, offer: Offer) -> Held | None:
        given = getattr(offer.plate, key)
        return Held(given, given == asked) if isinstance(given, str) else None

    return judge


def _efficiency(asked: Any, offer: Offer) -> Held | None:
    blocks = offer.vetting.blocks
    if blocks is None or blocks.efficiency.at_35_pct is None:
        return None
    reached = float(blocks.efficiency.at_35_pct)
    return Held(f"{reached:.2f} % by its losses", _at_least(reached, asked))


def _losses_by_law(asked: Any, offer: Offer) -> Held | None:
    no_load_w, load_w = (_watts(offer, key) for key in ("no_load_loss", "load_loss"))
    if no_load_w is None or load_w is None:
        return None
    total_w = float(heat_w(no_load_w, load_w, LAW_LOAD))
    return Held(f"{total_w:.0f} W by its losses", _at_most(total_w, asked))


def _watts(offer: Offer, key: str) -> float | None:
    given: Quantity | None = getattr(offer.plate, key)
    return None if given is None or given.high is None else given.high * WATTS_PER_KW


def _losses(asked: Any, offer: Offer) -> Held | None:
    """All three are to be stated; the heat at full load follows from them."""
    keys = {"no_load_loss": "no load", "load_loss": "load", "load_loss_at": "at"}
    stated = {key: getattr(offer.plate, key) for key in keys}
    known = {key: given for key, given in stated.items() if given is not None and given.low is not None}
    words = ", ".join(f"{keys[key]} {_shown(given)}" for key, given in known.items())
    return Held(words, True if len(known) == len(keys) else None) if known else None


def _place(asked: Any, offer: Offer) -> Held | None:
    outdoor = offer.plate.outdoor
    if not isinstance(outdoor, bool):
        return None if asked in UNDER_THE_SKY else Held("not said; indoors any will do", True)
    if asked not in UNDER_THE_SKY:
        return Held("for outdoors" if outdoor else "for indoors", True)
    return Held("for outdoors" if outdoor else "for indoors", outdoor)


def _conditions(asked: Any, offer: Offer) -> Held | None:
    found = next((one for one in offer.vetting.criteria if one.name == "enclosure"), None)
    return None if found is None else Held(str(found.value), found.ok)


def _mass(asked: Any, offer: Offer) -> Held | None:
    """The mass is a part of what is asked for here; dimensions, clearances and fixing have no key."""
    given = offer.plate.mass
    return None if given is None or given.low is None else Held(f"mass {_shown(given)}", None)


JUDGES: dict[str, Callable[[Any, Offer], Held | None]] = {
    "quantity": _quantity,
    "rated power": _size("kva", _equal),
    "phases": _phases,
    "frequency": _frequency,
    "primary": _winding("primary"),
    "secondary": _winding("secondary"),
    "connection": _connection,
    "taps on the primary": _taps,
    "tap to be set": _tap_to_set,
    "impedance": _impedance,
    "K rating": _size("k_rating", _at_least),
    "average winding rise": _size("rise", _at_most),
    "insulation system": _size("insulation", _at_least),
    "enclosure": _word("enclosure"),
    "sound level": _size("sound", _at_most),
    "efficiency by law": _efficiency,
    "losses by law": _losses_by_law,
    "losses": _losses,
    "place": _place,
    "conditions": _conditions,
}
"""Line of the specification -> how the keys of a unit file answer it; on the other lines an offer is silent."""

PARTLY: dict[str, Callable[[Any, Offer], Held | None]] = {"seismic, mounting, way in": _mass}
"""Lines of which a unit file can say a part only."""
