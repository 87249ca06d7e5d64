"""How quick many variants are, against one batched call of numpy; a switching-on, against a circuit simulator.

Prints a table and ends with status 1 when a limit is broken. Both sides of a ratio run in turn in one process and the
best of each counts, so that a busy machine slows both. A sweep counts whole: the matrices are built, solved and
checked in it, while numpy is handed matrices that are ready.
"""

from __future__ import annotations

import importlib.util
import os
import shutil
import sys
from collections.abc import Callable
from pathlib import Path
from time import perf_counter
from types import ModuleType
from typing import Any, NamedTuple

for threads in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(threads, "1")

VARIANTS = 100_000
ROUNDS = 7
LEAST_TIMES_NUMPY = 3.0
"""At up to `RATED_NODES` nodes."""
RATED_NODES = 15
SAME = 1e-9
CYCLES = 10
STEP_S = 1e-4
"""A coarse step of the simulator, so that the ratio does not flatter: its first peak is off by 2e-4, ours is exact."""
ORACLES = Path(__file__).parent.parent / "tests" / "circuit" / "oracles"


class Measured(NamedTuple):
    """One line of the table."""

    what: str
    value: str
    limit: str
    holds: bool


def of_oracles(name: str) -> ModuleType:
    """Return a module of the test oracles."""
    spec = importlib.util.spec_from_file_location(name, ORACLES / f"{name}.py")
    if spec is None or spec.loader is None:
        raise FileNotFoundError(name)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def network(feeders: int) -> Any:
    """Return a Dyn1 unit with a four-wire feeder to each of so many loads; 7 nodes and 4 for each feeder."""
    from turnwright.circuit import Impedance, Network, conductors, load, supply3
    from turnwright.circuit.connections import three_phase

    lines, unit = ("H1", "H2", "H3"), three_phase("T", "Dyn1", 45.0, 480.0, 208.0, 2.4, 3.2)
    found = Network(60.0, (supply3("SUP", lines, 480.0, 14e3, 6.0),), unit.cores)
    found = found.with_(impedances=[Impedance("bond", "X0", "0", 0.01, role="bond")])
    for k in range(feeders):
        ends = [(f"X{at}", f"L{k}{at}") for at in (1, 2, 3, 0)]
        found = found.with_(impedances=conductors(f"fdr{k}", ends, 0.012 + 0.003 * k, 0.006))
        found = found.with_(
            impedances=[
                load(f"load{k}{at}", f"L{k}{at}", f"L{k}0", 3.0 * at + k, 0.9, 120.0) for at in (1, 2, 3)
            ]
        )
    if feeders:
        return found
    return found.with_(
        impedances=[load(f"load0{at}", f"X{at}", "X0", 3.0 * at, 0.9, 120.0) for at in (1, 2, 3)]
    )


def best_in_turn(*sides: Callable[[], object]) -> list[float]:
    """Return the best time of each, run in turn. [s]"""
    best = [float("inf")] * len(sides)
    for _ in range(ROUNDS):
        for at, side in enumerate(sides):
            start = perf_counter()
            side()
            best[at] = min(best[at], perf_counter() - start)
    return best


def against_numpy(feeders: int) -> list[Measured]:
    """Sweep 100,000 variants; hand the same matrices to numpy in one call."""
    import numpy as np

    from turnwright.circuit.layout import lay_out
    from turnwright.circuit.sweep import sweep
    from turnwright.circuit.sweep.batched import equations_of
    from turnwright.circuit.sweep.elements import array_elements
    from turnwright.circuit.sweep.varied import changes_of

    net = network(feeders)
    varied = {
        "load01.r_ohm": np.linspace(0.5, 20.0, VARIANTS),
        "load02.x_ohm": np.linspace(0.0, 5.0, VARIANTS),
    }
    layout = lay_out(net)
    elements = array_elements(layout, changes_of(net, varied)[0], 1)
    nodes = len(layout.number) - 1
    matrix, rhs = equations_of(layout, elements, np.arange(VARIANTS), nodes)
    columns = rhs[:, :, None].copy()
    found = sweep(net, varied, form="lanes")  # also compiles
    wanted = np.linalg.solve(matrix, columns)[:, :, 0].T
    error = float(np.abs(found.voltages_v - wanted).max() / np.abs(wanted).max())
    ours, theirs = best_in_turn(
        lambda: sweep(net, varied, form="lanes"), lambda: np.linalg.solve(matrix, columns)
    )
    limit = LEAST_TIMES_NUMPY if nodes <= RATED_NODES else 0.0
    ratio = theirs / ours
    return [
        Measured(
            f"{VARIANTS:,} variants of {nodes} nodes, over one batched call of numpy",
            f"{ratio:.1f} x ({1e3 * ours:.0f} ms, {1e3 * theirs:.0f} ms)",
            f">= {limit:g} x" if limit else "",
            ratio >= limit,
        ),
        Measured(
            "  largest difference; residual; solved again",
            f"{error:.0e}; {float(found.residual.max()):.0e}; {len(found.pivoted)}",
            f"{SAME:g}",
            error < SAME and float(found.residual.max()) < SAME,
        ),
    ]


def against_simulator() -> list[Measured]:
    """Switch a three-phase unit on for ten cycles on both sides."""
    if shutil.which("ngspice") is None:
        print("not compared: ngspice is not installed (scripts/system-packages.txt)")
        return []
    from turnwright.circuit.inrush_banks import Bank, Supply, delta, switch_on_banks

    spice = of_oracles("spice")
    supply = Supply(60.0, 480.0, z_ohm=0.01 + 0.06j)
    unit = Bank("T1", 25.0, 480.0, delta(), 1.0, 1.5, 2.0, 1.2, 0.2, (0.6, -0.3, -0.3))

    def ours() -> list[float]:
        found = switch_on_banks(supply, [unit], CYCLES)
        for line in found.lines:
            found.solved.i2t_a2s(line)
        return [abs(found.solved.peaks(line, CYCLES)[0].current_a) for line in found.lines]

    solved = switch_on_banks(supply, [unit], CYCLES).solved
    start = {name: solved.current_a(name, 0.0) for name in solved.coils.taken}
    text = spice.deck(supply, [unit], start, CYCLES, STEP_S)
    rows = spice.run(text)
    peak = max(abs(row[1]) for row in rows if row[0] <= 1 / supply.hz)
    error = abs(peak / ours()[0] - 1)
    mine, theirs = best_in_turn(ours, lambda: spice.run(text))
    return [
        Measured(
            f"{CYCLES} cycles of a switching-on with peaks and I²t, over ngspice",
            f"{theirs / mine:.1f} x ({1e3 * mine:.0f} ms, {1e3 * theirs:.0f} ms)",
            "> 1 x",
            theirs > mine,
        ),
        Measured("  first peak against that of ngspice", f"{error:.0e}", "1e-3", error < 1e-3),
    ]


def main() -> int:
    """Measure, print, and return the exit status."""
    if importlib.util.find_spec("numba") is None:
        print("not measured: numba is not installed (extra 'fleet')")
        return 0
    rows = [*against_numpy(0), *against_numpy(1), *against_numpy(2), *against_numpy(4), *against_simulator()]
    width = max(len(row.what) for row in rows)
    for row in rows:
        print(f"{row.what:{width}}  {row.value:26} {row.limit:8} {'' if row.holds else 'BROKEN'}".rstrip())
    return 0 if all(row.holds for row in rows) else 1


if __name__ == "__main__":
    sys.exit(main())
