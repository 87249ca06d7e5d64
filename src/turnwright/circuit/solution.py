"""What comes out: voltages, currents, powers, how exact they are, what the network leaves open."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import sqrt
from typing import Literal, TypeVar

from msgspec import Struct

from turnwright.circuit.network import EARTH
from turnwright.errors import InputError, nearest

T = TypeVar("T")


class Undetermined(Struct, frozen=True):
    """Something the network does not fix, and the value that stands in for it.

    kind   "potential": nodes that nothing ties to earth; differences between them are sound, their mean was
           taken as 0 V "voltage": nodes whose common voltage no winding, load or magnetizing branch fixes;
           the smallest was taken "current": branches between which a current divides in no determined way;
           the smallest was taken
    names  the nodes or branches
    note   the same as a sentence
    """

    kind: Literal["potential", "voltage", "current"]
    names: tuple[str, ...]
    note: str


class Solution(Struct, frozen=True):
    """The solved network at one harmonic order.

    voltages_v    node -> volts to earth
    currents_a    branch -> amperes; its direction is that of `ends`, a source's is out of it into the first
                  node
    ends          branch -> its two nodes
    residual      largest mismatch left, as a fraction: currents at a node of the largest current (or rated current of a
                  core), equations of ideal elements of the largest voltage or current
    condition     estimated condition number of the row-scaled equations
    undetermined  what the network leaves open
    open_nodes    nodes at which a single branch ends
    formulation   "reduced" (node voltages) or "full" (every current an unknown)
    iterations    steps taken for loads of constant power or current
    """

    harmonic: int
    voltages_v: dict[str, complex]
    currents_a: dict[str, complex]
    ends: dict[str, tuple[str, str]]
    sources: tuple[str, ...]
    residual: float
    condition: float
    undetermined: tuple[Undetermined, ...] = ()
    open_nodes: tuple[str, ...] = ()
    formulation: Literal["reduced", "full"] = "reduced"
    iterations: int = 0

    def voltage_v(self, node: str, other: str = EARTH) -> complex:
        """Return the voltage from `node` to `other`, V.

        Raises:
            InputError: CIR-08, no such node.
        """
        volts = self.voltages_v
        return (known(volts, node, "node") if node != EARTH else 0j) - (
            known(volts, other, "node") if other != EARTH else 0j
        )

    def current_a(self, branch: str) -> complex:
        """Return the current of a branch, A.

        Raises:
            InputError: CIR-08, no such branch.
        """
        return known(self.currents_a, branch, "branch")

    def power_va(self, branch: str) -> complex:
        """Return the power a branch absorbs (a source: delivers), VA: P + jQ, Q positive where it lags."""
        current = self.current_a(branch)
        start, end = self.ends[branch]
        return self.voltage_v(start, end) * current.conjugate()

    def supplied_va(self) -> complex:
        """Return the power delivered at the terminals of all sources, VA."""
        return sum([self.power_va(name) for name in self.sources], 0j)

    def absorbed_va(self, core: str) -> complex:
        """Return the power a core absorbs over all its windings and its no-load branch, VA.

        Raises:
            InputError: CIR-08, no such core.
        """
        own = [n for n in self.ends if n.rpartition(".")[0] == core and _of_core(n.rpartition(".")[2])]
        if not own:
            raise InputError("CIR-08", core, "there is no such core.", "Check the name.")
        return sum([self.power_va(name) for name in own], 0j)

    def is_determined(self, node: str) -> bool:
        """Return whether the voltage of a node to earth follows from the network."""
        return not any(node in open_.names for open_ in self.undetermined if open_.kind != "current")


class HarmonicSolution(Struct, frozen=True):
    """One solution for each harmonic order, and what follows from all of them together."""

    by_order: dict[int, Solution]

    def voltage_rms_v(self, node: str, other: str = EARTH) -> float:
        """Return the rms voltage over all orders, V."""
        return _root_sum(abs(s.voltage_v(node, other)) for s in self.by_order.values())

    def voltage_thd_pct(self, node: str, other: str = EARTH) -> float:
        """Return the harmonics of a voltage over its fundamental, %.

        Raises:
            InputError: CIR-08, order 1 was not solved or there is no voltage at it.
        """
        return self._distortion({h: abs(s.voltage_v(node, other)) for h, s in self.by_order.items()}, node)

    def current_by_order_a(self, branch: str) -> dict[int, float]:
        """Return the rms current of a branch at each order where it exists, A."""
        found = {h: abs(s.currents_a[branch]) for h, s in self.by_order.items() if branch in s.currents_a}
        if not found:
            for solution in self.by_order.values():
                known(solution.currents_a, branch, "branch")
        return found

    def current_rms_a(self, branch: str) -> float:
        """Return the rms current of a branch over all orders, A."""
        return _root_sum(self.current_by_order_a(branch).values())

    def current_thd_pct(self, branch: str) -> float:
        """Return the harmonics of a current over its fundamental, %."""
        return self._distortion(self.current_by_order_a(branch), branch)

    def k_factor(self, branch: str) -> float:
        """Return Σ h² I_h² / Σ I_h² of a branch; 1.0 where no current flows."""
        return k_factor(self.current_by_order_a(branch))

    def _distortion(self, sizes: Mapping[int, float], name: str) -> float:
        if not sizes.get(1):
            raise InputError("CIR-08", name, "has no fundamental to refer to.", "Solve order 1 too.")
        return 100.0 * _root_sum(size for h, size in sizes.items() if h != 1) / sizes[1]


def k_factor(current_by_order_a: Mapping[int, float]) -> float:
    """Return the harmonic loss factor of a current, Σ h² I_h² / Σ I_h²; 1.0 where no current flows.

    Example:
        >>> round(k_factor({1: 100.0, 3: 50.0}), 3)
        2.6
    """
    total = sum(a * a for a in current_by_order_a.values())
    return sum((h * a) ** 2 for h, a in current_by_order_a.items()) / total if total else 1.0


def known(table: Mapping[str, T], name: str, kind: str) -> T:
    """Return the entry of a table by its name.

    Raises:
        InputError: CIR-08, there is none.
    """
    if name not in table:
        close = nearest(name, table)
        hint = f"Did you mean {close}?" if close else f"Known are {', '.join(list(table)[:12])}."
        raise InputError("CIR-08", name, f"there is no such {kind}.", hint)
    return table[name]


def _root_sum(sizes: Iterable[float]) -> float:
    return sqrt(sum(size * size for size in sizes))


def _of_core(tail: str) -> bool:
    return tail == "shunt" or (tail[:1] == "w" and tail[1:].isdigit())
