"""Nameplates that are incomplete, contradict themselves, or are hostile."""

import pytest

from turnwright.errors import InputError
from turnwright.intake import read_unit
from turnwright.vetting import read_stock, vet, vet_stock


@pytest.mark.parametrize(
    ("keys", "asked"),
    [
        ('primary = "480 delta"\nsecondary = "208Y/120"', "unit.kva"),
        ('kva = "75 kVA"\nprimary = "480 delta"', "unit.secondary"),
        ('kva = "75 kVA"\nsecondary = "208Y/120"', "unit.primary"),
        ('kva = "75 kVA"\nprimary = "480"\nsecondary = "208"', "unit.primary"),
        ('kva = "unknown"\nprimary = "unknown"\nsecondary = "unknown"', "unit.kva"),
    ],
)
def test_what_is_missing_is_asked_for(keys, asked, check):
    found = vet(check.job(), read_unit(f"[unit]\n{keys}"))
    assert found.verdict == "needs-input" and found.blocks is None
    assert asked in [question.key for question in found.questions]


def test_a_job_without_its_supply_is_asked_about_too(check):
    from turnwright.intake import read_job

    job = read_job('[supply]\nsystem = "unknown"\n[[load]]\nsystem = "208Y/120"\nkva = 20')
    found = vet(job, check.unit(75, "480 delta", "208Y/120"))
    assert found.verdict == "needs-input" and "supply.system" in [one.key for one in found.questions]


def test_one_side_tells_the_phases_of_the_other(check):
    assert check([check.unit(75, "480", "208Y/120")]).verdict != "needs-input"
    clash = check([check.unit(75, "480 1ph", "208Y/120")])
    assert clash.verdict == "needs-input"
    assert "480 1ph" in clash.questions[0].ask and "208Y/120" in clash.questions[0].ask


@pytest.mark.parametrize(
    ("more", "both"),
    [
        ({"impedance": "2 %", "load_loss": "3000 W"}, ("3000 W", "2 %")),
        ({"impedance": "5 %", "resistance": "1 %", "load_loss": "3000 W"}, ("3000 W", "1 %")),
        ({"no_load_loss": "900 W", "load_loss": "300 W"}, ("900 W", "300 W")),
    ],
)
def test_a_plate_that_contradicts_itself_is_told_with_both_facts(more, both, check):
    found = check([check.unit(75, "480 delta", "208Y/120", **more)])
    (finding,) = (one for one in found.findings if one.code == "plate-contradiction")
    assert all(fact in finding.message for fact in both)
    assert found.verdict == "fit-with-conditions"


def test_a_plate_that_agrees_with_itself_is_left_alone(check):
    unit = check.unit(75, "480 delta", "208Y/120", impedance="4.2 %", resistance="2.6 %",
                      load_loss="1950 W", no_load_loss="350 W")  # fmt: skip
    assert "plate-contradiction" not in check.codes(check([unit]))


@pytest.mark.parametrize(
    ("primary", "secondary"),
    [
        ("480Y/277", "208Y/120"),
        ("480Y/277", "208 delta"),
        ("208 delta", "480Y/277"),
        ("480 delta", "240/120 delta"),
        ("240 1ph", "120/240 1ph"),
        ("120/240 1ph", "480 1ph"),
        ("600 3ph", "1 3ph"),
        ("1 1ph", "1000 1ph"),
    ],
)
@pytest.mark.parametrize("supply", ["480Y/277", "208 3ph", "120/240 1ph"])
def test_any_plate_gets_a_verdict_and_plain_numbers(primary, secondary, supply, check):
    for loads in (
        [{"system": "208Y/120", "kva": "20 kVA"}],
        [{"system": "120 1ph", "kva": "2 kVA"}],
        [{"system": "240 3ph", "kva": "2 kVA"}, {"system": "120/240 1ph", "kva": "2 kVA"}],
    ):
        found = check([check.unit(25, primary, secondary)], supply, loads)
        tree = found.to_json()
        assert tree["verdict"] in ("fit", "fit-with-conditions", "unfit")
        assert tree["verdict"] == "unfit" or tree["criteria"]


def test_extreme_sizes_do_not_break_it(check):
    for kva, load in ((0.05, "500 kVA"), (2000, "0.1 kVA")):
        found = check([check.unit(kva, "480 delta", "208Y/120")], loads=[{"system": "208Y/120", "kva": load}])
        assert found.to_json()["verdict"] == ("unfit" if kva < 1 else found.verdict)


def test_a_list_is_sorted_by_what_fits(check):
    stock = read_stock(
        "unit,kva,primary,secondary\n"
        "small,15,480 delta,208Y/120\n"
        "large,150,480 delta,208Y/120\n"
        "right,45,480 delta,208Y/120\n"
        'other,75,480 delta,"240 delta"\n'
        "half,,480 delta,208Y/120\n"
    )
    found = vet_stock(check.job(), stock)
    assert [one.unit for one in found.fits] == ["right", "large"]
    reasons = {one.unit: one.why for one in found.rejected}
    assert set(reasons) == {"small", "other", "half"} and "neutral" in reasons["other"]
    tree = found.to_json()
    assert [one["unit"] for one in tree["fits"]] == ["right", "large"] and len(tree["rejected"]) == 3


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "JOB-05"),
        ("unit,kva,primary,secondary\n", "JOB-05"),
        ("unit,kva\nT,75,480 delta,208Y/120\n", "FILE-08"),
        ("unit,kva,primary,secondary\nT,75 V,480 delta,208Y/120\n", "QTY"),
        ("unit,kvaa\nT,75\n", "JOB-01"),
    ],
)
def test_a_list_that_cannot_be_used_says_where(text, code):
    with pytest.raises(InputError) as caught:
        read_stock(text, "yard.csv")
    assert caught.value.code.startswith(code) and "yard.csv" in caught.value.where
