"""What stands on a memo: all of the result, each number from it, cautions once, also when refused."""

import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from turnwright.documents.brief import Brief
from turnwright.documents.papers.memo import memo
from turnwright.documents.words.figures import bare, short_digest
from turnwright.documents.words.phrases import CAUTION
from turnwright.documents.writers.record import Line, record, texts
from turnwright.narrow.next_sizes import next_sizes
from turnwright.quantities import figure, fixed

from .conftest import brief_of

NUMBER = re.compile(r"(?<![A-Za-z\d.,/-])\d+(?:\.\d+)?(?![\d/-]*[A-Za-z])")
CONVERTED = re.compile(r" \([\d.]+ (?:ft|m|°F|°C|lb|kg|in|mm)\)")


def lines_of(brief: Brief, kind: str) -> list[Line]:
    return [line for line in record(memo(brief)) if line[0] == kind]


def test_every_finding_is_there_with_message_clause_and_how_known(any_brief: Brief) -> None:
    said = lines_of(any_brief, "finding")
    assert any_brief.result.findings
    for finding in any_brief.result.findings:
        line = next(line for line in said if line[2] == " ".join(finding.message.split()))
        assert line[3] == (finding.clause or "")
        assert line[1] == {"stop": "stop", "caution": "decide", "note": "note"}[finding.severity]
        if finding.known == "memory":
            assert line[4] == "from memory"


def test_every_assumption_is_there_with_its_value_and_reason(any_brief: Brief) -> None:
    rows = [" ".join(line[1:]) for line in lines_of(any_brief, "row")]
    assumed = [fact for fact in any_brief.result.job["facts"] if fact["known"] == "assumed"]
    assert assumed
    for fact in assumed:
        value = fact["value"].replace("degC", "°C")
        assert any(
            value.split(" (")[0] in row and "(assumed)" in row and fact["reason"] in row for row in rows
        ), fact


def test_every_question_is_there_with_who_answers(pump_house: Brief) -> None:
    asked = lines_of(pump_house, "question")
    assert pump_house.result.questions
    for question in pump_house.result.questions:
        line = next(line for line in asked if line[1] == question.ask)
        assert line[2]


def test_every_option_and_its_reason_is_there(any_brief: Brief) -> None:
    rows = [" ".join(line[1:]) for line in lines_of(any_brief, "row")]
    for option in any_brief.result.options:
        assert any(" ".join(option.why.split()) in row and option.status in row for row in rows)


def test_every_step_is_there_with_formula_source_and_how_known(gatehouse: Brief) -> None:
    steps = {line[2]: line for line in lines_of(gatehouse, "step")}
    rows = lines_of(gatehouse, "row")
    facts = {fact["key"] for fact in gatehouse.result.job["facts"]}
    assert len(gatehouse.result.working) > 50
    for line in gatehouse.result.working:
        if line.formula or line.with_:
            shown = steps[line.name]
            assert shown[4] == line.formula
            assert shown[6] == line.source
            assert shown[7] == ("" if line.known == "computed" else line.known)
        elif line.name not in facts:
            assert any(row[1] == line.name and row[3] == line.source for row in rows)


def test_an_input_of_a_step_names_the_step_it_came_from(gatehouse: Brief) -> None:
    steps = {line[2]: line for line in lines_of(gatehouse, "step")}
    growth, today = steps["demand.kva_with_growth"], steps["demand.kva"]
    assert f"[{today[1]}]" in growth[5]


def test_the_caution_stands_there_once(any_brief: Brief) -> None:
    assert texts(memo(any_brief)).count(CAUTION) == 1
    assert record(memo(any_brief))[-1] == ("cautions", CAUTION)


def test_the_words_of_the_customer_come_first(made_by_hand: Callable[..., Brief]) -> None:
    found = [line for line in record(memo(made_by_hand())) if line[0] == "paragraph"]
    assert found[0][1] == "called twice, wants it before the season"
    assert found[1][1] == "Supply: panel LP2 by the loading door"
    assert "480Y/277 V 4-wire: load 1, glazing line (733 A at 208Y/120 V 4-wire)" in found[2][1]


def test_a_long_load_list_leaves_page_one_short_and_groups_what_is_assumed() -> None:
    load = '[[load]]\nname = "socket"\nsystem = "120 1ph"\ncurrent = "1 A"\n'
    brief = brief_of(f'[supply]\nsystem = "480Y/277"\n{load * 30}')
    lines = record(memo(brief))
    request = next(line[1] for line in lines if line[0] == "paragraph")
    assert "load 8, socket" in request and "load 9" not in request and "and 22 more" in request
    rows = [line for line in lines if line[0] == "row"]
    assert len([row for row in rows if row[1].startswith("load ") and row[1].endswith("socket")]) == 30
    assert len([row for row in rows if row[1].startswith("loads 1–30 ") and "power factor" in row[1]]) == 1


def test_page_one_stands_alone(made_by_hand: Callable[..., Brief]) -> None:
    sections = memo(made_by_hand()).sections
    first_page = sections[: next(at for at, one in enumerate(sections) if one.new_page)]
    assert [one.title for one in first_page] == [
        "The request, as it came",
        "The answer",
        "To decide before ordering",
        "Who answers what",
    ]


def test_a_refused_job_has_a_memo_that_says_what_works_instead(bakery: Brief) -> None:
    assert bakery.result.verdict == "refused"
    said = texts(memo(bakery))
    assert "No transformer does this job as it is given." in said
    for other in bakery.result.instead:
        assert " ".join(other.what.split()) in said
        assert " ".join(other.why.split()) in said


def test_an_alternative_with_a_pick_is_shown_complete(made_by_hand: Callable[..., Brief]) -> None:
    said = texts(memo(made_by_hand("REFUSED")))
    assert "Run the pieces single-phase." in said
    assert said.count("450 A (≤ 800)") == 2  # of the alternative and of its own second unit
    sections = [one.title for one in memo(made_by_hand("REFUSED")).sections]
    assert sections.index("What would work instead") < sections.index("What would work instead, complete")


def test_too_little_known_gives_a_memo_with_the_questions(made_by_hand: Callable[..., Brief]) -> None:
    said = texts(memo(made_by_hand("NEEDS_INPUT")))
    assert "Not enough is known yet to pick a transformer." in said
    assert "How many amperes does the nameplate of load 1 give?" in said


def test_nothing_to_decide_is_said(made_by_hand: Callable[..., Brief]) -> None:
    said = texts(memo(made_by_hand(findings=(), questions=())))
    assert "Nothing stops the job, and nothing waits for a decision." in said
    assert "No question is open." in said


def _numbers_in(tree: Any) -> Iterator[float]:
    if isinstance(tree, bool):
        return
    if isinstance(tree, int | float):
        yield float(tree)
    elif isinstance(tree, dict):
        for inner in tree.values():
            yield from _numbers_in(inner)
    elif isinstance(tree, list):
        for inner in tree:
            yield from _numbers_in(inner)


def _texts_in(tree: Any) -> Iterator[str]:
    if isinstance(tree, str):
        yield tree
    elif isinstance(tree, dict):
        for key, inner in tree.items():
            yield str(key)
            yield from _texts_in(inner)
    elif isinstance(tree, list):
        for inner in tree:
            yield from _texts_in(inner)


def _ways_to_write(value: float) -> Iterator[str]:
    yield bare(value)
    for digits in (3, 4):
        yield from (figure(value, digits=digits, rounding=way) for way in ("nearest", "up", "down"))
    for decimals in range(4):
        for way in ("nearest", "up", "down"):
            yield fixed(value, decimals, way)
            yield fixed(value / 1000, decimals, way)


def known_numbers(brief: Brief) -> set[str]:
    """Return every way in which a number of the result, its working or the job file may be written."""
    tree = brief.result.to_json()
    found = {text.lstrip("-") for value in _numbers_in(tree) for text in _ways_to_write(value)}
    for text in (*_texts_in(tree), brief.text):
        found |= set(re.findall(r"\d+(?:\.\d+)?", text))
    turns = next_sizes(brief.job, single_loads=False)
    if turns is not None:
        found |= set(re.findall(r"\d+(?:\.\d+)?", str(turns.to_json())))
    return found


@pytest.mark.parametrize("name", ["gatehouse", "pump_house", "bakery"])
def test_every_number_comes_from_the_result_its_working_or_the_job(
    name: str, request: pytest.FixtureRequest
) -> None:
    brief: Brief = request.getfixturevalue(name)
    known = known_numbers(brief)
    # numbers of steps, of cells read, of the values in a long list
    counted = {str(number) for number in range(1, max(len(brief.result.working), 100) + 1)}
    for line in record(memo(brief)):
        allowed = known | counted if line[0] in ("step", "row", "section") else known
        numbers = set(NUMBER.findall(CONVERTED.sub("", " ".join(line[1:]))))
        loads = {str(at) for at in range(1, len(brief.job.load) + 1)}
        shown_digest = {short_digest(brief.result.tool.tables)}  # may happen to be all digits
        assert numbers <= allowed | loads | shown_digest, (line, numbers - allowed - loads)


def test_a_demand_is_never_written_below_what_it_is(made_by_hand: Callable[..., Brief]) -> None:
    rows = {line[1]: line for line in reversed(lines_of(made_by_hand(), "row"))}
    assert rows["load current"][2] == "317.6 A"  # 317.5426…
    assert rows["load current"][3] == "732.8 A"  # 732.7907…
    assert rows["largest fault"][3] == "15.8 kA"  # 15 750


def test_measures_differ_only_in_page_and_units(gatehouse: Brief) -> None:
    from msgspec.structs import replace

    us, metric = memo(gatehouse), memo(replace(gatehouse, measure="metric"))
    assert (us.page, metric.page) == ("Letter", "A4")
    assert "60 ft (18.3 m)" in texts(metric)
    assert "60 ft (18.3 m)" not in texts(us)
    assert "15 m (49.2 ft)" in texts(us)
    assert CONVERTED.sub("", texts(us)) == CONVERTED.sub("", texts(metric))


def test_degrees_have_their_sign(any_brief: Brief) -> None:
    assert "degC" not in "\n".join(texts(memo(any_brief)).split("Working")[0].splitlines())
