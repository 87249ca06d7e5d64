"""One random job both ways, number by number."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import turnwright as tw
from differential.random_jobs import Facts, job_of
from differential.slow_path import Answer, answer
from turnwright.model.result import Blocks

EXACT = 1e-6
SOLVED = 1e-3
"""For what the other engine solves with its own small numbers in every idle node."""
SHARED = 1e-2
"""For line currents: the tool scales them up to the sum of its loads, never down."""
NOMINAL = 5e-3
"""For the neutral: the tool divides by the load's own 230 V, the slow path by 400 V / √3."""
ABOVE_ZERO_A = 0.05


@dataclass(frozen=True)
class Pair:
    """A number found both ways, and how far they may be apart, relative to the larger."""

    what: str
    tool: float | None
    slow: float | None
    within: float

    @property
    def agrees(self) -> bool:
        """Whether both are the same within what is allowed; nothing agrees with nothing."""
        if self.tool is None or self.slow is None:
            return self.tool is self.slow
        larger = max(abs(self.tool), abs(self.slow))
        return abs(self.tool - self.slow) <= self.within * larger + (
            ABOVE_ZERO_A if "current" in self.what else 0
        )


def compared(facts: Facts) -> list[Pair]:
    """Return every number that both ways give for a job."""
    return list(pairs_of(facts, tw.select(tw.job_from_mapping(job_of(facts))), answer(facts)))


def pairs_of(facts: Facts, result: tw.Result, slow: Answer) -> Iterator[Pair]:
    """Yield the size and, where it is the same, every other number."""
    blocks = result.blocks
    if blocks is None or slow.kva is None:
        yield Pair("size, kVA", None if blocks is None else float(blocks.pick.kva), slow.kva, 0.0)
        return
    demand = blocks.demand
    windings = 3 if facts.output.joined.startswith("D") else 1
    yield Pair("size, kVA", float(blocks.pick.kva), slow.kva, 0.0)
    yield Pair("load with growth, kVA", float(demand.kva_with_growth), slow.total_kva, EXACT)
    yield Pair("worst winding, kVA", float(demand.worst_phase_kva) * windings, slow.worst_kva, SOLVED)
    if float(blocks.pick.kva) == slow.kva:
        yield from _in_circuit(facts, blocks, slow)


def _in_circuit(facts: Facts, blocks: Blocks, slow: Answer) -> Iterator[Pair]:
    fault, currents = blocks.fault, blocks.currents
    yield Pair("fault between lines, A", float(fault.secondary_a), slow.fault_a, SOLVED)
    if slow.ground_fault_a is not None:
        ground_a = None if fault.line_ground_a is None else float(fault.line_ground_a)
        yield Pair("fault to ground, A", ground_a, slow.ground_fault_a, SOLVED)
    if not facts.fixed:  # several ways of spreading the loads are equally good
        return
    if slow.neutral_a is not None:
        yield Pair("neutral current, A", float(currents.neutral_load_a or 0.0), slow.neutral_a, NOMINAL)
    lines = sorted(float(current) for current in currents.line_load_a)
    others = sorted(slow.line_a if len(slow.line_a) == len(lines) else slow.line_a * len(lines))
    for tool, other in zip(lines, others, strict=True):
        yield Pair("supply line current, A", tool, other, SHARED)
    if facts.output.joined != "Iin":  # which half stands nearer the core is not told
        yield Pair("volts at the load, V", float(blocks.voltage.secondary_full_load_v), slow.loaded_v, SOLVED)
