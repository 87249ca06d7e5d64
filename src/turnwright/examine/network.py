"""Circuits described in JSON, solved: the voltages and currents, what is left open, how exact it is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from turnwright.circuit.file_answers import CURRENTS, VOLTAGES
from turnwright.circuit.network_file import examine_network
from turnwright.examine.records import Grid, Series, Study
from turnwright.examine.words import NOTHING, amps_column, grid, ratio, volts
from turnwright.model.result import Finding
from turnwright.narrow.select import tool
from turnwright.regimes.said import said

NAME = "network"
RESIDUAL = 1e-9
"""Share of the largest current that may be left over at a node."""
AGREEMENT = 1e-6
MOST_ROWS = 60
"""Rows of a table for people; the JSON has all."""
Json = dict[str, Any]


def examine_circuits(text: str, where: str) -> Study:
    """Return the solved circuits of a file: one case object, or an object with `cases`.

    text   JSON
    where  name of the file, for messages

    Raises:
        InputError: CIR-01 to CIR-12, with the case, element and node.

    Example:
        >>> text = '''{"id": "A", "inputs": {"frequency_hz": 60,
        ...     "sources": [{"name": "S", "phases": 1, "nodes": ["a"], "voltage_v": 120, "z1_ohm": [0, 0]}],
        ...     "impedances": [{"name": "z", "from": "a", "to": "0", "r_ohm": 12, "x_ohm": 0}]}}'''
        >>> examine_circuits(text, "case.json").said[0]
        '1 circuit solved.'
    """
    cases = examine_network(text, where)["cases"]
    errors = [case["worst_relative_error"] for case in cases if case["worst_relative_error"] is not None]
    return Study(
        question=NAME,
        verdict="answered",
        said=tuple(_said(cases, errors)),
        answers={
            "circuits": len(cases),
            "compared": len(errors),
            "worst_relative_error": max(errors, default=None),
            "worst_residual": max(
                (one["residual"] for one in cases if one["residual"] is not None), default=None
            ),
        },
        grids=tuple(one for case in cases for one in _grids(case)),
        series=tuple(one for case in cases for one in _series(case)),
        findings=tuple(one for case in cases for one in _findings(case)),
        cases=tuple(cases),
        tool=tool(),
    )


def _said(cases: list[Json], errors: list[float]) -> list[str]:
    found = [f"{len(cases)} circuit{'s' if len(cases) != 1 else ''} solved."]
    if errors:
        found.append(
            f"{len(errors)} carry answers to compare with; the largest relative difference is {max(errors):.1e}."
        )
    return found


def _findings(case: Json) -> list[Finding]:
    found = [
        said("left-open", "note", f"{case['id']}: {one['note']}", clause="circuit theory")
        for one in case["undetermined"]
    ]
    if case["residual"] is not None and case["residual"] > RESIDUAL:
        message = f"{case['id']}: {case['residual']:.1e} of the largest current is left over at a node."
        found.append(said("residual", "caution", message, value=case["residual"], limit=RESIDUAL))
    error = case["worst_relative_error"]
    if error is not None and error > AGREEMENT:
        message = f"{case['id']}: the answers in the file differ by {error:.1e} of their size."
        found.append(said("differs", "caution", message, value=error, limit=AGREEMENT))
    return found


def _grids(case: Json) -> list[Grid]:
    outputs, error = case["outputs"], case["worst_relative_error"]
    head = case["id"] if error is None else f"{case['id']}, worst relative difference {error:.1e}"
    if "peak_each_cycle" in outputs:
        return [_peaks(head, outputs)]
    orders = outputs.get("by_harmonic", {"": outputs})
    found = []
    for order, one in orders.items():
        title = f"{head}, order {order}" if order else head
        found += [_voltages(title, one), _currents(one)]
    return found


def _cut(rows: Sequence[tuple[str, ...]]) -> list[tuple[str, ...]]:
    """The first rows, and how many there are besides."""
    if len(rows) <= MOST_ROWS:
        return list(rows)
    rest = (f"… {len(rows) - MOST_ROWS} more", *[""] * (len(rows[0]) - 1))
    return [*rows[:MOST_ROWS], rest]


def _angle(value: Json) -> str:
    return f"{value['deg']:.2f}°"


def _voltages(title: str, outputs: Json) -> Grid:
    rows = [(node, volts(v["mag"]), _angle(v)) for node, v in outputs[VOLTAGES].items()]
    return grid(f"{title}: nodes to earth", ("node", "voltage", "angle"), _cut(rows))


def _currents(outputs: Json) -> Grid:
    sizes = amps_column(one["mag"] for one in outputs[CURRENTS].values())
    rows = [
        (name, size, _angle(one)) for (name, one), size in zip(outputs[CURRENTS].items(), sizes, strict=True)
    ]
    return grid("currents", ("branch", "current", "angle"), _cut(rows))


def _peaks(title: str, outputs: Json) -> Grid:
    peaks = outputs["peak_each_cycle"]
    sizes = amps_column(one["a"] for one in peaks)
    rows = [
        (f"cycle {number}", size, f"{1000 * one['t_s']:.2f} ms")
        for number, (one, size) in enumerate(zip(peaks, sizes, strict=True), 1)
    ]
    total = outputs.get("i2t_a2s")
    rows.append(("I²t", NOTHING if total is None else f"{ratio(total)} A²s", ""))
    return grid(f"{title}: peaks", ("", "current", "at"), rows)


def _series(case: Json) -> list[Series]:
    outputs = case["outputs"]
    samples = outputs.get("samples")
    if not samples:
        return []
    return [
        Series(
            name=f"{case['id']}: current",
            kind="line",
            x_name="time",
            x_unit="s",
            y_name="current",
            y_unit="A",
            x=tuple(one["t_s"] for one in samples),
            y=tuple(one["i_a"] for one in samples),
        )
    ]
