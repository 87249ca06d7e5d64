"""What an assumption moves besides the size: its likely answers through the whole engine, headline numbers compared."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from turnwright.errors import InputError
from turnwright.intake import case_of
from turnwright.model.case import UNDER_THE_SKY, Case
from turnwright.model.job import Job
from turnwright.model.result import Blocks
from turnwright.narrow.put import put
from turnwright.regimes import Regime, carried_regimes, regime_of
from turnwright.selection import picked_numbers

MOST_RUNS = 8
"""Runs of the engine for all of these questions of one job."""
_SPECTRA = {
    "drive": ("active_front_end", "drive_6pulse_pwm_no_choke"),
    "motor": ("active_front_end", "drive_6pulse_pwm_no_choke"),
    "charger": ("active_front_end", "drive_6pulse_pwm_no_choke"),
    "furnace": ("active_front_end", "ideal_6pulse"),
    "computing": ("crypto_asic_pfc_measured", "single_phase_smps"),
}
_ANY_SPECTRA = ("led_over25w_limit", "single_phase_smps")
"""The mildest and the harshest that is usual, names of the table of spectra."""
_WATCHED: dict[str, Callable[[Blocks], Any]] = {
    "kva": lambda blocks: blocks.pick.kva,
    "k_rating": lambda blocks: blocks.pick.k_rating,
    "enclosure": lambda blocks: blocks.pick.enclosure,
    "interrupting_min_a": lambda blocks: blocks.protection.interrupting_min_a,
    "primary_a": lambda blocks: blocks.protection.primary_a,
    "secondary_a": lambda blocks: blocks.protection.secondary_a,
    "primary_conductor": lambda blocks: blocks.conductors.primary and blocks.conductors.primary.size,
    "secondary_conductor": lambda blocks: blocks.conductors.secondary and blocks.conductors.secondary.size,
}


class Moves:
    """Runs likely answers of questions about other things than the size, so many at most."""

    def __init__(self, job: Job, case: Case, regime: Regime, blocks: Blocks) -> None:
        self._job = job
        self._case = case
        self._regime = regime
        self._now = blocks
        self._left = MOST_RUNS

    def of(self, key: str) -> dict[str, Any]:
        """Return the numbers that the answer to a question moves, each with its ends; nothing where it moves none."""
        answers = list(self._answers(key))[: self._left]
        self._left -= len(answers)
        found = [blocks for job, regime in answers if (blocks := _blocks(job, regime)) is not None]
        if not found:
            return {}
        return {
            name: _ends(values)
            for name, of in _WATCHED.items()
            if len(set(values := [of(each) for each in (self._now, *found)])) > 1
        }

    def _answers(self, key: str) -> Iterator[tuple[Job, Regime]]:
        """Yield the job with each likely answer, and the rules it is then under."""
        if key == "edition":
            for edition in carried_regimes()[self._regime.name]:
                if edition != self._regime.edition:
                    yield self._job, regime_of(self._regime.name, edition, key)
            return
        for text in self._texts(key):
            yield put(self._job, key, text), self._regime

    def _texts(self, key: str) -> tuple[str, ...]:
        if key == "supply.fault_current":
            return ("10 kA",)
        if key == "site.place":
            return UNDER_THE_SKY
        if key.endswith(".spectrum"):
            index = int(key.partition("[")[2].partition("]")[0])
            kind = next((one.kind for one in self._case.loads if one.index == index), "")
            return _SPECTRA.get(kind, _ANY_SPECTRA)
        return ()


def _blocks(job: Job, regime: Regime) -> Blocks | None:
    """Return the numbers of a job with an answer put in, None where nothing is picked then."""
    try:
        case = case_of(job, regime.defaults)
        return picked_numbers(case, regime) if isinstance(case, Case) else None
    except InputError:  # an answer that this job cannot have
        return None


def _ends(values: list[Any]) -> list[Any]:
    """Return the ends of numbers; of words, as it stands and what it comes to else."""
    if all(isinstance(one, int | float) for one in values):
        return [min(values), max(values)]
    return [values[0], next(one for one in values if one != values[0])]
