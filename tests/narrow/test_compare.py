"""Comparing two jobs: each changed fact alone, and all together."""

from turnwright.intake import read_job
from turnwright.narrow.compare import compare, under

BEFORE = """edition = "2023"
[supply]
system = "480Y/277"
[[load]]
name = "pumps"
system = "208Y/120"
kva = "40 kVA"
"""


def job(text):
    return read_job(text, "job")


def test_the_same_job_moves_nothing():
    found = compare(job(BEFORE), job(BEFORE + 'note = "only a remark"\n'))
    assert found.facts == ()
    assert found.together.result == {}


def test_each_fact_moves_what_it_moves_alone():
    after = job(BEFORE.replace("40 kVA", "44 kVA") + '[choices]\ngrowth = "5 %"\n')
    found = compare(job(BEFORE), after)
    assert [(f.key, f.from_, f.to) for f in found.facts] == [
        ("load[0].kva", "40 kVA", "44 kVA"),
        ("choices.growth", None, "5 %"),
    ]
    by_fact = {move.fact: move.result for move in found.moves}
    assert by_fact["load[0].kva"]["demand.kva"] == (40.0, 44.0)
    assert "pick.kva" not in by_fact["load[0].kva"]  # 44 kVA still go into 45 kVA
    assert "demand.kva" not in by_fact["choices.growth"]
    assert found.together.result["pick.kva"] == (45.0, 75.0)  # 46.2 kVA together


def test_a_size_given_in_another_way_is_one_change():
    found = compare(job(BEFORE), job(BEFORE.replace('kva = "40 kVA"', 'current = "111 A"')))
    assert {fact.key for fact in found.facts} == {"load[0].current", "load[0].kva"}
    assert found.together.result["demand.kva"][1] != 40.0


def test_loads_that_came_and_went():
    more = BEFORE + '[[load]]\nsystem = "208Y/120"\nkva = "10 kVA"\n'
    assert compare(job(BEFORE), job(more)).moves[0].result["pick.kva"] == (45.0, 75.0)
    assert compare(job(more), job(BEFORE)).moves[0].result["pick.kva"] == (75.0, 45.0)


def test_one_job_under_two_editions():
    found = compare(job(BEFORE), under(job(BEFORE), edition="2017"))
    assert [fact.key for fact in found.facts] == ["edition"]
    assert found.together.result == {} or "verdict" not in found.together.result


def test_findings_gone_and_new():
    moved = compare(job(BEFORE), job(BEFORE + '[site]\nplace = "outdoor"\n'))
    assert "outdoors" in moved.together.new
    assert "clearance" in moved.together.gone


def test_an_edition_goes_along_with_its_regime():
    """2023 is an edition of one regime only: the other regime moves alone, with its own newest one."""
    found = compare(job(BEFORE), under(job(BEFORE), regime="ca"))
    assert [fact.key for fact in found.facts] == ["regime", "edition"]
    assert [move.fact for move in found.moves] == ["regime"]


def test_the_same_job_with_a_unit_made_at_another_date():
    found = compare(job(BEFORE), under(job(BEFORE), manufactured="2001-05"))
    assert [(fact.key, fact.to) for fact in found.facts] == [("choices.manufactured", "2001-05")]
    assert "efficiency.law_pct" in found.together.result
