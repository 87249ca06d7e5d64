"""The units of a list by themselves: what each comes to, with as few circuits solved as that takes.

Units that differ in nothing but their impedance are judged at both ends of what they state. What a verdict rests on
moves one way with the impedance: fault currents fall, drops and dips grow. So where both ends are told the same, all
between them are; where not, the middle is judged as well, and so on. Sizes and margins are computed for each.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from msgspec.structs import replace

from turnwright.model.job import Nameplate
from turnwright.selection.screen import Sized
from turnwright.vetting import criteria
from turnwright.vetting.losses import LAW_LOAD, efficiency_pct
from turnwright.vetting.plate import Plate
from turnwright.vetting.records import Criterion, Verdict, Vetting
from turnwright.vetting.stock_screen import Screen, worst

FITTING = ("fit", "fit-with-conditions")
SERIOUS = ("stop", "caution")
FEW = 2
"""So many impedances are judged one by one."""


class Told(NamedTuple):
    """What a verdict comes to.

    unmet    names of the criteria that are not met
    remarks  codes of what has to be decided
    why      the reason in a sentence where it does not fit
    """

    verdict: Verdict
    unmet: tuple[str, ...]
    remarks: frozenset[str]
    why: str


class Alone(NamedTuple):
    """One unit by itself: what was found, or why nothing had to be; the unit as read where its windings serve.

    told         None where `why` says it without an evaluation
    margin_pct   of the size criterion that more load meets first [%]
    loading_pct  of the most loaded winding [%]
    """

    why: str
    plate: Plate | None
    told: Told | None = None
    spare_kva: float | None = None
    margin_pct: float | None = None
    loading_pct: float | None = None

    @property
    def fits(self) -> bool:
        """Whether it does the job alone."""
        return self.told is not None and self.told.verdict in FITTING


class _Open(NamedTuple):
    """A unit that is large enough and whose verdict is still open."""

    same: Nameplate
    plate: Plate
    sized: Sized | None
    sizes: tuple[Criterion, ...]

    @property
    def impedance_pct(self) -> float:
        return float(self.plate.unit.for_drop.magnitude_pct)

    @property
    def first(self) -> Criterion | None:
        """The size criterion that more load meets first."""
        growing = (one for one in self.sizes if one.spare_kva is not None)
        return min(growing, key=lambda one: one.spare_kva or 0.0, default=None)


def technical(plate: Nameplate) -> Nameplate:
    """Return a nameplate without what has no part in doing the job: rows that are equal then share an evaluation."""
    return replace(plate, unit=None, price=None, quantity=None, note=None)


def told_by(vetting: Vetting) -> Told:
    """Return what a verdict is made of."""
    return Told(
        vetting.verdict,
        tuple(one.name for one in vetting.criteria if not one.ok),
        frozenset(one.code for one in vetting.findings if one.severity in SERIOUS),
        "" if vetting.verdict in FITTING else _why(vetting),
    )


def _why(found: Vetting) -> str:
    unmet = next((one for one in found.criteria if one.name == found.binds and not one.ok), None)
    if unmet is not None:
        return unmet.says
    return found.questions[0].ask if found.questions else "It cannot be judged."


class Look:
    """Judges units by themselves, equal ones once.

    one_by_one : evaluate each, conclude nothing
    """

    def __init__(self, screen: Screen, one_by_one: bool = False) -> None:
        self.screen = screen
        self._one_by_one = one_by_one
        self._vettings: dict[Nameplate, Vetting] = {}
        self._said: dict[Nameplate, Told] = {}

    def all(self, plates: Iterable[Nameplate]) -> dict[Nameplate, Alone]:
        """Return what each kind of unit comes to by itself, by its nameplate as `technical` returns it."""
        found: dict[Nameplate, Alone] = {}
        classes: dict[object, list[_Open]] = defaultdict(list)
        for same in dict.fromkeys(plates):
            looked = self._looked(same)
            if isinstance(looked, Alone):
                found[same] = looked
            else:
                classes[same if self._one_by_one else self._class(looked)].append(looked)
        for members in classes.values():
            by_impedance: dict[float, list[_Open]] = defaultdict(list)
            for one in members:
                by_impedance[one.impedance_pct].append(one)
            self._settle([by_impedance[each] for each in sorted(by_impedance)], found)
        return found

    def vetting(self, same: Nameplate, plate: Plate) -> Vetting:
        """Return the whole evaluation of one kind of unit."""
        if same not in self._vettings:
            self._vettings[same] = self.screen.vet(plate)
        return self._vettings[same]

    def _looked(self, same: Nameplate) -> Alone | _Open:
        unserved = self.screen.unserved(same)
        joins = unserved is None or unserved.name == "phases"  # single-phase units may make a bank
        if unserved is not None and not joins:
            return Alone(unserved.says, None)
        read = self.screen.plate(same)
        if not isinstance(read, Plate):
            return Alone(read.ask, None)
        sized = None if unserved is not None else self.screen.sized(read)
        sizes = () if sized is None else tuple(criteria.sizes(sized))
        unmet = unserved or worst(list(sizes))
        return Alone(unmet.says, read) if unmet is not None else _Open(same, read, sized, sizes)

    def _class(self, one: _Open) -> object:
        """What has to be equal for two units to be told the same at the same impedance."""
        same, unit = one.same, one.plate.unit
        if one.sized is None or one.first is None or same.resistance is not None:
            return same
        bare = replace(
            same,
            impedance=None,
            mass=None,
            sound=None,
            insulation=None,
            time_constant=None,
            load_loss_at=None,
            no_load_loss=None,
            load_loss=None,
        )
        return (
            bare,
            unit.nominal is None,
            unit.sound_db is None,
            tuple(each.code for each in one.plate.findings),
            self.screen.as_wished(one.plate),
            self._below_law(one.plate, one.sized),
        )

    def _settle(self, steps: Sequence[list[_Open]], found: dict[Nameplate, Alone]) -> None:
        """Judge units by rising impedance: both ends, then the middle where these are not told the same."""
        first, last = (self._told(steps[end][0]) for end in (0, -1))
        if len(steps) <= FEW or first == last:
            for number, step in enumerate(steps):
                told = last if number and number == len(steps) - 1 else first
                found.update((one.same, self._alone(one, told)) for one in step)
            return
        middle = len(steps) // 2
        self._settle(steps[: middle + 1], found)
        self._settle(steps[middle:], found)

    def _told(self, one: _Open) -> Told:
        if one.same not in self._said:
            self._said[one.same] = told_by(self.vetting(one.same, one.plate))
        return self._said[one.same]

    def _below_law(self, plate: Plate, sized: Sized) -> bool | None:
        """Whether the losses on the plate are above the law; None where that is not known."""
        unit = plate.unit
        if unit.no_load_loss_w is None or unit.load_loss_w is None:
            return None
        law_pct = self.screen.law_pct(plate, sized)
        at_35 = efficiency_pct(float(unit.kva), float(unit.no_load_loss_w), float(unit.load_loss_w), LAW_LOAD)
        return None if law_pct is None else at_35 < law_pct

    def _alone(self, one: _Open, told: Told) -> Alone:
        first = one.first
        if first is None or one.sized is None:
            vetting = self.vetting(one.same, one.plate)
            loading = None if vetting.blocks is None else float(vetting.blocks.demand.loading_pct)
            return Alone(told.why, one.plate, told, vetting.spare_kva, margin_pct(vetting), loading)
        loading = float(one.sized.loading_pct)
        return Alone(told.why, one.plate, told, first.spare_kva, first.margin_pct, loading)


def margin_pct(vetting: Vetting) -> float | None:
    """Return the margin of the criterion that more load meets first, else of the one that binds. [%]"""
    growing = [one for one in vetting.criteria if one.spare_kva is not None]
    if growing:
        return min(growing, key=lambda one: one.spare_kva or 0.0).margin_pct
    return next((one.margin_pct for one in vetting.criteria if one.name == vetting.binds), None)
