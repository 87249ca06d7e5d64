"""The adiabatic check: k by the formula of IEC 60364-5-54 Annex A, limits of both kinds of conductor."""

from math import log, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.intake import job_from_mapping
from turnwright.narrow import select
from turnwright.regimes.iec.rules.withstand import k_of, least_for_withstand_mm2, stands_a2s

MATERIALS = {"copper": (3.45e-3, 234.5, 17.241e-6), "aluminum": (2.5e-3, 228.0, 28.264e-6)}
"""Volumetric heat [J/(K·mm³)], reciprocal of the temperature coefficient at 0 °C [°C], resistivity at 20 °C [Ω·mm]."""
FROM_TO_C = {"PVC": (70.0, 160.0), "XLPE": (90.0, 250.0)}


@pytest.mark.parametrize("role", ["line", "protective"])
@pytest.mark.parametrize("metal", MATERIALS)
@pytest.mark.parametrize("insulation", FROM_TO_C)
def test_k_is_that_of_the_formula(role, metal, insulation):
    """k = √(Q_c · (β + 20) / ρ_20 · ln((β + θ_f) / (β + θ_i))), IEC 60364-5-54 Annex A; the tables print whole "
    "numbers."""
    heat, beta, resistivity = MATERIALS[metal]
    initial, final = FROM_TO_C[insulation]
    k = sqrt(heat * (beta + 20) / resistivity * log((beta + final) / (beta + initial)))
    assert k_of(metal, insulation, role) == pytest.approx(k, abs=0.75)


@given(
    fault_a=st.floats(10.0, 2e5), time_s=st.floats(0.1, 5.0), k=st.sampled_from([76.0, 94.0, 115.0, 143.0])
)
def test_the_least_area_stands_just_that_energy(fault_a, time_s, k):
    area = least_for_withstand_mm2(fault_a, time_s, k)
    assert stands_a2s(area, k) == pytest.approx(fault_a**2 * time_s, rel=1e-9)
    assert least_for_withstand_mm2(2 * fault_a, time_s, k) == pytest.approx(2 * area)


def found(code, **supply):
    job = {
        "regime": "iec",
        "supply": {"system": "690Y/400", "frequency": "50 Hz", "earthing": "TN-S", **supply},
        "load": [{"system": "400Y/230", "kva": "12 kVA"}],
        "circuit": {"installation": "C"},
    }
    findings = select(job_from_mapping(job, "job"), ledger_open=False, ask=False).findings
    return [finding for finding in findings if finding.code == code]


def test_every_conductor_that_does_not_stand_it_is_named():
    """10 kA for 0.1 s: 10 000 · 0.3162 / 115 = 27.5 mm², more than the cable of a small unit has."""
    lines, wires = (
        found(code, fault_current="10 kA") for code in ("cable-withstand", "protective-withstand")
    )
    assert [finding.limit for finding in lines] == [pytest.approx(27.5, abs=0.01)]
    assert "Primary cable" in lines[0].message and "limiting" in lines[0].message
    assert any("Primary protective conductor" in finding.message for finding in wires)


def test_a_supply_of_unknown_fault_current_is_asked_for():
    assert found("cable-withstand-not-checked")


def test_electrodes_limit_the_fault_to_earth_of_tt():
    """The loop of a TT supply runs through two electrodes: the adiabatic check of its protective conductor says "
    "nothing."""
    wires = found("protective-withstand", fault_current="10 kA", earthing="TT")
    assert wires and not any("Primary" in finding.message for finding in wires)
