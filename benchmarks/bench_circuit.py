"""How quick a network is built and solved, against a general engine that compiles and solves the same.

Prints a table and ends with status 1 when a limit is broken. Both sides of a ratio run in turn in one process and the
best of each counts, so that a busy machine slows both. The engine is the one of the tests, dss-python.
"""

from __future__ import annotations

import importlib.util
import sys
from collections.abc import Callable
from pathlib import Path
from time import perf_counter
from types import ModuleType
from typing import NamedTuple

from turnwright.circuit import Impedance, Network, Solution, Source1, conductors, load, solve, supply3
from turnwright.circuit.connections import three_phase
from turnwright.circuit.layout import NODE_LIMIT, lay_out
from turnwright.circuit.solve import solve_layout
from turnwright.errors import InputError

ROUNDS = 12
OURS_A_ROUND, ENGINE_A_ROUND = 40, 4
LEAST_TIMES_ENGINE = 10.0
MOST_MS = 1.0
SAME = 1e-6
ORACLES = Path(__file__).parent.parent / "tests" / "circuit" / "oracles"
H, X, L = ("H1", "H2", "H3"), ("X1", "X2", "X3"), ("L1", "L2", "L3")


class Measured(NamedTuple):
    """One line of the table."""

    what: str
    value: str
    limit: str
    holds: bool


def job() -> Network:
    """Return a usual job as elements: Dyn1 unit, four-wire feeder, bond, four loads; 11 nodes."""
    unit = three_phase("T", "Dyn1", 45.0, 480.0, 208.0, 2.4, 3.2)
    feeder = conductors("fdr", [*zip(X, L, strict=True), ("X0", "LN")], 0.012, 0.006)
    loads = (
        load("load1", "L1", "LN", 13.0, 0.90, 120.0),
        load("load2", "L2", "LN", 7.0, 0.95, 120.0),
        load("load3", "L3", "LN", 3.0, 1.0, 120.0),
        load("load12", "L1", "L2", 6.0, 0.85, 208.0),
    )
    bond = Impedance("bond", "X0", "0", 0.01, role="bond")
    return Network(60.0, (supply3("SUP", H, 480.0, 14e3, 6.0),), unit.cores, (bond, *feeder, *loads))


def seconds(call: Callable[[], object], times: int) -> float:
    """Return the seconds of one call, over `times` calls."""
    start = perf_counter()
    for _ in range(times):
        call()
    return (perf_counter() - start) / times


def of_oracles(name: str) -> ModuleType:
    """Return a module of the test oracles."""
    spec = importlib.util.spec_from_file_location(name, ORACLES / f"{name}.py")
    if spec is None or spec.loader is None:
        raise FileNotFoundError(name)
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module


def against_engine() -> list[Measured]:
    """Build and solve the job on both sides in turn."""
    if importlib.util.find_spec("dss") is None:
        print("not compared: dss-python is not installed (extra 'dev')")
        return []
    engine, describe = of_oracles("engine"), of_oracles("describe")
    network = job()
    unit = three_phase("T", "Dyn1", 45.0, 480.0, 208.0, 2.4, 3.2)
    own = [describe.own_bank(unit, 45.0, (480.0, 208.0), 2.4, 3.2)]
    case = describe.case("job", "", list(network.sources), [unit], network.impedances, own=own)
    theirs = engine.solve(case)
    ours = solve(network)
    worst = difference(ours, theirs)
    pairs = [
        (seconds(lambda: solve(job()), OURS_A_ROUND), seconds(lambda: engine.solve(case), ENGINE_A_ROUND))
        for _ in range(ROUNDS)
    ]
    quick, slow = (min(times) for times in zip(*pairs, strict=True))
    ratio = slow / quick
    value = f"{ratio:.1f} × as quick ({quick * 1e3:.2f} ms against {slow * 1e3:.2f} ms)"
    limit = f"≥ {LEAST_TIMES_ENGINE:.0f} ×"
    return [
        Measured("same answer", f"{worst:.0e} apart", f"≤ {SAME:.0e}", worst <= SAME),
        Measured("job built and solved", value, limit, ratio >= LEAST_TIMES_ENGINE),
    ]


def difference(ours: Solution, theirs: dict[str, dict[str, complex]]) -> float:
    """Return the largest difference over the largest value of its kind."""
    found = 0.0
    for key, own in (("node_voltages_to_earth_v", ours.voltages_v), ("currents_a", ours.currents_a)):
        largest = max(map(abs, theirs[key].values()))
        found = max(found, *(abs(own[name] - value) / largest for name, value in theirs[key].items()))
    return found


def alone() -> list[Measured]:
    """What the parts of a solution take, and how soon a network that is too large is refused."""
    network = job()
    layout = lay_out(network)
    chain = tuple(Impedance(f"z{k}", f"n{k}", f"n{k + 1}", 0.1) for k in range(10_000))
    large = Network(60.0, (Source1("SUP", "n0", "0", 100.0, 1 + 0j),), (), chain)
    longest = Network(60.0, large.sources, (), chain[: NODE_LIMIT - 1])
    whole = min(seconds(lambda: solve(network), OURS_A_ROUND) for _ in range(ROUNDS))
    full = min(seconds(lambda: solve_layout(layout, form="full"), 4) for _ in range(ROUNDS))
    refusal = min(seconds(lambda: refused(large), 1) for _ in range(3))
    most = min(seconds(lambda: solve(longest), 1) for _ in range(2))
    return [
        Measured(
            "job solved, reduced equations",
            f"{whole * 1e3:.2f} ms",
            f"≤ {MOST_MS:.0f} ms",
            whole * 1e3 <= MOST_MS,
        ),
        Measured(
            "job solved, full equations", f"{full * 1e3:.2f} ms ({full / whole:.0f} × reduced)", "", True
        ),
        Measured(f"{NODE_LIMIT} nodes solved", f"{most * 1e3:.0f} ms", "", True),
        Measured("10 000 nodes refused", f"{refusal * 1e3:.0f} ms ({refusal / whole:.0f} × a job)", "", True),
    ]


def refused(network: Network) -> None:
    """Solve a network that must not be solved."""
    try:
        solve(network)
    except InputError:
        return
    raise AssertionError("a network above the limit was solved")


def main() -> int:
    lines = [*against_engine(), *alone()]
    for line in lines:
        print(f"{line.what:30} {line.value:52} {line.limit:10} {'holds' if line.holds else 'BROKEN'}")
    return 0 if all(line.holds for line in lines) else 1


if __name__ == "__main__":
    sys.exit(main())
