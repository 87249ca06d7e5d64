"""The supply of a case, and what stands in where the job does not say."""

from __future__ import annotations

from turnwright.intake.facts import Facts, unknown_too
from turnwright.intake.own_source import of_own_source
from turnwright.intake.systems import possible_systems
from turnwright.model.case import CaseSupply, Defaults
from turnwright.model.job import Supply
from turnwright.model.keys import SUPPLY
from turnwright.quantities import Quantity, VoltageSystem
from turnwright.working import Number

_KEYS = {key.name: key for key in SUPPLY}

_RATINGS = ("source_kva", "source_reactance", "panel_rating", "panel_load", "panel_fault_rating")


def supply_of(supply: Supply, defaults: Defaults, facts: Facts) -> CaseSupply | None:
    """Return the supply, or None when its system is not known (then it is among the missing facts)."""
    system = _system(supply, defaults, facts)
    frequency = _frequency(supply, defaults, facts)
    grounding = _grounding(supply, system, facts)
    earthing = facts.optional_word("supply.earthing", supply.earthing)
    x_over_r = facts.size("supply.x_over_r", supply.x_over_r, _KEYS["x_over_r"])
    if x_over_r is None:
        reason = unknown_too(supply.x_over_r, "usual for a supply of this kind")
        x_over_r = facts.assume("supply.x_over_r", defaults.x_over_r, "", reason)
    measured = _volts("measured", supply.measured, facts)
    to_ground = _volts("measured_to_ground", supply.measured_to_ground, facts)
    source = facts.word_or(
        "supply.source", supply.source, "utility", "no generator, UPS or inverter is named"
    )

    source_kva, source_reactance, panel_rating, panel_load, panel_fault = (
        facts.optional(f"supply.{name}", getattr(supply, name), _KEYS[name]) for name in _RATINGS
    )
    fault, fault_low = _fault(supply, source, source_kva, source_reactance, system, facts)
    if system is None:
        return None
    return CaseSupply(
        system=system,
        line_v=system.line_v,
        frequency_hz=frequency,
        grounding=grounding,
        earthing=earthing,
        fault_current_a=fault,
        fault_current_low_a=fault_low,
        x_over_r=x_over_r,
        source=source,
        source_kva=source_kva,
        source_reactance_pct=source_reactance,
        panel_rating_a=panel_rating,
        panel_load_a=panel_load,
        panel_fault_rating_a=panel_fault,
        measured_v=measured,
        measured_to_ground_v=to_ground,
    )


def _system(supply: Supply, defaults: Defaults, facts: Facts) -> VoltageSystem | None:
    path, given = "supply.system", supply.system
    if not isinstance(given, VoltageSystem):
        facts.require(path, "phases and volts of the supply")
        return None
    if given.phases is None:
        facts.note(path, given.text, "given", "phases and wires are not known")
        facts.require(path, "phases and wires of the supply", possible_systems(given, defaults))
        return None
    return facts.system(path, given)


def _frequency(supply: Supply, defaults: Defaults, facts: Facts) -> Number:
    found = facts.size("supply.frequency", supply.frequency, _KEYS["frequency"])
    if found is None:
        reason = unknown_too(supply.frequency, f"usual frequency under the rules of {defaults.regime}")
        return facts.assume("supply.frequency", defaults.frequency_hz, "Hz", reason)
    return found


def _grounding(supply: Supply, system: VoltageSystem | None, facts: Facts) -> str | None:
    given = facts.optional_word("supply.grounding", supply.grounding)
    if given is None and system is not None and system.grounding is not None:
        facts.note("supply.grounding", system.grounding, "computed", f'the system is "{system.text}"')
        return system.grounding
    return given


def _fault(
    supply: Supply,
    source: str,
    source_kva: Number | None,
    reactance_pct: Number | None,
    system: VoltageSystem | None,
    facts: Facts,
) -> tuple[Number | None, float | None]:
    """Return the fault current for interrupting ratings, and the low end for dips."""
    path, given = "supply.fault_current", supply.fault_current
    high = facts.size(path, given, _KEYS["fault_current"])
    if given is None or high is None:
        if source != "utility" and source_kva is not None and system is not None:
            return of_own_source(source, source_kva, reactance_pct, system, facts)
        text = "infinite source for interrupting ratings, a weak one for dips"
        reason = unknown_too(given, "not given; each end is the safe one for its use")
        facts.note(path, text, "assumed", reason)
        return None, None
    return high, high if given.form == "exact" else facts.ends(path, given)[0]


def _volts(name: str, given: tuple[Quantity, ...], facts: Facts) -> tuple[float, ...]:
    found = [
        facts.optional(f"supply.{name}[{number}]", each, _KEYS[name]) for number, each in enumerate(given)
    ]
    return tuple(each for each in found if each is not None)
