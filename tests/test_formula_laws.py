"""What holds for every calculation whatever it computes.

Each argument counts and nothing jumps: the result is smooth somewhere around the example. Units come out as they went
in: with more volts, amperes, hours, metres by a factor of their own, the result grows as its unit does.
"""

import ast
import inspect
import math
import random
from collections.abc import Iterator
from importlib import import_module
from typing import Any

import pytest
from docs.made.docstring import read_docstring
from docs.made.methods import calculations

from turnwright.errors import InputError

IDLE = {
    "neutral_order_a": ["order"],  # whole numbers
    "design_current_a": ["phases"],
    "canadian_force_share": ["least"],  # of another example
    "stray_loss_factor": ["h1"],  # the fundamental alone is 1
}
"""Arguments that do not move the result around the example."""
LOOKED_UP = {"printed_life_h", "worst_power_factor", "angle_tangent"}
"""What ends in a unit and is no calculation of its own: read from a table, or a step within another."""
EMPIRICAL = {"opening_m2"}
"""What is measured: its constants have units of their own."""
POINTS = 12
STEP = 1e-6
UNITS = {
    "-": "", "%": "", "deg": "", "kVA/hp": "",
    "V": "v", "A": "i", "kVA": "vi", "W": "vi", "kW": "vi", "kvar": "vi", "hp": "vi", "BTU/h": "vi",
    "ohm": "v I", "ohm/km": "v I L", "ohm/m": "v I L", "mohm/m": "v I L", "ohm/kft": "v I L", "ohm·mm²/m": "v I L q",
    "m": "l", "ft": "l", "m²": "l l", "mm²": "q", "cmil": "q", "m³/s": "l l l T", "cfm": "l l l T",
    "h": "t", "s": "t", "Hz": "T", "kWh": "v i t", "A²s": "i i t", "a": "",
    "K": "k", "1/K": "K", "%/K": "K", "%/100 m": "L", "%/500 m": "L",
    "kg": "m", "kg/m³": "m L L L", "J/(kg·K)": "v i t M K", "W·min/K": "v i t K", "W·min/(kg·K)": "v i t M K",
    "currency": "c", "currency/kWh": "c V I T", "currency/W": "c V I",
    "currency/(kW·month)": "c V I",
}  # fmt: skip
"""By which of the basic units a number grows, and (in capitals) by which it shrinks. What temperatures and levels are
in has none; amounts of one year are amounts, and years a count.
"""
TIMES = {"v": 1.3, "i": 0.7, "t": 1.9, "l": 1.7, "q": 0.6, "k": 1.2, "m": 2.3, "c": 3.1}


def examples(function: Any) -> Iterator[dict[str, float]]:
    """Yield the arguments of the calls in the example of a calculation, where all are numbers."""
    names = list(inspect.signature(function).parameters)
    for line in read_docstring(function).example.splitlines():
        if not line.strip().startswith(">>> "):
            continue
        for call in ast.walk(ast.parse(line.strip()[4:])):
            if isinstance(call, ast.Call) and ast.unparse(call.func) == function.__name__:
                try:
                    given = dict(zip(names, map(ast.literal_eval, call.args), strict=False))
                    given |= {each.arg or "": ast.literal_eval(each.value) for each in call.keywords}
                except ValueError:
                    continue
                if all(isinstance(value, int | float) for value in given.values()):
                    yield given


def around(given: dict[str, float], chance: random.Random) -> dict[str, float]:
    return {name: (value or 1.0) * chance.uniform(0.5, 2.0) for name, value in given.items()}


def value(function: Any, given: dict[str, float]) -> float | None:
    """Return a value; None where it is none, or the arguments are refused."""
    try:
        found = function(**given)
    except (InputError, ValueError, ZeroDivisionError, OverflowError):
        return None
    return float(found) if isinstance(found, int | float) and math.isfinite(found) else None


def scale(unit: str) -> float:
    """Return how many times a number grows when every basic unit grows by its own factor."""
    basic = UNITS[unit.removesuffix("/a")].replace(" ", "")
    return math.prod(TIMES[one] if one in TIMES else 1.0 / TIMES[one.lower()] for one in basic)


def points(function: Any) -> Iterator[dict[str, float]]:
    """Yield the arguments of its example, and others around them."""
    chance = random.Random(1)
    for given in examples(function):
        yield given
        for _ in range(POINTS):
            yield around(given, chance)


def in_basic_units(function: Any) -> dict[str, float] | None:
    """Return by how much each argument grows, and the result as ""; None where a unit is not made of basic ones."""
    doc = read_docstring(function)
    units = {name: each.unit for each in doc.arguments for name in each.name.split(", ")} | {"": doc.unit}
    known = all(unit.removesuffix("/a") in UNITS for unit in units.values())
    return {name: scale(unit) for name, unit in units.items()} if known else None


def not_in_proportion(function: Any) -> str | None:
    """Return how a calculation changes where every basic unit grows; None where it changes as its unit does."""
    times = in_basic_units(function)
    if times is None:
        return None
    for given in points(function):
        if not given.keys() <= times.keys():
            return None
        before = value(function, given)
        after = value(function, {name: each * times[name] for name, each in given.items()})
        if before is None or after is None:
            continue
        if not math.isclose(after, before * times[""], rel_tol=1e-9, abs_tol=1e-12):
            return f"{given}: {before} becomes {after}, not {before * times['']}"
    return None


def idle_or_rough(function: Any) -> list[str]:
    """Return the arguments that never move the result, or by jumps, where points around the example are tried."""
    steady: dict[str, list[bool]] = {}
    for given in points(function):
        for name, size in given.items():
            step = STEP * (size or 1.0)
            found = [value(function, given | {name: size + k * step}) for k in range(3)]
            if None not in found:
                first, second, third = (each or 0.0 for each in found)
                change = max(abs(second - first), abs(third - second))
                rounding = 1e-13 * max(abs(first), abs(third))
                even = abs(third - 2.0 * second + first) <= 1e-2 * change + 20.0 * rounding
                steady.setdefault(name, []).append(even and change > rounding)
    return [name for name, moves in steady.items() if not any(moves)]


@pytest.mark.parametrize("module", calculations())
def test_what_makes_numbers_of_numbers_in_units_is_a_calculation(module: str) -> None:
    """So that it is recorded with its equation wherever it is used."""
    public = [
        one
        for name, one in vars(import_module(module)).items()
        if inspect.isfunction(one) and one.__module__ == module and not name.startswith("_")
    ]
    plain = [one for one in public if {*inspect.get_annotations(one).values()} == {"float"}]
    in_units = {one.__name__ for one in plain if read_docstring(one).unit} - LOOKED_UP
    assert in_units <= {one.__name__ for one in calculations()[module]}
    for one in calculations()[module]:
        assert not any(math.isnan(one(**given)) for given in examples(one)), one.__name__


@pytest.mark.parametrize("module", calculations())
def test_each_argument_moves_the_result_and_nothing_jumps(module: str) -> None:
    found = {one.__name__: idle for one in calculations()[module] if (idle := idle_or_rough(one))}
    assert found == {
        one.__name__: IDLE[one.__name__] for one in calculations()[module] if one.__name__ in IDLE
    }


@pytest.mark.parametrize("module", calculations())
def test_units_come_out_as_they_went_in(module: str) -> None:
    """Volts, amperes, hours, metres … each made larger by a factor of their own."""
    found = {one.__name__: wrong for one in calculations()[module] if (wrong := not_in_proportion(one))}
    assert {name: wrong for name, wrong in found.items() if name not in EMPIRICAL} == {}


def test_most_calculations_are_held_to_their_units() -> None:
    every = [one for functions in calculations().values() for one in functions]
    assert sum(in_basic_units(one) is not None for one in every) > 0.75 * len(every)
