"""Circuits described in JSON: read them, solve them, answer in the same words, compare where answers are
given.

One case is ``{"id": ..., "inputs": {...}}``; a file is one case or ``{"cases": [...]}``. A case is harmonic
when its inputs list more than one order, transient when they describe a core curve, a phasor case otherwise.
"""

from __future__ import annotations

import json
from typing import Any

import msgspec

from turnwright.circuit import file_answers
from turnwright.circuit.file_inputs import CircuitInputs, circuit_inputs, network_of
from turnwright.circuit.inrush import Energizing, energize
from turnwright.circuit.layout import lay_out
from turnwright.circuit.solution import HarmonicSolution
from turnwright.circuit.solve import solve_layout
from turnwright.errors import InputError

Json = dict[str, Any]
CORE_CURVE = "knee_wb"
MOST_NAMED = 20


def examine_network(text: str, where: str) -> Json:
    """Return the solved cases of a file: id, outputs, worst relative error against the outputs it carries.

    where  name of the file, for messages

    Raises:
        InputError: CIR-10 to CIR-12, not such a file, with the place in it; otherwise as `solve`, naming the
        case.

    Example:
        >>> text = '''{"id": "A", "inputs": {"frequency_hz": 60,
        ...     "sources": [{"name": "S", "phases": 1, "nodes": ["a"], "voltage_v": 120, "z1_ohm": [0, 0]}],
        ...     "impedances": [{"name": "z", "from": "a", "to": "0", "r_ohm": 12, "x_ohm": 0}]}}'''
        >>> examine_network(text, "case.json")["cases"][0]["outputs"]["currents_a"]["z"]["mag"]
        10.0
    """
    document = _read(text, where)
    if "cases" in document:
        cases = document["cases"]
        if not isinstance(cases, list):
            raise _malformed(where, "$.cases", "it is no list.")
        return {"cases": [_case(case, where, f"$.cases[{at}]") for at, case in enumerate(cases)]}
    return {"cases": [_case(document, where, "$")]}


def one_circuit(text: str, where: str, name: str | None = None) -> tuple[str, CircuitInputs]:
    """Return id and inputs of one phasor or harmonic case of a file: the one named, else the only one.

    Raises:
        InputError: CIR-10, CIR-11, not such a file; CIR-17, no such case, several, or one of another kind.
    """
    document = _read(text, where)
    listed = document.get("cases", [document])
    cases = [case for case in listed if isinstance(case, dict)] if isinstance(listed, list) else []
    ids = [str(case.get("id")) for case in cases]
    fits = [case for case, own in zip(cases, ids, strict=True) if name in (None, own)]
    if len(fits) != 1:
        what = f"there is no circuit {name}." if name is not None else f"the file holds {len(fits)} circuits."
        raise InputError("CIR-17", where, what, f"Name one with --case: {', '.join(ids[:MOST_NAMED])}.")
    inputs = fits[0].get("inputs")
    if not isinstance(inputs, dict):
        raise _malformed(where, "$.inputs", "an object is missing here.")
    if CORE_CURVE in inputs:
        fix = "Take a circuit of sources, units and impedances."
        raise InputError("CIR-17", where, "a core that is switched on does not vary.", fix)
    return str(fits[0].get("id")), circuit_inputs(inputs, "$.inputs")


def _read(text: str, where: str) -> Json:
    try:
        document = json.loads(text, object_pairs_hook=_once, parse_constant=_refuse)
        if "\\ud" in text.lower():
            json.dumps(document, ensure_ascii=False).encode()
    except json.JSONDecodeError as broken:
        place = f"line {broken.lineno}, column {broken.colno}"
        raise InputError(
            "CIR-10", f"{where}, {place}", f"is not JSON: {broken.msg}.", "Mend the file."
        ) from None
    except _Twice as twice:
        raise InputError(
            "CIR-10", where, f"the key {twice} stands twice in one object.", "Keep one."
        ) from None
    except (RecursionError, ValueError) as broken:
        raise InputError("CIR-10", where, f"cannot be read as JSON: {broken}.", "Mend the file.") from None
    if not isinstance(document, dict):
        raise _malformed(where, "$", "it is no object.")
    return document


class _Twice(Exception):
    pass


def _once(pairs: list[tuple[str, Any]]) -> Json:
    found = dict(pairs)
    if len(found) != len(pairs):
        keys = [key for key, _ in pairs]
        raise _Twice(next(key for key in keys if keys.count(key) > 1))
    return found


def _refuse(constant: str) -> None:
    raise ValueError(f"{constant} is no number")


def _malformed(where: str, path: str, what: str) -> InputError:
    return InputError(
        "CIR-10",
        f"{where}, {path}",
        what,
        'A case is {"id": ..., "inputs": {...}}; a file holds "cases": [...].',
    )


def _case(case: Any, where: str, path: str) -> Json:
    if not isinstance(case, dict):
        raise _malformed(where, path, "it is no object.")
    if not isinstance(case.get("id"), str):
        raise _malformed(where, f"{path}.id", "a text is missing here.")
    inputs, given = case.get("inputs"), case.get("outputs")
    if not isinstance(inputs, dict):
        raise _malformed(where, f"{path}.inputs", "an object is missing here.")
    if given is not None and not isinstance(given, dict):
        raise _malformed(where, f"{path}.outputs", "it is no object.")
    try:
        answer = _transient(inputs, given, path) if CORE_CURVE in inputs else _phasors(inputs, given, path)
    except InputError as refused:
        place = f"{where}, case {case['id']}, {refused.where}"
        raise type(refused)(refused.code, place, refused.what, refused.fix) from None
    return {"id": case["id"], **answer}


def _phasors(inputs: Json, given: Json | None, path: str) -> Json:
    read: CircuitInputs = circuit_inputs(inputs, f"{path}.inputs")
    layout = lay_out(network_of(read, f"{path}.inputs"))
    solved = HarmonicSolution({h: solve_layout(layout, h) for h in read.orders()})
    outputs = file_answers.outputs(solved)
    return {
        "outputs": outputs,
        "worst_relative_error": file_answers.phasor_error(solved, given, f"{path}.outputs")
        if given
        else None,
        "undetermined": [
            {"harmonic": h, "kind": open_.kind, "names": list(open_.names), "note": open_.note}
            for h, solution in solved.by_order.items()
            for open_ in solution.undetermined
        ],
        "residual": max(solution.residual for solution in solved.by_order.values()),
    }


def _transient(inputs: Json, given: Json | None, path: str) -> Json:
    facts = {key: value for key, value in inputs.items() if key in Energizing.__struct_fields__}
    try:
        case = msgspec.convert(facts, Energizing)
    except (msgspec.ValidationError, OverflowError) as wrong:
        raise InputError(
            "CIR-10",
            f"{path}.inputs",
            f"{wrong}.",
            "A transient case needs the values of the core and its source.",
        ) from None
    solved = energize(case)
    outputs = file_answers.transient_outputs(solved, given, f"{path}.outputs")
    return {
        "outputs": outputs,
        "worst_relative_error": file_answers.transient_error(outputs, given, f"{path}.outputs")
        if given
        else None,
        "undetermined": [],
        "residual": None,
    }
