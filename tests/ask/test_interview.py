"""The guided intake, with scripted people."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.ask.interview import Interview, Known, standing
from turnwright.ask.resume import lines_of
from turnwright.ask.steps import steps
from turnwright.errors import InputError
from turnwright.intake import read_job
from turnwright.model.job import Job
from turnwright.narrow import select


class Talk:
    """Answers given, questions asked, what was said and kept."""

    def __init__(self, *answers: str) -> None:
        self.answers: Iterator[str] = iter(answers)
        self.asked: list[str] = []
        self.said: list[str] = []
        self.kept: list[str] = []

    def read(self, prompt: str) -> str | None:
        self.asked.append(prompt.strip())
        return next(self.answers, None)

    def run(self, known: Known | None = None) -> Known:
        return Interview(self.read, self.said.append, self.kept.append).run(known or Known())


def facts(known: Known) -> dict[str, object]:
    return {line.path: line.value for line in known.lines}


def test_four_answers_make_a_job() -> None:
    talk = Talk("pumps", "240 3ph", "62 kVA", "480 three phase, four wire", "stop")
    known = talk.run()
    assert facts(known) == {
        "load[0].name": "pumps",
        "load[0].system": "240 3ph",
        "load[0].kva": "62 kVA",
        "supply.system": "480Y/277",
    }
    assert select(known.job(), ledger_open=False).verdict == "selected"
    assert any("So far: 75 kVA" in text for text in talk.said)


LIST = "Equipment,Qty,Volts,kVA\nOven,2,208Y/120,12.5\nFan,1,208Y/120,4\nTotal,,,29\n"


def test_the_name_of_a_list_brings_its_loads(tmp_path: Path) -> None:
    path = tmp_path / "loads.csv"
    path.write_text(LIST, encoding="utf-8")
    talk = Talk(f'"{path}"', "480Y/277", "stop")
    known = talk.run()
    assert [load.kva.text for load in known.job().load] == ["12.5 kVA", "4 kVA"]
    assert any('column A "Equipment"' in text for text in talk.said)
    assert any("2 of 3 rows are loads" in text for text in talk.said)


def test_a_list_may_come_later_and_adds_its_loads(tmp_path: Path) -> None:
    path = tmp_path / "loads.csv"
    path.write_text(LIST, encoding="utf-8")
    talk = Talk("pumps", "208Y/120", "20 kVA", str(path), "stop")
    known = talk.run()
    assert [load.kva.text for load in known.job().load] == ["20 kVA", "12.5 kVA", "4 kVA"]


def test_a_list_that_is_not_there_is_told_and_nothing_is_lost() -> None:
    talk = Talk("pumps", "nowhere.xlsx", "208Y/120", "20 kVA", "stop")
    known = talk.run()
    assert facts(known)["load[0].kva"] == "20 kVA"
    assert any("nowhere.xlsx" in text or "no such" in text.casefold() for text in talk.said)


def test_plate_and_supply_come_first_then_what_moves_the_size() -> None:
    talk = Talk("", "240 3ph", "62 kVA", "480Y/277", "stop")
    talk.run()
    assert "nameplate" in talk.asked[1] and "How large" in talk.asked[2] and "supply" in talk.asked[3]
    assert "grow" in talk.asked[4]


def test_a_job_that_no_transformer_does_is_told_at_once() -> None:
    talk = Talk("kiln", "208 3ph", "24 kW", "120/240 1ph", "stop")
    talk.run()
    assert len(talk.asked) == 5
    assert any("No transformer does this" in text and "Instead:" in text for text in talk.said)


def test_nobody_knows_is_written_down_and_nothing_is_lost() -> None:
    talk = Talk("pumps", "?", "don't know", "480Y/277", "stop")
    known = talk.run()
    assert facts(known)["load[0].system"] == "unknown" and facts(known)["load[0].current"] == "unknown"
    assert 'system = "unknown"' in known.text


def test_back_takes_the_last_answer_away() -> None:
    known = Talk("pumps", "240 3ph", "back", "208 3ph", "stop").run()
    assert facts(known)["load[0].system"] == "208 3ph"


def test_help_says_where_to_look_and_asks_again() -> None:
    talk = Talk("pumps", "help", "240 3ph", "stop")
    talk.run()
    assert talk.asked[1] == talk.asked[2] and any("Nameplate" in text for text in talk.said)


def test_an_answer_of_the_wrong_kind_is_told_and_asked_again() -> None:
    talk = Talk("pumps", "240 3ph", "62", "62 kVA", "stop")
    known = talk.run()
    assert any("Write the unit" in text for text in talk.said)
    assert facts(known)["load[0].kva"] == "62 kVA"


def test_a_pasted_request_is_taken_with_all_its_facts() -> None:
    known = Talk("We have 480Y/277 here.", "Need 208Y/120 for a kitchen, 22 kVA.", ".", "stop").run()
    assert facts(known)["supply.system"] == "480Y/277" and facts(known)["load[0].kva"] == "22 kVA"


def test_a_sentence_answers_more_than_was_asked() -> None:
    known = Talk("kitchen", "it is 22 kVA at 208Y/120 and we have 480Y/277", "stop").run()
    assert {"load[0].kva": "22 kVA", "supply.system": "480Y/277"}.items() <= facts(known).items()


def test_every_fact_is_kept_as_it_comes() -> None:
    talk = Talk("pumps", "240 3ph", "62 kVA")
    talk.run()
    assert len(talk.kept) == 3 and all(read_job(text) for text in talk.kept)


def test_all_questions_end(tmp_path: Path) -> None:
    talk = Talk("pumps", "240 3ph", "62 kVA", "480Y/277", *[""] * 40)
    talk.run()
    assert any("Nothing is left to ask" in text for text in talk.said)
    assert len(talk.asked) < 30 and len(set(talk.asked)) == len(talk.asked)


def test_an_intake_goes_on_where_it_was_left(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text(
        'supply.system = "480Y/277" # measured\n[[load]]\nsystem = "208Y/120"\n', encoding="utf-8"
    )
    talk = Talk("22 kVA", "stop")
    known = talk.run(Known(lines=lines_of(path)))
    assert "How large" in talk.asked[0]
    assert facts(known) == {
        "supply.system": "480Y/277",
        "load[0].system": "208Y/120",
        "load[0].kva": "22 kVA",
    }
    assert "# measured" in known.text


def test_lines_of_a_file_are_all_its_facts(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text(
        'title = "a # b"\n[[load]]\nkva = 9 # from the plate\nharmonics = { 5 = 30 }\nduty = { on = "10 %" }\n'
        '[site]\nconditions = ["dust"]\n',
        encoding="utf-8",
    )
    found = {line.path: (line.value, line.remark) for line in lines_of(path)}
    assert found == {
        "title": ("a # b", ""),
        "load[0].kva": (9, "from the plate"),
        "load[0].harmonics": ({"5": 30}, ""),
        "load[0].duty.on": ("10 %", ""),
        "site.conditions": (["dust"], ""),
    }


def test_a_file_that_is_no_job_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text("[nonsense]\n", encoding="utf-8")
    with pytest.raises(InputError):
        lines_of(path)


def test_steps_ask_only_for_what_is_missing() -> None:
    first = [step.key for step in steps(Job())]
    assert first[:4] == ["load[0].name", "load[0].system", "load[0].size", "supply.system"]
    job = read_job('supply.system = "480Y/277"\n[[load]]\nname = "x"\nsystem = "208Y/120"\nkva = 9\n')
    assert not any(step.need for step in steps(job))


def test_standing_says_what_the_last_fact_moved() -> None:
    small = select(
        read_job('supply.system = "480Y/277"\n[[load]]\nsystem = "208Y/120"\nkva = 22'), ledger_open=False
    )
    large = select(
        read_job('supply.system = "480Y/277"\n[[load]]\nsystem = "208Y/120"\nkva = 60'), ledger_open=False
    )
    assert "moved it from 30 kVA" in standing(large, small) and "moved" not in standing(small, small)


@given(
    st.lists(
        st.sampled_from(["", "?", "back", "help", "no", "480 3ph", "22 kVA", "15 %", "yes", "x", "60 ft"]),
        max_size=25,
    )
)
def test_any_answers_leave_a_job_that_can_be_read(answers: list[str]) -> None:
    known = Talk("pumps", *answers).run()
    assert read_job(known.text)
