"""Many variants of one circuit of a file: between which values its voltages and currents lie, and where."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from turnwright.circuit.file_inputs import network_of
from turnwright.circuit.network_file import one_circuit
from turnwright.circuit.sweep.run import Sweep, sweep
from turnwright.circuit.sweep.spoken import Axis, axis_of, every_combination, in_network
from turnwright.examine.records import Assumed, Grid, Series, Study
from turnwright.examine.words import amps, grid, volts
from turnwright.narrow.select import tool
from turnwright.quantities import figure

NAME = "network"
MOST_ROWS = 60
EACH_UP_TO = 500
"""Variants of which every value is handed back; of more, where they lie."""
POINTS = 200
MOST_CURVES = 40
Floats = NDArray[np.float64]
Json = dict[str, Any]


def examine_variants(text: str, where: str, vary: Sequence[str], case: str | None = None) -> Study:
    """Return a circuit of a file with numbers that vary, every combination of them.

    text   JSON, as `examine_circuits` takes it
    where  name of the file, for messages
    vary   "load1.r_ohm=0.5..2.0:1000", see `circuit.sweep.spoken`
    case   id of the circuit; None: the only one

    Raises:
        InputError: CIR-01 to CIR-16.
        MissingExtra: CIR-14, numpy is not installed.
    """
    name, read = one_circuit(text, where, case)
    network = network_of(read, "$.inputs")
    axes = [axis_of(each) for each in vary]
    spoken = every_combination(axes)
    varied = in_network(read, network, spoken)
    solved = [sweep(network, varied, order) for order in read.orders()]
    nodes = {node: _rms([one.voltage_v(node) for one in solved]) for node in solved[0].nodes}
    flows = [one.currents_a() for one in solved]
    branches = {branch: _rms([flow[branch] for flow in flows if branch in flow]) for branch in flows[0]}
    return Study(
        question=NAME,
        verdict="answered",
        said=_said(name, solved),
        answers=_answers(name, axes, spoken, solved, nodes, branches),
        grids=tuple(_grids(name, nodes, branches, spoken)),
        series=_curves(axes, nodes, branches),
        assumed=tuple(Assumed(note) for note in dict.fromkeys(one.note for one in solved) if note),
        tool=tool(),
    )


def _rms(by_order: Sequence[NDArray[np.complex128]]) -> Floats:
    """Return the rms value over all orders."""
    return np.asarray(np.sqrt(sum(np.abs(one) ** 2 for one in by_order)))


def _said(name: str, solved: Sequence[Sweep]) -> tuple[str, ...]:
    first = solved[0]
    orders = f" at {len(solved)} orders" if len(solved) > 1 else ""
    again = sum(len(one.pivoted) for one in solved)
    worst = max(float(one.residual.max()) for one in solved)
    return (
        f"{first.variants} variants of {name} solved{orders}.",
        f"At most {worst:.0e} of the largest current is left over at a node."
        + (f" {again} were solved again with pivoting." if again else ""),
    )


def _answers(
    name: str,
    axes: Sequence[Axis],
    spoken: dict[str, Floats],
    solved: Sequence[Sweep],
    nodes: dict[str, Floats],
    branches: dict[str, Floats],
) -> Json:
    found: Json = {
        "circuit": name,
        "variants": solved[0].variants,
        "varied": [
            {
                "names": list(axis.names),
                "least": float(axis.values.min()),
                "most": float(axis.values.max()),
                "count": len(axis.values),
            }
            for axis in axes
        ],
        "form": solved[0].form,
        "solved_again": sum(len(one.pivoted) for one in solved),
        "worst_residual": max(float(one.residual.max()) for one in solved),
        "node_v": {node: _ends(values, spoken) for node, values in nodes.items()},
        "branch_a": {branch: _ends(values, spoken) for branch, values in branches.items()},
    }
    if solved[0].variants <= EACH_UP_TO:
        found["each"] = {
            "varied": {key: values.tolist() for key, values in spoken.items()},
            "node_v": {node: values.tolist() for node, values in nodes.items()},
            "branch_a": {branch: values.tolist() for branch, values in branches.items()},
        }
    return found


def _ends(values: Floats, spoken: dict[str, Floats]) -> Json:
    low, high = int(np.argmin(values)), int(np.argmax(values))
    return {
        "least": float(values[low]),
        "least_at": {key: float(varied[low]) for key, varied in spoken.items()},
        "most": float(values[high]),
        "most_at": {key: float(varied[high]) for key, varied in spoken.items()},
    }


def _grids(
    name: str, nodes: dict[str, Floats], branches: dict[str, Floats], spoken: dict[str, Floats]
) -> list[Grid]:
    heads = ("least", "at", "most", "at")
    rows = [_row(node, values, spoken, volts, volts) for node, values in nodes.items()]
    flows = [
        _row(branch, values, spoken, amps, lambda a: amps(a, "up")) for branch, values in branches.items()
    ]
    told = ", ".join(_apart(spoken))
    return [
        grid(f"{name}: nodes to earth, where they lie and at which {told}", ("node", *heads), _cut(rows)),
        grid("currents", ("branch", *heads), _cut(flows)),
    ]


def _row(
    name: str,
    values: Floats,
    spoken: dict[str, Floats],
    low: Callable[[float], str],
    high: Callable[[float], str],
) -> tuple[str, ...]:
    least, most = int(np.argmin(values)), int(np.argmax(values))
    return (
        name,
        low(float(values[least])),
        _where(least, spoken),
        high(float(values[most])),
        _where(most, spoken),
    )


def _where(at: int, spoken: dict[str, Floats]) -> str:
    """The values of a variant."""
    return ", ".join(figure(float(values[at])) for values in _apart(spoken).values())


def _apart(spoken: dict[str, Floats]) -> dict[str, Floats]:
    """What varies, of names that always take the same value only the first."""
    told: dict[str, Floats] = {}
    for key, values in spoken.items():
        if not any(np.array_equal(values, other) for other in told.values()):
            told[key] = values
    return told


def _cut(rows: Sequence[tuple[str, ...]]) -> list[tuple[str, ...]]:
    if len(rows) <= MOST_ROWS:
        return list(rows)
    return [*rows[:MOST_ROWS], (f"… {len(rows) - MOST_ROWS} more", *[""] * (len(rows[0]) - 1))]


def _curves(
    axes: Sequence[Axis], nodes: dict[str, Floats], branches: dict[str, Floats]
) -> tuple[Series, ...]:
    """Return every voltage and current over the one thing that varies; none where several do."""
    if len(axes) != 1:
        return ()
    values = axes[0].values
    picked = np.unique(np.linspace(0, len(values) - 1, min(POINTS, len(values))).round().astype(int))
    found = [
        Series(
            name=name,
            kind="line",
            x_name=" and ".join(axes[0].names),
            x_unit=_unit(axes[0].names[0]),
            y_name=what,
            y_unit=unit,
            x=tuple(values[picked].tolist()),
            y=tuple(of_name[picked].tolist()),
        )
        for what, unit, table in (("voltage to earth", "V", nodes), ("current", "A", branches))
        for name, of_name in table.items()
    ]
    return tuple(found[:MOST_CURVES])


def _unit(name: str) -> str:
    """The unit that stands at the end of a key: "load1.r_ohm" is in ohm."""
    word = name.rpartition("_")[2]
    return {"ohm": "ohm", "v": "V", "ka": "kA", "3ph": "kA", "deg": "°", "r": "", "base": "kVA"}.get(word, "")
