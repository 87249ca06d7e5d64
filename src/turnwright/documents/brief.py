"""What a paper is made from: the job as written, the answer to it, and what was asked of the paper."""

from __future__ import annotations

import re
from collections.abc import Iterator

from msgspec import Struct

from turnwright.model.job import Job, Nameplate
from turnwright.model.result import Alternative, Blocks, Result
from turnwright.regimes import Traits, traits_of
from turnwright.regimes.traits import Measure

_RUNNING = re.compile(r"(.*?)load\[(\d+)\]\.running_kva")


class Stock(Struct, frozen=True):
    """A list of units as it was given, CSV or TOML by the name of its file."""

    text: str
    origin: str

    @property
    def units(self) -> tuple[Nameplate, ...]:
        """The units of the list.

        Raises:
            InputError: a row or a key that cannot be used; it is named.
        """
        from turnwright.intake import read_unit
        from turnwright.vetting import read_stock

        read = read_unit if self.origin.lower().endswith(".toml") else read_stock
        return read(self.text, self.origin)


class Brief(Struct, frozen=True, kw_only=True):
    """Everything a paper may use.

    job       the facts as given, with the notes that are shown and never computed with
    text      the job file, word for word
    origin    name of the job file
    result    the answer, with its working
    measure   "us": Letter, feet and pounds first; "metric": A4, metres and kilograms first
    date, by, revision  as given; "" leaves a line to fill in
    hold_off  points of the device before the unit, as given: current it holds, and how long [A, s]
    stock     units with what is known of their losses and prices, compared in the plots
    discount, years  interest by which later money counts less, and years that are counted; None: not given [%, a]
    """

    job: Job
    text: str
    origin: str
    result: Result
    measure: Measure
    date: str = ""
    by: str = ""
    revision: str = ""
    hold_off: tuple[tuple[float, float], ...] = ()
    stock: Stock | None = None
    discount: float | None = None
    years: float | None = None

    @property
    def regime(self) -> str:
        """Whose rules hold: us, ca or iec."""
        return str(self.result.job.get("regime") or "")

    @property
    def traits(self) -> Traits:
        """What differs by whose rules hold: words, signs, tables."""
        return traits_of(self.regime)

    @property
    def metric(self) -> bool:
        """A4, metres and kilograms first."""
        return self.measure == "metric"

    @property
    def edition(self) -> str:
        """Edition of the installation code."""
        return str(self.result.job.get("edition") or "")


class PaperUnit(Struct, frozen=True):
    """One transformer of the answer: its mark on paper, what it is there for, its numbers.

    path  where its numbers stand in the result, "" for the pick, "also[0]." for a second unit
    loads places in the load list of what hangs on it; None where the answer came without its working
    """

    mark: str
    what: str
    path: str
    blocks: Blocks
    loads: frozenset[int] | None = None

    def carries(self, index: int) -> bool:
        """Tell whether a load hangs on this unit, as far as the working says."""
        return self.loads is None or index in self.loads


def units_of(result: Result) -> tuple[PaperUnit, ...]:
    """Return the transformers that the answer asks for, T1 first; none where nothing was picked."""
    if result.blocks is None:
        return ()
    found = [("", "", result.blocks), *_further(result.also, "")]
    carried = _carried(result)
    return tuple(
        PaperUnit(f"T{number}", what.rstrip(". "), path, blocks, carried.get(path))
        for number, (what, path, blocks) in enumerate(found, start=1)
    )


def _carried(result: Result) -> dict[str, frozenset[int]]:
    """Return the loads whose demand was computed for each unit, by the path of the unit."""
    found: dict[str, set[int]] = {}
    for line in result.working:
        match = _RUNNING.fullmatch(line.name)
        if match:
            found.setdefault(match[1], set()).add(int(match[2]))
    return {path: frozenset(loads) for path, loads in found.items()}


def _further(others: tuple[Alternative, ...], above: str) -> Iterator[tuple[str, str, Blocks]]:
    for at, other in enumerate(others):
        path = f"{above}also[{at}]."
        if other.blocks is not None:
            yield other.what, path, other.blocks
        yield from _further(other.also, path)


def usual_measure(regime: str) -> Measure:
    """Return the measure of a regime; of the default one where none is named.

    Example:
        >>> usual_measure("us"), usual_measure("iec")
        ('us', 'metric')
    """
    return traits_of(regime).measure
