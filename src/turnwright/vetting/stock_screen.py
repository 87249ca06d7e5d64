"""Which units of a list are worth a whole evaluation: what rules the others out without solving a circuit."""

from __future__ import annotations

from math import inf

from turnwright.arrangements import Proposal
from turnwright.demand import LoadPicture
from turnwright.model.case import Case
from turnwright.model.job import Nameplate
from turnwright.model.result import Question
from turnwright.regimes import Regime
from turnwright.selection.choose import picture_of
from turnwright.selection.derating import derating_of
from turnwright.selection.needs import SAME
from turnwright.selection.screen import Sized, judged
from turnwright.selection.sizing import law
from turnwright.vetting import criteria, supply_side
from turnwright.vetting.connecting import connect, how_many
from turnwright.vetting.joined import Joined
from turnwright.vetting.plate import Plate, read_plate
from turnwright.vetting.records import Criterion, Vetting
from turnwright.vetting.vet import as_marked, binding, can_be_computed, one_piece, vet_case
from turnwright.working import CLOSED, Ledger

NAME = "the unit"
"""How a unit is called in what is said of it: equal rows share one evaluation, whatever their names."""

_Windings = tuple[object, ...]


class Screen:
    """Looks at many units for one job; remembers what units with equal windings have in common."""

    def __init__(self, case: Case, regime: Regime) -> None:
        self._case = case
        self._regime = regime
        self._unserved: dict[_Windings, Criterion | None] = {}
        self._pictures: dict[tuple[object, ...], LoadPicture] = {}

    def plate(self, plate: Nameplate) -> Plate | Question:
        """Return the unit of a nameplate, or the first thing that has to be known of it."""
        read = read_plate(plate, NAME, self._regime)
        return read if isinstance(read, Plate) else read[0]

    def unserved(self, plate: Nameplate) -> Criterion | None:
        """Return what the windings alone do not meet: phases, hertz, flux, volts, neutral; None: nothing.

        A nameplate that cannot be read is left to `plate`.
        """
        windings = _windings(plate)
        if windings not in self._unserved:
            read = self.plate(plate)
            if not isinstance(read, Plate):
                return None
            self._unserved[windings] = worst(self._served((read,))[1])
        return self._unserved[windings]

    def too_small(self, plates: tuple[Plate, ...]) -> Criterion | None:
        """Return what one unit, or a bank, is too small for, or what of its windings does not serve; None: nothing."""
        joined, held = self._served(plates)
        found = worst(held)
        if found is not None or joined is None or not can_be_computed(self._case, joined):
            return found
        return worst(list(criteria.sizes(self._sized(joined, plates))))

    def sized(self, plate: Plate) -> Sized | None:
        """Return a unit that `unserved` has nothing against with its needs and its loading; None: has no numbers."""
        joined = self._joined((plate,))
        return self._sized(joined, (plate,)) if can_be_computed(self._case, joined) else None

    def as_wished(self, plate: Plate) -> tuple[bool, ...]:
        """Return whether a unit has the impedance that the job insists on; the other wishes do not turn on it."""
        if self._case.choices.impedance_pct is None:
            return ()
        return tuple(one.ok for one in criteria.wishes(self._joined((plate,)), self._case))

    def law_pct(self, plate: Plate, sized: Sized) -> float | None:
        """Return the efficiency that the law asks of a unit made when this one was. [%]"""
        asked = law(as_marked(one_piece(self._case), (plate,)), sized, self._regime, CLOSED).law_pct
        return None if asked is None else float(asked)

    def vet(self, plate: Plate) -> Vetting:
        """Return the whole evaluation of one unit, as `vet` returns it."""
        return vet_case(self._case, (plate,), self._regime, CLOSED, self.picture)

    def heat_kva(self, plate: Plate) -> float:
        """Return the rated kVA that heat asks of one unit, in parallel or alone. [kVA]"""
        joined, held = self._served((plate,))
        if joined is None or worst(held) is not None or not can_be_computed(self._case, joined):
            return inf
        sized = self._sized(joined, (plate,))
        asked = sized.heat_kva
        return float(asked) * (1 - SAME) * float(plate.unit.kva) / float(joined.unit.kva)

    def _served(self, plates: tuple[Plate, ...]) -> tuple[Joined | None, list[Criterion]]:
        case = as_marked(one_piece(self._case), plates)
        count = how_many(plates, case)
        held = [*supply_side.phases(plates[0], case, count), *supply_side.frequency(case)]
        if not all(one.ok for one in held if one.name == "phases"):
            return None, held
        joined = self._joined(plates)
        held += supply_side.flux(joined, case)
        held += supply_side.output_volts(joined, case)
        held += supply_side.neutral(joined, case)
        return joined, held

    def _joined(self, plates: tuple[Plate, ...]) -> Joined:
        case = as_marked(one_piece(self._case), plates)
        return connect(plates[0], case, how_many(plates, case), CLOSED)

    def _sized(self, joined: Joined, plates: tuple[Plate, ...]) -> Sized:
        case = as_marked(one_piece(self._case), plates)
        derating = derating_of(case.site, CLOSED, joined.unit.rise_k, joined.unit.insulation_c)
        picture = self.picture(case, joined.proposal, self._regime, CLOSED)
        return judged(case, joined.proposal, picture, joined.unit, derating, self._regime)

    def picture(self, case: Case, proposal: Proposal, regime: Regime, work: Ledger) -> LoadPicture:
        """Return what the loads ask of a proposal, computed once for units with equal outputs."""
        if proposal.adapt is not None:
            return picture_of(case, proposal, regime, work)
        key = (proposal.load_system or proposal.output, case.choices.p_ecr, case.choices.manufactured)
        if key not in self._pictures:
            self._pictures[key] = picture_of(case, proposal, regime, work)
        return self._pictures[key]


def _windings(plate: Nameplate) -> _Windings:
    """What decides the volts of a unit; of a single-phase one its kVA too, as it may stand in series with a line."""
    sides = (plate.primary, plate.secondary)
    three = any(getattr(side, "phases", None) == 3 for side in sides)
    return (*sides, plate.frequency, plate.taps, None if three else plate.kva)


def worst(held: list[Criterion]) -> Criterion | None:
    """Return what is not met and nothing beside another unit mends; None: there is no such thing."""
    unmet = [one for one in held if not one.ok and not one.condition]
    name = binding(unmet)
    return next((one for one in unmet if one.name == name), None)
