"""Units that are offered, side by side by total cost: by hand, as in `examine cost`; what is not told stays open."""

import json
from itertools import permutations
from pathlib import Path

import pytest

from turnwright import job_from_mapping, select
from turnwright.cli.main import main
from turnwright.cli.text.answer import answer_page
from turnwright.errors import InputError
from turnwright.examine import examine

EXAMPLES = Path(__file__).parents[2] / "examples"
LOAD = {"system": "208Y/120", "kva": "60 kVA", "power_factor": 1.0}
CHOICES = {"price_kwh": "0.10 USD", "years": 20, "discount": "5 %", "hours_per_year": 8760}
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
SMALL = {**A, "unit": "small", "kva": "45", "price": "100 USD"}
OTHER_VOLTS = {**A, "unit": "other volts", "secondary": "240 delta", "price": "100 USD"}
COLD = {**A, "unit": "C", "no_load_loss": None}


def asked(*offers, loads=(LOAD,), **choices):
    given = [{key: value for key, value in offer.items() if value is not None} for offer in offers]
    return job_from_mapping(
        {
            "supply": {"system": "480Y/277"},
            "load": list(loads),
            "choices": {**CHOICES, **choices},
            "offer": given,
        }
    )


def offers(result):
    return {option.offer: option for option in result.options if option.offer is not None}


def order(result):
    return next(one for one in result.findings if one.code == "offers-by-cost")


def test_two_offers_by_hand():
    """60 of 75 kVA all year, 0.10 USD a kWh, 20 years at 5 %: w = 12.4622.

    A: 0.876 · (350 + 0.64 · 2000) = 1427.9 USD a year, 4000 + 17794.5; B: 0.876 · 1210 = 1060.0, 5500 + 13209.4.
    """
    result = select(asked(A, B))
    found = offers(result)
    assert found["A"].owning_cost == pytest.approx([21794.5] * 2, abs=1)
    assert found["B"].owning_cost == pytest.approx([18709.4] * 2, abs=1)
    assert found["A"].loss_kwh_year == pytest.approx([14278.8] * 2) and found["B"].price == 5500.0
    assert "the least of those that fit" in found["B"].why and "pays up to 4,585 USD more" in found["B"].why
    told = order(result)
    assert told.severity == "note" and told.value == pytest.approx(18709.4, abs=1)
    assert told.message.startswith("Of the offers that fit B costs least over 20 years at 5 %: 18,709 USD")
    assert "A 21,795 USD, 1,500 USD cheaper to buy and 4,585 more in losses" in told.message
    assert result.findings[0] is told


def test_the_numbers_are_those_of_the_question_of_cost():
    job = asked(A, B)
    rows = {row["unit"]: row for row in examine("cost", job).answers["units"]}
    for name, option in offers(select(job)).items():
        assert option.owning_cost[0] == pytest.approx(rows[name]["owning_cost"])
        assert option.loss_kwh_year[0] == pytest.approx(rows[name]["energy_kwh_year"])


@pytest.mark.parametrize("given", list(permutations((A, B, SMALL, OTHER_VOLTS))))
def test_the_order_they_stand_in_changes_nothing(given):
    assert order(select(asked(*given), ask=False)).message.startswith("Of the offers that fit B costs least")


def test_what_does_not_fit_is_not_the_cheapest():
    found = offers(select(asked(A, SMALL, OTHER_VOLTS, {**A, "unit": "K", "k_rating": "1"}, k_rating="4")))
    assert [found[name].status for name in ("A", "small", "other volts", "K")] == [
        "fits", "too small", "not possible", "not possible",
    ]  # fmt: skip
    assert "vet --offer" in found["other volts"].why and "K-4 is asked for" in found["K"].why
    result = select(asked(SMALL, OTHER_VOLTS))
    assert order(result).severity == "caution" and "No offer fits" in order(result).message


def test_a_loss_that_is_not_told_leaves_the_order_open():
    result = select(asked(B, COLD))
    assert "cannot be told: C does not tell its no-load loss" in order(result).message
    low, high = offers(result)["C"].owning_cost
    assert low < high and "its losses are not told" in offers(result)["C"].why
    assert result.questions[-1].key == "offer[1].no_load_loss"


@pytest.mark.parametrize(
    ("missing", "says", "key"),
    [
        ({"price_kwh": None}, "the price of a kWh is not known", "choices.price_kwh"),
        ({"years": None}, "years and interest", "choices.years"),
        ({"discount": None}, "years and interest", "choices.discount"),
    ],
)
def test_a_term_that_is_not_known_leaves_the_order_open(missing, says, key):
    result = select(asked(A, B, **missing))
    assert says in order(result).message and key in {one.key for one in result.questions}
    assert all(option.owning_cost is None for option in offers(result).values())


def test_an_offer_without_a_price_or_a_rating_is_shown_and_said():
    found = offers(select(asked(A, {**B, "price": None}, {**B, "unit": "D", "kva": None})))
    assert found["B"].price is found["B"].owning_cost is None and found["D"].kva is None
    assert found["D"].status == "not possible" and "rated kVA is not told" in found["D"].why


def test_offers_are_not_left_out_in_silence():
    second = {"system": "240/120 delta", "kva": "20 kVA"}
    assert "several units" in order(select(asked(A, loads=(LOAD, second)))).message
    assert "there is no pick" in order(select(asked(A, kva="15 kVA"))).message


def test_prices_in_two_currencies_are_refused():
    with pytest.raises(InputError) as caught:
        asked(A, {**B, "price": "5500 EUR"})
    assert caught.value.code == "JOB-12" and "offer[1].price" in caught.value.where


def test_two_offers_of_one_name_are_told_apart():
    assert list(offers(select(asked(A, A, {**A, "unit": None})))) == ["A", "A (2)", "offer 3"]


def test_three_single_phase_units_count_as_three():
    one = {**A, "kva": "25", "no_load_loss": "120 W", "load_loss": "600 W", "price": "1500 USD"}
    result = select(asked(one, units=3))
    assert result.pick is not None and result.pick.units == 3
    found = offers(result)["A"]
    assert found.price == 4500.0 and found.kva == 25.0
    assert found.loss_kwh_year[0] == pytest.approx(8.76 * 3 * (120 + 0.64 * 600))


def test_terminal_and_json_show_them():
    result = select(asked(A, B))
    page = answer_page(result, "job.toml")
    for words in (
        "other builds",
        "80 K rise",
        "offers",
        "B: 75 kVA, 80 K rise",
        "B costs least over 20 years",
    ):
        assert words in page
    plain = json.loads(json.dumps(result.to_json()))
    assert {one["key"] for one in plain["job"]["facts"]} >= {
        "offer[0].price",
        "offer[1].load_loss",
        "choices.years",
    }
    assert [one["offer"] for one in plain["options"] if one["offer"]] == ["A", "B"]
    bare = answer_page(
        select(job_from_mapping({"supply": {"system": "480Y/277"}, "load": [LOAD]})), "job.toml"
    )
    assert "other builds" not in bare and "more: --all" in bare


def test_without_prices_the_terminal_shows_other_builds_when_all_is_asked_for(capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    assert main(["select", str(EXAMPLES / "pump-house.toml"), "--all"]) == 0
    assert "other builds" in capsys.readouterr().out
    assert main(["select", str(EXAMPLES / "pump-house.toml")]) == 0
    assert "other builds" not in capsys.readouterr().out
