"""The result as other programs read it: one structure, every key always there, plain numbers and texts."""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite, isinf
from typing import Any

import msgspec

from turnwright.model.result import (
    Alternative,
    Blocks,
    Conductors,
    Currents,
    Demand,
    Efficiency,
    Fault,
    Grounding,
    Protection,
    Result,
    Voltage,
    WorkingLine,
)

SCHEMA = 1
BLOCKS: dict[str, type[msgspec.Struct]] = {
    "demand": Demand,
    "currents": Currents,
    "protection": Protection,
    "conductors": Conductors,
    "grounding": Grounding,
    "fault": Fault,
    "voltage": Voltage,
    "efficiency": Efficiency,
}
"""Name of each block of numbers -> its record, in the order of the answer; `pick` stands before them."""


def plain(value: Any, where: str = "result") -> Any:
    """Return a value made of dicts, lists, texts, plain numbers, booleans and None only.

    A number that knows its step becomes a plain one. "Not a number" has no place in an answer, and a size
    without an end has none in JSON: both are defects.

    Raises:
        ValueError: a number is not finite.
        TypeError: something else than these stands in the answer.

    Example:
        >>> plain({"line_load_a": (317.5, 1), "kind": "breaker"})
        {'line_load_a': [317.5, 1], 'kind': 'breaker'}
    """
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, float):
        if not isfinite(value):
            raise ValueError(f"{where} is {float(value)}")
        return float(value)
    if isinstance(value, int):
        return int(value)
    if isinstance(value, str):
        return str(value)
    if isinstance(value, msgspec.Struct):
        names = zip(value.__struct_fields__, value.__struct_encode_fields__, strict=True)
        return {key: plain(getattr(value, name), f"{where}.{key}") for name, key in names}
    if isinstance(value, Mapping):
        return {str(key): plain(inner, f"{where}.{key}") for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [plain(inner, f"{where}[{index}]") for index, inner in enumerate(value)]
    raise TypeError(f"{where} is {value!r}, which JSON has no form for")


def for_working(value: Any) -> Any:
    """Return an input or a value of the working: as `plain`, but for two things.

    A size without an end (a source taken as infinite) is a word, and a record is its text.

    Example:
        >>> for_working({"fault_current_a": float("inf")})
        {'fault_current_a': 'infinite'}
    """
    if isinstance(value, float) and isinf(value):
        return "infinite" if value > 0 else "minus infinite"
    if isinstance(value, Mapping):
        return {str(key): for_working(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [for_working(inner) for inner in value]
    if value is None or isinstance(value, str | int | float):
        return plain(value, "working")
    return str(value)


def _empty(record: type[msgspec.Struct]) -> dict[str, Any]:
    return dict.fromkeys(record.__struct_encode_fields__)


def _blocks(blocks: Blocks | None) -> dict[str, Any]:
    if blocks is None:
        return {name: _empty(record) for name, record in BLOCKS.items()}
    return {name: plain(getattr(blocks, name), name) for name in BLOCKS}


def alternative_to_json(other: Alternative) -> dict[str, Any]:
    """Return one element of `instead` or `also`; the blocks are there when it has a pick."""
    head = {"what": str(other.what), "why": str(other.why), "pick": None}
    if other.blocks is not None:
        head |= {"pick": plain(other.blocks.pick, "pick"), **_blocks(other.blocks)}
    also = [alternative_to_json(second) for second in other.also]
    return head | {"findings": plain(other.findings, "findings"), "also": also}


def result_to_json(result: Result) -> dict[str, Any]:
    """Return the result as a dict that any JSON writer takes; same result, same dict.

    Without a pick `pick` is None and each block has all its keys with None behind them.

    Raises:
        ValueError: a number of the result is not finite.
    """
    return {
        "schema": SCHEMA,
        "verdict": str(result.verdict),
        "pick": None if result.blocks is None else plain(result.blocks.pick, "pick"),
        "options": plain(result.options, "options"),
        **_blocks(result.blocks),
        "findings": plain(result.findings, "findings"),
        "questions": plain(result.questions, "questions"),
        "range": {"kva": plain(result.range_kva, "range.kva")},
        "instead": [alternative_to_json(other) for other in result.instead],
        "also": [alternative_to_json(other) for other in result.also],
        "working": [working_line(line) for line in result.working],
        "tool": plain(result.tool),
        "job": plain(result.job, "job"),
    }


def working_line(line: WorkingLine) -> dict[str, Any]:
    """Return one step of the working as a dict."""
    names = zip(line.__struct_fields__, line.__struct_encode_fields__, strict=True)
    return {key: for_working(getattr(line, name)) for name, key in names}


def dumps(tree: dict[str, Any]) -> str:
    """Return a dict of plain values as JSON text, indented, with a newline at its end.

    Example:
        >>> print(dumps({"schema": 1, "pick": None}), end="")
        {
          "schema": 1,
          "pick": null
        }
    """
    return msgspec.json.format(msgspec.json.encode(tree), indent=2).decode() + "\n"
