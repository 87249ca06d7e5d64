"""An offer against the issued specification: each line meets, differs, or is silent; and the verdict."""

import json
from pathlib import Path

import pytest

import turnwright as tw
from turnwright.cli.main import main
from turnwright.documents.brief import Brief, units_of
from turnwright.documents.papers.specification import items_of
from turnwright.vetting.offer import JUDGES, PARTLY

EXAMPLES = Path(__file__).parents[2] / "examples"
JOB = tw.job_from_mapping(
    {"supply": {"system": "480Y/277"}, "load": [{"system": "208Y/120", "kva": "60 kVA"}]}
)
FULL = {
    "unit": "O-1",
    "kva": "75 kVA",
    "primary": "480 delta",
    "secondary": "208Y/120",
    "frequency": "60 Hz",
    "impedance": "4.2 %",
    "resistance": "2 %",
    "rise": "150 K",
    "k_rating": "1",
    "insulation": "220 degC",
    "no_load_loss": "150 W",
    "load_loss": "1500 W",
    "load_loss_at": "170 degC",
    "enclosure": "ventilated",
    "outdoor": False,
    "sound": "48 dB",
    "mass": "250 kg",
    "taps": ["+5 %", "+2.5 %", "0 %", "-2.5 %", "-5 %", "-7.5 %", "-10 %"],
}


def offered(job=JOB, **changes):
    keys = {key: value for key, value in (FULL | changes).items() if value is not None}
    return tw.vet_offer(job, tw.unit_from_mapping(keys))


def answer(found, name):
    return next(line.answer for line in found.lines if line.name == name)


def test_the_lines_are_those_of_the_issued_specification():
    result = tw.select(JOB)
    brief = Brief(job=JOB, text="", origin="", result=result, measure="us")
    items = items_of(units_of(result)[0], brief)
    assert [(one.name, one.asked) for one in offered().lines] == [(one.name, one.required) for one in items]
    assert {one.name for one in items if one.value is not None} - set(JUDGES) <= {
        "altitude",
        "ambient, average",
        "ambient, peak",
        "ambient, lowest",
    }


def test_the_pick_as_it_was_specified_meets_every_line_a_unit_file_can_answer():
    found = offered()
    assert {one.name for one in found.lines if one.answer == "differs"} == set()
    assert not [one.name for one in found.lines if one.answer == "silent" and one.has_key]
    assert found.verdict == found.vetting.verdict and found.mark == "T1"


@pytest.mark.parametrize(
    ("name", "changes"),
    [
        ("rated power", {"kva": "112.5 kVA"}),
        ("frequency", {"frequency": "50 Hz"}),
        ("primary", {"primary": "460 delta"}),
        ("primary", {"primary": "480Y/277"}),
        ("secondary", {"secondary": "240 delta"}),
        ("connection", {"primary": "480Y/277"}),
        ("taps on the primary", {"taps": ["+5 %", "0 %", "-5 %"]}),
        ("tap to be set", {"taps": ["+5 %", "-5 %"]}),
        ("impedance", {"impedance": "9 %"}),
        ("impedance", {"impedance": "2..5 %"}),
        ("average winding rise", {"rise": "180 K"}),
        ("insulation system", {"insulation": "180 degC"}),
        ("enclosure", {"enclosure": "open"}),
        ("sound level", {"sound": "58 dB"}),
        ("efficiency by law", {"no_load_loss": "400 W"}),
        ("losses by law", {"no_load_loss": "400 W"}),
        ("quantity", {"quantity": 0}),
    ],
)
def test_what_differs_is_told_on_its_line(name, changes):
    found = offered(**changes)
    assert answer(found, name) == "differs" and found.verdict != "fit"


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("frequency", "frequency"),
        ("taps on the primary", "taps"),
        ("impedance", "impedance"),
        ("K rating", "k_rating"),
        ("average winding rise", "rise"),
        ("insulation system", "insulation"),
        ("enclosure", "enclosure"),
        ("sound level", "sound"),
        ("losses", "load_loss_at"),
        ("efficiency by law", "no_load_loss"),
    ],
)
def test_what_the_offer_does_not_say_is_silent_and_a_condition(name, key):
    found = offered(**{key: None})
    assert answer(found, name) == "silent"
    assert found.verdict == "fit-with-conditions"


def test_volts_without_a_connection_leave_the_winding_open():
    found = offered(primary="480 3ph")
    assert answer(found, "primary") == "silent" and answer(found, "connection") == "silent"


def test_a_better_unit_meets_the_lines_that_have_one_side():
    found = offered(rise="115 K", insulation="230 degC", sound="40 dB", k_rating="4", no_load_loss="100 W")
    assert found.counted("differs") == 0


def test_a_unit_that_does_not_do_the_job_is_unfit_whatever_its_lines_say():
    small = offered(kva="45 kVA")
    assert small.verdict == "unfit" and answer(small, "rated power") == "differs"


def test_a_place_outdoors_asks_for_a_unit_that_says_so():
    job = tw.job_from_mapping(
        {
            "supply": {"system": "480Y/277"},
            "load": [{"system": "208Y/120", "kva": "60 kVA"}],
            "site": {"place": "outdoor"},
        }
    )
    assert [answer(offered(job, outdoor=says), "place") for says in (True, False, None)] == [
        "meets",
        "differs",
        "silent",
    ]


def test_of_several_units_the_offer_is_held_against_the_one_it_is_for():
    job = tw.job_from_mapping(
        {
            "supply": {"system": "480Y/277"},
            "load": [{"system": "208Y/120", "kva": "60 kVA"}, {"system": "400Y/230", "kva": "20 kVA"}],
        }
    )
    assert len(units_of(tw.select(job, ask=False))) == 2
    first, second = offered(job), offered(job, kva="30 kVA", secondary="400Y/230")
    assert (first.mark, second.mark) == ("T1", "T2")
    assert first.verdict != "unfit" and second.verdict != "unfit"


def test_a_job_without_a_specification_is_judged_by_the_evaluation_alone():
    job = tw.job_from_mapping(
        {
            "supply": {"system": "480Y/277"},
            "load": [{"system": "208Y/120", "kva": "60 kVA"}],
            "choices": {"kva": "15 kVA"},
        }
    )
    found = offered(job)
    assert found.lines == () and found.verdict == "unfit"


def test_every_judge_has_a_line_somewhere():
    """A name that no specification uses would never be asked."""
    harsh = tw.job_from_mapping(
        {
            "supply": {"system": "480Y/277"},
            "load": [{"system": "208Y/120", "kva": "60 kVA"}],
            "site": {"place": "outdoor", "conditions": ["dust"]},
        }
    )
    asked = {line.name for job in (JOB, harsh) for line in offered(job).lines}
    assert set(JUDGES) | set(PARTLY) <= asked


UNIT = '[unit]\nunit = "O-1"\nkva = "{kva} kVA"\nprimary = "480 delta"\nsecondary = "208Y/120"\n'


@pytest.mark.parametrize(("kva", "status"), [(75, 0), (15, 3)])
def test_the_command(kva, status, tmp_path, capsys):
    unit = tmp_path / "offer.toml"
    unit.write_text(UNIT.format(kva=kva), encoding="utf-8")
    words = ["vet", str(EXAMPLES / "gatehouse.toml"), "--offer", str(unit)]
    assert main([*words, "--format", "json"]) == status
    tree = json.loads(capsys.readouterr().out)
    assert {"verdict", "criteria", "binds", "spare_kva", "lines", "findings", "questions"} <= set(tree)
    assert {line["answer"] for line in tree["lines"]} <= {"meets", "differs", "silent"}
    for more in ([], ["--all"]):
        assert main([*words, *more]) == status
        page = capsys.readouterr().out
        assert max(len(line) for line in page.splitlines()) <= 80
        assert "Against the specification of T1" in page
        assert ("The offer says nothing of" in page) == (not more)
