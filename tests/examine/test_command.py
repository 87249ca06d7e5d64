"""The command: statuses, one line for what cannot be meant, pages of 80 columns, JSON with every key, why."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from turnwright.cli.text.examine import examine_page
from turnwright.cli.text.layout import columns_of
from turnwright.examine import QUESTIONS, examine, find_question
from turnwright.intake import load_job

Run = Callable[..., Any]
EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
ASKED = ("fault", "motor-start", "unbalance", "harmonics", "inrush", "parallel")
KEYS = {
    "schema",
    "question",
    "verdict",
    "answers",
    "series",
    "said",
    "findings",
    "questions",
    "assumed",
    "instead",
    "working",
    "tool",
    "pick",
    "job",
}
SELECTED = """title = "Tile works"
[supply]
system = "480Y/277"
fault_current = "20 kA"
[[load]]
name = "press"
system = "208 3ph"
hp = "15 hp"
[[load]]
name = "desks"
system = "120 1ph"
kva = "1.5 kVA"
quantity = 7
kind = "electronics"
harmonics = { 3 = 40, 5 = 20 }
[circuit]
primary_length = "40 ft"
secondary_length = "60 ft"
"""
REFUSED = '[supply]\nsystem = "240 1ph"\n[[load]]\nsystem = "208 3ph"\nkva = "9 kVA"\n'
NEEDS_INPUT = '[supply]\nsystem = "unknown"\n[[load]]\nsystem = "208Y/120"\nkva = "9 kVA"\n'
INSISTED = SELECTED + '[choices]\nkva = "15 kVA"\n'


@pytest.fixture
def job(tmp_path: Path) -> Callable[[str], str]:
    def written(text: str) -> str:
        path = tmp_path / "job.toml"
        path.write_text(text, encoding="utf-8")
        return str(path)

    return written


def told(ran: Any) -> str:
    assert (ran.status, ran.out) == (2, ""), ran.err
    assert ran.err.count("\n") == 1 and "Traceback" not in ran.err
    return str(ran.err)


@pytest.mark.parametrize("question", ASKED)
@pytest.mark.parametrize(
    ("text", "status", "verdict"),
    [
        (SELECTED, 0, "answered"),
        (REFUSED, 3, "refused"),
        (NEEDS_INPUT, 4, "needs-input"),
        (INSISTED, 3, "refused"),
    ],
)
def test_statuses_and_keys(
    run: Run, job: Callable[[str], str], question: str, text: str, status: int, verdict: str
) -> None:
    path = job(text)
    ran = run("examine", question, path, "--format", "json")
    tree = json.loads(ran.out)
    assert (ran.status, ran.err) == (status, "")
    assert (set(tree), tree["question"], tree["verdict"]) == (KEYS, question, verdict)
    assert (tree["pick"] is None) == (text in (REFUSED, NEEDS_INPUT))
    assert bool(tree["answers"]) == (tree["pick"] is not None)
    page = run("examine", question, path)
    assert (page.status, page.err) == (status, "")


@pytest.mark.parametrize("question", ASKED)
@pytest.mark.parametrize("text", [SELECTED, REFUSED, NEEDS_INPUT, INSISTED])
@pytest.mark.parametrize("more", [(), ("--all",)])
def test_pages_fit(
    run: Run, job: Callable[[str], str], question: str, text: str, more: tuple[str, ...]
) -> None:
    path = job(text)
    lines = run("examine", question, path, *more).out.replace(path, "job.toml").splitlines()
    assert lines
    assert all(columns_of(line) <= 80 and line == line.rstrip() for line in lines), lines
    assert any("licensed electrician" in line for line in lines)


def test_the_why_line_asks_with_the_same_options(run: Run, job: Callable[[str], str]) -> None:
    import shlex

    path = job(SELECTED)
    page = run("examine", "fault", path, "--voltage-factor", "1.1").out
    line = next(line for line in page.splitlines() if line.startswith("  why: "))
    words = shlex.split(line.removeprefix("  why: turnwright "))
    name = words[-1].removeprefix("answers.")
    told = json.loads(run(*words, "--format", "json").out)
    asked = json.loads(run("examine", "fault", path, "--voltage-factor", "1.1", "--format", "json").out)
    assert told["value"] == asked["answers"][name]
    plain = json.loads(run("examine", "fault", path, "--format", "json").out)
    assert told["value"] != plain["answers"][name]


@pytest.mark.parametrize("question", ASKED)
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_examples(question: str, path: Path) -> None:
    study = examine(question, load_job(path))
    again = examine(question, load_job(path))
    assert study.to_json() == again.to_json()
    page = examine_page(study, path.name)
    assert all(columns_of(line) <= 80 for line in page.splitlines())


@pytest.mark.parametrize("question", ASKED)
def test_every_input_of_every_step_leads_to_a_step_and_every_step_to_an_answer(question: str) -> None:
    from turnwright.intake import read_job

    tree = examine(question, read_job(SELECTED)).to_json()
    names = {line["name"] for line in tree["working"]}
    assert {origin for line in tree["working"] for origin in line["from"].values()} <= names
    steps = [line for line in tree["working"] if line["name"].startswith("answers.")]
    assert len(steps) >= 3
    for line in steps:
        value = _at(tree, line["name"])
        if value is not _NOT_SHOWN:
            assert value == pytest.approx(line["value"], rel=1e-12), line["name"]
    for line in tree["working"]:
        assert line["formula"] or line["source"] or line["with"] or line["known"] == "given", line["name"]


_NOT_SHOWN = object()


def _at(tree: Any, name: str) -> Any:
    """What the JSON has at a path; a step may also lead to a number that is not shown by itself."""
    for part in name.replace("[", ".[").split("."):
        try:
            tree = tree[int(part[1:-1])] if part.startswith("[") else tree[part]
        except (KeyError, IndexError, ValueError):
            return _NOT_SHOWN
    return tree


@pytest.mark.parametrize("question", ASKED)
def test_the_why_that_the_page_names_works(run: Run, job: Callable[[str], str], question: str) -> None:
    path = job(SELECTED)
    (line,) = [one for one in run("examine", question, path).out.splitlines() if one.startswith("  why: ")]
    name = line.split()[-1]
    ran = run("examine", question, path, "--why", name)
    assert ran.status == 0 and f"  {name} = " in ran.out
    tree = json.loads(run("examine", question, path, "--why", name, "--format", "json").out)
    assert tree["name"] == name and tree["question"] == question
    assert {"value", "measure", "steps", "working", "tool"} <= set(tree)


def test_series_are_ready_to_be_drawn(run: Run, job: Callable[[str], str]) -> None:
    path = job(SELECTED)
    for question in ASKED:
        for one in json.loads(run("examine", question, path, "--format", "json").out)["series"]:
            assert one["kind"] in ("line", "bars") and one["name"] and one["y_unit"]
            assert len(one["x"]) == len(one["y"]) > 0
            assert all(isinstance(x, str) for x in one["x"]) == (one["kind"] == "bars")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("examine",), "QUESTION"),
        (("examine", "fault"), "FILE"),
        (("examine", "falut", "JOB"), "Did you mean 'fault'?"),
        (("examine", "weather", "JOB"), "Known: fault, motor-start"),
        (("examine", "fault", "gone.toml"), "gone.toml"),
        (("examine", "fault", "JOB", "--power-factor", "0.3"), "--power-factor: does not go with"),
        (("examine", "motor-start", "JOB", "--voltage-factor", "1.05"), "--voltage-factor: does not go"),
        (("examine", "network", "JOB", "--voltage-factor", "1.05"), "does not go"),
        (("examine", "fault", "JOB", "--voltage-factor", "nan"), "no factor of a voltage"),
        (("examine", "fault", "JOB", "--voltage-factor", "x"), "invalid float"),
        (("examine", "parallel", "JOB", "--unit", "gone.toml"), "gone.toml"),
        (("examine", "fault", "JOB", "--unit", "JOB"), ""),
        (("examine", "fault", "JOB", "--why", "answers.nothing"), "no number of this answer"),
    ],
)
def test_what_cannot_be_meant(run: Run, job: Callable[[str], str], words: tuple[str, ...], said: str) -> None:
    path = job(SELECTED)
    assert said in told(run(*(path if word == "JOB" else word for word in words)))


def test_several_units_from_a_file(run: Run, job: Callable[[str], str], tmp_path: Path) -> None:
    text = (
        '[[unit]]\nunit = "{}"\nkva = "45 kVA"\nprimary = "{}"\nsecondary = "208Y/120"\nimpedance = "4 %"\n'
    )
    path = tmp_path / "units.toml"
    path.write_text(text.format("A", "480 delta") + text.format("B", "480 delta"), encoding="utf-8")
    ran = run("examine", "parallel", job(SELECTED), "--unit", str(path), "--format", "json")
    assert ran.status == 0 and len(json.loads(ran.out)["answers"]["units"]) == 2
    path.write_text(text.format("A", "480 delta") + text.format("B", "480Y/277"), encoding="utf-8")
    ran = run("examine", "parallel", job(SELECTED), "--unit", str(path), "--format", "json")
    tree = json.loads(ran.out)
    assert (ran.status, tree["verdict"]) == (3, "refused")
    assert tree["answers"]["circulating_pct"] > 100


def test_the_job_may_come_from_standard_input(run: Run) -> None:
    ran = run("examine", "fault", "-", stdin=SELECTED.encode())
    assert ran.status == 0 and "turnwright examine fault JOB --why" in ran.out


def test_help_lists_the_questions(run: Run) -> None:
    ran = run("examine", "--help")
    assert ran.status == 0
    assert all(f"  {asked.name} " in ran.out for asked in QUESTIONS)


@pytest.mark.parametrize("question", ASKED)
def test_a_question_is_a_module_of_its_name(question: str) -> None:
    assert callable(find_question(question).module.study)


def test_one_of_several_equal_units_is_examined(run: Run, job: Callable[[str], str]) -> None:
    text = (
        '[supply]\nsystem = "480Y/277"\n[[load]]\nsystem = "240 1ph"\ncurrent = "48 A"\nquantity = 3\n'
        'transformer = "own"\n'
    )
    tree = json.loads(run("examine", "fault", job(text), "--format", "json").out)
    assert tree["pick"]["kva"] == 15
    assert any("one of several" in one["what"] for one in tree["assumed"])
