"""From elements of a network to a case in the form of a circuit file."""

from typing import Any

import engine

from turnwright.circuit import Impedance, Injection, PowerLoad, Source1, Source3, supply3
from turnwright.circuit.connections import Connection, three_phase
from turnwright.circuit.network import Core

Case = dict[str, Any]
H = ("H1", "H2", "H3")


def case(
    id: str,
    title: str,
    sources: list[Source1 | Source3],
    banks: list[Connection],
    *elements: Any,
    hz: float = 60,
    powers: list[tuple[PowerLoad, float]] = (),
    own: list[dict] = (),
) -> Case:
    """Return a case in the form of a circuit file."""
    impedances = [e for part in elements for e in (part if isinstance(part, tuple) else (part,))]
    inputs: dict[str, Any] = {
        "frequency_hz": hz,
        "sources": [source_inputs(s) for s in sources],
        "transformer_units": [unit_inputs(core) for bank in banks for core in bank.cores],
        "impedances": [
            {"name": z.name, "from": z.start, "to": z.end, "r_ohm": z.r_ohm, "x_ohm": z.x_ohm, "role": z.role}
            for z in impedances
            if isinstance(z, Impedance)
        ],
    }
    draws = [e for e in impedances if isinstance(e, Injection)]
    if draws:
        inputs["harmonic_current_draws"] = [
            {
                "name": j.name,
                "from": j.start,
                "to": j.end,
                "harmonic": j.harmonic,
                "amps": j.current_a,
                "angle_deg": j.angle_deg,
            }
            for j in draws
        ]
        inputs["harmonics"] = sorted({1, *(j.harmonic for j in draws)})
    found: Case = {"id": id, "title": title, "inputs": inputs}
    if own:
        found["engine_banks"] = list(own)
    if powers:
        found["constant_power_loads"] = [
            {
                "name": p.name,
                "from": p.start,
                "to": p.end,
                "power_w": p.power_w,
                "reactive_var": p.reactive_var,
                "near_v": near,
            }
            for p, near in powers
        ]
    return found


def source_inputs(s: Source1 | Source3) -> dict:
    if isinstance(s, Source3):
        return {
            "name": s.name,
            "phases": 3,
            "connection": "wye, star point not earthed"
            if s.star is None
            else "wye, star point solidly earthed",
            "nodes": list(s.nodes),
            "line_to_line_v": s.line_v,
            "phase_1_to_earth_angle_deg": s.angle_deg,
            "z1_ohm": [s.z1_ohm.real, s.z1_ohm.imag],
            "z0_ohm": [s.z0_ohm.real, s.z0_ohm.imag],
        }
    return {
        "name": s.name,
        "phases": 1,
        "connection": "node to earth",
        "nodes": [s.node],
        "voltage_v": s.voltage_v,
        "angle_deg": s.angle_deg,
        "z1_ohm": [s.z_ohm.real, s.z_ohm.imag],
    }


def unit_inputs(core: Core) -> dict:
    count = len(core.windings)
    names = [f"{i}-{j}" for i in range(1, count) for j in range(i + 1, count + 1)]
    return {
        "name": core.name,
        "bank": core.bank,
        "kva_base": core.kva,
        "windings": [
            {"rated_v": w.rated_v, "dot": w.dot, "other": w.other, "percent_r": w.resistance_pct}
            for w in core.windings
        ],
        "percent_x": dict(zip(names, core.reactance_pct, strict=True)),
        "noload_loss_percent": core.no_load_loss_pct,
        "magnetizing_percent": core.magnetizing_pct,
    }


def own_bank(bank: Connection, kva: float, volts: tuple[float, float], r: float, x: float) -> dict:
    """Return what the engine needs to make the bank of its own; star points as the connection has them."""
    core = bank.cores[0]
    return {
        "name": core.bank,
        "own": {
            "group": bank.vector_group,
            "kva": kva,
            "primary": list(bank.terminals["primary"]),
            "secondary": list(bank.terminals["secondary"]),
            "primary_star": bank.neutrals.get("primary"),
            "secondary_star": bank.neutrals.get("secondary"),
            "primary_v": volts[0],
            "secondary_v": volts[1],
            "percent_r": r,
            "percent_x": x,
            "noload": core.no_load_loss_pct,
            "magnetizing": core.magnetizing_pct,
        },
    }


def grouped(
    id: str, title: str, group: str, kva: float, volts: tuple, r: float, x: float, *elements: Any, **more: Any
):
    """Return a case of one bank with a vector group."""
    supply = more.pop("supply", supply3("SUP", H, volts[0], 12e3, 5.0, 2.0))
    rest = {key: more.pop(key) for key in ("hz", "powers") if key in more}
    bank = three_phase("T", group, kva, *volts, r, x, **more)
    own = [own_bank(bank, kva, volts, r, x)] if group in engine.OWN else []
    return case(id, title, [supply], [bank], *elements, own=own, **rest)
