"""Published worked examples. Their sources stand in data/*.yaml; targets are the recomputed values."""

import math
from pathlib import Path
from typing import Any

import pytest
import yaml

from turnwright.demand import design_current_a
from turnwright.demand.harmonic_formulas import distortion_pct, harmonic_loss_factor
from turnwright.demand.layouts import DELTA
from turnwright.demand.load_formulas import (
    horsepower_kva,
    input_kva,
    reactive_kvar,
    shaft_kva,
    single_phase_current_a,
    three_phase_current_a,
    three_phase_kva,
)
from turnwright.demand.phases import Term, Volts, line_terms
from turnwright.demand.phasor_formulas import line_current_a
from turnwright.demand.sum_formulas import vector_kva

DATA = Path(__file__).parent / "data"


def examples(name: str) -> dict[str, Any]:
    return {entry["id"]: entry for entry in yaml.safe_load((DATA / name).read_text(encoding="utf-8"))}


WORKED = examples("worked.yaml")
TEXTBOOK = examples("textbook_neutral.yaml")


def given(entry: str, key: str) -> float:
    return float(WORKED[entry]["inputs"][key]["value"])


def wanted(entry: str, key: str) -> float:
    return float(WORKED[entry]["recomputed"][key]["value"])


def test_single_phase_current_kosow_14_2() -> None:
    name = "kva-1ph-kosow-14-2"
    for side in ("primary", "secondary"):
        current_a = single_phase_current_a(given(name, side), given(name, "rating"))
        assert current_a == pytest.approx(wanted(name, f"{side}_current"), rel=1e-9)


def test_three_phase_current_mcpherson_3_11() -> None:
    name = "kva-3ph-deltawye-mcpherson-3-11"
    for side in ("primary", "secondary"):
        current_a = design_current_a(given(name, "rating"), given(name, f"{side}_line"), 3)
        assert current_a == pytest.approx(wanted(name, f"{side}_line_current"), rel=1e-6)


def test_three_phase_current_hubert_3_7() -> None:
    name = "kva-3ph-bank-hubert-3-7"
    for side, line in (("hv", "primary_line"), ("lv", "secondary_line")):
        current_a = three_phase_current_a(given(name, line), given(name, "bank_rating"))
        assert current_a == pytest.approx(wanted(name, f"{side}_line_current"), rel=1e-6)


def test_three_phase_kva_kosow_14_34() -> None:
    name = "yd-bank-kosow-14-34"
    assert three_phase_kva(230, given(name, "load_line_current")) == pytest.approx(
        wanted(name, "load_kva"), rel=1e-6
    )


def test_150_a_at_240_v_is_62_35_kva() -> None:
    """Common practice, no source: √3 · 240 V · 150 A."""
    assert three_phase_kva(line_v=240, current_a=150) == pytest.approx(62.35, abs=0.005)


def test_290_hp() -> None:
    name = "hp-to-kva-290hp"
    output_kw, factor, efficiency = (
        given(name, "motor_output_used"),
        given(name, "pf"),
        given(name, "efficiency"),
    )
    assert input_kva(output_kw, factor) == pytest.approx(wanted(name, "kva_ignoring_efficiency"), rel=1e-6)
    assert shaft_kva(output_kw, efficiency, factor) == pytest.approx(
        wanted(name, "kva_with_efficiency"), rel=1e-6
    )
    exact_kva = horsepower_kva(given(name, "motor"), efficiency, factor)
    assert exact_kva == pytest.approx(wanted(name, "x_exact_kva"), rel=1e-6)
    assert three_phase_current_a(480, 247) == pytest.approx(wanted(name, "fla_at_247_kva"), rel=1e-6)


def test_vector_sum_theraja_50_62() -> None:
    """A leading load of 50 kW brings 200 kW at 0.8 to 0.9 in all."""
    name = "vector-sum-theraja-50-62"
    lagging_kvar = reactive_kvar(given(name, "load_1") / given(name, "load_1_pf"), given(name, "load_1_pf"))
    kw = given(name, "load_1") + given(name, "load_2")
    total_kva = vector_kva(kw, lagging_kvar + wanted(name, "x_load_2_kvar"), 0.0)
    assert total_kva == pytest.approx(wanted(name, "x_total_kva"), rel=1e-6)
    assert kw / total_kva == pytest.approx(given(name, "combined_pf"), rel=1e-6)


def test_vector_sum_guru_8_7() -> None:
    name = "vector-sum-guru-8-7"
    first_kva, first_factor = given(name, "load_1"), given(name, "load_1_pf")
    second_kw, second_factor = given(name, "load_2"), given(name, "load_2_pf")
    kvar = reactive_kvar(first_kva, first_factor) - reactive_kvar(second_kw / second_factor, second_factor)
    kw = first_kva * first_factor + second_kw
    assert kw == pytest.approx(wanted(name, "x_total_kw"), rel=1e-9)
    assert kvar == pytest.approx(wanted(name, "x_total_kvar"), rel=1e-6)
    assert vector_kva(kw, kvar, 0.0) == pytest.approx(wanted(name, "x_total_kva"), rel=1e-6)


def test_diversity_theraja_50_11(build: Any) -> None:
    """Four load centres of 1000 kW with a diversity of 1.1 between them, at 0.8: a demand factor of 1/1.1."""
    name = "diversity-kva-theraja-50-11"
    centres, spread = given(name, "load_centres"), given(name, "diversity_between_centres")
    facts = {"quantity": centres, "demand_factor": 1 / spread, "power_factor": given(name, "pf")}
    load = build.load("480Y/277", "kw", given(name, "load_centre_demand"), **facts)
    picture = build.picture([load], "480Y/277")
    assert picture.kva == pytest.approx(wanted(name, "transformer_kva"), rel=1e-6)
    assert picture.kva * picture.power_factor == pytest.approx(wanted(name, "substation_demand"), rel=1e-6)


def test_lines_of_unbalanced_delta_load_kosow_14_36() -> None:
    """Three single-phase loads of different power factor; the source has one of them leading."""
    name = "unbalanced-delta-lines-kosow-14-36"
    line_v = given(name, "line_voltage")
    terms = []
    for pair, sign in (("AB", 1.0), ("BC", 1.0), ("CA", -1.0)):
        lag_deg = sign * math.degrees(math.acos(given(name, f"pf_{pair.lower()}")))
        terms.append(Term(pair, given(name, f"i_{pair.lower()}") * line_v / 1000.0, lag_deg))
    for line in "ABC":
        current_a = line_current_a(0.0, **line_terms(terms, DELTA, line, Volts(line_v, None)))
        assert current_a == pytest.approx(wanted(name, f"i_{line.lower()}"), rel=1e-5)


def test_neutral_of_10_8_6_a(build: Any) -> None:
    """Disputed: the first reply of the thread drops two minus signs (15.1 A); the phasor sum is 3.46 A."""
    name = "neutral-10-8-6"
    amperes = {line: given(name, f"i_{line.lower()}") for line in "ABC"}
    loads = [
        build.load("120 1ph", "current", amperes[line], index, lines=line, power_factor=1.0)
        for index, line in enumerate("ABC")
    ]
    picture = build.picture(loads)
    assert picture.line_a == pytest.approx(tuple(amperes.values()), rel=1e-9)
    assert picture.neutral_a == pytest.approx(wanted(name, "neutral_current"), rel=1e-6)


def even_load_neutral_a(build: Any, fundamental_a: float, third_pct: float) -> float:
    """Return the neutral current of an even four-wire load given by the fundamental of its current."""
    rms_a = fundamental_a * math.hypot(1.0, third_pct / 100.0)
    load = build.load("400Y/230", "current", rms_a, harmonics=((3, third_pct),))
    return float(build.picture([load], "400Y/230").neutral_a)


def test_neutral_iec_60364_5_52_annex_e(build: Any) -> None:
    """39 A with 40 % and 50 % third harmonic: the neutral carries 3 · 0.4 · 39 A and 3 · 0.5 · 39 A (recalled)."""
    name = "neutral-iec-39a"
    for percent in (40, 50):
        neutral_a = even_load_neutral_a(build, given(name, "line_current"), percent)
        assert neutral_a == pytest.approx(wanted(name, f"neutral_{percent}"), rel=1e-9)


def test_neutral_of_25_a_with_44_percent(build: Any) -> None:
    """Disputed: the source divides the line current although its own rule names the neutral current, 33 A."""
    name = "neutral-thd44-25a"
    neutral_a = even_load_neutral_a(build, given(name, "design_current"), given(name, "third_harmonic"))
    assert neutral_a == pytest.approx(wanted(name, "x_neutral_current"), rel=1e-9)


@pytest.mark.parametrize(("name", "key"), [("kfactor-six-pulse", "k_factor"), ("fhl-c57-110", "f_hl")])
def test_harmonic_loss_factor(name: str, key: str) -> None:
    orders = {f"h{order}": float(value) for order, value in WORKED[name]["inputs"]["harmonics"].items()}
    assert harmonic_loss_factor(**orders) == pytest.approx(wanted(name, key), rel=1e-6)


def test_distortion_of_the_six_pulse_spectrum() -> None:
    name = "kfactor-six-pulse"
    orders = {f"h{h}": 100.0 * value for h, value in WORKED[name]["inputs"]["harmonics"].items() if h != "1"}
    assert distortion_pct(**orders) == pytest.approx(wanted(name, "x_thd"), rel=1e-6)


def test_four_wire_load_masters_2_13(build: Any) -> None:
    """Fundamental 100 A with triplens of 50 A and 8 A on each line."""
    book = TEXTBOOK["masters-example-2-13"]
    orders = book["phase_rms_by_order_a"]
    harmonics = tuple((order, float(amps)) for order, amps in orders.items() if order > 1)
    load = build.load(
        "208Y/120", "current", math.sqrt(sum(amps**2 for amps in orders.values())), harmonics=harmonics
    )
    picture = build.picture([load])
    assert picture.line_a == pytest.approx((book["phase_a"],) * 3, abs=0.05)
    assert picture.neutral_a == pytest.approx(book["neutral_a"], abs=0.05)
    assert picture.k_factor == pytest.approx(book["f_hl"], abs=0.00005)


def test_computer_benches(build: Any) -> None:
    """40 kVA even on 208Y/120: the neutral carries 119 % of the line current."""
    entry = TEXTBOOK["laboratory-benches"]
    load = build.load("208Y/120", "kva", entry["kva"], harmonics=tuple(entry["harmonics_pct"].items()))
    picture = build.picture([load])
    assert picture.neutral_a == pytest.approx(entry["neutral_a"], abs=0.05)
    assert picture.k_factor == pytest.approx(entry["k_factor"], abs=0.005)
    assert picture.neutral_a / picture.line_a[0] == pytest.approx(1.19, abs=0.005)
    assert picture.neutral_fundamental_a == 0.0


def test_the_same_benches_piece_by_piece(build: Any) -> None:
    """The same current in 60 single-phase pieces, spread by the tool."""
    entry = TEXTBOOK["laboratory-benches"]
    harmonics = tuple(entry["harmonics_pct"].items())
    load = build.load("120 1ph", "kva", entry["kva"] / 60, quantity=60, harmonics=harmonics)
    picture = build.picture([load])
    assert picture.neutral_a == pytest.approx(entry["neutral_a"], rel=0.002)
    assert picture.neutral_fundamental_a == 0.0
    assert picture.k_factor == pytest.approx(entry["k_factor"], abs=0.005)
