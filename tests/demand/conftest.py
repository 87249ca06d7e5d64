"""Loads, cases and the tables of the North American regime, for the tests of this folder."""

from collections.abc import Sequence
from typing import Any

import pytest
from msgspec.structs import replace

from turnwright.demand import DemandTables, LoadPicture, MotorColumn, demand_of
from turnwright.model.case import Case, CaseChoices, CaseCircuit, CaseLoad, CaseSite, CaseSupply
from turnwright.quantities import VoltageSystem, parse_system
from turnwright.reference import load as table
from turnwright.working import CLOSED, Known, Ledger, Number, Step

BANDS = {115: (110, 120), 200: (200, 200), 208: (208, 208), 230: (220, 240), 460: (440, 480), 575: (550, 600)}


def number(name: str, value: float, known: Known = "given") -> Number:
    """Return a number with a step."""
    return Number(value, Step(name, value, known=known))


def system(text: str) -> VoltageSystem:
    """Return the voltage system that a text names."""
    found = parse_system(text, where="test")
    assert isinstance(found, VoltageSystem)
    return found


def motor_columns() -> tuple[MotorColumn, ...]:
    """Return the columns of NEC Tables 430.248 and 430.250."""
    tables = {1: ("nec_430_248", (115, 200, 208, 230)), 3: ("nec_430_250", tuple(BANDS))}
    return tuple(
        MotorColumn(phases, *BANDS[volts], table(name).at("2023"), f"current_{volts}v_a")
        for phases, (name, columns) in tables.items()
        for volts in columns
    )


class Builder:
    """Makes what `demand_of` takes."""

    tables = DemandTables(
        motor_columns=motor_columns(),
        motor_allowance=number("allowance", 0.25, "common practice"),
        motor_conductor_allowance=number("430.24", 0.25, "memory"),
        continuous_factor=number("215.3", 1.25, "seen"),
        measured_demand_factor=number("220.87", 1.25, "memory"),
        default_power_factor=number("power factor", 0.85, "assumed"),
        default_efficiency=number("efficiency", 0.75, "assumed"),
    )

    @staticmethod
    def system(text: str) -> VoltageSystem:
        """Return the voltage system that a text names."""
        return system(text)

    @staticmethod
    def load(text: str, by: str, size: float, index: int = 0, **facts: Any) -> CaseLoad:
        """Return one load: system, kind of size, size of one piece."""
        wanted = system(text)
        nominal_v = number(f"load[{index}].system", wanted.line_v)
        given = {
            "index": index,
            "name": f"load {index}",
            "system": replace(wanted, line_v=nominal_v),
            "nameplate_v": nominal_v,
            "size_kind": by,
            "size": number(f"load[{index}].{by}", size),
            "quantity": 1.0,
            "demand_factor": 1.0,
            "demand_rule": None,
            "efficiency": 1.0,
            "continuous": True,
            "kind": "general",
            "frequencies_hz": (60.0,),
            "harmonics": (),
        }
        absent = dict.fromkeys(CaseLoad.__struct_fields__)
        flags = dict.fromkeys(("shaft", "grounded_wye", "feeds_back", "own_unit", "measured_demand"), False)
        known: dict[str, Any] = {**absent, **flags, **given, **facts}
        for key in (
            "quantity",
            "demand_factor",
            "efficiency",
            "power_factor",
            "duty_on_pct",
            "largest_motor_hp",
        ):
            if key in facts and type(known[key]) in (int, float):
                known[key] = number(f"load[{index}].{key}", known[key])
        return CaseLoad(**known)

    @staticmethod
    def case(loads: Sequence[CaseLoad], growth_pct: float = 0.0) -> Case:
        """Return a case of these loads; each gets the index of its place."""

        def blank(kind: Any, **facts: Any) -> Any:
            return kind(**(dict.fromkeys(kind.__struct_fields__) | facts))

        return Case(
            title="",
            regime="us",
            edition="2023",
            supply=blank(CaseSupply),
            loads=tuple(loads),
            site=blank(CaseSite),
            circuit=blank(CaseCircuit),
            choices=blank(CaseChoices, growth_pct=number("choices.growth", growth_pct)),
            facts=(),
        )

    def picture(
        self,
        loads: Sequence[CaseLoad],
        secondary: str = "208Y/120",
        growth_pct: float = 0.0,
        work: Ledger = CLOSED,
        tables: DemandTables | None = None,
    ) -> LoadPicture:
        """Return what the loads ask of a secondary."""
        return demand_of(self.case(loads, growth_pct), system(secondary), tables or self.tables, work)


@pytest.fixture(scope="session")
def build() -> Builder:
    return Builder()
