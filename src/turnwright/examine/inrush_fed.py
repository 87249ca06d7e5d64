"""What is switched on: windings on the supply, what closes on the other side, the impedance before them."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from typing import TYPE_CHECKING

from msgspec import Struct

from turnwright.circuit.connections import Place
from turnwright.circuit.elements import source_impedance_ohm
from turnwright.circuit.inrush_banks import LINES, NEUTRAL, STAR, ClosedDelta, Supply, delta, wye
from turnwright.errors import InputError
from turnwright.examine.ends import ends_of
from turnwright.examine.parallel_units import impedances_of, middle_of
from turnwright.examine.subject import Subject
from turnwright.examine.tables import study_row
from turnwright.model.job import Nameplate
from turnwright.model.unit import Impedance
from turnwright.quantities import VoltageSystem
from turnwright.regimes import Regime
from turnwright.selection.network import FED_FROM_NEUTRAL

if TYPE_CHECKING:
    from turnwright.examine.options import Options

KILO = 1000.0
ORDINARY_HZ = 60.0


class Fed(Struct, frozen=True, kw_only=True):
    """A unit with separate windings as it hangs on its supply.

    core_kva    of one core of one unit
    rated_v     of the winding that is switched on
    windings    its ends on each core, lines of the supply as "A", "B", "C"
    unit        impedance of the whole unit, its low end [%]
    closed      the other windings form a ring
    low_side    the winding with the lower voltage is switched on
    one_core    the windings stand on three legs of one core
    supply      with its impedance; an infinite one where that is not known
    together    how many equal units are closed at once
    """

    core_kva: float
    rated_v: float
    windings: tuple[tuple[str, str], ...]
    unit: Impedance
    closed: bool
    low_side: bool
    one_core: bool
    supply: Supply
    together: int

    @property
    def ring(self) -> ClosedDelta | None:
        """Half of the impedance lies on the other side."""
        half = ClosedDelta(self.unit.resistance_pct / 2, self.unit.reactance_pct / 2)
        return half if self.closed else None

    @property
    def kva(self) -> float:
        """Rating of one unit. [kVA]"""
        return self.core_kva * len(self.windings)

    @property
    def rated_a(self) -> float:
        """Rated line current of one unit on the side that is switched on. [A]"""
        ends = {end for pair in self.windings for end in pair}
        is_delta = len(self.windings) == len(LINES) and ends == {*LINES}
        return self.core_kva * KILO / self.rated_v * (sqrt(3) if is_delta else 1.0)

    @property
    def low_end_pu(self) -> float:
        """Reactance with the core saturated, per unit, where it is least."""
        least = float(study_row("core_saturated_low_pu").number("value"))
        inside = float(study_row("core_saturated_inner_share").number("value"))
        return least * inside if self.low_side else least

    @property
    def outside_pct(self) -> tuple[float | None, ...]:
        """Both ends of the reactance beside the legs of one core, percent; None for cores closed in themselves."""
        if not self.one_core:
            return (None,)
        return tuple(
            100 * float(study_row(f"core_outside_{end}_pu").number("value")) for end in ("low", "high")
        )


def fed_of(subject: Subject, options: Options) -> Fed | None:
    """Return the unit of a job as it hangs on its supply; None where its windings are not separate ones.

    Raises:
        InputError: EXM-08, a number of units that cannot be.
    """
    proposal, unit = subject.sized.proposal, subject.sized.unit
    if not proposal.derived:
        return None
    low = ends_of(subject).low
    connection = proposal.build(float(unit.kva), float(low.resistance_pct), float(low.reactance_pct))
    here, there = ("secondary", "primary") if options.reverse_fed else ("primary", "secondary")
    own = [place for place in connection.places if place.side == here]
    if len({place.core for place in own}) < len(own):
        return None  # zigzag or halves: two windings of one core share a line
    others = [place for place in connection.places if place.side == there]
    closed = _is_ring(others)
    ends = dict(zip(connection.terminals[here], LINES, strict=False))
    if FED_FROM_NEUTRAL in proposal.lines and not options.reverse_fed:
        ends[connection.terminals[here][1]] = NEUTRAL
    neutral = subject.case.supply.system.neutral_v is not None and not closed
    ends[connection.neutrals.get(here, STAR)] = NEUTRAL if neutral else STAR
    step_up = proposal.step_up != options.reverse_fed
    return Fed(
        core_kva=float(connection.cores[0].kva),
        rated_v=float(own[0].rated_v),
        windings=tuple(_from_a_line(ends.get(one.dot, STAR), ends.get(one.other, STAR)) for one in own),
        unit=low,
        closed=closed,
        low_side=step_up,
        one_core=proposal.unit_phases == len(LINES) == len(own),
        supply=_reversed_supply(subject) if options.reverse_fed else supply_of(subject),
        together=pieces(options.together),
    )


def _from_a_line(start: str, end: str) -> tuple[str, str]:
    return (start, end) if start in LINES else (end, start)


def _is_ring(places: Sequence[Place]) -> bool:
    """Windings that follow each other round and close."""
    nodes = [node for place in places for node in (place.dot, place.other)]
    return len(places) >= len(LINES) and all(nodes.count(node) == 2 for node in nodes)


def supply_of(subject: Subject) -> Supply:
    """Return the supply of a job, an infinite one where its fault current is not known."""
    supply = subject.case.supply
    three = supply.system.phases == 3
    z = 0j
    if supply.fault_current_a is not None:
        behind_v = float(supply.line_v) / (sqrt(3) if three else 2.0)
        z = source_impedance_ohm(behind_v, float(supply.fault_current_a), float(supply.x_over_r))
    return Supply(float(supply.frequency_hz), float(supply.line_v), 3 if three else 1, z)


def _reversed_supply(subject: Subject) -> Supply:
    """Return an infinite source of the volts of the load side."""
    output = subject.sized.proposal.output
    hz = float(subject.case.supply.frequency_hz)
    return Supply(hz, float(output.line_v), 3 if output.phases == 3 else 1)


def fed_of_unit(plate: Nameplate, regime: Regime, options: Options) -> Fed:
    """Return a unit of a file on an infinite supply of its rated volts.

    Raises:
        InputError: EXM-08, a nameplate without kVA or windings, or a number of units that cannot be.
    """
    kva = middle_of(plate.kva)
    here, there = plate.primary, plate.secondary
    if not isinstance(here, VoltageSystem) or not isinstance(there, VoltageSystem) or kva is None:
        what = "kva, primary and secondary of the nameplate are not all known."
        raise InputError("EXM-08", "unit", what, "Read them off the nameplate.")
    if options.reverse_fed:
        here, there = there, here
    closed = there.connection == "delta" and there.phases == 3
    three = here.phases == 3
    star = NEUTRAL if here.neutral_v is not None and not closed else STAR
    is_wye = three and here.connection == "wye"
    hz = (middle_of(plate.frequency[0]) if plate.frequency else None) or ORDINARY_HZ
    return Fed(
        core_kva=kva / (3 if three else 1),
        rated_v=float(here.line_v) / (sqrt(3) if is_wye else 1.0),
        windings=wye(star) if is_wye else delta() if three else ((LINES[0], LINES[1]),),
        unit=impedances_of(plate, regime, kva, 3 if three else 1)[0],
        closed=closed and three,
        low_side=here.line_v < there.line_v,
        one_core=three,
        supply=Supply(float(hz), float(here.line_v), 3 if three else 1),
        together=pieces(options.together),
    )


def pieces(together: int) -> int:
    """Return how many units are closed at once.

    Raises:
        InputError: EXM-08, none, or more than a thousand.
    """
    if not 1 <= together <= 1000:
        raise InputError("EXM-08", "--together", f"{together} units cannot be closed.", "Write 1 to 1000.")
    return together
