"""The answers of a circuit file in its own words, and how far they are from answers that a file carries.

The measure of agreement is |difference| / max(|value|, 0.001 · largest value of that kind in the case), over
all node voltages and all currents.
"""

from __future__ import annotations

from cmath import phase
from collections.abc import Iterable
from math import degrees
from typing import Any

from turnwright.circuit.inrush import Inrush
from turnwright.circuit.solution import HarmonicSolution, Solution
from turnwright.errors import InputError

Json = dict[str, Any]
VOLTAGES, CURRENTS = "node_voltages_to_earth_v", "currents_a"
FLOOR = 1e-3
# below this a distortion in percent of the voltage says nothing
LEAST_DISTORTED_V = 10.0
USUAL_PEAKS = 5
USUAL_SAMPLES_S = tuple(round(k * 1e-3, 6) for k in range(1, 51))


def number(value: complex) -> Json:
    """Return a complex number as re, im, mag, deg.

    Example:
        >>> number(3 + 4j)["mag"], number(0j)["deg"]
        (5.0, 0.0)
    """
    size = abs(value)
    return {
        "re": value.real + 0.0,
        "im": value.imag + 0.0,
        "mag": size,
        "deg": degrees(phase(value)) if size > 1e-6 else 0.0,
    }


def outputs(solved: HarmonicSolution) -> Json:
    """Return the outputs of a phasor case (one order) or a harmonic one (several)."""
    if len(solved.by_order) == 1:
        (solution,) = solved.by_order.values()
        cores = dict.fromkeys(name.rpartition(".")[0] for name in solution.ends if _is_winding(name))
        power = {
            "source_terminals_va": number(solution.supplied_va()),
            "transformer_absorbs_va": {core: number(solution.absorbed_va(core)) for core in cores},
        }
        return {**_phasors(solution), "power": power}
    first = next(iter(solved.by_order.values()))
    windings = [name for name in first.ends if _is_winding(name)]
    one = solved.by_order.get(1)
    distorted = [node for node, v in one.voltages_v.items() if abs(v) > LEAST_DISTORTED_V] if one else []
    return {
        "by_harmonic": {str(h): _phasors(solution) for h, solution in solved.by_order.items()},
        "voltage_thd_percent": {node: solved.voltage_thd_pct(node) for node in distorted},
        "winding_rms_a": {name: solved.current_rms_a(name) for name in windings},
        "winding_k_factor": {
            name: solved.k_factor(name) if solved.current_rms_a(name) else None for name in windings
        },
        "source_line_rms_a": {name: solved.current_rms_a(name) for name in first.sources},
    }


def _is_winding(name: str) -> bool:
    head, _, tail = name.rpartition(".w")
    return bool(head) and tail.isdigit()


def _phasors(solution: Solution) -> Json:
    return {
        VOLTAGES: {node: number(v) for node, v in solution.voltages_v.items()},
        CURRENTS: {name: number(i) for name, i in solution.currents_a.items()},
    }


def phasor_error(solved: HarmonicSolution, given: Json, path: str) -> float | None:
    """Return the worst relative error against the given voltages and currents; None when none are given. [-]

    Raises:
        InputError: CIR-12, the given outputs name something that the inputs have not, or are no numbers.
    """
    worst: float | None = None
    for key in (VOLTAGES, CURRENTS):
        pairs = [pair for table in _tables(solved, given, path, key) for pair in table]
        worst = _larger(worst, _worst(pairs))
    return worst


def _tables(
    solved: HarmonicSolution, given: Json, path: str, key: str
) -> Iterable[list[tuple[complex, complex]]]:
    if "by_harmonic" in given:
        orders = _object(given, "by_harmonic", path)
        for order in orders:
            solution = next((s for h, s in solved.by_order.items() if str(h) == order), None)
            if solution is None:
                raise _not_there(f"{path}.by_harmonic.{order}", "this order was not solved")
            yield _pairs(
                solution, _object(orders, order, f"{path}.by_harmonic"), key, f"{path}.by_harmonic.{order}"
            )
    elif len(solved.by_order) == 1:
        (solution,) = solved.by_order.values()
        yield _pairs(solution, given, key, path)


def _pairs(solution: Solution, given: Json, key: str, path: str) -> list[tuple[complex, complex]]:
    own = solution.voltages_v if key == VOLTAGES else solution.currents_a
    if key not in given:
        return []
    pairs = []
    for name, value in _object(given, key, path).items():
        if name not in own:
            raise _not_there(f"{path}.{key}.{name}", "the inputs have nothing of this name")
        if not isinstance(value, dict):
            raise _not_there(f"{path}.{key}.{name}", "no number with re and im stands here")
        re, im = (_real(value.get(part), f"{path}.{key}.{name}.{part}") for part in ("re", "im"))
        pairs.append((complex(re, im), own[name]))
    return pairs


def _worst(pairs: list[tuple[complex, complex]]) -> float | None:
    if not pairs:
        return None
    floor = FLOOR * max(abs(wanted) for wanted, _ in pairs)
    return max(abs(wanted - got) / (max(abs(wanted), floor) or 1.0) for wanted, got in pairs)


def _larger(first: float | None, second: float | None) -> float | None:
    return second if first is None else first if second is None else max(first, second)


def _object(record: Json, key: str, path: str) -> Json:
    value = record[key]
    if not isinstance(value, dict):
        raise _not_there(f"{path}.{key}", "no object stands here")
    return value


def _real(value: Any, path: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise _not_there(path, "no number stands here")
    return float(value)


def _not_there(path: str, what: str) -> InputError:
    return InputError(
        "CIR-12", path, f"{what}.", "Correct the outputs that are compared with, or leave them out."
    )


def transient_outputs(solved: Inrush, given: Json | None, path: str) -> Json:
    """Return the outputs of a transient case, at the times and for the cycles that given outputs ask for."""
    end, hz = solved.case.t_end_s, solved.case.hz
    peaks = min(USUAL_PEAKS, int(end * hz * (1 + 1e-12)))
    times: Iterable[float] = [t for t in USUAL_SAMPLES_S if t <= end]
    if given and "peak_each_cycle" in given:
        peaks = len(_list(given, "peak_each_cycle", path))
    if given and "samples" in given:
        times = [
            _real(item.get("t_s"), f"{path}.samples[{at}].t_s")
            for at, item in enumerate(_list(given, "samples", path))
        ]
    return {
        "peak_each_cycle": [{"a": peak.current_a, "t_s": peak.t_s} for peak in solved.peaks(peaks)],
        "i2t_a2s": solved.i2t_a2s,
        "samples": [{"t_s": t, "i_a": solved.current_a(t), "flux_wb": solved.flux_wb(t)} for t in times],
    }


def transient_error(own: Json, given: Json, path: str) -> float | None:
    """Return the worst relative error of currents, flux and I²t; the times of the peaks are not compared. [-]"""
    worst: float | None = None
    currents: list[tuple[complex, complex]] = []
    flux: list[tuple[complex, complex]] = []
    for key, part, into in (
        ("peak_each_cycle", "a", currents),
        ("samples", "i_a", currents),
        ("samples", "flux_wb", flux),
    ):
        if key in given:
            into += [
                (_real(wanted.get(part), f"{path}.{key}[{at}].{part}") + 0j, got[part] + 0j)
                for at, (wanted, got) in enumerate(zip(_list(given, key, path), own[key], strict=True))
            ]
    if "i2t_a2s" in given:
        worst = _worst([(_real(given["i2t_a2s"], f"{path}.i2t_a2s") + 0j, own["i2t_a2s"] + 0j)])
    for pairs in (currents, flux):
        worst = _larger(worst, _worst(pairs))
    return worst


def _list(record: Json, key: str, path: str) -> list[Json]:
    value = record[key]
    if not isinstance(value, list) or not all(isinstance(item, dict) for item in value):
        raise _not_there(f"{path}.{key}", "no list of objects stands here")
    return value
