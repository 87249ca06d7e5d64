"""The facts of a case as they are gathered: each value with its origin, each assumption with its reason.

A half-known fact goes in with its cautious end, the one its key names; where neither end is the safer one,
with the middle. Both say so, and count as assumed: nobody gave that very value.
"""

from __future__ import annotations

from msgspec import structs

from turnwright.intake.places import Places
from turnwright.model.case import Fact, Missing
from turnwright.model.job import Job, QuantityFact, WordFact, YesNoFact
from turnwright.model.key import Key
from turnwright.quantities import KINDS, UNKNOWN, Quantity, Unknown, VoltageSystem, format_quantity
from turnwright.working import Known, Number, Step

_NOT_KNOWN = "the file says it is not known"
_UNITS = {name: kind.unit for name, kind in KINDS.items()}


class Facts:
    """Gathers the facts of one job, in the order they are asked for.

    Each method takes the path of a key and what the job holds there, and notes the fact. The plain ones
    return None for what is absent or unknown, so that the caller says what stands in.
    """

    def __init__(self, job: Job) -> None:
        self.places = Places(job.origin, job.lines)
        self.noted: list[Fact] = []
        self.missing: list[Missing] = []

    def size(self, path: str, given: QuantityFact, key: Key) -> Number | None:
        """Return a quantity as one number, in the unit used inside for its kind."""
        if given is None or given.form == "unknown":
            return None
        if given.form == "exact" and given.low is not None:
            text = given.text
            if given.unit_written and text[-1:].isdigit():
                text = f"{text} {given.unit_written}"
            where = self.places.file_line(path)
            self.noted.append(Fact(path, text, "given", "", where))
            unit = _UNITS[given.kind] or _priced(given)
            return Number(given.low, Step(path, given.low, unit, "", {}, f'{where}: "{text}"', "given"))
        end, which = _one_of(given, key)
        shown = format_quantity(end, given.kind, digits=6, unit=given.unit_written or None)
        reason = f"{given.text} given; {shown} used, {which}"
        self.note(path, shown, "assumed", reason)
        return self._end(path, given, end, reason)

    def ends(self, path: str, given: Quantity) -> tuple[Number | None, Number | None]:
        """Return both ends of a quantity that is used at both, without a note; an unknown one has none."""
        if given.low is None or given.high is None:
            return None, None
        low = self._end(f"{path}.low", given, given.low, f"{given.text} given; the low end")
        return low, self._end(f"{path}.high", given, given.high, f"{given.text} given; the high end")

    def optional(self, path: str, given: QuantityFact, key: Key) -> Number | None:
        """Return a quantity for which nothing stands in; one that is written as unknown is noted as such."""
        if given is None:
            return None
        if given.form == "unknown":
            self.note(path, "unknown", "given", "not known to whoever asks")
            return None
        return self.size(path, given, key)

    def assume(self, path: str, value: float, unit: str, reason: str, text: str = "") -> Number:
        """Return a value that stands in for a fact nobody gave."""
        self.noted.append(Fact(path, text or _shown(value, unit), "assumed", reason))
        return Number(value, Step(path, value, unit, "", {}, reason, "assumed"))

    def note(self, path: str, text: str, known: Known, reason: str = "") -> None:
        """Note a fact, with its place where the file has it."""
        where = self.places.file_line(path) if path in self.places.lines or known == "given" else ""
        self.noted.append(Fact(path, text, known, reason, where))

    def word(self, path: str, given: WordFact) -> str | None:
        """Return a word or a text."""
        if given is None or isinstance(given, Unknown):
            return None
        self.note(path, given, "given")
        return given

    def optional_word(self, path: str, given: WordFact) -> str | None:
        """Return a word for which nothing stands in."""
        if given is UNKNOWN:
            self.note(path, "unknown", "given", "not known to whoever asks")
        return self.word(path, given)

    def word_or(self, path: str, given: WordFact, stand_in: str, reason: str) -> str:
        """Return a word, or the one that stands in, noted with its reason."""
        found = self.word(path, given)
        if found is None:
            self.note(path, stand_in, "assumed", reason)
            return stand_in
        return found

    def yes(self, path: str, given: YesNoFact) -> bool | None:
        """Return yes or no; None where nobody said."""
        if given is None:
            return None
        if isinstance(given, Unknown):
            self.note(path, "unknown", "given", "not known to whoever asks")
            return None
        self.note(path, "yes" if given else "no", "given")
        return given

    def flag(self, path: str, given: YesNoFact) -> bool:
        """Return yes or no for what is no unless somebody says so."""
        if isinstance(given, Unknown):
            self.note(path, "no", "assumed", _NOT_KNOWN)
            return False
        return self.yes(path, given) or False

    def system(self, path: str, given: VoltageSystem) -> VoltageSystem:
        """Return a voltage system of which the volts know where they stand."""
        self.note(path, given.text, "given")
        return self.with_volts(path, given, "given", self.source(path, given.text))

    def with_volts(self, name: str, system: VoltageSystem, known: Known, source: str) -> VoltageSystem:
        """Return the system with volts that know their origin."""
        line = Number(system.line_v, Step(name, system.line_v, "V", "", {}, source, known))
        if system.neutral_v is None:
            return structs.replace(system, line_v=line)
        neutral = Number(
            system.neutral_v, Step(f"{name}.neutral", system.neutral_v, "V", "", {}, source, known)
        )
        return structs.replace(system, line_v=line, neutral_v=neutral)

    def require(self, path: str, what: str, possibilities: tuple[str, ...] = ()) -> None:
        """Note that a required fact is not known."""
        self.missing.append(Missing(key=path, what=what, possibilities=possibilities))

    def source(self, path: str, text: str) -> str:
        """Return the origin of a given value: `job.toml, line 12: "150 A"`."""
        return f'{self.places.file_line(path)}: "{text}"'

    def _end(self, path: str, given: Quantity, end: float, reason: str) -> Number:
        source = f"{self.places.file_line(path)}: {reason}"
        return Number(end, Step(path, end, _UNITS[given.kind] or _priced(given), "", {}, source, "assumed"))


def unknown_too(given: object, reason: str) -> str:
    """Return the reason of an assumption, with a word for what is written as unknown."""
    is_unknown = given is UNKNOWN or (isinstance(given, Quantity) and given.form == "unknown")
    return f"{reason}; {_NOT_KNOWN}" if is_unknown else reason


def _priced(given: Quantity) -> str:
    """Return the unit of a price, which has none of its own; of anything else without a unit, nothing."""
    if given.kind == "energy price":
        return f"{given.unit_written}/kWh"
    return given.unit_written if given.kind == "money" else ""


def _shown(value: float, unit: str) -> str:
    return f"{value:g} {unit}" if unit else f"{value:g}"


def _one_of(given: Quantity, key: Key) -> tuple[float, str]:
    """Return the value that stands for a half-known one, and which it is."""
    low, high = given.low or 0.0, given.high or 0.0
    if key.kind == "count":
        # "About 3 pieces" is a whole number of them.
        low, high = max(1.0, low // 1), -(-high // 1)
    if key.cautious == "high":
        return high, "the cautious end"
    if key.cautious == "low":
        return low, "the cautious end"
    return (low + high) / 2, "the middle, since neither end is the safer one"
