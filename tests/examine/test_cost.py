"""The cost of losses: numbers worked out by hand, nothing concluded from what is not known."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.errors import InputError
from turnwright.examine import Options, examine
from turnwright.examine.course_file import read_course
from turnwright.intake import job_from_mapping, unit_from_mapping
from turnwright.quantities import parse_quantity
from turnwright.thermal.cost import least_energy_kwh, most_energy_kwh, yearly_energy_kwh

JOB = {
    "supply": {"system": "480Y/277", "fault_current": "20 kA"},
    "load": [{"system": "208Y/120", "kva": "60 kVA", "power_factor": 1.0}],
}
A = {
    "unit": "A",
    "kva": "75",
    "rise": "150 K",
    "no_load_loss": "350 W",
    "load_loss": "2000 W",
    "price": "4000 USD",
}
B = {
    "unit": "B",
    "kva": "75",
    "rise": "80 K",
    "no_load_loss": "250 W",
    "load_loss": "1500 W",
    "price": "5500 USD",
}
COLD = {**A, "unit": "C", "no_load_loss": None}


def units(*plates):
    return tuple(unit_from_mapping({k: v for k, v in plate.items() if v is not None}) for plate in plates)


def money(text, kind="energy price"):
    return parse_quantity(text, kind, where="x")


def cost_of(*plates, choices=None, **options):
    job = job_from_mapping({**JOB, "choices": choices or {}})
    return examine("cost", job, Options(stock=units(*plates), **options))


def test_two_units_by_hand():
    """60 kVA on 75 kVA all year, 0.10 USD a kWh and 5 USD a kW and month, 20 years at 5 %: by hand.

    w = (1 - 1.05^-20) / 0.05 = 12.4622; A = w (876 + 60) / 1000 = 11.665; B = 0.64 A = 7.4654.
    """
    study = cost_of(
        A,
        B,
        price_kwh=money("0.10 USD"),
        demand_price=money("5 USD", "money"),
        hours=8760,
        discount=5,
        years=20,
    )
    answers = study.answers
    assert answers["present_worth_years"] == pytest.approx(12.46221, rel=1e-6)
    assert answers["a_per_w"] == pytest.approx(12.46221 * 0.936, rel=1e-6)
    assert answers["b_per_w"] == pytest.approx(12.46221 * 0.936 * 0.64, rel=1e-6)
    a, b = answers["units"]
    assert a["energy_kwh_year"] == pytest.approx(8.76 * (350 + 0.64 * 2000))
    assert b["energy_kwh_year"] == pytest.approx(8.76 * (250 + 0.64 * 1500))
    assert a["cost_year"] == pytest.approx(0.936 * 1630) and b["cost_year"] == pytest.approx(0.936 * 1210)
    assert a["owning_cost"] == pytest.approx(4000 + 12.46221 * 0.936 * 1630, rel=1e-6)
    (pair,) = answers["break_even"]
    assert (pair["unit"], pair["against"]) == ("B", "A")
    assert pair["saved_kwh_year"] == pytest.approx(8.76 * 420)
    assert pair["break_even_extra_price"] == pytest.approx(12.46221 * 0.936 * 420, rel=1e-6)
    assert pair["payback_years"] == pytest.approx(1500 / (0.936 * 420))
    assert pair["break_even_price_kwh"] is None  # the demand has its own price
    assert answers["cheapest"] == "B" and answers["currency"] == "USD"
    assert study.said[0].startswith("B costs least")


def test_without_prices_there_are_losses_and_break_even_only():
    free = {**A, "price": None}, {**B, "price": None}
    answers = cost_of(*free, discount=5, years=20).answers
    assert all(row["cost_year"] is row["owning_cost"] is row["b_per_w"] is None for row in answers["units"])
    assert answers["a_per_w"] is answers["cheapest"] is answers["currency"] is None
    (pair,) = answers["break_even"]
    assert pair["break_even_kwh"] == pytest.approx(12.46221 * 8.76 * 420, rel=1e-6)
    assert pair["break_even_extra_price"] is pair["payback_years"] is None
    assert answers["least_energy"] == "B"


def test_the_price_of_energy_at_which_a_dearer_unit_pays():
    study = cost_of(A, B, discount=5, years=20)
    (pair,) = study.answers["break_even"]
    assert pair["break_even_price_kwh"] == pytest.approx(1500 / (12.46221 * 8.76 * 420), rel=1e-6)
    assert study.questions[0].key == "price_kwh"
    at = money(f"{pair['break_even_price_kwh']:.9f} USD")
    a, b = cost_of(A, B, discount=5, years=20, price_kwh=at).answers["units"]
    assert a["owning_cost"] == pytest.approx(b["owning_cost"], rel=1e-6)


def test_without_losses_the_bands_of_the_trade_and_no_conclusion():
    study = cost_of(choices={"price_kwh": "0.10 USD"}, discount=5, years=20)
    answers = study.answers
    assert [row["kva"] for row in answers["units"]] == [75.0, 112.5]
    row = answers["units"][0]
    assert row["full_load_loss_band_w"] == [
        pytest.approx(1575),
        pytest.approx(2400),
    ]  # 2.1 and 3.2 % of 75 kVA
    # At most what the law leaves: c = 0.1225 · 245 / 395, P_LL = (2400 - 372.72) / (1 - c) = 2194 W, P_0 = 206 W.
    assert row["energy_band_kwh_year"][0] == pytest.approx(8760 * 1.575 * 0.64)
    assert row["energy_band_kwh_year"][1] == pytest.approx(8.760 * (206.0 + 0.64 * 2194.0), rel=1e-3)
    assert row["law_ceiling_35_w"] == pytest.approx(26250 * (1 / 0.986 - 1), rel=1e-6)  # 98.60 % at 35 %
    assert all(
        each["energy_kwh_year"] is each["cost_year"] is each["price"] is None for each in answers["units"]
    )
    assert answers["cheapest"] is answers["least_energy"] is answers["a_per_w"] is None
    assert [value for pair in answers["break_even"] for value in list(pair.values())[2:]] == [None] * 7
    band = next(finding for finding in study.findings if finding.code == "loss-band")
    assert band.known == "memory" and study.questions[0].key == "no_load_loss, load_loss"


def test_one_unit_without_its_losses_is_not_judged():
    answers = cost_of(A, COLD, price_kwh=money("0.10 USD")).answers
    assert answers["units"][0]["cost_year"] > 0 and answers["units"][1]["cost_year"] is None
    assert answers["units"][1]["no_load_loss_w"] is None and answers["least_energy"] is None


def test_a_metered_load_and_cooling():
    rows = "".join(f"2025-01-01 {hour:02}:00,{1.0 if hour < 12 else 0.0}\n" for hour in range(24))
    course = read_course("time,load_pu\n" + rows)
    answers = cost_of(A, B, load=course, price_kwh=money("0.10 USD"), cooling_cop=4.0).answers
    assert answers["loss_factor"] == 0.5 and answers["load_kva"] == pytest.approx(75.0)
    assert answers["price_kwh"] == pytest.approx(0.125)
    assert answers["units"][0]["energy_kwh_year"] == pytest.approx(8.76 * (350 + 0.5 * 2000))
    idle = read_course("time,load_pu\n2025-01-01 00:00,0\n2025-01-01 01:00,0\n")
    assert cost_of(A, load=idle).answers["units"][0]["energy_kwh_year"] == pytest.approx(8.76 * 350)


def test_a_unit_too_small_for_the_load_is_told():
    study = cost_of({**A, "kva": "45"})
    assert [finding.code for finding in study.findings] == ["too-small"]


def test_names_that_stand_twice_are_told_apart():
    assert [row["unit"] for row in cost_of(A, A).answers["units"]] == ["A", "A (2)"]


@pytest.mark.parametrize(
    ("code", "plates", "options"),
    [
        ("COST-01", (A, {**B, "price": "5000 EUR"}), {}),
        ("COST-01", (A,), {"price_kwh": "0.10 EUR"}),
        ("COST-02", (A,), {"hours": 9000.0}),
        ("COST-02", (A,), {"hours": 0.0}),
        ("COST-02", (A,), {"years": float("nan")}),
        ("COST-02", (A,), {"discount": -60.0}),
        ("COST-02", (A,), {"cooling_cop": 0.0}),
        ("COST-03", ({**A, "kva": None},), {}),
    ],
)
def test_refusals(code, plates, options):
    if "price_kwh" in options:
        options = {**options, "price_kwh": money(options["price_kwh"])}
    with pytest.raises(InputError) as caught:
        cost_of(*plates, **options)
    assert caught.value.code == code and caught.value.fix


@given(st.floats(0, 5000), st.floats(0, 1), st.floats(0, 1.5), st.floats(0, 1))
def test_a_band_holds_every_way_to_divide_a_loss(loss, share, peak, factor):
    shape = {"peak_load_pu": peak, "loss_factor": factor, "hours_per_year": 8760.0}
    energy = yearly_energy_kwh(loss * (1 - share), loss * share, **shape)
    assert least_energy_kwh(loss, **shape) <= energy * (1 + 1e-9) + 1e-9
    assert energy <= most_energy_kwh(loss, **shape) * (1 + 1e-9) + 1e-9


@pytest.mark.parametrize("suffix", ["csv", "toml"])
def test_the_command(run, tmp_path, suffix):
    job, stock = tmp_path / "job.toml", tmp_path / f"stock.{suffix}"
    job.write_text('supply.system = "480Y/277"\n[[load]]\nsystem = "208Y/120"\nkva = "60 kVA"\n')
    if suffix == "csv":
        stock.write_text("\n".join([",".join(A), ",".join(A.values()), ",".join(B.values())]) + "\n")
    else:
        rows = ["\n".join(["[[unit]]", *(f'{k} = "{v}"' for k, v in plate.items())]) for plate in (A, B)]
        stock.write_text("\n".join(rows).replace('"75"', '"75 kVA"'))
    words = ("examine", "cost", str(job), "--stock", str(stock), "--price-kwh", "0.10 USD")
    ran = run(*words, "--years", "20", "--discount", "5", "--demand-price", "5 USD")
    assert ran.status == 0 and "B costs least over the years" in ran.out
    assert max(len(line) for line in ran.out.splitlines() if "why:" not in line) <= 80
    told = json.loads(run(*words, "--format", "json").out)
    assert [row["unit"] for row in told["answers"]["units"]] == ["A", "B"] and told["pick"]["kva"] == 75
    refused = run(*words, "--hours", "1e9")
    assert (refused.status, refused.out) == (2, "") and "COST-02" in refused.err


def test_curves_are_those_of_the_definitions():
    """Efficiency 1 - (P0 + k² P) / (S k + P0 + k² P); the money at the end is the owning cost of the answer."""
    study = cost_of(
        A,
        B,
        price_kwh=money("0.10 USD"),
        demand_price=money("5 USD", "money"),
        discount=5.0,
        years=20.0,
    )
    curves = {one.name: one for one in study.series if one.kind == "line"}
    efficiency = curves["A: efficiency at power factor 1"]
    at_35 = efficiency.y[efficiency.x.index(35.0)]
    loss = 350 + 0.35**2 * 2000
    assert at_35 == pytest.approx(100 * 0.35 * 75e3 / (0.35 * 75e3 + loss), rel=1e-12)
    losses = curves["B: losses"]
    assert losses.y[losses.x.index(100.0)] == pytest.approx(250 + 1500, rel=1e-12)
    for row in study.answers["units"]:
        spent = curves[f"{row['unit']}: price and losses"]
        assert (spent.x[0], spent.y[0]) == (0.0, row["price"])
        assert spent.x[-1] == 20.0 and spent.y[-1] == pytest.approx(row["owning_cost"], rel=1e-9)


def test_nothing_is_drawn_of_losses_nobody_gave():
    assert not [one for one in cost_of(COLD).series if one.kind == "line"]
    assert not [one for one in cost_of(discount=5.0, years=20.0).series if one.kind == "line"]


def test_a_unit_that_cannot_carry_the_load_is_never_the_cheapest():
    """60 kVA on 45 kVA: cheap and of low loss, and of no use."""
    small = {**A, "unit": "S", "kva": "45", "price": "1000 USD", "no_load_loss": "90 W", "load_loss": "300 W"}
    paid = {"price_kwh": money("0.10 USD"), "discount": 5.0, "years": 20.0}
    study = cost_of(small, A, B, **paid)
    assert study.answers["cheapest"] == cost_of(A, B, **paid).answers["cheapest"] != "S"
    assert study.answers["least_energy"] == "B" and "of those that fit" in " ".join(study.said)
    assert [row["fits"] for row in study.answers["units"]] == [False, True, True]
    assert cost_of(small, **paid).answers["cheapest"] is None


def test_rises_and_metals_stand_beside_the_cost():
    study = cost_of({**A, "winding": "aluminum"}, {**B, "winding": "copper"})
    assert [(row["rise_k"], row["winding"]) for row in study.answers["units"]] == [
        (150.0, "aluminum"),
        (80.0, "copper"),
    ]
    assert {"rise", "metal"} <= set(study.grids[0].heads)
    assert "metal" not in cost_of(A, B).grids[0].heads
