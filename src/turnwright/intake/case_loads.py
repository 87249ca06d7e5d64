"""The loads of a case, and what stands in where the job does not say."""

from __future__ import annotations

from msgspec import Struct

from turnwright.intake.facts import Facts, unknown_too
from turnwright.intake.harmonic_currents import harmonics_of
from turnwright.intake.systems import nominal_system, possible_systems
from turnwright.model.case import CaseLoad, Defaults
from turnwright.model.job import Duty, Load
from turnwright.model.keys import DUTY, LOAD, SIZE_KEYS
from turnwright.quantities import VoltageSystem
from turnwright.quantities.spelling import plain
from turnwright.working import Number, Step, step_of

_KEYS = {key.name: key for key in LOAD}
_DUTY = {key.name: key for key in DUTY}


class _Plate(Struct, frozen=True):
    """What the nameplate asks for: nominal system, volts of the plate, kind of size, size."""

    system: VoltageSystem
    nameplate_v: float
    size_kind: str
    size: Number


_NO_PLATE = _Plate(VoltageSystem("", None, None, 0.0), 0.0, "", Number(0.0, Step("", 0.0)))
"""Stands while the other facts of an incomplete load are gathered; no load is made with it."""


class _Keys(Struct, frozen=True):
    """Reads keys of one load for which nothing stands in."""

    path: str
    load: Load
    facts: Facts

    def size(self, name: str) -> Number | None:
        given = getattr(self.load, name)
        return None if given is None else self.facts.optional(f"{self.path}.{name}", given, _KEYS[name])

    def size_or_one(self, name: str) -> float:
        given = getattr(self.load, name)
        if given is None:
            return 1.0
        path = f"{self.path}.{name}"
        found = self.facts.size(path, given, _KEYS[name])
        return self.facts.assume(path, 1.0, "", unknown_too(given, "one")) if found is None else found

    def flag(self, name: str) -> bool:
        given = getattr(self.load, name)
        return False if given is None else self.facts.flag(f"{self.path}.{name}", given)

    def word(self, name: str) -> str | None:
        given = getattr(self.load, name)
        return None if given is None else self.facts.optional_word(f"{self.path}.{name}", given)


def load_of(index: int, load: Load, supply_hz: float, defaults: Defaults, facts: Facts) -> CaseLoad | None:
    """Return one load, or None when its system or size is not known (then it is among the missing facts)."""
    path = f"load[{index}]"
    keys = _Keys(path, load, facts)
    keys.word("name")
    found = _plate(path, load, defaults, facts)
    plate = found or _NO_PLATE
    start_a, start_multiple = _start_current(path, load, facts)
    duty_on, duty_period = _duty(path, load.duty, facts)
    complete = CaseLoad(
        index=index,
        name=load.name or "",
        system=plate.system,
        nameplate_v=plate.nameplate_v,
        size_kind=plate.size_kind,
        size=plate.size,
        quantity=keys.size_or_one("quantity"),
        demand_factor=keys.size_or_one("demand_factor"),
        demand_rule=keys.word("demand_rule"),
        power_factor=_power_factor(path, load, plate, defaults, facts),
        efficiency=_efficiency(path, load, plate, defaults, facts),
        shaft=keys.flag("shaft"),
        continuous=_continuous(path, load, facts),
        kind=_kind(path, load, plate, facts),
        frequencies_hz=_frequencies(path, load, supply_hz, facts),
        neutral=facts.yes(f"{path}.neutral", load.neutral),
        grounded_wye=keys.flag("grounded_wye"),
        feeds_back=keys.flag("feeds_back"),
        lines=keys.word("lines"),
        own_unit=keys.word("transformer") == "own",
        measured_demand=keys.flag("measured_demand"),
        never_with=keys.word("never_with"),
        start=keys.word("start"),
        start_current_a=start_a,
        start_multiple=start_multiple,
        locked_rotor_code=keys.word("locked_rotor_code"),
        start_dip_limit_pct=keys.size("start_dip_limit"),
        largest_motor_hp=keys.size("largest_motor"),
        harmonics=harmonics_of(path, load, facts),
        firing=keys.word("firing"),
        duty_on_pct=duty_on,
        duty_period_s=duty_period,
        momentary_kva=keys.size("momentary"),
        regulation_limit_pct=keys.size("regulation_limit"),
    )
    return None if found is None else complete


def _plate(path: str, load: Load, defaults: Defaults, facts: Facts) -> _Plate | None:
    found = _system(f"{path}.system", load, defaults, facts)
    for name in SIZE_KEYS:
        given = getattr(load, name)
        if given is not None:
            size = facts.size(f"{path}.{name}", given, _KEYS[name])
            if size is not None:
                return None if found is None else _Plate(*found, name, size)
    facts.require(f"{path}.current", "size of the load: one of current, kva, kw, hp")
    return None


def _system(path: str, load: Load, defaults: Defaults, facts: Facts) -> tuple[VoltageSystem, float] | None:
    given = load.system
    if not isinstance(given, VoltageSystem):
        facts.require(path, "phases and volts of the load")
        return None
    if given.phases is None:
        facts.note(path, given.text, "given", "phases and wires are not known")
        facts.require(path, "phases and wires of the load", possible_systems(given, defaults))
        return None
    system = facts.system(path, given)
    nominal = nominal_system(given, defaults)
    if nominal is None:
        return system, system.line_v
    table = step_of(nominal.line_v)
    cited = table.source if table else f"usual nominal voltage ({defaults.regime})"
    source = f"{cited}: equipment for {plain(given.line_v)} V; {facts.source(path, given.text)}"
    name = f"{path.removesuffix('.system')}.nominal_v"
    known = table.known if table else "common practice"
    facts.note(
        name, nominal.text, "computed", f"equipment for {plain(given.line_v)} V is made for this system"
    )
    return facts.with_volts(name, nominal, known, source), system.line_v


def _kind(path: str, load: Load, plate: _Plate, facts: Facts) -> str:
    given = facts.word(f"{path}.kind", load.kind)
    if given is None and plate.size_kind == "hp":
        facts.note(f"{path}.kind", "motor", "computed", "its size is in hp")
        return "motor"
    if given is None and load.kind is not None:
        facts.note(f"{path}.kind", "general", "assumed", unknown_too(load.kind, "nothing is known of it"))
    return given or "general"


def _power_factor(path: str, load: Load, plate: _Plate, defaults: Defaults, facts: Facts) -> Number | None:
    name = f"{path}.power_factor"
    found = facts.size(name, load.power_factor, _KEYS["power_factor"])
    if found is not None:
        return found
    if plate.size_kind == "kw":
        reason = unknown_too(load.power_factor, "usual for a load stated in kW, on the low side")
        return facts.assume(name, defaults.power_factor_kw, "", reason)
    reason = "an angle that is not known earns no reduction"
    text = "adds in line with the sum of the others"
    facts.note(name, text, "assumed", unknown_too(load.power_factor, reason))
    return None


def _efficiency(path: str, load: Load, plate: _Plate, defaults: Defaults, facts: Facts) -> float:
    """Return the efficiency; 1 where the size is what the load draws from its supply."""
    name, value = f"{path}.efficiency", defaults.efficiency_shaft
    found = facts.size(name, load.efficiency, _KEYS["efficiency"])
    if found is not None:
        return found
    if plate.size_kind == "hp" and defaults.motor_table:
        # The code's table of motor currents goes first: mostly nothing rests on this, and it is not noted.
        reason = "for a motor without efficiency that is in no table, on the low side"
        return Number(value, Step(name, value, "", "", {}, reason, "assumed"))
    if plate.size_kind == "hp" or (plate.size_kind == "kw" and load.shaft is True):
        reason = "for an output without efficiency, on the low side"
        return facts.assume(name, value, "", unknown_too(load.efficiency, reason))
    return 1.0


def _continuous(path: str, load: Load, facts: Facts) -> bool:
    if isinstance(load.continuous, bool):
        return bool(facts.yes(f"{path}.continuous", load.continuous))
    reason = unknown_too(load.continuous, "3 h or more is the safe side for conductors and devices")
    facts.note(f"{path}.continuous", "yes", "assumed", reason)
    return True


def _frequencies(path: str, load: Load, supply_hz: float, facts: Facts) -> tuple[float, ...]:
    """Return what the load takes: its own frequencies, both ends of a range, or that of the supply."""
    name, given = f"{path}.frequency", load.frequency or ()
    if len(given) == 1 and given[0].form != "range":
        only = facts.optional(name, given[0], _KEYS["frequency"])
        return (supply_hz,) if only is None else (only,)
    ends = [end for each in given for end in (each.low, each.high) if end is not None]
    if not ends:
        return (supply_hz,)
    text = f"{plain(min(ends))}/{plain(max(ends))} Hz"
    facts.note(name, text, "given", "takes both")
    source = facts.source(name, text)
    return tuple(
        Number(value, Step(f"{name}[{number}]", value, "Hz", "", {}, source, "given"))
        for number, value in enumerate((min(ends), max(ends)))
    )


def _start_current(path: str, load: Load, facts: Facts) -> tuple[Number | None, Number | None]:
    """Return the starting current in amperes, or as a multiple of the rated one."""
    given = load.start_current
    if given is None:
        return None, None
    number = facts.optional(f"{path}.start_current", given, _KEYS["start_current"])
    return (number, None) if given.kind == "current" else (None, number)


def _duty(path: str, duty: Duty | None, facts: Facts) -> tuple[Number | None, Number | None]:
    if duty is None:
        return None, None
    on = facts.size(f"{path}.duty.on", duty.on, _DUTY["on"])
    if on is None:
        reason = unknown_too(duty.on, "a share that is not known earns no reduction")
        on = facts.assume(f"{path}.duty.on", 100.0, "%", reason)
    return on, facts.optional(f"{path}.duty.period", duty.period, _DUTY["period"])
