"""Units switched on as a deck for ngspice: the flux of a core is the voltage of a 1 F capacitor fed by its volts."""

from __future__ import annotations

import subprocess
import tempfile
from math import pi, sqrt
from pathlib import Path

from turnwright.circuit.inrush import core_of
from turnwright.circuit.inrush_banks import LINES, NEUTRAL, STAR, Bank, Supply

OPTIONS = ".options reltol=1e-5 abstol=1e-6 vntol=1e-5 method=trap maxord=2 itl4=50"
ROUNDED_WB = 1e-6
"""The knee is rounded by so much: at a sharp one the iterations of the program may find no way on."""


def deck(supply: Supply, banks: list[Bank], start_a: dict[str, float], cycles: float, step_s: float) -> str:
    """Return the deck; `start_a` are the currents of lines and windings at the moment of closing."""
    omega = 2 * pi * supply.hz
    body = ["* units switched on"]
    lines = LINES if supply.phases == 3 else LINES[:2]
    for k, line in enumerate(lines):
        size = sqrt(2) * supply.line_v / (sqrt(3) if supply.phases == 3 else 1.0)
        body.append(
            f"V{line} s{line} 0 SIN(0 {size if supply.phases == 3 or k == 0 else 0.0:.15g} {supply.hz} 0 0 "
            f"{supply.closing_angle_deg - 120 * k * (supply.phases == 3):.15g})"
        )
        body += series(f"{line}", f"s{line}", f"t{line}", supply.z_ohm, omega, start_a[line])
    back_a = -sum(start_a[line] for line in lines)
    body += series("N", "0", "neutral", supply.neutral_ohm, omega, back_a)
    for bank in banks:
        body += windings(bank, supply.hz, start_a)
    asked = " ".join(f"i(V{line})" for line in lines)
    return "\n".join(
        [*body, OPTIONS, ".control", "set numdgt=12", "set wr_singlescale",
         f"tran {step_s} {cycles / supply.hz} 0 {step_s} uic", f"wrdata out.txt {asked}", ".endc", ".end", ""]
    )  # fmt: skip


def series(name: str, start: str, end: str, z: complex, omega: float, start_a: float) -> list[str]:
    if z == 0:
        return [f"Rz{name} {start} {end} 1e-9"]
    return [
        f"R{name} {start} m{name} {z.real or 1e-9:.15g}",
        f"L{name} m{name} {end} {z.imag / omega or 1e-15:.15g} IC={start_a:.15g}",
    ]


def windings(bank: Bank, hz: float, start_a: dict[str, float]) -> list[str]:
    omega, found = 2 * pi * hz, []
    base, peak_wb, curve = core_of(
        bank.kva, bank.voltage_v, hz, bank.magnetizing_pct, bank.knee_pu, bank.saturated_pu
    )
    z = complex(bank.resistance_pct, bank.reactance_pct) / 100 * base
    nodes = {NEUTRAL: "neutral", STAR: f"star{bank.name}", **{line: f"t{line}" for line in LINES}}
    beyond = 1 / curve.l_sat_h - 1 / curve.l_unsat_h
    for k, ((start, end), residual) in enumerate(zip(bank.windings, bank.residual_pu, strict=True), 1):
        name = f"{bank.name}{k}"
        found += series(f"w{name}", nodes[start], f"c{name}", z, omega, start_a[f"{bank.name}.{k}"])
        ring = f"+i(Vring{bank.name})" if bank.closed is not None else ""
        if bank.outside_pct is not None:  # magnetic drop between the yokes, by duality; no ring is drawn
            fluxes = "+".join(f"v(q{bank.name}{leg})" for leg in (1, 2, 3))
            ring += f"+({fluxes})/{3 * bank.outside_pct / 100 * base / omega:.15g}"
        knee = f"{curve.knee_wb:.15g}"
        over = [over_the_knee(f"{sign}v(q{name})-{knee}", bank.closed is not None) for sign in ("", "-")]
        core = f"v(q{name})/{curve.l_unsat_h:.15g}+({over[0]}-({over[1]}))*{beyond:.15g}"
        found += [
            f"Bc{name} c{name} {nodes[end]} I={core}{ring}",
            f"Bq{name} 0 q{name} I=v(c{name},{nodes[end]})",
            f"Cq{name} q{name} 0 1 IC={residual * peak_wb:.15g}",
        ]
    if bank.closed is not None:
        own, count = bank.name, len(bank.windings)
        volts = "+".join(f"v(c{own}{k},{nodes[end]})" for k, (_, end) in enumerate(bank.windings, 1))
        around = complex(bank.closed.resistance_pct, bank.closed.reactance_pct) / 100 * base * count
        found += [f"Bring{own} g{own} 0 V={volts}", f"Vring{own} g{own} h{own} 0"]
        found += series(f"ring{own}", f"h{own}", "0", around, omega, 0.0)
    return found


def over_the_knee(text: str, rounded: bool) -> str:
    return f"0.5*({text}+sqrt(({text})^2+{ROUNDED_WB}^2))" if rounded else f"max({text},0)"


def run(text: str) -> list[list[float]]:
    """Return the rows that a deck writes: time, then what was asked for."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder, "deck.cir").write_text(text)
        subprocess.run(["ngspice", "-b", "deck.cir"], cwd=folder, capture_output=True, check=False)
        rows = Path(folder, "out.txt").read_text().splitlines()
    return [[float(word) for word in row.split()] for row in rows]
