"""Many variants of one network: every one solved, checked, and solved again where the check fails."""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence
from importlib.util import find_spec
from typing import Literal

import numpy as np
from msgspec import Struct
from numpy.typing import ArrayLike, NDArray

from turnwright.circuit.layout import EARTH_NUMBER, Layout, lay_out
from turnwright.circuit.network import EARTH, Network
from turnwright.circuit.solution import Solution, known
from turnwright.circuit.solve import solve_layout
from turnwright.circuit.sweep.batched import Batch, Picked, currents, solve_batched
from turnwright.circuit.sweep.elements import ArrayElement, Varied, array_elements
from turnwright.circuit.sweep.pairs import Complexes, Floats, numbers, pairs_of
from turnwright.circuit.sweep.varied import Changes, changes_of, variant_of
from turnwright.errors import InputError, MissingExtra

Form = Literal["lanes", "batched"]
GATE = 1e-12
"""Current that may be left over at a node, as a share of the largest: so much keeps a current of a thousandth of the
largest to nine digits."""
TRUSTED, SINGULAR = 1e6, 1e12
"""Condition numbers up to which the quick form, and the full one, are taken at their word."""
MOST_VARIANTS = 2_000_000
COLD_WORTH = 7e7
"""Variants times the square of the nodes from which loading the compiled form pays."""
COMPILED = "turnwright.circuit.sweep.lanes"
NOT_JOINED = "An element without impedance is there: the plain form was used."
NO_COMPILER = "Without numba this took a few times longer than it needs to: pip install 'turnwright[fleet]'."


class Sweep(Struct, frozen=True, kw_only=True):
    """Solved variants of one network, in the order of the values that vary.

    nodes       names of the nodes
    voltages_v  by node and variant
    residual    current left over at the worst node of each variant, as a share of the largest
    form        "lanes" (compiled) or "batched" (numpy)
    pivoted     variants that were solved again, in full and with pivoting
    alone       those of them that were solved once more, on their own
    note        what to say about how it was done, "" for nothing
    """

    nodes: tuple[str, ...]
    voltages_v: Complexes
    residual: Floats
    form: Form
    pivoted: Picked
    alone: Picked
    note: str
    layout: Layout
    elements: Sequence[ArrayElement]
    through_a: Complexes
    again_a: dict[str, Complexes]

    @property
    def variants(self) -> int:
        """How many variants there are."""
        return int(self.voltages_v.shape[1])

    @property
    def branches(self) -> tuple[str, ...]:
        """Names of the branches."""
        return tuple(self.layout.ends)

    def voltage_v(self, node: str, other: str = EARTH) -> Complexes:
        """Return the voltage from `node` to `other` in each variant, V.

        Raises:
            InputError: CIR-08, no such node.
        """
        return self._to_earth(node) - self._to_earth(other)

    def _to_earth(self, node: str) -> Complexes:
        if node == EARTH:
            return np.zeros(self.variants, complex)
        at: Complexes = self.voltages_v[known(self.layout.number, node, "node")]
        return at

    def currents_a(self) -> dict[str, Complexes]:
        """Return the current of every branch in each variant, A; directions as in `Solution`."""
        volts = self.voltages_v.copy() if self.layout.floating else self.voltages_v
        for part in self.layout.floating:
            at = [self.layout.number[node] for node in part]
            volts[at] -= volts[at[0]].copy()
        own, everything = numbers(self.layout), np.arange(self.variants)
        found = {
            name: np.asarray(sign * current)
            for name, _, sign, current in currents(self.elements, own, everything, volts, self.through_a)
        }
        for name, values in self.again_a.items():
            found[name][self.pivoted] = values
        return {name: found[name] for name in self.layout.ends if name in found}

    def current_a(self, branch: str) -> Complexes:
        """Return the current of a branch in each variant, A.

        Raises:
            InputError: CIR-08, no such branch.
        """
        return known(self.currents_a(), branch, "branch")


def sweep(
    network: Network, varied: Mapping[str, ArrayLike], harmonic: int = 1, form: Form | None = None
) -> Sweep:
    """Return many variants of a network, solved at one harmonic order.

    varied  "element.field" -> its value in each variant, all of one length; several vary together. Fields are those
            of the records, of one winding as "T1.w2.rated_v", of one pair of windings as "T1.reactance_pct.1-3"
    form    "lanes" or "batched"; None: the quicker of those that are installed

    The residual of each variant is checked. What fails is solved again with pivoting, every current an unknown, and
    what fails then too on its own, as `solve` does.

    Raises:
        InputError: CIR-15, values that cannot be; CIR-16, loads that draw constant power or current; CIR-08, no such
        element; CIR-06, too many variants; otherwise as `solve`.
        MissingExtra: CIR-14, the form that was asked for is not installed.

    Example:
        >>> from turnwright.circuit import Impedance, Source1
        >>> heater = Impedance("heater", "A", "0", 5.0)
        >>> plain = Network(60.0, (Source1("SUP", "A", "0", 240.0, 1 + 0j),), impedances=(heater,))
        >>> sweep(plain, {"heater.r_ohm": [5.0, 11.0]}).current_a("heater").real.round(9)
        array([40., 20.])
    """
    layout, (changes, count) = lay_out(network), changes_of(network, varied)
    _refuse(network, count, harmonic)
    elements = array_elements(layout, changes, harmonic)
    chosen, note = _form(form, elements, len(layout.number) - 1, count)
    first = _lanes(layout, elements, count) if chosen == "lanes" else _batch(layout, elements, count)
    doubtful = ~((first.misses <= GATE) & (first.condition <= TRUSTED)) | _apart(elements, count)
    pivoted = np.flatnonzero(doubtful)
    again, alone = _again(network, changes, layout, harmonic, pivoted, first)
    return Sweep(
        nodes=tuple(node for node, at in layout.number.items() if at != EARTH_NUMBER),
        voltages_v=first.voltages,
        residual=first.misses,
        form=chosen,
        pivoted=pivoted,
        alone=alone,
        note=note,
        layout=layout,
        elements=elements,
        through_a=first.through,
        again_a=again,
    )


def _again(
    network: Network, changes: Changes, layout: Layout, harmonic: int, pivoted: Picked, first: Batch
) -> tuple[dict[str, Complexes], Picked]:
    """Solve doubtful variants in full, and on their own where that is doubtful too; write their voltages.

    Returns the currents of the doubtful variants by branch, and which of them were solved on their own.
    """
    if not len(pivoted):
        _centre(layout, first.voltages)
        return {}, pivoted
    full = array_elements(layout, changes, harmonic, full=True)
    second = solve_batched(layout, full, pivoted, refine=True)
    first.voltages[:, pivoted], first.misses[pivoted] = second.voltages, second.misses
    _centre(layout, first.voltages)
    flows = currents(full, numbers(layout), pivoted, second.voltages, second.through)
    found = {name: np.array(sign * current) for name, _, sign, current in flows}
    doubtful = np.flatnonzero(~((second.misses <= GATE) & (second.condition <= SINGULAR)))
    for at in map(int, doubtful):
        variant = int(pivoted[at])
        solution = _one(network, changes, harmonic, variant)
        for node, volts in solution.voltages_v.items():
            first.voltages[layout.number[node], variant] = volts
        for name, current in solution.currents_a.items():
            found[name][at] = current
        first.misses[variant] = solution.residual
    return found, pivoted[doubtful]


def _refuse(network: Network, count: int, harmonic: int) -> None:
    if network.loads:
        raise InputError(
            "CIR-16",
            network.loads[0].name,
            "draws constant power or current, which is not swept.",
            "Describe it as an impedance.",
        )
    if count > MOST_VARIANTS:
        raise InputError(
            "CIR-06", "sweep", f"{count} variants are more than {MOST_VARIANTS}.", "Vary in fewer steps."
        )
    if harmonic < 1:
        raise InputError("CIR-01", "network", f"harmonic is {harmonic}.", "Orders count from 1.")


def _form(form: Form | None, elements: Sequence[ArrayElement], nodes: int, count: int) -> tuple[Form, str]:
    """Return the form to use, and what to say about it."""
    there = find_spec("numba") is not None
    if form == "lanes" and not there:
        fix = "pip install 'turnwright[fleet]'"
        raise MissingExtra("CIR-14", "form", "lanes is compiled, and numba is not installed.", fix)
    if not _all_joined(elements):
        return "batched", NOT_JOINED if form == "lanes" else ""
    if form is not None:
        return form, ""
    worth = count * nodes**2 >= COLD_WORTH
    if there and (worth or COMPILED in sys.modules):
        return "lanes", ""
    return "batched", NO_COMPILER if worth else ""


def _all_joined(elements: Sequence[ArrayElement]) -> bool:
    """Every element has an admittance."""
    return all(isinstance(element, Varied) for element in elements)


def _lanes(layout: Layout, elements: Sequence[ArrayElement], count: int) -> Batch:
    from turnwright.circuit.sweep.lanes import solve_lanes

    pairs = pairs_of(layout, [one for one in elements if isinstance(one, Varied)])
    solved, misses, lost = solve_lanes(pairs, count)
    voltages = solved
    if layout.floating:
        voltages = np.zeros((len(layout.number) - 1, count), complex)
        voltages[list(pairs.kept)] = solved
    return Batch(voltages, np.empty((0, count), complex), misses, lost)


def _batch(layout: Layout, elements: Sequence[ArrayElement], count: int) -> Batch:
    return solve_batched(layout, elements, np.arange(count))


def _apart(elements: Sequence[ArrayElement], count: int) -> NDArray[np.bool_]:
    """Where an element has no admittance in some variant."""
    found = np.zeros(count, bool)
    for element in elements:
        if isinstance(element, Varied) and element.apart is not None:
            found |= element.apart
    return found


def _centre(layout: Layout, voltages: Complexes) -> None:
    """Move each part without earth so that the mean of its nodes is 0 V."""
    for part in layout.floating:
        at = [layout.number[node] for node in part]
        voltages[at] -= voltages[at].mean(axis=0)


def _one(network: Network, changes: Changes, harmonic: int, variant: int) -> Solution:
    try:
        return solve_layout(lay_out(variant_of(network, changes, variant)), harmonic)
    except InputError as refused:
        where = f"variant {variant + 1}, {refused.where}"
        raise type(refused)(refused.code, where, refused.what, refused.fix) from None
