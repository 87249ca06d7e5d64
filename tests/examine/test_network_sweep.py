"""`examine network --vary`: where voltages and currents lie, by hand and through the command line."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from turnwright.examine.network_sweep import examine_variants

DIVIDER = json.dumps(
    {
        "id": "divider",
        "inputs": {
            "frequency_hz": 60,
            "sources": [{"name": "S", "phases": 1, "nodes": ["a"], "voltage_v": 120, "z1_ohm": [1, 0]}],
            "impedances": [{"name": "lamp", "from": "a", "to": "0", "r_ohm": 11, "x_ohm": 0}],
        },
    }
)


def test_a_divider_by_hand() -> None:
    study = examine_variants(DIVIDER, "f.json", ["lamp.r_ohm=2..5:4"])
    lamp = study.answers["branch_a"]["lamp"]
    assert (lamp["most"], lamp["most_at"]) == (pytest.approx(40.0), {"lamp.r_ohm": 2.0})
    assert (lamp["least"], lamp["least_at"]) == (pytest.approx(20.0), {"lamp.r_ohm": 5.0})
    assert study.answers["node_v"]["a"]["most"] == pytest.approx(100.0)
    assert study.answers["each"]["branch_a"]["lamp"] == pytest.approx([40.0, 30.0, 24.0, 20.0])
    curve = next(one for one in study.series if one.name == "lamp")
    assert (curve.x_unit, curve.y_unit, curve.x) == ("ohm", "A", (2.0, 3.0, 4.0, 5.0))


def test_many_variants_hand_back_where_they_lie_alone() -> None:
    study = examine_variants(DIVIDER, "f.json", ["lamp.r_ohm=2..5:2000", "S.voltage_v=110,120"])
    assert study.answers["variants"] == 4000 and "each" not in study.answers and study.series == ()
    assert study.answers["branch_a"]["lamp"]["least_at"] == {"lamp.r_ohm": 5.0, "S.voltage_v": 110.0}
    assert study.answers["worst_residual"] < 1e-12


def test_orders_add_up_to_an_rms_value() -> None:
    case = json.loads(DIVIDER)
    case["inputs"]["harmonic_current_draws"] = [
        {"name": "drive", "from": "a", "to": "0", "harmonic": 5, "amps": 12.0}
    ]
    study = examine_variants(json.dumps(case), "f.json", ["lamp.r_ohm=2,5"])
    # order 5 sees 1 ohm and the lamp side by side
    assert study.answers["each"]["branch_a"]["lamp"] == pytest.approx(
        [(40**2 + 4**2) ** 0.5, (20**2 + 2**2) ** 0.5]
    )


def test_the_command(run: Callable[..., Any], tmp_path: Path) -> None:
    file = tmp_path / "divider.json"
    file.write_text(DIVIDER)
    shown = run("examine", "network", str(file), "--vary", "lamp.r_ohm=2..5:4")
    assert shown.status == 0 and "4 variants of divider solved" in shown.out and "40 A" in shown.out
    read = run(
        "examine", "network", "-", "--vary", "lamp.r_ohm=2,5", "--format", "json", stdin=DIVIDER.encode()
    )
    assert json.loads(read.out)["answers"]["variants"] == 2
    for words in (["--vary", "lamp.r_om=1,2"], ["--vary", "lamp.r_ohm=1,2", "--case", "other"]):
        refused = run("examine", "network", str(file), *words)
        assert refused.status == 2 and refused.err.count("\n") == 1


def test_vary_goes_with_circuits_alone(run: Callable[..., Any]) -> None:
    refused = run("examine", "inrush", "-", "--vary", "a.r_ohm=1,2", stdin=b"")
    assert refused.status == 2 and "EXM-04" in refused.err
