"""A nameplate made into a unit: what it says, what stands in for the rest, where it contradicts itself."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from msgspec import Struct

from turnwright.arrangements import winding
from turnwright.arrangements.wishes import start_of
from turnwright.model.case import Fact
from turnwright.model.job import Nameplate
from turnwright.model.result import Finding, Question
from turnwright.model.unit import Impedance, Unit
from turnwright.model.unit_keys import UNIT
from turnwright.quantities import Quantity, VoltageSystem
from turnwright.regimes import Regime
from turnwright.selection.specification import ORDINARY_K
from turnwright.working import Known, Number, Step

WATTS_PER_KW = 1000.0
IMPEDANCE_NEAR = 0.15
"""Two statements of one resistance may differ by this much: temperature and rounding."""
_KEYS = {key.name: key for key in UNIT}


class Plate(Struct, frozen=True, kw_only=True):
    """A unit as its nameplate gives it.

    unit      ready for use; primary and secondary as marked
    hz        frequencies it is rated for
    p_ecr     winding eddy loss per unit of I²R, None where it is not said
    made      date of manufacture, None where it is not said
    facts     what was taken from the plate and what stands in
    findings  where the plate contradicts itself
    """

    unit: Unit
    hz: tuple[float, ...]
    p_ecr: float | None
    made: str | None
    facts: tuple[Fact, ...]
    findings: tuple[Finding, ...]


class Reader:
    """Reads one nameplate: each value with its origin, half-known ones by their cautious end."""

    def __init__(self, plate: Nameplate, name: str) -> None:
        self.plate = plate
        self.name = name
        self.facts: list[Fact] = []
        self.missing: list[Question] = []

    def size(self, key: str) -> Number | None:
        """Return a quantity of the plate; None where it does not say."""
        given: Quantity | None = getattr(self.plate, key)
        if given is None or given.low is None or given.high is None:
            return None
        side = _KEYS[key].cautious
        value = {"high": given.high, "low": given.low}.get(side, (given.low + given.high) / 2)
        known: Known = "given" if given.form == "exact" else "assumed"
        self.facts.append(Fact(f"unit.{key}", given.text, known, "", self.name))
        return Number(
            value, Step(f"{self.name}.{key}", value, "", "", {}, f'nameplate: "{given.text}"', known)
        )

    def watts(self, key: str) -> Number | None:
        """Return a loss of the plate [W]; real power is kept in kW."""
        found = self.size(key)
        if found is None:
            return None
        value = float(found) * WATTS_PER_KW
        return Number(value, Step(f"{self.name}.{key}_w", value, "W", "P · 1000", {"kw": found}))

    def assume(self, key: str, shown: str, reason: str) -> None:
        """Note what stands in for a fact the plate does not have."""
        self.facts.append(Fact(f"unit.{key}", shown, "assumed", reason, self.name))

    def ask(self, key: str, ask: str, why: str) -> None:
        """Note a fact without which nothing can be said."""
        self.missing.append(Question(key=f"unit.{key}", ask=ask, assumed=None, why=why))

    def word(self, key: str) -> str | None:
        """Return a word of the plate."""
        given = getattr(self.plate, key)
        if not isinstance(given, str):
            return None
        self.facts.append(Fact(f"unit.{key}", given, "given", "", self.name))
        return given

    def flag(self, key: str) -> bool | None:
        """Return a yes or no of the plate."""
        given = getattr(self.plate, key)
        return given if isinstance(given, bool) else None


def read_plate(plate: Nameplate, name: str, regime: Regime) -> Plate | tuple[Question, ...]:
    """Return the unit of a nameplate, or what has to be known of it first.

    name : how the unit is called in facts and findings
    """
    reader = Reader(plate, name)
    kva = reader.size("kva")
    if kva is None:
        reader.ask("kva", f"How many kVA is {name} rated for?", "Without a rating nothing can be compared.")
    windings = _windings(reader)
    if kva is None or windings is None:
        return tuple(reader.missing)
    primary, secondary = windings
    phases = primary.phases or 3
    k_rating = reader.size("k_rating")
    usual = regime.usual_unit(phases, float(kva), float(k_rating or ORDINARY_K))
    nominal, low, high = _impedance(reader, usual.x_over_r, usual.for_faults, usual.for_drop)
    hz = _frequencies(reader, regime)
    unit = Unit(
        name=name,
        phases=phases,
        kva=kva,
        primary=primary,
        secondary=secondary,
        frequencies_hz=hz,
        nominal=nominal,
        for_faults=low,
        for_drop=high,
        impedance_tolerance_pct=0.0,
        rise_k=reader.size("rise"),
        k_rating=k_rating or ORDINARY_K,
        winding=None,
        shield=None,
        enclosure=reader.word("enclosure"),
        outdoor=reader.flag("outdoor"),
        built_as=reader.word("built_as"),
        taps_pct=_taps(plate),
        no_load_loss_w=reader.watts("no_load_loss"),
        load_loss_w=reader.watts("load_loss"),
        insulation_c=reader.size("insulation"),
        sound_db=reader.size("sound"),
        mass_kg=reader.size("mass"),
        price=reader.size("price"),
        on_hand=None if plate.quantity is None or plate.quantity.low is None else int(plate.quantity.low),
    )
    return Plate(
        unit=unit,
        hz=hz,
        p_ecr=reader.size("p_ecr"),
        made=reader.word("manufactured"),
        facts=tuple(reader.facts),
        findings=tuple(contradictions(unit, name)),
    )


def _windings(reader: Reader) -> tuple[VoltageSystem, VoltageSystem] | None:
    """Both windings with their phases; one side tells them for the other."""
    sides: dict[str, VoltageSystem | None] = {}
    for side, words in (("primary", "supply"), ("secondary", "load")):
        given = getattr(reader.plate, side)
        sides[side] = given if isinstance(given, VoltageSystem) else None
        if sides[side] is None:
            reader.ask(
                side, f"Which winding has {reader.name} on the {words} side?", "Volts and phases decide."
            )
    primary, secondary = sides["primary"], sides["secondary"]
    if primary is None or secondary is None:
        return None
    phases = {system.phases for system in (primary, secondary)} - {None}
    if not phases:
        reader.ask("primary", f"Is {reader.name} single-phase or three-phase?", "Its plate names volts only.")
        return None
    if len(phases) == 2:
        reader.ask(
            "secondary",
            f"{start_of(reader.name)} is marked {primary.text} and {secondary.text}: which of both is right?",
            "No transformer of one core has three phases on one side and one on the other.",
        )
        return None
    number = phases.pop()
    return _with_phases(reader, "primary", primary, number), _with_phases(
        reader, "secondary", secondary, number
    )


def _with_phases(reader: Reader, side: str, system: VoltageSystem, phases: Any) -> VoltageSystem:
    if system.phases is not None:
        reader.facts.append(Fact(f"unit.{side}", system.text, "given", "", reader.name))
        found = system
    else:
        found = winding(f"{system.line_v:g} {phases}ph")
        reader.assume(side, found.text, "the other side tells the phases")
    if phases == 3 and found.connection == "unknown":
        reader.assume(f"{side} connection", "delta", "three lines and no neutral are marked")
    return found


def _frequencies(reader: Reader, regime: Regime) -> tuple[float, ...]:
    given = reader.plate.frequency or ()
    hz = tuple(sorted(each.low for each in given if each.low is not None))
    if hz:
        shown = "/".join(f"{each:g}" for each in hz)
        reader.facts.append(Fact("unit.frequency", f"{shown} Hz", "given", "", reader.name))
        return hz
    usual_hz = float(regime.defaults.frequency_hz)
    reader.assume("frequency", f"{usual_hz:g} Hz", "usual where these rules hold; the plate has to say")
    return (usual_hz,)


def _impedance(
    reader: Reader, x_over_r: tuple[float, float], usual_low: Impedance, usual_high: Impedance
) -> tuple[Impedance | None, Impedance, Impedance]:
    """Nominal, low for faults, high for drops; equal where the plate states it."""
    stated, resistance = reader.size("impedance"), reader.size("resistance")
    if stated is None:
        span = f"{usual_low.magnitude_pct:.3g} to {usual_high.magnitude_pct:.3g} %"
        reader.assume("impedance", span, "usual band: the low end for faults, the high end for drop")
        return None, usual_low, usual_high
    magnitude = float(stated)
    if resistance is None:
        low, high = (split(magnitude, ratio) for ratio in (x_over_r[1], x_over_r[0]))
        return low, low, high
    r = min(float(resistance), magnitude)
    exact = Impedance(r, (magnitude**2 - r**2) ** 0.5)
    return exact, exact, exact


def split(magnitude_pct: float, x_over_r: float) -> Impedance:
    """Return resistance and reactance of a magnitude by their ratio."""
    r = magnitude_pct / (1 + x_over_r**2) ** 0.5
    return Impedance(r, r * x_over_r)


def _taps(plate: Nameplate) -> tuple[float, ...]:
    return tuple(sorted((tap.low for tap in plate.taps if tap.low is not None), reverse=True))


def contradictions(unit: Unit, name: str) -> Iterator[Finding]:
    """Yield what of a nameplate cannot be true at the same time, naming both facts."""
    if unit.load_loss_w is None:
        return
    by_loss = unit.load_loss_w / (unit.kva * 1000) * 100
    said = f"a load loss of {unit.load_loss_w:g} W on {unit.kva:g} kVA is {by_loss:.2f} % of resistance"
    stated = unit.nominal
    exact = stated is not None and unit.for_faults is unit.for_drop
    if stated is not None and by_loss > stated.magnitude_pct * (1 + 1e-9):
        whole = stated.magnitude_pct
        yield _clash(name, f"{said}, more than the {whole:.3g} % of its whole impedance", by_loss, whole)
    elif exact and abs(by_loss - stated.resistance_pct) > IMPEDANCE_NEAR * stated.resistance_pct:  # type: ignore[union-attr]
        wanted = stated.resistance_pct  # type: ignore[union-attr]
        yield _clash(name, f"{said}, the plate says {wanted:.3g} %", by_loss, wanted)
    if unit.no_load_loss_w is not None and unit.no_load_loss_w > unit.load_loss_w:
        yield _clash(
            name,
            f"the no-load loss ({unit.no_load_loss_w:g} W) is above the load loss ({unit.load_loss_w:g} W)",
            float(unit.no_load_loss_w),
            float(unit.load_loss_w),
        )


def _clash(name: str, both: str, value: float, limit: float) -> Finding:
    return Finding(
        code="plate-contradiction",
        severity="caution",
        message=f"The plate of {name} contradicts itself: {both}. Read it again, or ask the maker.",
        known="computed",
        value=float(value),
        limit=float(limit),
    )
