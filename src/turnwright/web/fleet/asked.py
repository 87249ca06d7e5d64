"""What is asked of a fleet: the fields of its form, checked, and where the files stand."""

from __future__ import annotations

import os
from typing import Any, Literal, cast

from msgspec import Struct

from turnwright.errors import InputError
from turnwright.fleet.records import FleetOptions
from turnwright.quantities import Quantity, parse_quantity
from turnwright.web.job.fields import Line
from turnwright.web.job.merge import Problem, problem_of

FIELD = "o."
Choices = tuple[tuple[str, str], ...]
STANDARDS: Choices = (("ieee", "IEEE"), ("iec", "IEC"))
AGEING: Choices = (
    ("iec", "IEC 60076-12"),
    ("halving-10k", "the trade's older rule: life halves with each 10 K"),
)
COOLING: Choices = (("AN", "self-cooled (AN)"), ("AF", "forced air (AF)"))
FIELDS: tuple[tuple[str, str, Choices, str], ...] = (
    ("title", "title", (), "on the papers; may stay empty"),
    ("price_kwh", "price of a kWh", (), "as 0.12 USD; empty: no cost comes out"),
    ("standard", "hot-spot rises by", STANDARDS, "whose rises stand for a class"),
    ("ageing", "ageing by", AGEING, "law by which insulation ages"),
    ("cooling", "cooling", COOLING, "of all units"),
)
"""Name, label, choices and explanation of each field beside the files."""
LONGEST_TEXT = 120


class Asked(Struct, frozen=True, kw_only=True):
    """What is asked of one fleet.

    typed     what stands in the fields, by name
    profiles  names of the files of metered load, as they were sent
    units     name of the list of units
    """

    typed: dict[str, str]
    profiles: tuple[str, ...] = ()
    units: str = ""

    @property
    def price(self) -> Quantity | None:
        """The price of a kWh; None: none was given."""
        text = self.typed.get("price_kwh", "").strip()
        return parse_quantity(text, "energy price", where="price_kwh") if text else None

    @property
    def currency(self) -> str:
        """The currency of the price; "" where none was given."""
        price = self.price
        return "" if price is None else price.unit_written

    @property
    def title(self) -> str:
        """The title for the papers."""
        return self.typed.get("title", "").strip()

    def options(self) -> FleetOptions:
        """Return how the fleet is calculated; one processor is left to the pages."""
        price = self.price
        return FleetOptions(
            standard=cast(Literal["ieee", "iec"], self.typed.get("standard") or "ieee"),
            ageing=cast(Any, self.typed.get("ageing") or "iec"),
            cooling=cast(Literal["AN", "AF"], self.typed.get("cooling") or "AN"),
            price_kwh=None if price is None else price.high,
            threads=max(1, min(8, (os.cpu_count() or 2) - 1)),
        )


def asked_of(pairs: list[tuple[str, str]]) -> Asked:
    """Return what stands in the fields of a form."""
    known = {name for name, *_ in FIELDS}
    typed = {name.removeprefix(FIELD): text[:LONGEST_TEXT] for name, text in pairs if name.startswith(FIELD)}
    return Asked(typed={name: _printable(text) for name, text in typed.items() if name in known})


def _printable(text: str) -> str:
    return "".join(letter if letter.isprintable() else " " for letter in text).strip()


def problems_of(asked: Asked) -> dict[str, Problem]:
    """Return what cannot be used, by field."""
    found: dict[str, Problem] = {}
    for name, label, choices, _ in FIELDS:
        text = asked.typed.get(name, "")
        if choices and text and text not in dict(choices):
            fix = f"Choose one of {', '.join(value for value, _ in choices)}."
            found[name] = Problem("FLT-14", name, f'"{text}" is no {label}.', fix)
    try:
        price = asked.price
        if price is not None and (price.low is None or price.low < 0):
            raise InputError("FLT-14", "price_kwh", "this is no price of a kWh.", "Write it 0 or more.")
    except InputError as error:
        found["price_kwh"] = problem_of(error)
    return found


def lines_of(asked: Asked, problems: dict[str, Problem]) -> list[Line]:
    """Return the fields as the page shows them."""
    return [
        Line(
            path=name,
            label=label,
            text=asked.typed.get(name, ""),
            choices=choices,
            source=says,
            problem=problems.get(name),
        )
        for name, label, choices, says in FIELDS
    ]
